from __future__ import annotations

import math

import pytest

from oilwedge.metrology.instrument import Instrument, InstrumentKind
from oilwedge.metrology.repeatability import Pooled, choose_repeatability, pool


def micrometer(repeatability_m: float | None) -> Instrument:
    return Instrument(
        key="mic",
        title="micrometer",
        kind=InstrumentKind.MICROMETER,
        resolution_m=1e-6,
        permissible_error_m=4e-6,
        repeatability_m=repeatability_m,
        repeatability_degrees_of_freedom=50,
    )


def seen(s_um: float, nu: float, instrument: str = "mic") -> Pooled:
    return Pooled(instrument=instrument, standard_deviation_m=s_um * 1e-6, degrees_of_freedom=nu)


def test_pooling_weighs_variances_by_their_degrees_of_freedom() -> None:
    pooled = pool(instrument="mic", residuals=[(1.0, 1), (2.0, 3), (None, 0)])
    assert pooled is not None
    assert pooled.standard_deviation_m == pytest.approx(math.sqrt((1 + 12) / 4))
    assert pooled.degrees_of_freedom == 4


def test_without_spare_readings_there_is_nothing_to_pool() -> None:
    assert pool(instrument="mic", residuals=[(None, 0)]) is None


def test_enough_readings_decide() -> None:
    found = choose_repeatability(instrument=micrometer(1e-6), own=None, pooled=seen(0.7, 6))
    assert found.standard_deviation_m == pytest.approx(0.7e-6)
    assert found.degrees_of_freedom == 6


def test_few_readings_leave_experience_standing() -> None:
    found = choose_repeatability(instrument=micrometer(1e-6), own=seen(0.1, 3), pooled=None)
    assert (found.standard_deviation_m, found.degrees_of_freedom) == (1e-6, 50)


def test_few_readings_that_scatter_more_than_experience_allows_decide() -> None:
    # χ² at 99 % with 3 degrees of freedom is 11.34 (table): s/experience = √(11.34/3) = 1.944.
    below = choose_repeatability(instrument=micrometer(1e-6), own=seen(1.92, 3), pooled=None)
    above = choose_repeatability(instrument=micrometer(1e-6), own=seen(1.97, 3), pooled=None)
    assert below.degrees_of_freedom == 50
    assert above.degrees_of_freedom == 3


def test_the_scatter_of_another_instrument_says_nothing() -> None:
    other = seen(9, 40, instrument="other mic")
    found = choose_repeatability(instrument=micrometer(1e-6), own=None, pooled=other)
    assert found.standard_deviation_m == 1e-6


def test_without_experience_half_the_permissible_error_stands_in() -> None:
    found = choose_repeatability(instrument=micrometer(None), own=seen(0.1, 1), pooled=None)
    assert found.standard_deviation_m == pytest.approx(2e-6)


def test_without_experience_a_far_larger_scatter_counts_with_the_freedom_it_has() -> None:
    found = choose_repeatability(instrument=micrometer(None), own=seen(6.0, 2), pooled=None)
    assert found.standard_deviation_m == pytest.approx(6e-6)
    assert found.degrees_of_freedom == 2
