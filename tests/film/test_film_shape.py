"""A measured shape moves clearance about and keeps its mean."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from oilwedge.errors import OutOfRangeError
from oilwedge.film.film_shape import ROUND, FilmShape

WIDTH_M = 0.025
MICRO = st.floats(min_value=-20e-6, max_value=20e-6)
ANGLE = st.floats(min_value=-4.0, max_value=4.0)


def change(shape: FilmShape, angle: float, place: float, turn: float = 0.0) -> float:
    found = shape.gap_change_m(
        angle_rad=np.array([angle]),
        place_m=np.array([place]),
        width_m=WIDTH_M,
        journal_turn_rad=turn,
    )
    return float(found[0])


def test_a_round_gap_is_not_changed() -> None:
    assert ROUND.is_round
    assert change(ROUND, 1.0, 0.01) == 0.0


@pytest.mark.parametrize("place", [-0.5, 0.0, 0.3, 0.5])
def test_taper_makes_the_journal_thick_at_the_front(place: float) -> None:
    shape = FilmShape(journal_taper_m=8e-6)
    thicker = 8e-6 * place  # of the diameter, from rear to front
    assert change(shape, 0.3, place * WIDTH_M) == pytest.approx(-0.5 * thicker)


def test_a_barrel_is_thicker_in_the_middle_by_its_measure() -> None:
    shape = FilmShape(journal_barrel_m=6e-6)
    ends = change(shape, 0.0, -0.5 * WIDTH_M), change(shape, 0.0, 0.5 * WIDTH_M)
    assert ends[0] == pytest.approx(ends[1])
    assert ends[0] - change(shape, 0.0, 0.0) == pytest.approx(3e-6)


def test_out_of_round_is_the_difference_of_the_largest_and_smallest_diameter() -> None:
    shape = FilmShape(journal_out_of_round_m=4e-6, journal_high_angle_rad=0.4)
    high, low = change(shape, 1.4, 0.0, turn=1.0), change(shape, 1.4 + math.pi / 2, 0.0, turn=1.0)
    assert 2.0 * (low - high) == pytest.approx(4e-6)
    assert change(shape, 1.4 + math.pi, 0.0, turn=1.0) == pytest.approx(high)


def test_the_bore_is_wider_at_the_split_than_at_the_crown_by_its_relief() -> None:
    shape = FilmShape(bore_relief_m=12e-6, split_angle_rad=math.pi / 2)
    assert 2.0 * (change(shape, math.pi / 2, 0.0) - change(shape, 0.0, 0.0)) == pytest.approx(12e-6)


def test_a_journal_that_leans_to_x_closes_the_gap_at_x_in_front() -> None:
    shape = FilmShape(tilt_x_rad=4e-4)
    assert change(shape, 0.0, 0.01) == pytest.approx(-4e-6)
    assert change(shape, 0.0, -0.01) == pytest.approx(4e-6)
    assert change(FilmShape(tilt_y_rad=4e-4), math.pi / 2, 0.01) == pytest.approx(-4e-6)


@given(MICRO, MICRO, MICRO, MICRO, ANGLE, ANGLE)
def test_the_mean_over_the_surface_is_nothing(
    taper: float, barrel: float, oval: float, relief: float, high: float, turn: float
) -> None:
    shape = FilmShape(
        journal_taper_m=taper,
        journal_barrel_m=barrel,
        journal_out_of_round_m=abs(oval),
        journal_high_angle_rad=high,
        bore_relief_m=relief,
        tilt_x_rad=1e-4,
    )
    nodes, weights = np.polynomial.legendre.leggauss(4)
    around = np.linspace(0.0, 2.0 * math.pi, 16, endpoint=False)
    found = shape.gap_change_m(
        angle_rad=around[:, None],
        place_m=0.5 * WIDTH_M * nodes[None, :],
        width_m=WIDTH_M,
        journal_turn_rad=turn,
    )
    assert float(np.mean(found @ weights)) == pytest.approx(0.0, abs=1e-18)


@pytest.mark.parametrize(
    ("shape", "words"),
    [
        ({"journal_taper_m": math.nan}, "finite"),
        ({"journal_out_of_round_m": -1e-6}, "0 or more"),
        ({"tilt_y_rad": 0.02}, "leans"),
    ],
)
def test_a_shape_that_cannot_be_is_refused(shape: dict[str, float], words: str) -> None:
    with pytest.raises(OutOfRangeError, match=words):
        FilmShape(**shape)
