"""The build sheet: all that somebody else needs, on paper."""

from __future__ import annotations

from typing import Any

import pytest

from oilwedge.job.entry import Event, EventKind, WorkKind
from oilwedge.report.document import (
    Caution,
    CrankFigure,
    Document,
    Paper,
    Paragraph,
    SignatureBox,
)
from oilwedge.report.terminal import render_terminal
from oilwedge.usecases.build_sheet import build_sheet
from oilwedge.usecases.length_face import LengthFace

Bench = Any  # the fixture of conftest.py
FACE = LengthFace(unit="mm")


def sheet(bench: Bench) -> Document:
    return build_sheet(judgement=bench.judge(), face=FACE, paper=Paper.A4, date_text="2026-03-01")


def words(document: Document) -> str:
    return " ".join(render_terminal(document).replace("\N{NO-BREAK SPACE}", " ").split())


@pytest.fixture
def measured(bench: Bench) -> Bench:
    bench.journal(1, 47.972)
    bench.bore(1, 48.010)
    return bench


def test_an_empty_job_still_makes_a_sheet(bench: Bench) -> None:
    assert "Nothing has been judged yet." in words(sheet(bench))


def test_it_names_engine_rule_limits_source_and_instruments(measured: Bench) -> None:
    text = words(sheet(measured))
    for part in (
        "Bench four (invented)",
        "2026-03-01",
        "1-3-4-2",
        "simple acceptance",
        "Invented manual, page 12",
        "micrometer 25 to 75",
        "bore gauge, set in the micrometer",
        "0.038 ±",
    ):
        assert part in text


def test_cautions_crank_and_signatures_are_always_there(bench: Bench) -> None:
    blocks = sheet(bench).blocks
    cautions = " ".join(block.text for block in blocks if isinstance(block, Caution))
    assert "maker's manual" in cautions
    assert "Clean off every flattened strip" in cautions
    assert any(isinstance(block, CrankFigure) for block in blocks)
    assert any(isinstance(block, SignatureBox) for block in blocks)


def test_part_states_and_what_to_measure_again_are_said(measured: Bench) -> None:
    measured.is_now("rod_shells", "new")
    measured.work("rod_journals", WorkKind.GROUND, 1, step_mm=0.25)
    text = words(sheet(measured))
    assert "Rod journal 1: 4 readings from before the rod journals were ground stay on" in text
    assert "Measure again: rod journal 1" in text
    assert "rod shells, all new" in text


def test_whoever_signed_in_the_record_stands_on_the_sheet(measured: Bench) -> None:
    measured.entries.append(
        Event(id="s1", kind=EventKind.SIGNED, value="checked", person="Ada Invented")
    )
    assert "Ada Invented" in words(sheet(measured))


def test_people_of_the_readings_are_named(measured: Bench) -> None:
    assert "Read by" not in words(sheet(measured))


def test_the_table_of_sizes_gives_the_span_of_a_tapered_journal_and_none_of_a_plain_one(
    bench: Bench,
) -> None:
    bench.journal(1, 47.972, taper_mm=0.020)
    bench.journal(2, 47.972)
    text = words(sheet(bench))
    assert "47.962 to 47.982 mm" in text
    assert "47.972 to 47.972 mm" not in text


def test_what_the_films_do_stands_behind_the_signatures(measured: Bench) -> None:
    document = build_sheet(
        judgement=measured.judge(),
        face=FACE,
        paper=Paper.A4,
        date_text="2026-03-01",
        film=(Paragraph(text="What the films do."),),
    )
    *_, signatures, film = document.blocks
    assert isinstance(signatures, SignatureBox)
    assert film == Paragraph(text="What the films do.")
