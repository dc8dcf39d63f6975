"""The budget, line by line."""

from __future__ import annotations

import math

import pytest

from oilwedge.uncertainty.budget import budget
from oilwedge.uncertainty.quantity import ErrorSource, Quantity, SourceKind, exact


def source(key: str, kind: SourceKind, nu: float = math.inf) -> ErrorSource:
    return ErrorSource(key=key, kind=kind, words=f"words of {key}", degrees_of_freedom=nu)


ZERO = source("zero", SourceKind.SETTING)
REPEATS = source("repeats", SourceKind.REPEATABILITY, 4)
STEP_A = source("a", SourceKind.RESOLUTION)
STEP_B = source("b", SourceKind.RESOLUTION)
QUANTITY = Quantity(50.0, {STEP_B: 1.0, REPEATS: -3.0, STEP_A: 1.0, ZERO: 2.0})


def test_lines_stand_largest_first_and_keep_their_sign() -> None:
    result = budget(QUANTITY)
    assert [line.source.key for line in result.lines] == ["repeats", "zero", "a", "b"]
    first = result.lines[0]
    assert first.contribution == -3.0
    assert first.kind is SourceKind.REPEATABILITY
    assert first.words == "words of repeats"
    assert first.degrees_of_freedom == 4
    assert first.share_of_variance == pytest.approx(9 / 15)


def test_shares_add_up_to_the_whole() -> None:
    result = budget(QUANTITY)
    assert sum(line.share_of_variance for line in result.lines) == pytest.approx(1.0)
    assert sum(line.contribution**2 for line in result.lines) == pytest.approx(
        result.standard_uncertainty**2
    )
    assert list(result.by_kind) == [
        SourceKind.REPEATABILITY,
        SourceKind.SETTING,
        SourceKind.RESOLUTION,
    ]
    assert result.by_kind[SourceKind.RESOLUTION] == pytest.approx(2 / 15)


def test_the_totals_are_those_of_the_quantity() -> None:
    result = budget(QUANTITY, coverage_probability=0.99)
    assert result.value == 50.0
    assert result.standard_uncertainty == QUANTITY.standard_uncertainty
    assert result.degrees_of_freedom == pytest.approx(15**2 / (81 / 4))
    assert result.expanded == QUANTITY.expanded(coverage_probability=0.99)
    assert result.k == result.expanded.k
    assert result.nu == result.degrees_of_freedom


def test_an_exact_value_has_no_lines() -> None:
    result = budget(exact(3.0))
    assert result.lines == ()
    assert result.by_kind == {}
    assert budget(Quantity(3.0, {ZERO: 0.0})).lines == ()
