"""The steady bearing as measured: a gap of any shape, oil from where it comes, load at any angle.

The place (e_x, e_y) of the journal's middle is sought at which the film of
:mod:`oilwedge.film.shaped_unit` carries the load, both ways, by Newton's method; the slopes come
from the coarsest grid and are bettered on the way (Broyden). Sought are u = artanh λ n, with λ the
displacement over the largest one in its direction that leaves a gap everywhere, so that no step can
touch; and the force F is compared as ln(1 + F/W), nearly straight in u. Axes and angles are fixed
to the bearing; they count from x in the direction of rotation.

An out-of-round journal changes the gap as it turns. :func:`solve_turning` takes it at several
turns, each as if the middle stood still (quasi-steady), and gives the worst: an estimate, for the
middle has to follow twice a turn.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from oilwedge.film.bearing import Bearing, Rupture
from oilwedge.film.feed_place import AT_LARGEST_GAP, Feed, FeedPlace
from oilwedge.film.film_grid import FilmGrid
from oilwedge.film.film_shape import ROUND, FilmShape
from oilwedge.film.shaped_answer import ShapedConvergence, ShapedFilm, with_units
from oilwedge.film.shaped_case import ShapedCase
from oilwedge.film.shaped_gap import ShapedGap
from oilwedge.film.shaped_grid import Grading
from oilwedge.film.shaped_search import Found, Reach, ShapedLevel, balance, force_of
from oilwedge.film.unit_film import FilmNotSettledError

Floats = NDArray[np.float64]

__all__ = ["ShapedConvergence", "ShapedFilm", "solve_shaped", "solve_turning"]

DEFAULT_GRID = FilmGrid()
LOAD_TOLERANCE = 1e-8
_ROUGH = 1e-2
_STARTS = ((0.7, 0.8), (0.9, 0.4), (0.97, 0.2), (0.3, 1.2), (0.9, -0.4))
"""Guesses of λ and of the attitude angle in rad."""


def solve_shaped(
    *,
    bearing: Bearing,
    shape: FilmShape = ROUND,
    feed: FeedPlace = AT_LARGEST_GAP,
    viscosity_pa_s: float,
    speed_rad_s: float,
    load_n: float,
    load_angle_rad: float = 0.0,
    journal_turn_rad: float = 0.0,
    rupture: Rupture = Rupture.REYNOLDS,
    grid: FilmGrid = DEFAULT_GRID,
) -> ShapedFilm:
    """Find where the journal runs in a gap as measured, and what the film is there.

    Of ``bearing`` only diameter, width and mean clearance count; oil comes in as ``feed`` says.
    The load acts on the journal, ``load_angle_rad`` from the x axis. The journal stands at
    ``journal_turn_rad`` and turns; its middle is at rest. OutOfRangeError for input that no film
    goes with, among it a shape that closes the gap; FilmNotSettledError where the solution does
    not converge.
    """
    case = ShapedCase(
        bearing=bearing,
        shape=shape,
        feed=feed,
        viscosity_pa_s=viscosity_pa_s,
        speed_rad_s=speed_rad_s,
        load_n=load_n,
        load_angle_rad=load_angle_rad,
        rupture=rupture,
        grid=grid,
    )
    return _solved(case, journal_turn_rad)


def solve_turning(
    *,
    bearing: Bearing,
    shape: FilmShape,
    feed: FeedPlace = AT_LARGEST_GAP,
    viscosity_pa_s: float,
    speed_rad_s: float,
    load_n: float,
    load_angle_rad: float = 0.0,
    rupture: Rupture = Rupture.REYNOLDS,
    grid: FilmGrid = DEFAULT_GRID,
    turns: int = 8,
) -> tuple[ShapedFilm, tuple[tuple[float, float], ...]]:
    """Find the worst of ``turns`` turns of an out-of-round journal, quasi-steady.

    The turns are spread over half a revolution, after which an oval repeats. Gives the film with
    the least minimum, and each turn in rad with its minimum film in m, those on the grid of twice
    the step where there is one. Errors as :func:`solve_shaped`.
    """
    case = ShapedCase(
        bearing=bearing,
        shape=shape,
        feed=feed,
        viscosity_pa_s=viscosity_pa_s,
        speed_rad_s=speed_rad_s,
        load_n=load_n,
        load_angle_rad=load_angle_rad,
        rupture=rupture,
        grid=grid,
    )
    if shape.journal_out_of_round_m == 0.0:
        film = _solved(case, 0.0)
        return film, ((0.0, film.minimum_film_m),)
    coarse = replace(case, grid=grid.coarser() or grid)
    found = []
    for turn in np.linspace(0.0, math.pi, turns, endpoint=False):
        film = _solved(coarse, float(turn))
        found.append((film.journal_turn_rad, film.minimum_film_m))
    worst = min(found, key=lambda one: one[1])
    return _solved(case, worst[0]), tuple(found)


def _solved(case: ShapedCase, turn_rad: float) -> ShapedFilm:
    """Search on grids of twice and four times the step first, then on the one wanted."""
    inner = 0.5 * case.feed.width_m if case.feed.kind is Feed.CIRCUMFERENTIAL else 0.0
    gap = ShapedGap(
        bearing=case.bearing, shape=case.shape, journal_turn_rad=turn_rad, inner_m=inner
    )
    reach = Reach.of(gap)
    grids = [case.grid]
    while (coarser := grids[0].coarser()) is not None:
        grids.insert(0, coarser)
    towards = np.array([math.cos(case.load_angle_rad), math.sin(case.load_angle_rad)])
    load = case.load_n / (case.pressure_unit_pa * case.bearing.radius_m**2) * towards
    levels: list[ShapedLevel] = []
    found = _started(case, gap, grids[0], reach, load, levels)
    for grid, tolerance in _passes(grids):
        level = _level(case, gap, grid, found.place)
        level.last = levels[-1].last
        levels.append(level)
        found = balance(
            level=level,
            reach=reach,
            load=load,
            u=found.u,
            slopes=found.slopes,
            tolerance=tolerance,
            load_n=case.load_n,
        )
    error = None
    if len(grids) > 1:
        below = _level(case, gap, grids[-2], found.place)
        below.grading, below.last = level.grading, level.last
        levels.append(below)
        carried = float(np.hypot(*force_of(found.lands)))
        error = (carried - float(np.hypot(*force_of(below.film(found.place))))) / carried / 3.0
    films = sum(level.films for level in levels)
    return with_units(case=case, gap=gap, found=found, films=films, grid_error=error)


def _started(
    case: ShapedCase,
    gap: ShapedGap,
    grid: FilmGrid,
    reach: Reach,
    load: Floats,
    levels: list[ShapedLevel],
) -> Found:
    """Search on the coarsest grid, its lines about a guess; from other guesses if it stalls."""
    for number, (reached, attitude) in enumerate(_STARTS):
        start = case.load_angle_rad + attitude
        u = math.atanh(reached) * np.array([math.cos(start), math.sin(start)])
        levels.append(_level(case, gap, grid, reach.place(u)))
        try:
            return balance(
                level=levels[-1],
                reach=reach,
                load=load,
                u=u,
                slopes=None,
                tolerance=_ROUGH,
                load_n=case.load_n,
            )
        except FilmNotSettledError:
            if number == len(_STARTS) - 1:
                raise
    raise AssertionError  # the last guess either ends the search or raises


def _level(
    case: ShapedCase, gap: ShapedGap, grid: FilmGrid, place: tuple[float, float]
) -> ShapedLevel:
    thin = gap.thinnest(place=place)
    return ShapedLevel(
        gap=gap,
        feed=case.feed,
        supply=case.feed.supply_pressure_pa / case.pressure_unit_pa,
        rupture=case.rupture,
        grid=grid,
        grading=Grading(eccentricity_ratio=1.0 - thin.gap, thin_angle_rad=thin.angle_rad),
    )


def _passes(grids: list[FilmGrid]) -> list[tuple[FilmGrid, float]]:
    """Grids and tolerances; the coarsest again, for its lines crowded about a guess so far."""
    return [*((grid, 1e-4) for grid in grids[:-1]), (grids[-1], LOAD_TOLERANCE)]
