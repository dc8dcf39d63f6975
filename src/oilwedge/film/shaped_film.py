"""The steady bearing as measured: a gap of any shape, oil from where it comes, load at any angle.

The place (e_x, e_y) of the journal's middle is sought at which the film of
:mod:`oilwedge.film.shaped_unit` carries the load, both ways, by Newton's method; the slopes come
from the coarsest grid and are bettered on the way (Broyden). Sought are u = artanh λ n, with λ the
displacement over the largest one in its direction that leaves a gap everywhere, so that no step can
touch; and the force F is compared as ln(1 + F/W), nearly straight in u. Axes and angles are fixed
to the bearing; they count from x in the direction of rotation.

An out-of-round journal changes the gap as it turns: see :mod:`oilwedge.film.shaped_turning`.
"""

from __future__ import annotations

import math

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

__all__ = ["ShapedConvergence", "ShapedFilm", "level_at", "solve_case", "solve_shaped"]

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
    return solve_case(case=case, turn_rad=journal_turn_rad)


def solve_case(
    *,
    case: ShapedCase,
    turn_rad: float = 0.0,
    whirl: tuple[float, float] = (0.0, 0.0),
    start: tuple[float, float] | None = None,
) -> ShapedFilm:
    """Solve a case with the journal at one turn, its middle moving by ``whirl``, in C by ω t.

    The search begins at ``start`` in C, or at guesses; on grids of twice and four times the step
    first. Errors as :func:`solve_shaped`.
    """
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
    starts = _guesses(case) if start is None else [reach.u(start)]
    found = _started(case, gap, grids[0], reach, load, levels, starts, whirl)
    for grid, tolerance in _passes(grids):
        level = level_at(case=case, gap=gap, grid=grid, place=found.place)
        level.whirl = whirl
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
        below = level_at(case=case, gap=gap, grid=grids[-2], place=found.place)
        below.grading, below.last, below.whirl = level.grading, level.last, whirl
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
    starts: list[Floats],
    whirl: tuple[float, float],
) -> Found:
    """Search on the coarsest grid, its lines about a guess; from other guesses if it stalls."""
    for number, u in enumerate(starts):
        levels.append(level_at(case=case, gap=gap, grid=grid, place=reach.place(u)))
        levels[-1].whirl = whirl
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
            if number == len(starts) - 1:
                raise
    raise AssertionError  # the last guess either ends the search or raises


def _guesses(case: ShapedCase) -> list[Floats]:
    angles = [case.load_angle_rad + attitude for _, attitude in _STARTS]
    return [
        math.atanh(reached) * np.array([math.cos(angle), math.sin(angle)])
        for (reached, _), angle in zip(_STARTS, angles, strict=True)
    ]


def level_at(
    *, case: ShapedCase, gap: ShapedGap, grid: FilmGrid, place: tuple[float, float]
) -> ShapedLevel:
    """Give films on a grid whose lines crowd about the thinnest place for this ``place``."""
    thin = gap.thinnest(place=place)
    return ShapedLevel(
        gap=gap,
        feed=case.feed,
        supply=case.feed.supply_pressure_pa / case.pressure_unit_pa,
        rupture=case.rupture,
        grid=grid,
        shape=gap.shape,
        turn_rad=gap.journal_turn_rad,
        grading=Grading(eccentricity_ratio=1.0 - thin.gap, thin_angle_rad=thin.angle_rad),
    )


def _passes(grids: list[FilmGrid]) -> list[tuple[FilmGrid, float]]:
    """Grids and tolerances; the coarsest again, for its lines crowded about a guess so far."""
    return [*((grid, 1e-4) for grid in grids[:-1]), (grids[-1], LOAD_TOLERANCE)]
