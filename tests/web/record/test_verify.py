"""Whoever changes the record behind the program's back is found out, and told where."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from bench_fixtures import remove_triggers
from django.conf import LazySettings
from django.db import connection
from record_entries import event, reading

from oilwedge.job.entry import EventKind
from oilwedge.job.record import canonical_text, digest_text, head_after
from oilwedge.web.people.models import Account
from oilwedge.web.record.models import Job, JobEntry, KnownHead, Photo, ShopRevision
from oilwedge.web.record.photo_files import keep_photo, photo_path
from oilwedge.web.record.store import RecordError, append_entries, commitment_for
from oilwedge.web.record.triggers import install_triggers
from oilwedge.web.record.verify import verify_shop

MakeJob = Callable[..., Job]
pytestmark = pytest.mark.django_db


@pytest.fixture
def photo_folder(settings: LazySettings, tmp_path: Path) -> Path:
    settings.PHOTO_FOLDER = tmp_path / "photos"
    return tmp_path / "photos"


@pytest.fixture
def job(
    make_job: MakeJob, people: dict[str, Account], shop_revision: ShopRevision, photo_folder: Path
) -> Job:
    """Three jobs; the one in the middle, J2, has eight entries and a photo."""
    make_job("J1")
    job = make_job("J2")
    make_job("J3")
    who = commitment_for(job=job, account=people["ben"])
    sha256 = keep_photo(b"an invented picture")
    Photo.objects.create(
        job=job, sha256=sha256, media_type="image/jpeg", width_px=1, height_px=1, size_bytes=19
    )
    append_entries(
        job=job,
        entries=(
            *(reading(f"r{number}", person=who) for number in range(1, 7)),
            event(EventKind.PHOTO, "p", value=sha256),
        ),
    )
    return job


@pytest.fixture
def unheld(job: Job) -> Job:
    """The same, with the triggers taken off before and laid again by verify's reader."""
    remove_triggers()
    return job


def sql(statement: str, *values: object) -> None:
    with connection.cursor() as cursor:
        cursor.execute(statement, list(values))


def found() -> tuple[str, ...]:
    install_triggers(connection)
    return verify_shop().findings


def at(job: Job, sequence: int) -> JobEntry:
    return job.entries.get(sequence=sequence)


def test_a_record_as_it_was_written_has_nothing_to_find(job: Job) -> None:
    seen: list[tuple[int, int]] = []
    verified = verify_shop(progress=lambda done, of: seen.append((done, of)))
    assert verified.findings == ()
    assert (verified.jobs, verified.entries) == (3, 10)
    assert seen == [(3, 3)]


def test_a_changed_document_is_named_by_job_and_entry(unheld: Job) -> None:
    sql(
        "UPDATE record_jobentry SET document = replace(document, '47.972', '47.999')"
        " WHERE job_id = %s AND sequence = 4",
        unheld.pk,
    )
    (finding,) = found()
    assert finding.startswith("Job J2: entry 4 (r3: rod journal 1 47.999 mm)")
    assert "changed" in finding


def test_a_document_changed_with_its_own_head_is_found(unheld: Job) -> None:
    entry = at(unheld, 4)
    text = entry.document.replace("47.972", "47.999")
    head = head_after(at(unheld, 3).head, digest_text(text))
    sql("UPDATE record_jobentry SET document = %s, head = %s WHERE id = %s", text, head, entry.pk)
    (finding,) = found()
    assert finding.startswith("Job J2: entry 5")
    assert "entry 4 was rewritten together with its head" in finding


def rewrite_from(job: Job, sequence: int, old: str, new: str) -> None:
    """Change an entry and compute every head after it anew, the job's own too."""
    head = at(job, sequence - 1).head
    for entry in job.entries.filter(sequence__gte=sequence).order_by("sequence"):
        text = entry.document.replace(old, new) if entry.sequence == sequence else entry.document
        head = head_after(head, digest_text(text))
        sql(
            "UPDATE record_jobentry SET document = %s, head = %s WHERE id = %s",
            text, head, entry.pk,
        )  # fmt: skip
    sql("UPDATE record_job SET head = %s WHERE id = %s", head, job.pk)


def test_a_whole_chain_computed_anew_is_found_by_a_head_that_was_printed(unheld: Job) -> None:
    KnownHead.objects.create(
        job_number="J2", count=unheld.count, head=unheld.head, reason="printed on a sheet"
    )
    rewrite_from(unheld, 4, "47.972", "47.999")
    (finding,) = found()
    assert finding.startswith(f"Job J2: the head {unheld.head[:12]}… (printed on a sheet of ")
    assert "rewritten since" in finding


