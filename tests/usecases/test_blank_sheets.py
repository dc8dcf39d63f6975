"""Blank sheets hold a field for every reading and no limit beside one."""

from __future__ import annotations

import datetime
import re
from dataclasses import replace
from importlib import resources

import pytest

from oilwedge.engine.file import read_engine
from oilwedge.engine.layout import Caps
from oilwedge.engine.model import Engine
from oilwedge.report.document import (
    Blank,
    Block,
    Caution,
    CrankFigure,
    Document,
    Figure,
    Heading,
    Paper,
    Paragraph,
    Table,
    Text,
    Tick,
)
from oilwedge.shop.model import DEFAULT_SHOP
from oilwedge.usecases.blank_sheets import LimitsShown, blank_sheet_document
from oilwedge.usecases.planning.plan import Depth, make_plan

# An invented twin, written as a person would write it.
ENGINE = """
format = 1
[engine]
name = "Invented twin"
[layout]
kind = "in-line"
cylinders = 2
numbering = "1 at the front"
firing_order = [1, 2]
throw_angles = ["0 deg", "180 deg"]
main_bearings = 3
[marks]
front = "the pulley"
rod_caps = "dots to the pulley"
[features.rod_journal]
size = ["39.971 mm", "39.987 mm"]
[features.rod_shell_bore]
size = ["40.013 mm", "40.029 mm"]
[fits.rod_bearing]
build = ["0.026 mm", "0.058 mm"]
service = "0.077 mm"
from = "invented book, page 3"
[fits.crank_end_float]
build = ["0.11 mm", "0.29 mm"]
"""


@pytest.fixture(scope="module")
def engine() -> Engine:
    return read_engine(ENGINE, file="twin.toml")


def sheets(engine: Engine, depth: Depth = Depth.QUICK) -> Document:
    return blank_sheet_document(engine=engine, depth=depth, unit="mm")


def tables(blocks: tuple[Block, ...]) -> list[Table]:
    return [block for block in blocks if isinstance(block, Table)]


def reading_tables(document: Document) -> list[Table]:
    return [
        table
        for table in tables(document.blocks)
        if any(column.title == "Place" for column in table.columns)
    ]


def before_limits(document: Document) -> tuple[Block, ...]:
    titles = [b.text if isinstance(b, Heading) else "" for b in document.blocks]
    return document.blocks[: titles.index("Limits, for afterwards")]


def text_of(blocks: tuple[Block, ...]) -> str:
    """All words in the blocks, drawings left out."""
    return repr([block for block in blocks if not isinstance(block, Figure | CrankFigure)])


@pytest.mark.parametrize("depth", Depth)
def test_there_is_a_field_for_every_reading_of_the_plan(engine: Engine, depth: Depth) -> None:
    plan = make_plan(engine=engine, shop=DEFAULT_SHOP, depth=depth)
    for one in plan.measurements:
        if one.readings == 1:
            continue
        heading = one.feature.title[:1].upper() + one.feature.title[1:]
        blocks = sheets(engine, depth).blocks
        start = next(
            i for i, b in enumerate(blocks) if isinstance(b, Heading) and b.text.startswith(heading)
        )
        table = next(
            b
            for b in blocks[start:]
            if isinstance(b, Table) and any(c.title == "Place" for c in b.columns)
        )
        rows = one.feature.count * max(1, len(one.places))
        assert len(table.rows) == rows
        fields = sum(isinstance(c, Blank) and c.hint == "mm" for r in table.rows for c in r.cells)
        assert fields >= one.readings


def test_each_row_says_its_number_and_place(engine: Engine) -> None:
    (journal, *_) = reading_tables(sheets(engine))
    labels = [
        tuple(cell.text for cell in row.cells[:2] if isinstance(cell, Text)) for row in journal.rows
    ]
    assert labels == [("1", "front"), ("1", "rear"), ("2", "front"), ("2", "rear")]
    assert [column.title for column in journal.columns[2:4]] == ["Along", "Across"]


def test_no_limit_stands_before_the_last_page(engine: Engine) -> None:
    document = sheets(engine)
    limits = ["0.026", "0.058", "0.077", "0.110", "0.290", "39.971", "39.987", "40.013", "40.029"]
    early = text_of(before_limits(document))
    assert not [limit for limit in limits if limit in early]
    late = text_of(document.blocks[len(before_limits(document)) :])
    assert not [limit for limit in limits if limit not in late]
    assert "invented book, page 3" in late


