"""Where a shaped gap is thinnest, and how far a journal can go in it."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from oilwedge.errors import OutOfRangeError
from oilwedge.film.bearing import Bearing
from oilwedge.film.film_shape import ROUND, FilmShape
from oilwedge.film.shaped_gap import ShapedGap
from oilwedge.film.shaped_search import Reach

BEARING = Bearing(diameter_m=0.05, width_m=0.025, diametral_clearance_m=50e-6)


@given(st.floats(0.01, 0.99), st.floats(-3.0, 3.0))
def test_a_round_gap_is_thinnest_where_the_journal_went(e: float, angle: float) -> None:
    thin = ShapedGap(bearing=BEARING, shape=ROUND).thinnest(
        place=(e * math.cos(angle), e * math.sin(angle))
    )
    assert thin.gap == pytest.approx(1.0 - e, abs=1e-9)
    assert math.remainder(thin.angle_rad - angle, 2.0 * math.pi) == pytest.approx(0.0, abs=1e-4)


@given(st.floats(-3.0, 3.0), st.floats(0.0, 30e-6), st.floats(-10e-6, 10e-6))
def test_no_step_of_the_search_can_touch(angle: float, relief: float, taper: float) -> None:
    gap = ShapedGap(bearing=BEARING, shape=FilmShape(bore_relief_m=relief, journal_taper_m=taper))
    far = 3.8 * np.array([math.cos(angle), math.sin(angle)])
    thin = gap.thinnest(place=Reach.of(gap).place(far))
    assert 0.0 < thin.gap < 0.01
    assert Reach.of(ShapedGap(bearing=BEARING, shape=ROUND)).place(np.zeros(2)) == (0.0, 0.0)


def test_a_place_that_touches_is_refused_with_where_and_how() -> None:
    gap = ShapedGap(bearing=BEARING, shape=FilmShape(journal_taper_m=10e-6))
    gap.require_open(place=(0.85, 0.0))
    with pytest.raises(OutOfRangeError, match=r"must not touch.*taper"):
        gap.require_open(place=(0.95, 0.0))


def test_the_middle_of_a_groove_closes_no_gap() -> None:
    barrel = FilmShape(journal_barrel_m=30e-6)
    whole = ShapedGap(bearing=BEARING, shape=barrel).thinnest(place=(0.0, 0.0))
    lands = ShapedGap(bearing=BEARING, shape=barrel, inner_m=0.004).thinnest(place=(0.0, 0.0))
    assert whole.place_m == pytest.approx(0.0, abs=1e-6)
    assert lands.place_m == pytest.approx(0.004)
    assert lands.gap > whole.gap
