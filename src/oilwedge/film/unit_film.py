"""The steady film at a given eccentricity, free of units.

Reynolds equation, steady, constant viscosity, H = 1 + ε cos θ, z in radii of the journal::

    ∂/∂θ (H³ ∂P/∂θ) + ∂/∂z (H³ ∂P/∂z) = 6 ∂H/∂θ

P counts in μ ω (R/C)², forces in μ ω R² (R/C)², moments in μ ω R³ (R/C), flows in ω R² C.
θ counts from the largest gap in the direction of rotation; the oil film leaves off by one of the
two conditions of :class:`~oilwedge.film.bearing.Rupture`. Pressure at the ends and in the cavity is
that of the surroundings, 0.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from oilwedge.errors import Fault, InputError
from oilwedge.film.bearing import Groove, Rupture
from oilwedge.film.film_grid import Cells, FilmGrid, symmetric_land, whole_land
from oilwedge.film.reynolds import (
    carried_film_fraction,
    reynolds_between_lines,
    rupture_on_ring,
)

Floats = NDArray[np.float64]
Mask = NDArray[np.bool_]
Scalar = TypeVar("Scalar", bound=np.generic)

MOST_SOLVES = 400
GOOD_GUESS = 1e-3  # of the peak, on coarse grids that only tell where the film ends
_FLOW_UNIT = 1.0 / 12.0  # the kernels count flow in ω R² C/12


class FilmNotSettledError(InputError):
    """The rupture of the film did not settle; nothing is given instead of an answer."""


@dataclass(frozen=True, kw_only=True, slots=True)
class UnitFilm:
    """One film, all lands and both halves counted, in the units of the module text.

    ``load_along``, ``load_across``: the film's force from the thinnest place back along the line
    of centres, and square to it; ``pressure`` and ``film_fraction`` (n, m) over ``theta`` (n) and
    ``z`` (m) of one land. ``groove_flow`` is all that flows from the groove into the film (with an
    axial groove the Q of the tables: what the cavity carries back to the groove is in it),
    ``fresh_flow`` what the supply has to give, ``side_flow`` what leaves at the ends.
    ``mass_error`` is fresh less side flow, of the cells alone, over what passes the largest gap:
    nothing but round-off where mass is conserved.
    """

    eccentricity_ratio: float
    load_along: float
    load_across: float
    friction: float
    film_fraction_friction: float
    side_flow: float
    groove_flow: float
    fresh_flow: float
    mass_error: float
    solves: int
    theta: Floats
    z: Floats
    pressure: Floats
    film_fraction: Floats

    @property
    def load(self) -> float:
        """Load that the film carries."""
        return math.hypot(self.load_along, self.load_across)

    @property
    def attitude_angle_rad(self) -> float:
        """From the load to the thinnest place, in the direction of rotation."""
        return math.atan2(self.load_across, self.load_along)


def unit_film(
    *,
    eccentricity_ratio: float,
    land: float,
    lands: int,
    groove: Groove,
    rupture: Rupture,
    supply_pressure: float = 0.0,
    grid: FilmGrid,
    accept: float = 0.0,
) -> UnitFilm:
    """Solve the film of ``lands`` lands, each ``land`` radii wide, at this eccentricity.

    With an axial groove and the Reynolds condition, pressures that miss the condition at the
    film's end by no more than ``accept`` times the peak are taken; 0 asks for the exact end.
    1e-3 costs less than 0.01 % of the load.

    FilmNotSettledError when the cells do not settle to full or ruptured in 400 solves, which says
    what to try.
    """
    if groove is Groove.AXIAL and rupture is Rupture.REYNOLDS:
        cells, p, film, solves = _between_lines(
            eccentricity_ratio, land, supply_pressure, grid, accept
        )
        theta = np.ones_like(p)
        carried_film_fraction(cells.kx, cells.kz, cells.couette, p, film[:-1], theta[:-1])
    else:
        cells, p, theta, film, solves = _on_ring(
            eccentricity_ratio, land, supply_pressure, grid, groove, rupture
        )
        if rupture is Rupture.REYNOLDS:
            carried_film_fraction(cells.kx, cells.kz, cells.couette, p, film[:-1], theta[:-1])
    copies = lands * (1 if groove is Groove.CIRCUMFERENTIAL else 2)
    return _summed(
        eccentricity_ratio, cells, p, theta, film, supply_pressure, groove, copies, solves
    )


def _settled(changes: int, grid: FilmGrid, e: float) -> None:
    if changes:
        raise FilmNotSettledError(
            Fault(
                given=f"eccentricity ratio {e:.6g}, {grid.around} x {grid.across} cells",
                allowed=f"after {MOST_SOLVES} solves {changes} cells still change between full"
                " and ruptured, so there is no answer",
                action="try another grid or the other condition of rupture",
            )
        )


def _finer_mask(coarse: Mask, shape: tuple[int, ...]) -> Mask:
    """The mask of the grid of twice the step, from line to line and node to node."""
    lines = (np.arange(shape[0]) + 1) // 2
    nodes = np.minimum(np.arange(shape[1]) // 2, coarse.shape[1] - 1)
    return np.ascontiguousarray(coarse[np.minimum(lines, coarse.shape[0] - 1)][:, nodes])


def _film_end(cells: Cells, p: Floats, film: Mask) -> Floats:
    """Angle at which the film ends, for each node of z: there p falls to 0 as a square."""
    last = film.shape[0] - 2 - np.argmax(film[-2:0:-1], axis=0)
    node = np.arange(film.shape[1])
    before, end = np.sqrt(p[last - 1, node]), np.sqrt(p[last, node])
    step = cells.theta[last] - cells.theta[last - 1]
    rest = np.divide(end, before - end, out=np.ones_like(end), where=before > end)
    return np.asarray(cells.theta[last] + step * np.minimum(rest, 1.5))


def _between_lines(
    e: float, land: float, supply: float, grid: FilmGrid, accept: float
) -> tuple[Cells, Floats, Mask, int]:
    coarse = grid.coarser()
    cells = symmetric_land(eccentricity_ratio=e, land=land, grid=grid)
    shape = cells.theta.size, cells.z.size
    if coarse is None:
        film = np.repeat((cells.theta < 1.2 * math.pi)[:, None], shape[1], axis=1)
    else:
        below, p_below, film_below, _ = _between_lines(e, land, supply, coarse, GOOD_GUESS)
        if supply > 0.0:  # the film forms again before the groove: two fronts
            film = _finer_mask(film_below, shape)
        else:
            end = _film_end(below, p_below, film_below)
            film = cells.theta[:, None] < np.interp(cells.z, below.z, end)[None, :]
    p = np.zeros(shape)
    p[0] = p[-1] = supply
    source = np.zeros(shape)
    source[1:-1] = cells.couette[:-1] - cells.couette[1:]
    film[0] = film[-1] = True
    solves, changes = reynolds_between_lines(
        cells.kx, cells.kz, source, p, film, accept, MOST_SOLVES
    )
    _settled(changes, grid, e)
    return cells, p, film, solves


def _on_ring(
    e: float, land: float, supply: float, grid: FilmGrid, groove: Groove, rupture: Rupture
) -> tuple[Cells, Floats, Floats, Mask, int]:
    coarse = grid.coarser()
    make = whole_land if groove is Groove.CIRCUMFERENTIAL else symmetric_land
    cells = make(eccentricity_ratio=e, land=land, grid=grid)
    n, m = cells.couette.shape
    if coarse is None:
        film = np.repeat((cells.theta < 1.2 * math.pi)[:, None], m, axis=1)
    else:
        film = _finer_mask(_on_ring(e, land, supply, coarse, groove, rupture)[3], (n + 1, m))
    kz = cells.kz[:-1].copy()
    kz[0] += cells.kz[-1]  # the first line is the last one too
    source, fixed = np.zeros((n, m)), np.zeros((n, m), dtype=np.bool_)
    p, theta, film = np.zeros((n, m)), np.ones((n, m)), film[:-1].copy()
    if groove is Groove.AXIAL:
        fixed[0] = True
        p[0] = supply
    elif groove is Groove.CIRCUMFERENTIAL:
        source[:, 0] = kz[:, 0] * supply
    solves, changes = rupture_on_ring(
        cells.kx,
        kz,
        cells.couette,
        np.zeros((n, m)),
        source,
        fixed,
        p,
        theta,
        film,
        1 if rupture is Rupture.MASS_CONSERVING else 0,
        MOST_SOLVES,
    )
    _settled(changes, grid, e)
    return cells, _closed(p), _closed(theta), _closed(film), solves


def _closed(ring: NDArray[Scalar]) -> NDArray[Scalar]:
    return np.concatenate([ring, ring[:1]])


def _summed(
    e: float,
    cells: Cells,
    p: Floats,
    theta: Floats,
    film: Mask,
    supply: float,
    groove: Groove,
    copies: int,
    solves: int,
) -> UnitFilm:
    """Forces, moments and flows of the solved film."""
    sine, cosine = np.sin(cells.theta), np.cos(cells.theta)
    line_force = np.sum(p * cells.area, axis=1)
    across = copies * float(line_force @ sine)
    width = float(np.sum(cells.dz) + cells.strip_low + cells.strip_high)
    friction = copies * width * 2.0 * math.pi / math.sqrt(1.0 - e * e) + 0.5 * e * across
    # θ of a cell is that of the flow through its downstream face: there it stands to second order
    empty = 1.0 - theta[:-1]
    gap = empty @ cells.dz + empty[:, -1] * cells.strip_high + empty[:, 0] * cells.strip_low
    saved = float(gap @ (np.diff(cells.theta) / (cells.strip_flow / 6.0)))
    flows = _flows(cells, p, theta, film, supply, groove)
    scale = copies * _FLOW_UNIT
    return UnitFilm(
        eccentricity_ratio=e,
        load_along=-copies * float(line_force @ cosine),
        load_across=across,
        friction=friction,
        film_fraction_friction=friction - copies * saved,
        side_flow=scale * flows.side,
        groove_flow=scale * flows.groove,
        fresh_flow=scale * flows.fresh,
        mass_error=flows.mass_error,
        solves=solves,
        theta=cells.theta,
        z=cells.z,
        pressure=p,
        film_fraction=theta,
    )


@dataclass(frozen=True, kw_only=True, slots=True)
class _Flows:
    side: float
    groove: float
    fresh: float
    mass_error: float


def _flows(
    cells: Cells, p: Floats, theta: Floats, film: Mask, supply: float, groove: Groove
) -> _Flows:
    """What crosses the edges of one land, or of half of one, in ω R² C/12.

    Between the last face and an edge there is a strip half a step wide; the Couette flow that ends
    in it under a full film leaves over the edge too, without which flows would be of first order.
    """
    inner = slice(1, cells.theta.size - 1)
    ends_in_strip = cells.strip_flow[:-1] - cells.strip_flow[1:]
    cell_side = float(cells.kz[inner, -1] @ p[inner, -1])
    side = cell_side + cells.strip_high * float(ends_in_strip @ film[inner, -1])
    at_largest_gap = float(np.sum(cells.couette[0] * theta[0] + cells.kx[0] * (p[0] - p[1])))
    if groove is Groove.AXIAL:
        back = theta[-2] * cells.couette[-1] + cells.kx[-1] * (p[-2] - p[-1])
        cell_fresh = at_largest_gap - float(np.sum(back))
        pressed_back = float(np.sum(cells.kx[-1] * np.maximum(p[-1] - p[-2], 0.0)))
        strip = cells.strip_high * cells.strip_flow[0]
        return _Flows(
            side=side,
            groove=at_largest_gap + strip + pressed_back,
            fresh=cell_fresh + side - cell_side,
            mass_error=(cell_fresh - cell_side) / at_largest_gap,
        )
    # no line is a groove: the first and the last half line, where the gap is largest, leak too
    edges = [0, -1]
    end = float(cells.kz[edges, -1] @ p[edges, -1])
    cell_side, side = cell_side + end, side + end
    cell_fresh = fresh = 0.0
    if groove is Groove.CIRCUMFERENTIAL:
        cell_fresh = float(cells.kz[:, 0] @ (supply - p[:, 0]))
        fresh = cell_fresh - cells.strip_low * float(ends_in_strip @ film[inner, 0])
    return _Flows(
        side=side,
        groove=fresh,
        fresh=fresh,
        mass_error=(cell_fresh - cell_side) / max(at_largest_gap, cell_fresh),
    )
