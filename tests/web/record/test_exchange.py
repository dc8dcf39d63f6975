"""A job goes out as one zip and comes in again: all of it, or nothing."""

from __future__ import annotations

import io
import json
import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest
from django.conf import LazySettings
from django.core.files.uploadedfile import SimpleUploadedFile
from django.http import HttpResponse
from django.test import Client
from PIL import Image
from record_entries import event, reading

from oilwedge.errors import JobFileError
from oilwedge.job.entry import EventKind
from oilwedge.web.people.models import Account
from oilwedge.web.record.erasing import erase_account
from oilwedge.web.record.exchange_flow import NumberTakenError, Outcome, import_archive
from oilwedge.web.record.exporting import NamesIn, export_job
from oilwedge.web.record.models import EngineText, Job, JobEntry, KnownHead, PersonalDatum, Photo
from oilwedge.web.record.photo_files import keep_photo, photo_path
from oilwedge.web.record.store import append_entries, commitment_for, people_of
from oilwedge.web.record.verify import verify_shop

MakeJob = Callable[..., Job]
AsPerson = Callable[[str], Client]
pytestmark = pytest.mark.django_db


def picture() -> bytes:
    data = io.BytesIO()
    Image.new("RGB", (4, 3), "white").save(data, "PNG")
    return data.getvalue()


@pytest.fixture
def job(
    make_job: MakeJob,
    people: dict[str, Account],
    shop_revision: object,
    settings: LazySettings,
    tmp_path: Path,
) -> Job:
    """A job with a reading by Ben and a photo."""
    settings.PHOTO_FOLDER = tmp_path / "photos"
    job = make_job("J1")
    sha256 = keep_photo(picture())
    Photo.objects.create(
        job=job, sha256=sha256, media_type="image/png", width_px=4, height_px=3, size_bytes=9
    )
    who = commitment_for(job=job, account=people["ben"])
    append_entries(
        job=job,
        entries=(
            reading("r1", person=who, place="front", note="µ"),
            event(EventKind.PHOTO, "p", value=sha256),
        ),
    )
    return job


def elsewhere(job: Job) -> None:
    """As in another shop: the job is not there."""
    from bench_fixtures import remove_triggers
    from django.db import connection

    from oilwedge.web.record.triggers import install_triggers

    remove_triggers()
    for model in (JobEntry, PersonalDatum, Photo):
        model.objects.filter(job=job).delete()
    job.verdicts.all().delete()
    KnownHead.objects.all().delete()
    Job.objects.filter(pk=job.pk).delete()
    EngineText.objects.all().delete()
    install_triggers(connection)


def test_a_job_comes_in_as_it_went_out(job: Job) -> None:
    data = export_job(job, names=NamesIn.ARCHIVE)
    elsewhere(job)
    brought = import_archive(data)
    assert (brought.outcome, brought.added) == (Outcome.NEW, 3)
    here = Job.objects.get(number="J1")
    assert (here.head, here.count) == (job.head, job.count)
    assert (here.engine_id, here.title, here.opened_at) == (job.engine_id, job.title, job.opened_at)
    assert list(people_of(here).values()) == ["Ben Invented"]
    assert here.photos.get().width_px == 4
    assert verify_shop().findings == ()
    assert export_job(here, names=NamesIn.ARCHIVE)[:2] == b"PK"


def test_the_head_that_left_the_shop_is_remembered(job: Job) -> None:
    export_job(job, names=NamesIn.ARCHIVE)
    export_job(job, names=NamesIn.ARCHIVE)
    known = KnownHead.objects.get(reason="export")
    assert (known.job_number, known.count, known.head) == ("J1", 3, job.head)


def test_names_can_stay_at_home_in_the_sheet_too(job: Job) -> None:
    from pypdf import PdfReader

    def files(names: NamesIn) -> dict[str, bytes]:
        with zipfile.ZipFile(io.BytesIO(export_job(job, names=names))) as archive:
            return {name: archive.read(name) for name in archive.namelist()}

    bare, full = files(NamesIn.SHOP), files(NamesIn.ARCHIVE)
    assert "personal.json" not in bare
    assert b"Ben Invented" in full["personal.json"]
    for name, data in bare.items():
        assert b"Ben Invented" not in data, name
    pages = PdfReader(io.BytesIO(bare["build-sheet.pdf"])).pages
    assert "Ben Invented" not in "".join(page.extract_text() for page in pages)
    elsewhere(job)
    here = import_archive(export_of(bare)).job
    assert list(people_of(here).values()) == ["(erased)"]
    assert verify_shop().findings == ()


