"""Like bearings held against each other."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from oilwedge.fits.neighbours import standing_apart
from oilwedge.uncertainty.quantity import ErrorSource, Quantity, SourceKind

UM = 1e-6
WINDOW = 28 * UM


def source(key: str) -> ErrorSource:
    return ErrorSource(key=key, kind=SourceKind.OTHER, words=key)


def bearings(*um: float, u: float = 0.5, shared: float = 0.0) -> dict[int, Quantity]:
    return {
        i: Quantity(x * UM, {source(f"own {i}"): u * UM, source("shared"): shared * UM})
        for i, x in enumerate(um, start=1)
    }


def names(clearances: dict[int, Quantity], window_m: float | None = WINDOW) -> list[int]:
    return [one.number for one in standing_apart(clearances=clearances, window_m=window_m)]


def test_one_that_stands_apart_is_named_with_its_distance_from_the_others() -> None:
    (apart,) = standing_apart(clearances=bearings(35, 36, 34, 60, 35), window_m=WINDOW)
    assert apart.number == 4
    assert apart.others_mean_m == pytest.approx(35 * UM)
    assert apart.difference.value == pytest.approx(25 * UM)
    # u of one against the mean of four: 0.5 sqrt(1 + 1/4) by hand
    assert apart.difference.standard_uncertainty == pytest.approx(0.5 * 1.25**0.5 * UM)


def test_what_all_readings_share_cancels_in_the_difference() -> None:
    assert names(bearings(35, 36, 34, 60, shared=40)) == [4]
    assert names(bearings(35, 36, 34, 60, u=40)) == []


def test_under_a_quarter_of_the_window_a_difference_is_of_no_use() -> None:
    clearances = bearings(35, 35, 35, 35, 35, 35, 35, 41.9, u=0.01)
    assert names(clearances) == []
    assert names(clearances, window_m=None) == [8]


def test_two_have_no_neighbours() -> None:
    assert names(bearings(20, 60)) == []


def test_a_set_that_scatters_widely_has_none_that_stands_apart() -> None:
    assert names(bearings(20, 30, 41, 50, 62)) == []


@pytest.mark.parametrize("count", [3, 4, 5, 8])
@pytest.mark.parametrize("spread_share", [1 / 28, 1 / 12, 1 / 8, 1 / 6])
def test_fewer_than_one_set_in_twenty_raises_a_false_alarm(count: int, spread_share: float) -> None:
    generator = np.random.default_rng(7)
    sets = generator.normal(35 * UM, spread_share * WINDOW, size=(1500, count))
    alarms = sum(
        bool(
            standing_apart(
                clearances={i: Quantity(x, {}) for i, x in enumerate(row.tolist(), start=1)},
                window_m=WINDOW,
            )
        )
        for row in sets
    )
    # 5 % of 1500 is 75; two standard deviations of a count of 75 are 17
    assert alarms <= 75 + 17


@pytest.mark.parametrize("count", [3, 4, 5, 8])
def test_a_bearing_off_by_three_quarters_of_the_window_is_found(count: int) -> None:
    generator = np.random.default_rng(8)
    sets = generator.normal(35 * UM, 2 * UM, size=(300, count))
    sets[:, 0] += 21 * UM
    found = sum(
        1 in names({i: Quantity(x, {}) for i, x in enumerate(row.tolist(), start=1)})
        for row in sets
    )
    assert found > 285


@given(
    um=st.lists(st.floats(0, 100), min_size=3, max_size=8),
    shift=st.floats(-50, 50),
)
def test_a_shift_of_all_names_the_same_ones(um: list[float], shift: float) -> None:
    moved = names(bearings(*(x + shift for x in um)))
    plain = names(bearings(*um))
    # the outcome may turn only where rounding decides
    if moved != plain:
        near = names(bearings(*um), window_m=WINDOW * (1 + 1e-9))
        assert near != plain or names(bearings(*um), window_m=WINDOW * (1 - 1e-9)) != plain
