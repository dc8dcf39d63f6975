"""An oval journal whose middle follows, held to the whole film solved in time."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest

from oilwedge.errors import OutOfRangeError
from oilwedge.film.bearing import Bearing, Groove, Rupture
from oilwedge.film.feed_place import Feed, FeedPlace
from oilwedge.film.film_grid import FilmGrid
from oilwedge.film.film_shape import ROUND, FilmShape
from oilwedge.film.load_history import LoadHistory
from oilwedge.film.shaped_film import ShapedFilm, solve_shaped
from oilwedge.film.shaped_turning import solve_turning
from oilwedge.film.transient import solve_transient

BEARING = Bearing(diameter_m=0.05, width_m=0.025, diametral_clearance_m=50e-6, groove=Groove.NONE)
OPEN = FeedPlace(kind=Feed.NONE)
SPEED_RAD_S = 100.0 * math.pi
OIL: dict[str, Any] = {"viscosity_pa_s": 0.01, "speed_rad_s": SPEED_RAD_S, "load_n": 5000.0}
COARSE = FilmGrid(around=96, across=16)


def turning(shape: FilmShape, **change: Any) -> tuple[ShapedFilm, tuple[tuple[float, float], ...]]:
    given: dict[str, Any] = {"bearing": BEARING, "feed": OPEN, "grid": COARSE} | OIL | change
    return solve_turning(shape=shape, **given)


@pytest.mark.slow
@pytest.mark.parametrize(
    "shape",
    [
        ROUND,
        FilmShape(journal_taper_m=8e-6, journal_barrel_m=4e-6),
        FilmShape(bore_relief_m=15e-6),
        FilmShape(tilt_x_rad=2e-4),
        FilmShape(journal_out_of_round_m=6e-6),
        FilmShape(journal_out_of_round_m=3e-6, bore_relief_m=10e-6, journal_taper_m=5e-6),
    ],
)
def test_the_minimum_is_that_of_the_whole_film_solved_in_time(shape: FilmShape) -> None:
    """Another grid, another way to the answer, and the film's motion in full: within 1 %."""
    turn = np.linspace(0.0, 2.0 * math.pi, 73)
    history = LoadHistory(
        angle_rad=turn,
        force_x_n=np.full(turn.size, 5000.0),
        force_y_n=np.zeros(turn.size),
        journal_speed_rad_s=np.full(turn.size, SPEED_RAD_S),
        turning_speed_rad_s=SPEED_RAD_S,
    )
    whole = solve_transient(history=history, bearing=BEARING, viscosity_pa_s=0.01, shape=shape)
    assert whole.converged
    found, _ = turning(shape, grid=FilmGrid())
    assert found.minimum_film_m == pytest.approx(whole.minimum_film_m, rel=0.01)


def test_the_worst_turn_is_found_and_its_film_carries_the_load() -> None:
    film, turns = turning(FilmShape(journal_out_of_round_m=4e-6), turns=24)
    assert len(turns) == 24
    least = min(turns, key=lambda turn: turn[1])
    assert film.journal_turn_rad == least[0]
    assert film.minimum_film_m == pytest.approx(least[1], rel=0.01)
    assert film.convergence.load_error < 1e-8
    assert film.minimum_film_m < turning(ROUND)[0].minimum_film_m


def test_the_high_spot_only_says_when() -> None:
    first, _ = turning(FilmShape(journal_out_of_round_m=4e-6), turns=24)
    later, _ = turning(
        FilmShape(journal_out_of_round_m=4e-6, journal_high_angle_rad=-math.pi / 4.0), turns=24
    )
    assert later.minimum_film_m == pytest.approx(first.minimum_film_m, rel=2e-3)
    between = later.journal_turn_rad - first.journal_turn_rad
    assert math.remainder(between - math.pi / 4.0, math.pi) == pytest.approx(0.0, abs=0.14)


def test_steps_twice_as_long_find_the_same_minimum() -> None:
    fine, _ = turning(FilmShape(journal_out_of_round_m=6e-6), turns=48)
    rough, _ = turning(FilmShape(journal_out_of_round_m=6e-6), turns=24)
    assert rough.minimum_film_m == pytest.approx(fine.minimum_film_m, rel=5e-3)


def test_the_mass_conserving_film_of_an_oval_keeps_its_oil() -> None:
    hole = FeedPlace(kind=Feed.HOLE, angle_rad=3.0, width_m=0.005, supply_pressure_pa=3e5)
    film, _ = turning(
        FilmShape(journal_out_of_round_m=4e-6), feed=hole, rupture=Rupture.MASS_CONSERVING, turns=24
    )
    assert abs(film.convergence.mass_error) < 1e-6


def test_a_round_journal_has_one_turn() -> None:
    film, turns = turning(FilmShape(journal_taper_m=4e-6))
    assert turns == ((0.0, film.minimum_film_m),)
    steady = solve_shaped(
        bearing=BEARING, shape=FilmShape(journal_taper_m=4e-6), feed=OPEN, grid=COARSE, **OIL
    )
    assert film.minimum_film_m == steady.minimum_film_m


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"shape": FilmShape(journal_out_of_round_m=120e-6)}, "must not touch"),
        ({"shape": FilmShape(journal_out_of_round_m=40e-6), "load_n": 1e5}, "which no film"),
    ],
)
def test_an_oval_that_touches_is_refused(change: dict[str, Any], words: str) -> None:
    with pytest.raises(OutOfRangeError, match=words):
        turning(**change)
