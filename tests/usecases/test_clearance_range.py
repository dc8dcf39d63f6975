"""Which clearances keep a film above a chosen thickness."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from oilwedge.usecases.clearance_range import ClearanceRange, range_above, shared_range

CLEARANCES = (1.0, 2.0, 3.0, 4.0, 5.0)
HUMP = (0.0, 2.0, 4.0, 3.0, 1.0)


def test_stretch_ends_where_straight_lines_between_points_pass_the_film() -> None:
    found = range_above(clearances_m=CLEARANCES, films_m=HUMP, film_m=2.5)
    assert found == ClearanceRange(low_m=2.25, high_m=4.25)


def test_film_that_is_never_reached_has_no_stretch() -> None:
    assert range_above(clearances_m=CLEARANCES, films_m=HUMP, film_m=4.5) is None


def test_stretch_that_goes_on_is_open() -> None:
    found = range_above(clearances_m=CLEARANCES, films_m=HUMP, film_m=1.0)
    assert found == ClearanceRange(low_m=1.5, high_m=5.0, open_high=True)
    assert found is not None
    assert found.holds(9.0)
    assert not found.holds(1.4)


def test_point_without_an_answer_ends_the_stretch_at_the_last_that_has_one() -> None:
    films = (None, 2.0, 4.0, 3.0, None)
    found = range_above(clearances_m=CLEARANCES, films_m=films, film_m=1.0)
    assert found == ClearanceRange(low_m=2.0, high_m=4.0)


def test_stretch_is_open_below_where_the_first_point_still_keeps_the_film() -> None:
    films = (2.0, 4.0, 3.0, 1.0, 0.0)
    found = range_above(clearances_m=CLEARANCES, films_m=films, film_m=2.0)
    assert found == ClearanceRange(low_m=1.0, high_m=3.5, open_low=True)
    assert found is not None
    assert found.holds(0.1)


def test_stretches_that_touch_share_the_one_clearance() -> None:
    low, high = ClearanceRange(low_m=1.0, high_m=2.0), ClearanceRange(low_m=2.0, high_m=4.0)
    assert shared_range((low, high)) == ClearanceRange(low_m=2.0, high_m=2.0)


def test_second_hump_is_not_joined_to_the_higher_one() -> None:
    found = range_above(clearances_m=CLEARANCES, films_m=(4.0, 0.0, 5.0, 0.0, 4.0), film_m=2.5)
    assert found == ClearanceRange(low_m=2.5, high_m=3.5)


def test_shared_stretch_is_where_all_are() -> None:
    shared = shared_range(
        (
            ClearanceRange(low_m=1.0, high_m=3.0, open_low=True),
            ClearanceRange(low_m=2.0, high_m=4.0, open_high=True),
        )
    )
    assert shared == ClearanceRange(low_m=2.0, high_m=3.0)


def test_stretches_apart_or_missing_share_nothing() -> None:
    low, high = ClearanceRange(low_m=1.0, high_m=2.0), ClearanceRange(low_m=3.0, high_m=4.0)
    assert shared_range((low, high)) is None
    assert shared_range((low, None)) is None
    assert shared_range(()) is None


@given(
    st.lists(st.floats(0.0, 10.0), min_size=2, max_size=30),
    st.floats(0.1, 9.9),
)
def test_top_of_the_curve_lies_in_its_stretch(films: list[float], film: float) -> None:
    clearances = [float(n + 1) for n in range(len(films))]
    found = range_above(clearances_m=clearances, films_m=films, film_m=film)
    if max(films) < film:
        assert found is None
        return
    assert found is not None
    assert found.holds(clearances[films.index(max(films))])
    assert clearances[0] <= found.low_m <= found.high_m <= clearances[-1]


@given(st.floats(0.5, 3.5), st.floats(0.01, 0.5))
def test_higher_film_leaves_a_smaller_stretch(film: float, more: float) -> None:
    wide = range_above(clearances_m=CLEARANCES, films_m=HUMP, film_m=film)
    narrow = range_above(clearances_m=CLEARANCES, films_m=HUMP, film_m=film + more)
    assert wide is not None
    assert narrow is not None
    assert narrow.high_m - narrow.low_m < wide.high_m - wide.low_m


@pytest.mark.parametrize("open_low", [True, False])
def test_shared_stretch_is_open_only_where_all_are(open_low: bool) -> None:
    one = ClearanceRange(low_m=1.0, high_m=3.0, open_low=True)
    other = ClearanceRange(low_m=1.0, high_m=3.0, open_low=open_low)
    shared = shared_range((one, other))
    assert shared is not None
    assert shared.open_low is open_low
