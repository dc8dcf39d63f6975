"""Readings go out as CSV and XLSX, harmless in a spreadsheet and readable again."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable
from dataclasses import replace

import openpyxl
import pytest
from django.test import Client
from record_entries import TIME, event, reading

from oilwedge.job.entry import Entry, Event, EventKind, Reading, WorkKind
from oilwedge.metrology.reading import Bound, ReadingForm
from oilwedge.usecases.importing.read import read_table
from oilwedge.usecases.readings_table import HEADER
from oilwedge.web.people.models import Account
from oilwedge.web.record.exporting import NamesIn, export_csv, export_xlsx
from oilwedge.web.record.judged import current_shop, engine_of
from oilwedge.web.record.models import Job
from oilwedge.web.record.store import append_entries, commitment_for

pytestmark = pytest.mark.django_db


def written() -> tuple[Entry, ...]:
    plain = reading("r1", place="front")
    return (
        event(EventKind.CONDITION, "c1", value="re-used"),
        replace(plain, instrument="mic", part_temperature_c=20.5),
        replace(plain, id="r2", text="972", place="middle"),
        replace(
            plain, id="r3", text="-12 µm", unit="µm", value_m=-12e-6, form=ReadingForm.DEVIATION,
            place="rear",
        ),
        replace(
            plain, id="r4", text="12", unit="µm", value_m=12e-6, form=ReadingForm.DEVIATION,
            place="front", direction="across",
        ),
        replace(plain, id="r5", text="1.8886 in", unit="in", value_m=0.04797044),
        replace(plain, id="r6", text="47.970", value_m=0.04797, replaces="r5", fitting=2),
        replace(plain, id="r7", text="47.971", value_m=0.047971, setting="s2", note="=1+1"),
        Event(
            id="w1", kind=EventKind.WORK, subject="rod_journals", number=1,
            value="polished", work=WorkKind.POLISHED, time=TIME,
        ),
        event(EventKind.NOTE, "n1", value="@home"),
        event(EventKind.SIGNED, "g1", value="measured"),
    )  # fmt: skip


@pytest.fixture
def job(make_job: Callable[..., Job], shop_revision: object, people: dict[str, Account]) -> Job:
    job = make_job("J1")
    who = commitment_for(job=job, account=people["ben"])
    first, *rest = written()
    assert isinstance(first, Event)
    entries = (replace(first, subject="rod_journals", person=who), *rest)
    append_entries(job=job, entries=entries)
    return job


def bare(entry: Entry) -> Entry:
    """Without what a table does not carry: where it came from, and how it was typed."""
    if isinstance(entry, Reading):
        value_m = round(entry.value_m, 12)
        return replace(entry, origin="", text="", person="", value_m=value_m)
    return replace(entry, origin="", person="")


def test_what_goes_out_as_csv_comes_in_the_same(job: Job) -> None:
    data = export_csv(job, names=NamesIn.ARCHIVE)
    shop = current_shop()
    imported = read_table(data, engine=engine_of(job), shop=shop, name="readings.csv")
    assert imported.bad_rows == ()
    assert imported.ignored_columns == ("as typed",)
    first, *rest = written()
    assert isinstance(first, Event)
    wanted = (replace(first, subject="rod_journals"), *rest)
    assert [bare(one) for one in imported.entries] == [bare(one) for one in wanted]


def test_a_strip_and_a_bound_come_in_the_same(
    make_job: Callable[..., Job], shop_revision: object
) -> None:
    job = make_job("J2", engine="four")
    strip = next(key for key, one in engine_of(job).features.items() if one.shape.name == "STRIP")
    shown = reading("s1", text="0.05")
    wanted = (
        replace(
            shown, feature=strip, value_m=25e-6, text="wider than the widest bar",
            bound=Bound.AT_MOST, instrument="narrow",
        ),
        replace(
            shown, feature=strip, id="s2", value_m=1.45e-3, text="1.45",
            form=ReadingForm.WIDTH,
        ),
        replace(shown, feature=strip, id="s3", value_m=60e-6, text="60", bound=Bound.AT_LEAST),
        replace(shown, feature=strip, id="s4", value_m=50e-6, text="0.05"),
    )  # fmt: skip
    append_entries(job=job, entries=wanted)
    data = export_csv(job, names=NamesIn.ARCHIVE)
    imported = read_table(data, engine=engine_of(job), shop=current_shop(), name="readings.csv")
    assert [bare(one) for one in imported.entries] == [bare(one) for one in wanted]


def cells_of_csv(data: bytes) -> list[list[str]]:
    return list(csv.reader(io.StringIO(data.decode("utf-8-sig"), newline="")))


def test_no_cell_is_taken_for_a_formula(job: Job) -> None:
    rows = cells_of_csv(export_csv(job, names=NamesIn.ARCHIVE))
    assert tuple(rows[0]) == HEADER
    cells = [cell for row in rows for cell in row]
    assert {"'=1+1", "'@home", "'-12 µm"} <= set(cells)
    assert not [one for one in cells if one[:1] in ("=", "@", "\t", "\r")]
    book = openpyxl.load_workbook(io.BytesIO(export_xlsx(job, names=NamesIn.ARCHIVE)))
    kinds = {cell.data_type for row in book.active.iter_rows() for cell in row}
    assert "f" not in kinds


def test_values_are_numbers_in_a_spreadsheet_and_keep_their_last_zero(job: Job) -> None:
    book = openpyxl.load_workbook(io.BytesIO(export_xlsx(job, names=NamesIn.ARCHIVE)))
    at = HEADER.index("value")
    rows = {row[HEADER.index("id")].value: row for row in book.active.iter_rows()}
    assert rows["r6"][at].value == 47.97
    assert rows["r6"][at].number_format == "0.000"
    imported = read_table(
        export_xlsx(job, names=NamesIn.ARCHIVE), engine=engine_of(job), shop=current_shop(),
        name="readings.xlsx",
    )  # fmt: skip
    first, *rest = written()
    assert isinstance(first, Event)
    wanted = (replace(first, subject="rod_journals"), *rest)
    assert [bare(one) for one in imported.entries] == [bare(one) for one in wanted]


def test_names_go_along_or_stay(job: Job, as_person: Callable[[str], Client]) -> None:
    client = as_person("vera")
    assert "Ben Invented" in client.get("/jobs/J1/readings.csv").content.decode()
    bare_csv = client.get("/jobs/J1/readings.csv?names=no")
    assert "Ben Invented" not in bare_csv.content.decode()
    assert bare_csv["Content-Type"] == "text/csv; charset=utf-8"
    assert 'filename="job-J1.csv"' in bare_csv["Content-Disposition"]
    assert client.get("/jobs/J1/readings.xlsx").content[:2] == b"PK"


def test_a_control_character_in_a_note_keeps_no_table_from_going_out(
    make_job: Callable[..., Job],
) -> None:
    job = make_job()
    append_entries(job=job, entries=(reading("r1", note="bell \x07, nothing \x00, end \uffff"),))
    book = openpyxl.load_workbook(io.BytesIO(export_xlsx(job, names=NamesIn.ARCHIVE)))
    notes = [row[HEADER.index("note")].value for row in book.active.iter_rows()]
    assert "bell \ufffd, nothing \ufffd, end \ufffd" in notes
    rows = export_csv(job, names=NamesIn.ARCHIVE).decode("utf-8-sig")
    assert "bell \ufffd, nothing \ufffd, end \ufffd" in rows
