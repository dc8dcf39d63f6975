import datetime
from pathlib import Path

import pytest

from oilwedge.engine.model import Engine
from oilwedge.errors import JobFileError, ReadingsError
from oilwedge.job.entry import Event, EventKind
from oilwedge.job.file import append_to_job, create_job, read_job
from oilwedge.job.header import JobHeader
from oilwedge.shop.model import Shop
from oilwedge.usecases.importing import BadRows, import_into_job

NOW = datetime.datetime(2026, 1, 2, 9, tzinfo=datetime.UTC)
GOOD = "feature,number,value [mm]\n" + "".join(f"rod journal,{n},47.97{n}\n" for n in (1, 2, 3, 4))


@pytest.fixture
def job(tmp_path: Path) -> Path:
    path = tmp_path / "bench.job"
    create_job(path=path, header=JobHeader(number="1"))
    return path


def table(job: Path, name: str, text: str) -> Path:
    path = job.with_name(name)
    path.write_text(text, encoding="utf-8")
    return path


def test_the_same_table_twice_adds_nothing(job: Path, engine: Engine, shop: Shop) -> None:
    path = table(job, "a.csv", GOOD)
    first = import_into_job(job, [path], engine=engine, shop=shop, now=NOW)
    assert (first.rows, first.added, first.already_there) == (4, 4, 0)
    before = job.read_bytes()
    again = import_into_job(job, [path, path], engine=engine, shop=shop, now=NOW)
    assert (again.rows, again.added, again.already_there) == (8, 0, 8)
    assert again.warning == ""
    assert job.read_bytes() == before


def test_any_fault_in_any_table_keeps_the_job_as_it_was(
    job: Path, engine: Engine, shop: Shop
) -> None:
    before = job.read_bytes()
    paths = [table(job, "a.csv", GOOD), table(job, "b.csv", GOOD + "rod journal,9,1\n")]
    with pytest.raises(ReadingsError) as caught:
        import_into_job(job, paths, engine=engine, shop=shop, now=NOW)
    assert [str(fault.where) for fault in caught.value.faults] == [
        "b.csv, row 6, column number",
        "b.csv, row 6, column value [mm]",
    ]
    assert job.read_bytes() == before


def test_the_good_rows_are_kept_and_the_rest_follows_when_mended(
    job: Path, engine: Engine, shop: Shop
) -> None:
    path = table(job, "a.csv", GOOD.replace("journal,3", "jurnal,3"))
    report = import_into_job(
        job, [path], engine=engine, shop=shop, now=NOW, bad_rows=BadRows.KEEP_GOOD
    )
    assert (report.rows, report.added, len(report.bad_rows)) == (4, 3, 1)
    mended = table(job, "rest.csv", report.rest_csv.replace("rod jurnal", "rod journal"))
    import_into_job(job, [mended], engine=engine, shop=shop, now=NOW)
    twice = import_into_job(job, [mended], engine=engine, shop=shop, now=NOW)
    assert twice.added == 0
    import_into_job(job, [path], engine=engine, shop=shop, now=NOW, bad_rows=BadRows.KEEP_GOOD)
    assert len(read_job(job).entries) == 4


def test_a_correction_may_name_a_reading_of_the_job(job: Path, engine: Engine, shop: Shop) -> None:
    head = "id,feature,number,value [mm],replaces\n"
    paths = [table(job, "a.csv", head + "a,rod journal,1,47.92,\n")]
    import_into_job(job, paths, engine=engine, shop=shop, now=NOW)
    paths = [table(job, "b.csv", head + "b,rod journal,1,47.97,a\n")]
    assert import_into_job(job, paths, engine=engine, shop=shop, now=NOW).added == 1


def test_an_id_of_the_job_with_other_content_is_refused(
    job: Path, engine: Engine, shop: Shop
) -> None:
    head = "id,feature,number,value [mm]\n"
    import_into_job(
        job,
        [table(job, "a.csv", head + "a,rod journal,1,47.92\n")],
        engine=engine,
        shop=shop,
        now=NOW,
    )
    with pytest.raises(ReadingsError, match=r"b\.csv, row 2, column id: given 'a'; this id stands"):
        import_into_job(
            job,
            [table(job, "b.csv", head + "a,rod journal,1,47.93\n")],
            engine=engine,
            shop=shop,
            now=NOW,
        )


def test_a_job_of_another_engine_is_refused(tmp_path: Path, engine: Engine, shop: Shop) -> None:
    path = tmp_path / "other.job"
    create_job(path=path, header=JobHeader(number="1", engine_name="Bench six"))
    with pytest.raises(JobFileError, match=r"was begun for the engine 'Bench six'"):
        import_into_job(path, [table(path, "a.csv", GOOD)], engine=engine, shop=shop, now=NOW)


def test_a_changed_copy_of_a_table_is_noticed(job: Path, engine: Engine, shop: Shop) -> None:
    import_into_job(job, [table(job, "a.csv", GOOD)], engine=engine, shop=shop, now=NOW)
    changed = table(job, "a.csv", GOOD.replace("47.974", "47.979"))
    report = import_into_job(job, [changed], engine=engine, shop=shop, now=NOW)
    assert report.added == 4
    assert "3 of 4 new readings say the same as readings of another file" in report.warning


def test_a_job_that_is_not_there_is_made_only_when_every_row_is_good(
    tmp_path: Path, engine: Engine, shop: Shop
) -> None:
    path = tmp_path / "new.job"
    bad = table(path, "bad.csv", GOOD + "rod journal,9,1\n")
    with pytest.raises(ReadingsError):
        import_into_job(path, [bad], engine=engine, shop=shop, now=NOW)
    assert not path.exists()
    good = table(path, "good.csv", GOOD)
    import_into_job(path, [good], engine=engine, shop=shop, now=NOW)
    contents = read_job(path)
    assert (contents.header.number, len(contents.entries)) == ("new", 4)


def test_what_another_record_says_of_itself_stays_there(
    job: Path, engine: Engine, shop: Shop
) -> None:
    other = job.with_name("other.job")
    create_job(path=other, header=JobHeader(number="2"))
    told = [
        Event(id=kind.name, kind=kind, subject="rod_journals", number=1, value="new")
        for kind in EventKind
        if kind is not EventKind.CONFIRMED
    ]
    append_to_job(path=other, entries=told)
    report = import_into_job(job, [other], engine=engine, shop=shop, now=NOW)
    taken = {entry.id for entry in read_job(job).entries}
    assert taken == {event.id for event in told if event.kind.may_stand_in_a_table}
    assert not taken & {"CLOSED", "REOPENED", "OWNER", "ERASED", "ENGINE", "PHOTO"}
    assert (report.rows, report.added, report.already_there) == (len(taken), len(taken), 0)
