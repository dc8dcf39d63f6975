"""The pages on file formats tell the truth: what they show is read, what they list exists."""

from __future__ import annotations

import datetime
import json
from collections.abc import Callable
from pathlib import Path

import pytest

from oilwedge.engine.file import check_engine
from oilwedge.engine.model import Engine
from oilwedge.job.codec import entry_from_document, entry_to_document
from oilwedge.job.entry import Event, EventKind, WorkKind
from oilwedge.job.header import JobHeader, header_to_line
from oilwedge.job.lines import contents_from_bytes
from oilwedge.metrology.reading import Bound, Reading, ReadingForm
from oilwedge.shop.file import check_shop
from oilwedge.shop.model import Shop
from oilwedge.shop.schema import InstrumentTable, StockTable, StripTable
from oilwedge.usecases.importing import BadRows, read_table
from oilwedge.usecases.importing.columns import Column, recognised

Blocks = Callable[[str, str], list[str]]
FirstCells = Callable[[str, str], list[str]]
DOCS = Path(__file__).parents[2] / "docs"
TIME = datetime.datetime(2026, 3, 1, tzinfo=datetime.UTC)
ENGINE_PAGE = "formats/engine-file.md"
READINGS_PAGE = "formats/readings.md"
SHOP_PAGE = "formats/shop-file.md"
JOB_PAGE = "formats/job-file.md"


# --- engine file ----------------------------------------------------------------------------


def test_every_engine_block_is_checked_without_a_fault(blocks: Blocks) -> None:
    found = blocks(ENGINE_PAGE, "toml")
    assert len(found) > 4
    for count in range(1, len(found) + 1):
        text = "\n".join(found[:count])
        assert check_engine(text, file="engine.toml").faults == (), found[count - 1]
    for text in blocks(ENGINE_PAGE, "toml whole"):
        assert check_engine(text, file="engine.toml").faults == (), text


def test_the_engine_blocks_together_are_one_engine(page_engine: Engine) -> None:
    assert page_engine.fit("main_bearing", 3).low_m == pytest.approx(0.028e-3)
    assert page_engine.fit("balance_bearing").ways[0].terms[1].coefficient == -1


# --- tables of readings ---------------------------------------------------------------------


def test_every_example_table_is_read(blocks: Blocks, page_engine: Engine, page_shop: Shop) -> None:
    found = blocks(READINGS_PAGE, "csv")
    assert len(found) >= 6
    for text in found:
        read = read_table(text.encode(), engine=page_engine, shop=page_shop, name="readings.csv")
        assert len(read.entries) == read.rows == len(text.strip().splitlines()) - 1


def entries(text: str, *, engine: Engine, shop: Shop) -> list[Reading]:
    read = read_table(text.encode(), engine=engine, shop=shop, name="readings.csv")
    return [entry for entry in read.entries if isinstance(entry, Reading)]


def test_a_sign_makes_a_deviation_and_words_make_a_bound(
    blocks: Blocks, page_engine: Engine, page_shop: Shop
) -> None:
    _, signed, bounded, *_ = blocks(READINGS_PAGE, "csv")
    forms = [one.form for one in entries(signed, engine=page_engine, shop=page_shop)]
    assert forms == [ReadingForm.ABSOLUTE] * 2 + [ReadingForm.DEVIATION] * 2
    strips = entries(bounded, engine=page_engine, shop=page_shop)
    assert [one.bound for one in strips] == [
        Bound.AT_MOST, Bound.AT_MOST, Bound.AT_LEAST, Bound.AT_LEAST, Bound.NONE, Bound.NONE,
    ]  # fmt: skip
    assert strips[4].form is ReadingForm.WIDTH


def test_a_refit_starts_the_next_fitting(
    blocks: Blocks, page_engine: Engine, page_shop: Shop
) -> None:
    repeats = blocks(READINGS_PAGE, "csv")[3]
    read = entries(repeats, engine=page_engine, shop=page_shop)
    assert [one.fitting for one in read] == [1, 1, 2]