def export_of(files: dict[str, bytes]) -> bytes:
    data = io.BytesIO()
    with zipfile.ZipFile(data, "w") as archive:
        for name, content in files.items():
            archive.writestr(name, content)
    return data.getvalue()


def test_the_same_zip_twice_adds_nothing(job: Job) -> None:
    data = export_job(job, names=NamesIn.ARCHIVE)
    brought = import_archive(data)
    assert (brought.outcome, brought.added) == (Outcome.THERE, 0)
    assert import_archive(data, number="J77").job == job  # it is here under its own number
    assert Job.objects.count() == 1
    append_entries(job=job, entries=(reading("r2"),))
    assert import_archive(data).outcome is Outcome.THERE  # older than what is here


def test_a_longer_zip_of_the_same_job_adds_the_rest(job: Job, people: dict[str, Account]) -> None:
    short = export_job(job, names=NamesIn.ARCHIVE)
    who = commitment_for(job=job, account=people["lena"])
    append_entries(job=job, entries=(reading("r2", person=who), event(EventKind.CLOSED, "c")))
    long = export_job(job, names=NamesIn.ARCHIVE)
    elsewhere(job)
    import_archive(short)
    brought = import_archive(long)
    assert (brought.outcome, brought.added) == (Outcome.CARRIED_ON, 2)
    here = Job.objects.get(number="J1")
    assert (here.head, here.closed) == (job.head, True)
    assert sorted(people_of(here).values()) == ["Ben Invented", "Lena Invented"]
    assert verify_shop().findings == ()


def test_another_job_of_the_number_is_left_alone_and_a_free_number_offered(
    job: Job, make_job: MakeJob
) -> None:
    data = export_job(job, names=NamesIn.ARCHIVE)
    elsewhere(job)
    other = make_job("J1")
    with pytest.raises(NumberTakenError) as caught:
        import_archive(data)
    assert caught.value.free == "J1-2"
    other.refresh_from_db()
    assert other.count == 1
    assert import_archive(data, number="J1-2").job.number == "J1-2"
    assert verify_shop().findings == ()


def test_records_that_part_ways_are_not_mixed(job: Job) -> None:
    append_entries(job=job, entries=(reading("r2", text="47.97"),))
    data = export_job(job, names=NamesIn.ARCHIVE)
    elsewhere(job)
    here = import_archive(data).job
    # The same ids, and another value under the last one: as two copies that were carried on.
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        assert b"r2" in archive.read("entries.jsonl")
    append_entries(job=here, entries=(reading("r3"),))
    other = export_job(here, names=NamesIn.ARCHIVE)
    elsewhere(here)
    apart = import_archive(data).job
    append_entries(job=apart, entries=(reading("r4"),))
    with pytest.raises(NumberTakenError):
        import_archive(other)
    apart.refresh_from_db()
    assert apart.count == 5


def test_an_erased_name_does_not_come_back(job: Job, people: dict[str, Account]) -> None:
    before = export_job(job, names=NamesIn.ARCHIVE)
    erase_account(people["ben"])
    job.refresh_from_db()
    after = export_job(job, names=NamesIn.ARCHIVE)
    assert import_archive(before).outcome is Outcome.THERE
    assert list(people_of(job).values()) == ["(erased)"]
    elsewhere(job)
    here = import_archive(after).job
    assert list(people_of(here).values()) == ["(erased)"]
    assert verify_shop().findings == ()


def broken(data: bytes, name: str, content: bytes) -> bytes:
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        files = {one: archive.read(one) for one in archive.namelist()}
    manifest = json.loads(files["manifest.json"])
    import hashlib

    files[name] = content
    manifest["files"][name] = {
        "size": len(content), "sha256": hashlib.sha256(content).hexdigest(),
    }  # fmt: skip
    files["manifest.json"] = json.dumps(manifest).encode()
    return export_of(files)