def test_a_whole_chain_computed_anew_is_found_by_a_head_given_by_hand(unheld: Job) -> None:
    printed = unheld.head
    assert verify_shop(number="J2", head=printed[:16]).findings == ()
    rewrite_from(unheld, 4, "47.972", "47.999")
    assert found() == ()  # nothing in the database tells
    (finding,) = verify_shop(number="J2", head=printed[:16]).findings
    assert finding.startswith(f"Job J2: the head {printed[:12]}… stands after no entry")


def test_a_job_without_any_known_head_is_named(unheld: Job) -> None:
    rewrite_from(unheld, 4, "47.972", "47.999")
    sql("DELETE FROM record_knownhead WHERE job_number = 'J2'")
    (finding,) = found()
    assert finding.startswith("Job J2: the head of its opening is no longer kept")


def test_a_name_blanked_as_if_erased_is_found(unheld: Job) -> None:
    sql(
        "UPDATE record_personaldatum SET text = '', salt = '', erased_at = %s WHERE job_id = %s",
        "2026-01-01 00:00:00", unheld.pk,
    )  # fmt: skip
    (finding,) = found()
    assert finding.startswith("Job J2: the name behind who-")
    assert "it was not oilwedge that erased it" in finding


FOREIGN = (
    ("UPDATE record_jobentry SET document = x'ff00' WHERE sequence = 4", "record_jobentry"),
    ("UPDATE record_jobentry SET sequence = 'four' WHERE sequence = 4", "record_jobentry"),
    ("UPDATE record_jobentry SET received_at = 'then' WHERE sequence = 4", "record_jobentry"),
    ("UPDATE record_job SET count = 'eight'", "record_job"),
    ("UPDATE record_job SET serial = 'first' WHERE number = 'J1'", "record_job"),
    ("UPDATE record_knownhead SET made_at = 'then'", "record_knownhead"),
    ("UPDATE record_enginetext SET text = x'00'", "record_enginetext"),
    ("UPDATE record_shoprevision SET text = x'00'", "record_shoprevision"),
    ("UPDATE record_personaldatum SET salt = x'00'", "record_personaldatum"),
    ("UPDATE record_photo SET sha256 = x'00'", "record_photo"),
)


@pytest.mark.parametrize(("statement", "table"), FOREIGN)
def test_a_value_of_another_kind_is_named_by_its_row(
    unheld: Job, statement: str, table: str
) -> None:
    if connection.vendor != "sqlite":
        pytest.skip("PostgreSQL refuses such a value itself")
    sql(statement)
    first, *_, last = found()
    assert first.startswith(f"{table}, row ")
    assert "changed by another program" in first
    assert last == "Nothing else was looked at: restore a backup, then verify again."


def test_a_text_that_is_no_text_is_said_in_words(unheld: Job) -> None:
    if connection.vendor != "sqlite":
        pytest.skip("PostgreSQL refuses such a value itself")
    sql("UPDATE record_jobentry SET document = CAST(x'ff00' AS TEXT) WHERE sequence = 4")
    with pytest.raises(RecordError, match="damaged, or another program wrote in it"):
        found()


def test_an_entry_taken_from_the_middle_is_missed(unheld: Job) -> None:
    sql("DELETE FROM record_jobentry WHERE job_id = %s AND sequence = 4", unheld.pk)
    assert any(one.startswith("Job J2: entry 4 is missing") for one in found())


def test_a_tail_cut_off_is_missed(unheld: Job) -> None:
    sql("DELETE FROM record_jobentry WHERE job_id = %s AND sequence > 5", unheld.pk)
    assert any("entries 6 to 8 are missing at the end" in one for one in found())


def test_a_tail_cut_off_with_the_count_is_found_by_a_known_head(unheld: Job) -> None:
    KnownHead.objects.create(
        job_number="J2", count=unheld.count, head=unheld.head, reason="exported"
    )
    head = at(unheld, 5).head
    sql("DELETE FROM record_jobentry WHERE job_id = %s AND sequence > 5", unheld.pk)
    sql("UPDATE record_job SET count = 5, head = %s WHERE id = %s", head, unheld.pk)
    findings = found()
    assert any("stood after entry 8: entries 6 to 8 are missing" in one for one in findings)


def test_a_tail_cut_off_with_a_lowered_count_alone_is_found(unheld: Job) -> None:
    sql("DELETE FROM record_jobentry WHERE job_id = %s AND sequence > 5", unheld.pk)
    sql("UPDATE record_job SET count = 5 WHERE id = %s", unheld.pk)
    assert any(one.startswith("Job J2: the head that the job keeps is not") for one in found())