def test_the_bad_table_gives_the_sentences_that_the_page_prints(
    blocks: Blocks, page_engine: Engine, page_shop: Shop
) -> None:
    (bad,) = blocks(READINGS_PAGE, "csv bad")
    read = read_table(
        bad.encode(),
        engine=page_engine,
        shop=page_shop,
        name="readings.csv",
        bad_rows=BadRows.KEEP_GOOD,
    )
    assert not read.entries
    (printed,) = blocks(READINGS_PAGE, "text")
    assert [fault.sentence() for fault in read.faults] == printed.splitlines()


def test_the_table_of_columns_is_complete(first_cells: FirstCells) -> None:
    assert first_cells(READINGS_PAGE, "## Columns") == [column.value for column in Column]


def test_every_other_name_of_a_column_is_known(readings_rows: list[list[str]]) -> None:
    for row in readings_rows:
        for name in filter(None, map(str.strip, row[1].split(","))):
            assert recognised([name]) == 1, name


@pytest.fixture
def readings_rows() -> list[list[str]]:
    text = (DOCS / READINGS_PAGE).read_text(encoding="utf-8")
    section = text.partition("\n## Columns\n")[2].partition("\n## ")[0]
    lines = [line for line in section.splitlines() if line.startswith("|")][2:]
    return [[cell.strip() for cell in line.strip("|").split("|")] for line in lines]


def test_every_event_stands_on_the_page(first_cells: FirstCells) -> None:
    listed = set(first_cells(READINGS_PAGE, "## Events"))
    assert listed == {kind.value for kind in EventKind if kind.may_stand_in_a_table}


# --- shop file ------------------------------------------------------------------------------


def test_the_example_shop_is_checked_without_a_fault(blocks: Blocks) -> None:
    (text,) = blocks(SHOP_PAGE, "toml")
    checked = check_shop(text, file="shop.toml")
    assert (checked.faults, checked.warnings) == ((), ())


def test_the_keys_of_instruments_strips_and_stock_are_listed(first_cells: FirstCells) -> None:
    assert first_cells(SHOP_PAGE, "## Instruments") == list(InstrumentTable.model_fields)
    assert first_cells(SHOP_PAGE, "## Strips") == list(StripTable.model_fields)
    assert first_cells(SHOP_PAGE, "## Parts in stock") == list(StockTable.model_fields)


# --- job file -------------------------------------------------------------------------------


def test_the_example_job_is_read_and_written_back_the_same(blocks: Blocks) -> None:
    (text,) = blocks(JOB_PAGE, "json-lines")
    contents = contents_from_bytes(text.encode(), file="job")
    assert len(contents.entries) == len(text.splitlines()) - 1
    for entry in contents.entries:
        assert entry_from_document(entry_to_document(entry)) == entry


def test_every_key_of_the_job_file_is_listed(first_cells: FirstCells) -> None:
    reading = Reading(
        id="r", feature="f", number=1, place="p", direction="d", value_m=1.0, bound=Bound.AT_MOST,
        text="t", unit="mm", instrument="i", person="p", time=TIME, part_temperature_c=20.0,
        instrument_temperature_c=20.0, replaces="q", note="n", origin="o:1", device_time=TIME,
    )  # fmt: skip
    event = Event(
        id="e", kind=EventKind.WORK, subject="s", number=1, value="v", step_m=0.0,
        work=WorkKind.GROUND, instrument="i", person="p", time=TIME, note="n", origin="o:1",
        device_time=TIME,
    )  # fmt: skip
    assert set(first_cells(JOB_PAGE, "## A reading")) == set(entry_to_document(reading))
    assert set(first_cells(JOB_PAGE, "## An event")) == set(entry_to_document(event))


def test_every_kind_of_event_is_listed(first_cells: FirstCells) -> None:
    names = [kind.name.lower() for kind in EventKind]
    assert first_cells(JOB_PAGE, "### Kinds of event") == names


def test_every_key_of_the_first_line_is_listed(first_cells: FirstCells) -> None:
    header = JobHeader(number="1", engine_name="e", engine_digest="d", created=TIME)
    assert set(first_cells(JOB_PAGE, "## The first line")) == set(
        json.loads(header_to_line(header))
    )