def test_no_middle_of_limits_is_given_away(engine: Engine) -> None:
    """The middle of 39.971 and 39.987 is 39.979: a size to choose by ends sooner."""
    early = text_of(before_limits(sheets(engine)))
    assert "39.98 mm" in early
    assert not re.search(r"\d\d\.\d{3}", early)


def test_limits_can_be_left_out(engine: Engine) -> None:
    document = blank_sheet_document(
        engine=engine, depth=Depth.QUICK, unit="mm", limits=LimitsShown.HIDDEN
    )
    assert "0.058" not in text_of(document.blocks)


def test_every_cap_rod_and_piston_has_boxes_to_tick(engine: Engine) -> None:
    marks = next(t for t in tables(sheets(engine).blocks) if t.columns[0].title == "Part")
    parts = [row.cells[0].text for row in marks.rows if isinstance(row.cells[0], Text)]
    assert parts == [
        *(f"main cap {n}" for n in (1, 2, 3)),
        *(f"rod and cap {n}" for n in (1, 2)),
        *(f"piston {n}" for n in (1, 2)),
    ]
    assert all(sum(isinstance(c, Tick) for c in row.cells) == 2 for row in marks.rows)
    assert "dots to the pulley" in text_of((marks,))


def test_a_bedplate_is_one_row(engine: Engine) -> None:
    plated = replace(engine, layout=replace(engine.layout, caps=Caps.BEDPLATE))
    marks = next(t for t in tables(sheets(plated).blocks) if t.columns[0].title == "Part")
    assert len(marks.rows) == 1 + 2 + 2


def test_a_strip_can_be_one_sided(engine: Engine) -> None:
    strip = next(
        t for t in reading_tables(sheets(engine)) if t.columns[2].title == "Widest place reads"
    )
    assert [c.title for c in strip.columns[3:5]] == ["Wider than the widest bar", "Not flattened"]
    assert all(isinstance(row.cells[3], Tick) for row in strip.rows)


def test_zeros_are_checked_before_and_after(engine: Engine) -> None:
    zero = next(
        t for t in tables(sheets(engine).blocks) if "Before" in [c.title for c in t.columns]
    )
    titles = [column.title for column in zero.columns]
    assert titles.index("Before") < titles.index("After")
    assert titles.count("passed") == titles.count("failed") == 2


def test_the_sheets_have_cautions_the_crank_and_the_words(engine: Engine) -> None:
    blocks = sheets(engine).blocks
    assert any(isinstance(b, Caution) and "maker's manual" in b.text for b in blocks)
    assert any(isinstance(b, Caution) and "strip is in" in b.text for b in blocks)
    assert any(isinstance(b, CrankFigure) for b in blocks)
    captions = " ".join(b.caption for b in blocks if isinstance(b, Figure))
    for word in ("Taper", "Barrel", "Hourglass", "Out of round", "Square to the split"):
        assert word in captions


def test_a_caution_stands_with_its_step(engine: Engine) -> None:
    blocks = sheets(engine).blocks
    turning = next(
        i for i, b in enumerate(blocks) if isinstance(b, Heading) and "turning the crank" in b.text
    )
    assert isinstance(blocks[turning + 1], Caution)


def test_readings_again_until_it_fits_are_not_offered(engine: Engine) -> None:
    texts = " ".join(b.text for b in sheets(engine).blocks if isinstance(b, Paragraph))
    assert "proves nothing" in texts


def test_inches_are_written_in_inches(engine: Engine) -> None:
    document = blank_sheet_document(engine=engine, depth=Depth.QUICK, unit="in")
    hints = {
        cell.hint
        for table in reading_tables(document)
        for row in table.rows
        for cell in row.cells
        if isinstance(cell, Blank)
    }
    assert hints == {"in", ""}


@pytest.mark.slow
@pytest.mark.parametrize("paper", Paper)
@pytest.mark.parametrize("name", ["four", "three_diesel", "v_twin"])
def test_the_demo_engines_make_sheets_that_can_be_printed(name: str, paper: Paper) -> None:
    pytest.importorskip("typst")
    from oilwedge.report.pdf import render_pdf

    text = (resources.files("oilwedge.demo") / f"{name}.toml").read_text(encoding="utf-8")
    engine = read_engine(text, file=f"{name}.toml")
    document = blank_sheet_document(engine=engine, depth=Depth.QUICK, unit=engine.unit, paper=paper)
    pdf = render_pdf(document, created=datetime.datetime(2026, 1, 1, tzinfo=datetime.UTC))
    assert pdf.startswith(b"%PDF")