def test_an_archive_that_is_not_taken_leaves_nothing(job: Job, tmp_path: Path) -> None:
    good = export_job(job, names=NamesIn.ARCHIVE)
    photo = job.photos.get().sha256
    text = job.engine.text
    elsewhere(job)
    photo_path(photo).unlink()
    bad_engine = text.replace('nominal = "47.98 mm"', 'nominal = "no size"')
    attempts = [
        b"",
        b"PK",
        good[:-30],
        good + b"more",
        broken(good, "entries.jsonl", b"{}\n"),
        broken(good, "../out", b"x"),
        broken(good, f"engines/{'0' * 64}.toml", bad_engine.encode()),
    ]
    for data in attempts:
        with pytest.raises(JobFileError) as caught:
            import_archive(data)
        assert len(caught.value.faults) == 1
    assert not Job.objects.exists()
    assert not EngineText.objects.exists()
    assert list((tmp_path / "photos").iterdir()) == []
    with pytest.raises(NumberTakenError, match="letters, digits"):
        import_archive(good, number="a/b")


def send(client: Client, data: bytes, number: str = "") -> HttpResponse:
    upload = SimpleUploadedFile("job.zip", data, content_type="application/zip")
    answer = client.post("/jobs/import", {"archive": upload, "number": number})
    assert isinstance(answer, HttpResponse)
    return answer


def test_the_page_brings_a_job_in(job: Job, as_person: AsPerson) -> None:
    client = as_person("ben")
    data = client.get("/jobs/J1/export.zip")
    assert data["Content-Type"] == "application/zip"
    assert 'filename="job-J1.zip"' in data["Content-Disposition"]
    elsewhere(job)
    assert "Bring it in" in client.get("/jobs/import").content.decode()
    answer = send(client, data.content)
    assert answer.status_code == 302
    assert answer["Location"] == "/jobs/J1/"
    again = send(client, data.content)
    assert "here already" in again.content.decode()


def test_the_page_says_what_is_wrong_and_offers_a_number(
    job: Job, as_person: AsPerson, make_job: MakeJob, settings: LazySettings
) -> None:
    client = as_person("lena")
    data = client.get("/jobs/J1/export.zip?names=no").content
    elsewhere(job)
    make_job("J1")
    taken = send(client, data)
    assert taken.status_code == 422
    assert 'value="J1-2"' in taken.content.decode()
    assert send(client, data, number="J1-2").status_code == 302
    assert "This is no zip" in send(client, b"words").content.decode()
    missing = client.post("/jobs/import", {"number": ""})
    assert "choose the zip of a job first" in missing.content.decode().lower()
    settings.ARCHIVE_LIMIT_BYTES = 1000
    assert "may have up to" in send(client, data).content.decode()


@pytest.mark.parametrize(
    ("name", "out", "into"),
    [("lena", 200, 200), ("ben", 200, 200), ("vera", 200, 403), ("pia", 404, 403)],
)
def test_who_may_take_out_and_bring_in(
    job: Job, as_person: AsPerson, name: str, out: int, into: int
) -> None:
    client = as_person(name)
    for address in ("export.zip", "readings.csv", "readings.xlsx"):
        assert client.get(f"/jobs/J1/{address}").status_code == out
        assert client.get(f"/jobs/J9/{address}").status_code == 404
        assert Client().get(f"/jobs/J1/{address}").status_code == 302
    assert client.get("/jobs/import").status_code == into


def test_a_pupil_takes_nothing_out_of_the_own_bench_either(
    job: Job, as_person: AsPerson, people: dict[str, Account]
) -> None:
    Job.objects.filter(pk=job.pk).update(pupil=people["pia"])
    assert as_person("pia").get("/jobs/J1/export.zip").status_code == 403


def test_the_same_ids_with_another_value_under_one_are_not_carried_on(job: Job) -> None:
    before = export_job(job, names=NamesIn.ARCHIVE)
    append_entries(job=job, entries=(reading("r2", text="47.972"), reading("r3")))
    longer = export_job(job, names=NamesIn.ARCHIVE)
    elsewhere(job)
    here = import_archive(before).job
    append_entries(job=here, entries=(reading("r2", text="47.980"),))
    with pytest.raises(NumberTakenError):
        import_archive(longer)
    here.refresh_from_db()
    assert here.count == 4
    assert verify_shop().findings == ()


def test_a_name_that_the_record_calls_erased_stays_out_though_the_archive_has_it(job: Job) -> None:
    who = job.personal.get().commitment
    append_entries(job=job, entries=(event(EventKind.ERASED, "gone", value=who),))
    data = export_job(job, names=NamesIn.ARCHIVE)
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        assert b"Ben Invented" in archive.read("personal.json")
    elsewhere(job)
    assert list(people_of(import_archive(data).job).values()) == ["(erased)"]
