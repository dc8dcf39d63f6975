"""The bearing as measured: it gives what a round gap gives, obeys laws, is thin where tight."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from oilwedge.errors import OutOfRangeError
from oilwedge.film.bearing import Bearing, Groove, Rupture
from oilwedge.film.feed_place import AT_LARGEST_GAP, Feed, FeedPlace
from oilwedge.film.film_grid import FilmGrid
from oilwedge.film.film_shape import ROUND, FilmShape
from oilwedge.film.shaped_film import ShapedFilm, solve_shaped
from oilwedge.film.steady import solve_steady

BEARING = Bearing(diameter_m=0.05, width_m=0.025, diametral_clearance_m=50e-6)
COARSE = FilmGrid(around=96, across=16)
OIL: dict[str, Any] = {"viscosity_pa_s": 0.01, "speed_rad_s": 100.0 * math.pi}
HOLE = FeedPlace(kind=Feed.HOLE, angle_rad=3.0, width_m=0.005, supply_pressure_pa=3e5)
HALF = FeedPlace(
    kind=Feed.HALF,
    angle_rad=0.5 * math.pi,
    end_angle_rad=1.5 * math.pi,
    width_m=0.004,
    supply_pressure_pa=3e5,
)
RING = FeedPlace(kind=Feed.CIRCUMFERENTIAL, width_m=0.004, supply_pressure_pa=3e5)
LINE = FeedPlace(kind=Feed.AXIAL, angle_rad=-1.5, supply_pressure_pa=3e5)
DRY_LINE = FeedPlace(kind=Feed.AXIAL, angle_rad=-1.5)
NONE = FeedPlace(kind=Feed.NONE)
CONSERVING, REYNOLDS = Rupture.MASS_CONSERVING, Rupture.REYNOLDS


def solve(
    shape: FilmShape = ROUND,
    feed: FeedPlace = AT_LARGEST_GAP,
    load_n: float = 5000.0,
    rupture: Rupture = REYNOLDS,
    grid: FilmGrid = COARSE,
    load_angle: float = 0.0,
    turn: float = 0.0,
    bearing: Bearing = BEARING,
) -> ShapedFilm:
    return solve_shaped(
        bearing=bearing,
        shape=shape,
        feed=feed,
        load_n=load_n,
        load_angle_rad=load_angle,
        journal_turn_rad=turn,
        rupture=rupture,
        grid=grid,
        **OIL,
    )


@pytest.mark.parametrize("load_n", [200.0, 5000.0, 50000.0])
@pytest.mark.parametrize(
    ("groove", "feed", "rupture"),
    [
        (Groove.AXIAL, FeedPlace(), REYNOLDS),
        (Groove.AXIAL, FeedPlace(supply_pressure_pa=2e5), REYNOLDS),
        (Groove.AXIAL, FeedPlace(supply_pressure_pa=2e5), CONSERVING),
        (Groove.CIRCUMFERENTIAL, RING, REYNOLDS),
        (Groove.CIRCUMFERENTIAL, RING, CONSERVING),
        (Groove.NONE, NONE, REYNOLDS),
    ],
)
def test_a_round_gap_gives_what_the_round_bearing_gives(
    groove: Groove, feed: FeedPlace, rupture: Rupture, load_n: float
) -> None:
    bearing = replace(
        BEARING,
        groove=groove,
        supply_pressure_pa=feed.supply_pressure_pa,
        groove_width_m=feed.width_m,
    )
    known = solve_steady(bearing=bearing, load_n=load_n, rupture=rupture, **OIL)
    found = solve(
        feed=feed, load_n=load_n, rupture=rupture, grid=known.convergence.grid, load_angle=1.0
    )
    for name in (
        "eccentricity_ratio",
        "attitude_angle_rad",
        "minimum_film_m",
        "peak_pressure_pa",
        "peak_pressure_place_m",
        "friction_power_w",
        "film_fraction_friction_power_w",
        "side_flow_m3_s",
        "groove_flow_m3_s",
        "fresh_flow_m3_s",
    ):
        if name == "peak_pressure_place_m" and groove is Groove.CIRCUMFERENTIAL:
            continue  # there the round bearing counts from the edge of the groove
        wanted = getattr(known, name)
        assert getattr(found, name) == pytest.approx(wanted, rel=3e-4, abs=1e-15), name
    past = math.remainder(found.peak_pressure_angle_rad - 1.0, 2.0 * math.pi)
    assert past == pytest.approx(known.peak_pressure_angle_rad, rel=1e-3)
    thin = math.remainder(found.minimum_film_angle_rad - 1.0, 2.0 * math.pi)
    assert thin == pytest.approx(found.attitude_angle_rad, abs=1e-5)


def check_load(film: ShapedFilm) -> None:
    """The pressures of the answer, summed up anew, carry the load along its line."""
    wide = film.place_m / film.bearing.radius_m
    edges = np.concatenate([[-0.5], 0.5 * (wide[1:] + wide[:-1]), [0.5]])
    assert film.pressure_pa.shape == (film.angle_rad.size, edges.size - 1)
    step = np.roll(film.angle_rad, -1) - np.roll(film.angle_rad, 1)
    step = 0.5 * (step % (2.0 * math.pi))
    area = step[:, None] * np.diff(edges)[None, :] * film.bearing.radius_m**2
    x = float(np.sum(film.pressure_pa * area * np.cos(film.angle_rad)[:, None]))
    y = float(np.sum(film.pressure_pa * area * np.sin(film.angle_rad)[:, None]))
    along = x * math.cos(film.load_angle_rad) + y * math.sin(film.load_angle_rad)
    across = y * math.cos(film.load_angle_rad) - x * math.sin(film.load_angle_rad)
    assert along == pytest.approx(film.load_n, rel=0.01)
    assert across == pytest.approx(0.0, abs=0.01 * film.load_n)


SHAPES = st.builds(
    FilmShape,
    journal_taper_m=st.floats(-8e-6, 8e-6),
    journal_barrel_m=st.floats(-6e-6, 6e-6),
    journal_out_of_round_m=st.floats(0.0, 4e-6),
    journal_high_angle_rad=st.floats(-3.0, 3.0),
    bore_relief_m=st.floats(0.0, 15e-6),
    split_angle_rad=st.floats(-3.0, 3.0),
    tilt_x_rad=st.floats(-2e-4, 2e-4),
    tilt_y_rad=st.floats(-2e-4, 2e-4),
)
FEEDS = st.sampled_from([AT_LARGEST_GAP, LINE, HOLE, HALF, RING])
few = settings(max_examples=12, deadline=None)


@few
@given(SHAPES, FEEDS, st.sampled_from([800.0, 4000.0]))
def test_oil_is_neither_made_nor_lost_and_the_load_is_carried(
    shape: FilmShape, feed: FeedPlace, load_n: float
) -> None:
    try:
        film = solve(shape, feed, load_n, CONSERVING)
    except OutOfRangeError:  # a tilted, tapered part of two narrow lands carries it on no film
        assume(False)
    assert abs(film.convergence.mass_error) < 1e-6
    assert film.convergence.load_error < 1e-8
    assert float(film.gap_m.min()) >= film.minimum_film_m * (1.0 - 1e-9) > 0.0
    assert float(film.pressure_pa.min()) >= 0.0
    assert 0.0 <= float(film.film_fraction.min()) <= float(film.film_fraction.max()) <= 1.0 + 1e-9
    if feed.kind is not Feed.CIRCUMFERENTIAL and feed.kind is not Feed.HALF:
        check_load(film)


@few
@given(SHAPES, FEEDS, st.floats(-3.0, 3.0))
def test_it_does_not_matter_where_the_angles_count_from(
    shape: FilmShape, feed: FeedPlace, by: float
) -> None:
    first = solve(shape, feed, rupture=CONSERVING)
    lean = complex(shape.tilt_x_rad, shape.tilt_y_rad) * complex(math.cos(by), math.sin(by))
    turned = replace(
        shape,
        journal_high_angle_rad=shape.journal_high_angle_rad + by,
        split_angle_rad=shape.split_angle_rad + by,
        tilt_x_rad=lean.real,
        tilt_y_rad=lean.imag,
    )
    start, end = feed.angle_rad, feed.end_angle_rad
    moved = replace(
        feed,
        angle_rad=None if start is None else start + by,
        end_angle_rad=None if end is None else end + by,
    )
    second = solve(turned, moved, rupture=CONSERVING, load_angle=by)
    assert second.minimum_film_m == pytest.approx(first.minimum_film_m, rel=1e-4)
    assert second.attitude_angle_rad == pytest.approx(first.attitude_angle_rad, rel=1e-4, abs=1e-5)
    assert second.friction_power_w == pytest.approx(first.friction_power_w, rel=1e-5)
    assert second.side_flow_m3_s == pytest.approx(first.side_flow_m3_s, rel=1e-3)


@few
@given(SHAPES, FEEDS)
def test_front_and_rear_may_change_places(shape: FilmShape, feed: FeedPlace) -> None:
    back = replace(
        shape,
        journal_taper_m=-shape.journal_taper_m,
        tilt_x_rad=-shape.tilt_x_rad,
        tilt_y_rad=-shape.tilt_y_rad,
    )
    first, second = solve(shape, feed), solve(back, feed)
    assert second.ex_m == pytest.approx(first.ex_m, rel=1e-6, abs=1e-12)
    assert second.ey_m == pytest.approx(first.ey_m, rel=1e-6, abs=1e-12)
    assert second.minimum_film_m == pytest.approx(first.minimum_film_m, rel=1e-6)
    assert second.side_flow_m3_s == pytest.approx(first.side_flow_m3_s, rel=1e-6)
    if abs(shape.journal_taper_m) > 1e-6 and shape.journal_barrel_m < 0.0:
        assert second.minimum_film_place_m == pytest.approx(
            -first.minimum_film_place_m, abs=1e-6
        ) or second.minimum_film_place_m == pytest.approx(first.minimum_film_place_m)


@few
@given(SHAPES, st.floats(0.2, 5.0), st.floats(0.5, 2.0))
def test_the_place_follows_from_the_number_of_sommerfeld_alone(
    shape: FilmShape, more: float, larger: float
) -> None:
    """More viscosity and load together, or all lengths and the load with their square."""
    first = solve(shape)
    thick = solve_shaped(
        bearing=BEARING,
        shape=shape,
        viscosity_pa_s=0.01 * more,
        speed_rad_s=OIL["speed_rad_s"],
        load_n=5000.0 * more,
        grid=COARSE,
    )
    grown = solve(
        FilmShape(
            journal_taper_m=shape.journal_taper_m * larger,
            journal_barrel_m=shape.journal_barrel_m * larger,
            journal_out_of_round_m=shape.journal_out_of_round_m * larger,
            journal_high_angle_rad=shape.journal_high_angle_rad,
            bore_relief_m=shape.bore_relief_m * larger,
            split_angle_rad=shape.split_angle_rad,
            tilt_x_rad=shape.tilt_x_rad,
            tilt_y_rad=shape.tilt_y_rad,
        ),
        load_n=5000.0 * larger**2,
        bearing=Bearing(
            diameter_m=0.05 * larger,
            width_m=0.025 * larger,
            diametral_clearance_m=50e-6 * larger,
        ),
    )
    assert thick.minimum_film_m == pytest.approx(first.minimum_film_m, rel=1e-6)
    assert thick.friction_power_w == pytest.approx(first.friction_power_w * more, rel=1e-6)
    assert grown.minimum_film_m == pytest.approx(first.minimum_film_m * larger, rel=1e-6)
    assert grown.side_flow_m3_s == pytest.approx(first.side_flow_m3_s * larger**3, rel=1e-6)


def test_a_tapered_journal_is_tightest_at_its_thick_end() -> None:
    film, round_one = solve(FilmShape(journal_taper_m=8e-6)), solve()
    assert film.minimum_film_place_m == pytest.approx(0.0125)
    assert film.peak_pressure_place_m > 0.001
    assert film.minimum_film_m < round_one.minimum_film_m
    # the middle comes off the wall to make room for the thick end
    assert film.eccentricity_ratio < round_one.eccentricity_ratio


def test_a_barrel_is_tightest_in_the_middle_and_an_hourglass_at_its_ends() -> None:
    barrel = solve(FilmShape(journal_barrel_m=8e-6))
    assert barrel.minimum_film_place_m == pytest.approx(0.0, abs=1e-6)
    assert solve(FilmShape(journal_barrel_m=-8e-6)).minimum_film_place_m == pytest.approx(0.0125)


def test_a_tilt_under_the_load_takes_film_at_the_end_it_leans_to() -> None:
    """The thinnest place lies in front, and nearer to the direction of the lean."""
    level = solve()
    for tilt in (FilmShape(tilt_x_rad=3e-4), FilmShape(tilt_y_rad=3e-4)):
        film = solve(tilt)
        assert film.minimum_film_place_m == pytest.approx(0.0125)
        assert film.minimum_film_m < level.minimum_film_m
        lean = math.atan2(tilt.tilt_y_rad, tilt.tilt_x_rad)
        before = abs(math.remainder(level.minimum_film_angle_rad - lean, 2.0 * math.pi))
        assert abs(math.remainder(film.minimum_film_angle_rad - lean, 2.0 * math.pi)) < before


def test_oil_that_comes_in_under_the_load_costs_film() -> None:
    away, under = replace(LINE, angle_rad=math.pi), replace(LINE, angle_rad=0.1)
    assert solve(feed=under).minimum_film_m < 0.8 * solve(feed=away).minimum_film_m


@pytest.mark.parametrize(
    ("shape", "words"),
    [
        (FilmShape(journal_taper_m=110e-6), "must not touch"),
        (FilmShape(bore_relief_m=110e-6), "must not touch"),
        (FilmShape(tilt_x_rad=0.0025), "must not touch"),
    ],
)
def test_a_shape_that_closes_the_gap_is_refused(shape: FilmShape, words: str) -> None:
    with pytest.raises(OutOfRangeError, match=words):
        solve(shape)


@pytest.mark.parametrize(
    ("given", "words"),
    [
        ({"load_n": 0.0}, "load has to be more than 0"),
        ({"load_n": 5e8}, "which no film carries"),
        ({"feed": NONE, "rupture": CONSERVING}, "runs dry"),
        ({"feed": replace(RING, supply_pressure_pa=0.0), "rupture": CONSERVING}, "runs dry"),
        ({"feed": replace(RING, width_m=0.024)}, "leave lands"),
    ],
)
def test_what_no_film_goes_with_is_refused(given: dict[str, Any], words: str) -> None:
    with pytest.raises(OutOfRangeError, match=words):
        solve(**given)


@pytest.mark.slow
@pytest.mark.parametrize("rupture", list(Rupture))
@pytest.mark.parametrize(
    ("shape", "feed", "within"),
    [
        (FilmShape(journal_taper_m=8e-6), AT_LARGEST_GAP, 0.003),
        (FilmShape(tilt_x_rad=2e-4, tilt_y_rad=2e-4), AT_LARGEST_GAP, 0.003),
        (FilmShape(bore_relief_m=20e-6, journal_barrel_m=6e-6), DRY_LINE, 0.003),
        (FilmShape(journal_out_of_round_m=4e-6), HALF, 0.003),
        (ROUND, HOLE, 0.003),
    ],
)
def test_the_default_grid_is_close_to_a_finer_one(
    shape: FilmShape, feed: FeedPlace, within: float, rupture: Rupture
) -> None:
    found = solve(shape, feed, rupture=rupture, grid=FilmGrid())
    fine = solve(shape, feed, rupture=rupture, grid=FilmGrid(around=400, across=80))
    assert found.minimum_film_m == pytest.approx(fine.minimum_film_m, rel=within)
    assert found.friction_power_w == pytest.approx(fine.friction_power_w, rel=within)
    assert found.peak_pressure_pa == pytest.approx(fine.peak_pressure_pa, rel=2.0 * within)
    assert found.side_flow_m3_s == pytest.approx(fine.side_flow_m3_s, rel=5.0 * within)
