"""Repeats and limits."""

from __future__ import annotations

import statistics

import pytest
from hypothesis import given
from hypothesis import strategies as st

from oilwedge.errors import OutOfRangeError
from oilwedge.uncertainty.type_a import (
    ARCSINE,
    RECTANGULAR,
    TRIANGULAR,
    degrees_of_freedom_from_reliability,
    pooled_standard_deviation,
    reliability,
    resolution_uncertainty,
    type_a,
)

readings = st.lists(st.floats(-100, 100), min_size=2, max_size=20)


@given(values=readings)
def test_mean_and_scatter_agree_with_the_standard_library(values: list[float]) -> None:
    result = type_a(values)
    assert result.mean == pytest.approx(statistics.fmean(values), abs=1e-9)
    assert result.standard_deviation == pytest.approx(statistics.stdev(values), abs=1e-9)
    assert result.standard_deviation_of_mean * len(values) ** 0.5 == pytest.approx(
        result.standard_deviation
    )
    assert result.degrees_of_freedom == len(values) - 1
    assert result.count == len(values)


@pytest.mark.parametrize(("values", "given_words"), [([], "no readings"), ([1.0], "1 reading")])
def test_fewer_than_two_repeats_say_nothing(values: list[float], given_words: str) -> None:
    with pytest.raises(OutOfRangeError) as caught:
        type_a(values)
    assert str(caught.value) == (
        f"Given '{given_words}'; the scatter shows from two repeats on; "
        "repeat the reading, or pool the scatter of like places."
    )


def test_pooling_weighs_each_set_by_its_degrees_of_freedom() -> None:
    # squares 2 (nu 2) and 2 (nu 1): 4 over 3
    pooled = pooled_standard_deviation([[1.0, 2.0, 3.0], [10.0, 12.0], [5.0], []])
    assert pooled.standard_deviation == pytest.approx((4.0 / 3.0) ** 0.5)
    assert pooled.degrees_of_freedom == 3


@given(values=readings)
def test_pooling_one_set_leaves_its_scatter(values: list[float]) -> None:
    pooled = pooled_standard_deviation([values])
    assert pooled.standard_deviation == pytest.approx(type_a(values).standard_deviation)


def test_pooling_without_repeats_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match="one place or more with two repeats"):
        pooled_standard_deviation([[1.0], []])


def test_divisors_are_the_roots_of_three_six_and_two() -> None:
    # GUM 4.3.7, 4.3.9, H.1 (RECALLED; the roots follow from the variances of the distributions)
    assert pytest.approx(3.0) == RECTANGULAR**2
    assert pytest.approx(6.0) == TRIANGULAR**2
    assert pytest.approx(2.0) == ARCSINE**2
    assert resolution_uncertainty(resolution=0.01) == pytest.approx(0.005 / RECTANGULAR)


def test_reliability_and_degrees_of_freedom_are_two_sides_of_one_thing() -> None:
    for relative in (0.05, 0.25, 0.5):
        nu = degrees_of_freedom_from_reliability(relative=relative)
        assert reliability(degrees_of_freedom=nu) == pytest.approx(relative)
    with pytest.raises(ValueError, match="above 0"):
        degrees_of_freedom_from_reliability(relative=0.0)
