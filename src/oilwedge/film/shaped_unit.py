"""The steady film of a gap of any shape with the journal at a given place, free of units.

Reynolds equation in axes fixed to the bearing, H the gap and H_j the part of it that turns with
the journal, τ = ω t; the middle of the journal moves by (v_x, v_y) = d(e_x, e_y)/dτ, 0 if steady::

    ∂/∂β (H³ ∂P/∂β) + ∂/∂z (H³ ∂P/∂z) = 6 ∂H/∂β + 12 ∂H/∂τ
    ∂H/∂τ = −∂H_j/∂β − v_x cos β − v_y sin β

Units as :mod:`oilwedge.film.unit_film`. The moment on the journal about its own middle counts the
shear and the pressure on the slope of an oval surface::

    M = ∫ 1/H dA − ½ ∫ P ∂(H − 2 H_j)/∂β dA
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from oilwedge.errors import Fault
from oilwedge.film.bearing import Rupture
from oilwedge.film.feed_place import Feed
from oilwedge.film.reynolds import (
    carried_film_fraction,
    reynolds_between_lines,
    rupture_on_ring,
)
from oilwedge.film.shaped_grid import ShapedCells
from oilwedge.film.unit_film import FilmNotSettledError

Floats = NDArray[np.float64]
Mask = NDArray[np.bool_]

MOST_SOLVES = 400


@dataclass(frozen=True, kw_only=True, slots=True)
class ShapedLand:
    """The solved film of one land; arrays (n, m). ``stored``: what opening gaps take up.

    Flows, force and moments are those of this part alone, not of its copies, in the units of the
    module text. ``force_x``, ``force_y``: the load that it carries.
    """

    cells: ShapedCells
    pressure: Floats
    film_fraction: Floats
    film: Mask
    solves: int
    force_x: float
    force_y: float
    friction: float
    film_fraction_friction: float
    side_flow: float
    groove_flow: float
    fresh_flow: float
    stored: float
    unbalanced: float
    passing: float


def solve_land(
    *, cells: ShapedCells, feed: Feed, supply: float, rupture: Rupture, guess: Mask
) -> ShapedLand:
    """Solve one land; ``guess`` of the full cells (n, m). FilmNotSettledError if they flicker."""
    film = guess | cells.fixed
    p = np.where(cells.fixed, supply, 0.0)
    theta = np.ones(p.shape)
    if feed is Feed.AXIAL and rupture is Rupture.REYNOLDS:
        p, film, solves, changes = _between_groove(cells, p, film)
    else:
        solves, changes = rupture_on_ring(
            cells.kx,
            cells.kz,
            cells.couette,
            cells.storage,
            _from_edges(cells),
            cells.fixed,
            p,
            theta,
            film,
            1 if rupture is Rupture.MASS_CONSERVING else 0,
            MOST_SOLVES,
        )
    if changes:
        raise FilmNotSettledError(
            Fault(
                given=f"{p.shape[0]} x {p.shape[1]} cells",
                allowed=f"after {MOST_SOLVES} solves {changes} cells still change between full"
                " and ruptured, so there is no answer",
                action="try another grid or the other condition of rupture",
            )
        )
    if rupture is Rupture.REYNOLDS:
        theta = _carried(cells, p, film, feed)
    return _summed(cells, p, theta, film, feed, solves)


def _from_edges(cells: ShapedCells) -> Floats:
    """What the pressures at the edges of the land press in."""
    source = np.zeros(cells.couette.shape)
    source[:, 0] += cells.kz[:, 0] * cells.land.low_pressure
    source[:, -1] += cells.kz[:, -1] * cells.land.high_pressure
    return source


def _between_groove(cells: ShapedCells, p: Floats, film: Mask) -> tuple[Floats, Mask, int, int]:
    """The Reynolds condition from a line groove round to itself, by the faster kernel."""
    closed, full = _closed(p), np.concatenate([film, film[:1]])
    source = np.zeros(closed.shape)
    source[1:-1] = cells.couette[:-1] - cells.couette[1:] - cells.storage[1:]
    kz = np.concatenate([cells.kz, cells.kz[:1]])
    solves, changes = reynolds_between_lines(cells.kx, kz, source, closed, full, 0.0, MOST_SOLVES)
    return closed[:-1].copy(), full[:-1].copy(), solves, changes


def _closed(ring: Floats) -> Floats:
    return np.concatenate([ring, ring[:1]])


def _carried(cells: ShapedCells, p: Floats, film: Mask, feed: Feed) -> Floats:
    """Film fraction behind the film under the Reynolds condition, from a line that is full."""
    first = 0 if feed is Feed.AXIAL else int(np.argmax(np.max(p, axis=1)))
    kx, couette, pressure = (np.roll(a, -first, axis=0) for a in (cells.kx, cells.couette, p))
    kz, full = np.roll(cells.kz, -first, axis=0), np.roll(film, -first, axis=0)
    theta = np.ones(p.shape)
    carried_film_fraction(kx, kz, couette, _closed(pressure), full, theta)
    return np.roll(theta, first, axis=0)


def _summed(
    cells: ShapedCells, p: Floats, theta: Floats, film: Mask, feed: Feed, solves: int
) -> ShapedLand:
    lines = cells.angle[:-1]
    line_force = np.sum(p * cells.area, axis=1)
    friction = _shear(cells, np.ones(p.shape)) + _on_slopes(cells, p)
    flows = _flows(cells, p, theta, film, feed)
    unit = 1.0 / 12.0
    return ShapedLand(
        cells=cells,
        pressure=p,
        film_fraction=theta,
        film=film,
        solves=solves,
        force_x=float(line_force @ np.cos(lines)),
        force_y=float(line_force @ np.sin(lines)),
        friction=friction,
        film_fraction_friction=_shear(cells, theta) + _on_slopes(cells, p),
        side_flow=unit * flows.side,
        groove_flow=unit * flows.groove,
        fresh_flow=unit * flows.fresh,
        stored=unit * flows.stored,
        unbalanced=unit * flows.unbalanced,
        passing=unit * flows.passing,
    )


def _shear(cells: ShapedCells, theta: Floats) -> float:
    """∫ θ/H over the land and its strips; a groove is too deep to shear."""
    # θ of a cell is that of the flow through its downstream face: there it stands to second order
    step = np.diff(cells.angle)
    bare = 1.0 - 0.5 * (cells.covered + np.roll(cells.covered, -1, axis=0))
    inner = float(np.sum((bare * theta / cells.face_gap) * step[:, None] * cells.dz[None, :]))
    low = cells.low_strip * float(np.sum(theta[:, 0] * step / cells.edge_gap[:, 0]))
    high = cells.high_strip * float(np.sum(theta[:, -1] * step / cells.edge_gap[:, 1]))
    return inner + low + high


def _on_slopes(cells: ShapedCells, p: Floats) -> float:
    """−½ ∫ P ∂(H − 2 H_j)/∂β: what pressure gives on slopes, bearing's and journal's."""
    slope = cells.face_gap - np.roll(cells.face_gap, 1, axis=0) - 2.0 * cells.turning[:, None]
    return -0.5 * float(np.sum(p * slope * cells.dz[None, :]))


@dataclass(frozen=True, kw_only=True, slots=True)
class _Flows:
    side: float
    groove: float
    fresh: float
    stored: float
    unbalanced: float
    passing: float


def _flows(cells: ShapedCells, p: Floats, theta: Floats, film: Mask, feed: Feed) -> _Flows:
    """What crosses the edges of the land and of its feed, in ω R² C/12.

    Between the last face and an edge there is a strip half a step wide; the Couette flow that ends
    in it under a full film leaves over the edge too, without which flows would be of first order.
    """
    fixed = cells.fixed
    edges = [_over_edge(cells, p, film, low=True), _over_edge(cells, p, film, low=False)]
    fed = []
    if feed is Feed.CIRCUMFERENTIAL:
        fed = [edges.pop(0 if cells.land.places[0] >= 0.0 else 1)]
    cell_side = sum(crossing for crossing, _ in edges)
    side = cell_side + sum(ending for _, ending in edges)
    cell_fresh = -sum(crossing for crossing, _ in fed)
    fresh = cell_fresh - sum(ending for _, ending in fed)
    groove = fresh
    stored = float(np.sum((theta * cells.storage)[~fixed]))
    if fixed.any():
        cell_fresh, groove = _from_feed(cells, p, theta)
        fresh = cell_fresh + side - cell_side
    if feed is Feed.AXIAL:
        strips = cells.low_strip * cells.edge_gap[0, 0] + cells.high_strip * cells.edge_gap[0, 1]
        groove += 6.0 * float(strips)
    return _Flows(
        side=side,
        groove=groove,
        fresh=fresh,
        stored=stored,
        unbalanced=cell_fresh - cell_side - stored,
        passing=max(float(np.max(np.sum(cells.couette * theta, axis=1))), cell_fresh),
    )


def _over_edge(cells: ShapedCells, p: Floats, film: Mask, *, low: bool) -> tuple[float, float]:
    """What leaves the cells over one edge of the land, and what of the Couette flow ends there."""
    node, strip = (0, cells.low_strip) if low else (-1, cells.high_strip)
    outside = cells.land.low_pressure if low else cells.land.high_pressure
    gap, rows = cells.edge_gap[:, node], ~cells.fixed[:, node]
    crossing = (cells.kz[:, node] * (p[:, node] - outside))[rows]
    ending = (6.0 * (np.roll(gap, 1) - gap) - 12.0 * cells.opening) * film[:, node]
    return float(crossing.sum()), strip * float(ending[rows].sum())


def _from_feed(cells: ShapedCells, p: Floats, theta: Floats) -> tuple[float, float]:
    """What the fed cells give less what comes back to them, and all that they give."""
    fixed = cells.fixed
    behind = np.roll(p, -1, axis=0)
    other = np.roll(fixed, -1, axis=0)
    along = cells.couette * theta + cells.kx * (p - behind)
    leaving = fixed & ~other
    coming = ~fixed & other
    net = float(along[leaving].sum() - along[coming].sum())
    pressed_back = np.maximum(cells.kx * (behind - p), 0.0)
    given = float(along[leaving].sum() + pressed_back[coming].sum())
    across = cells.kz[:, 1:-1] * (p[:, :-1] - p[:, 1:])
    up, down = fixed[:, :-1] & ~fixed[:, 1:], ~fixed[:, :-1] & fixed[:, 1:]
    net += float(across[up].sum() - across[down].sum())
    given += float(np.maximum(across, 0.0)[up].sum() + np.maximum(-across, 0.0)[down].sum())
    return net, given
