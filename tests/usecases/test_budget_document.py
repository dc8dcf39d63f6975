"""The budget of one fit, in a document."""

from __future__ import annotations

from typing import Any

import pytest

from oilwedge.errors import UnknownNameError
from oilwedge.report.document import Table, Text
from oilwedge.report.terminal import render_terminal
from oilwedge.usecases.budget_document import budget_document, find_result
from oilwedge.usecases.length_face import LengthFace

Bench = Any  # the fixture of conftest.py
FACE = LengthFace(unit="mm")


def cell_text(cell: object) -> str:
    assert isinstance(cell, Text)
    return cell.text


@pytest.fixture
def measured(bench: Bench) -> Bench:
    bench.journal(3, 47.972)
    bench.bore(3, 48.010)
    return bench


@pytest.mark.parametrize("label", ["rod bearing 3", "Rod_Bearing  3", "ROD BEARING 3"])
def test_a_fit_is_found_by_its_name_however_it_is_typed(measured: Bench, label: str) -> None:
    result = find_result(judgement=measured.judge(), label=label)
    assert (result.key, result.number) == ("rod_bearing", 3)


def test_a_fit_that_is_alone_needs_no_number(measured: Bench) -> None:
    assert find_result(judgement=measured.judge(), label="crank end float").key == "crank_end_float"


def test_an_unknown_fit_is_one_sentence_with_a_guess(measured: Bench) -> None:
    with pytest.raises(UnknownNameError, match="did you mean 'rod bearing 3'"):
        find_result(judgement=measured.judge(), label="rod baering 3")


def test_the_largest_line_comes_first_and_the_shares_make_a_whole(measured: Bench) -> None:
    document = budget_document(judgement=measured.judge(), label="rod bearing 3", face=FACE)
    (table,) = [block for block in document.blocks if isinstance(block, Table)]
    shares = [float(cell_text(row.cells[-1]).removesuffix(" %")) for row in table.rows]
    named = shares[:-1] if "others" in cell_text(table.rows[-1].cells[0]) else shares
    assert named == sorted(named, reverse=True)
    assert sum(shares) == pytest.approx(100.0, abs=0.05 * len(shares))


def test_it_prints_with_limits_and_chances(measured: Bench) -> None:
    document = budget_document(judgement=measured.judge(), label="rod bearing 3", face=FACE)
    text = " ".join(render_terminal(document).split())
    assert "k = 1.96" in text
    assert "degrees of freedom unlimited" in text
    assert "high limit 0.049 mm: kept" in text
    assert "inside both build limits" in text


def test_without_a_size_there_is_no_budget_and_no_fault(measured: Bench) -> None:
    document = budget_document(judgement=measured.judge(), label="rod bearing 1", face=FACE)
    assert "no size" in render_terminal(document)


def test_lines_of_one_kind_add_up_as_roots_of_squares(measured: Bench) -> None:
    """Two bore readings of the same gauge: their scatter is one line of √(c₁² + c₂²)."""
    judgement = measured.judge()
    found = find_result(judgement=judgement, label="rod bearing 3")
    mean = found.measurement.evidence.mean
    assert mean is not None
    document = budget_document(judgement=judgement, label="rod bearing 3", face=FACE)
    (table,) = [block for block in document.blocks if isinstance(block, Table)]
    shown = {cell_text(row.cells[0]): cell_text(row.cells[2]) for row in table.rows}
    words = {source.words for source in mean.contributions}
    repeated = [one for one in shown if one in words]
    assert repeated
    for one in repeated:
        parts = [c for source, c in mean.contributions.items() if source.words == one]
        share = 100.0 * sum(c * c for c in parts) / mean.variance
        assert float(shown[one].removesuffix(" %")) == pytest.approx(share, abs=0.051)