def test_two_entries_that_changed_places_are_found(unheld: Job) -> None:
    for here, there in ((4, 104), (5, 4), (104, 5)):
        sql(
            "UPDATE record_jobentry SET sequence = %s WHERE job_id = %s AND sequence = %s",
            there, unheld.pk, here,
        )  # fmt: skip
    assert any(one.startswith("Job J2: entry 4") for one in found())


def test_an_entry_put_in_from_outside_is_found(unheld: Job) -> None:
    text = canonical_text(reading("x"))
    JobEntry.objects.create(
        job=unheld, sequence=9, entry_id="x", document=text,
        head=head_after(unheld.head, digest_text(text)), received_at=unheld.changed_at,
    )  # fmt: skip
    assert any("beyond the 8" in one for one in found())


def test_an_entry_under_another_id_is_found(unheld: Job) -> None:
    sql("UPDATE record_jobentry SET entry_id = 'other' WHERE id = %s", at(unheld, 4).pk)
    (finding,) = found()
    assert finding.startswith("Job J2: entry 4 is stored under the id other")


def take_away(job: Job) -> None:
    for table in ("jobentry", "personaldatum", "photo"):
        sql(f"DELETE FROM record_{table} WHERE job_id = %s", job.pk)
    sql("DELETE FROM record_job WHERE id = %s", job.pk)


def test_a_job_taken_away_leaves_a_gap(unheld: Job) -> None:
    take_away(unheld)
    gap, opened = found()
    assert "counted without a gap up to 3" in gap
    assert "none for 2" in gap
    assert opened.startswith("Job J2 was opened here and is no longer here")


def test_the_newest_job_taken_away_is_found_by_its_opening(unheld: Job) -> None:
    take_away(Job.objects.get(number="J3"))
    (finding,) = found()
    assert finding.startswith("Job J3 was opened here and is no longer here")


def test_an_engine_file_that_was_changed_is_named(unheld: Job) -> None:
    sql("UPDATE record_enginetext SET text = replace(text, '47.98', '47.99')")
    (finding,) = found()
    assert "engine file" in finding
    assert "J1, J2, J3" in finding


def test_a_job_moved_to_another_engine_file_is_found(unheld: Job, make_job: MakeJob) -> None:
    other = make_job("J4", engine="four")
    sql("UPDATE record_job SET engine_id = %s WHERE id = %s", other.engine_id, unheld.pk)
    (finding,) = found()
    assert finding.startswith("Job J2: its record says that the engine file")


def test_a_job_closed_by_its_row_alone_is_found(unheld: Job) -> None:
    sql("UPDATE record_job SET closed = %s WHERE id = %s", True, unheld.pk)
    (finding,) = found()
    assert finding == ("Job J2: its record says that it is open, the job's own row says closed.")


def test_changed_and_missing_shop_files_are_found(unheld: Job) -> None:
    ShopRevision.objects.create(number=3, text="", digest=digest_text(""))
    sql("UPDATE record_shoprevision SET text = text || ' ' WHERE number = 1")
    first, second = found()
    assert first.startswith("Revision 1 of the shop file was changed")
    assert second.startswith("Revision 2 of the shop file is missing")


def test_a_photo_that_is_gone_or_another_one_is_found(job: Job, photo_folder: Path) -> None:
    path = photo_path(Photo.objects.get().sha256)
    path.write_bytes(b"another picture")
    (finding,) = found()
    assert finding.startswith("Job J2: the photo")
    assert "of entry 8" in finding
    path.unlink()
    assert len(found()) == 1
    assert len(verify_shop(number="J2").findings) == 1
    assert verify_shop(number="J1").findings == ()


def test_names_that_do_not_fit_are_found(unheld: Job) -> None:
    sql("UPDATE record_personaldatum SET text = 'Somebody Else'")
    (finding,) = found()
    assert "was changed" in finding
    remove_triggers()
    sql("UPDATE record_personaldatum SET text = '', salt = ''")
    (finding,) = found()
    assert "not oilwedge that erased it" in finding
    remove_triggers()
    sql("DELETE FROM record_personaldatum")
    (finding,) = found()
    assert finding.startswith("Job J2: entry 2 names who-")


def test_rules_that_were_taken_off_are_named(unheld: Job) -> None:
    findings = verify_shop().findings
    assert findings
    assert all(one.startswith("The database no longer holds the rule") for one in findings)


def test_a_job_that_is_not_there_is_said(job: Job) -> None:
    assert verify_shop(number="J9").findings == ("There is no job J9 in this shop.",)
