"""Pure squeeze of a journal in a bearing with a half groove or a hole, which stand in the bearing.

The equation is that of :mod:`oilwedge.film.squeeze`. It holds in axes fixed to the bearing too: the
wedge of a journal that turns at ω_j there is a squeeze by −(ω_j/2) k × e, and Reynolds' equation at
one instant is linear in the sum of both::

    d/dx(h³ dp/dx) + d/dz(h³ dp/dz) = 6 μ U dh/dx + 12 μ dh/dt = −12 μ C [de/dt − (ω_j/2) k×e]·n

so that features at rest in the bearing change the boundaries alone: p = 0 (ambient) in the groove
as at the ends, and p ≥ 0 by the Reynolds condition elsewhere. What must not enter is a history of
the oil; this rupture has none. Hence velocity and force belong together as without a groove, but
with two directions instead of one: that of the eccentricity and that of the load in the bearing.

Angles θ count from the line of centres, where the film is smallest; the middle of the groove lies
at −ψ. Nodes lie on the edges of the half groove; the edge of a hole cuts the links between nodes.
Second order but at the corners of a groove's ends, where pressure runs as distance^(2/3).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from oilwedge.film.path_groove import PathGroove
from oilwedge.film.reynolds import reynolds_between_lines
from oilwedge.film.squeeze import relaxed_angle, stretched_angle

Array = NDArray[np.float64]

_MOST_SOLVES = 60
_NEVER = -1e30  # a source that leaves a cell without pressure
_LEAST_LINES = 8  # over a groove or hole, and beside it
_EDGE_SHARE = 0.6  # how strongly the lines across draw to the edges
_CLOSEST = 1e-3  # of a step: how near to a node the edge of a hole is told from it


@dataclass(frozen=True, kw_only=True, slots=True)
class Feature:
    """What stands in the bearing: a kind, and its width over that of the bearing (a ratio)."""

    kind: PathGroove
    share: float


@dataclass(frozen=True, kw_only=True, slots=True)
class Mesh:
    """Lines round the bearing and nodes across half of it."""

    around: int = 160
    in_groove: int = 4
    beside: int = 8


@dataclass(frozen=True, kw_only=True, slots=True)
class _Ring:
    theta: Array
    faces: Array  # upstream of each line, and one more
    dz: Array
    kx: Array  # from each line to the next
    kz: Array
    empty: NDArray[np.bool_]


def solve_fan(
    *,
    eccentricity_ratio: float,
    eccentricity_angle_rad: float,
    directions_rad: Array,
    width_ratio: float,
    feature: Feature,
    mesh: Mesh,
) -> Array:
    """Force along and across the line of centres, and peak pressure, for unit velocities.

    One row a direction, all as in :class:`oilwedge.film.squeeze.Squeezed`. eccentricity_angle_rad:
    ψ, of the line of centres from the middle of the groove; directions_rad: of the velocities from
    the line of centres, near to each other in a row, for each starts from the one before.
    Errors: an ArithmeticError where the rupture does not settle.
    """
    ring = _ring(eccentricity_ratio, eccentricity_angle_rad, width_ratio, feature, mesh)
    answers = np.empty((directions_rad.size, 3))
    full = np.zeros(ring.kx.shape, dtype=bool)
    for k, direction in enumerate(directions_rad):
        whole = _solved(ring, direction, full)
        answers[k] = *_force(ring, whole), whole.max()
    return answers


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class FixedField:
    """The film's pressure for a unit velocity, as in :class:`oilwedge.film.squeeze.Squeezed`.

    pressures[i, j] at angles_rad[i] from the line of centres (rising, once round) and places[j],
    ζ from 0 in the middle of the width to below 1; at the end itself, and in groove or hole, it is
    0. The other half of the width is alike.
    """

    angles_rad: Array
    places: Array
    pressures: Array
    force_along: float
    force_across: float


def solve_field(
    *,
    eccentricity_ratio: float,
    eccentricity_angle_rad: float,
    direction_rad: float,
    width_ratio: float,
    feature: Feature,
    mesh: Mesh,
) -> FixedField:
    """The pressure all over the film for one direction of :func:`solve_fan`."""
    ring = _ring(eccentricity_ratio, eccentricity_angle_rad, width_ratio, feature, mesh)
    whole = _solved(ring, direction_rad, np.zeros(ring.kx.shape, dtype=bool))
    along, across = _force(ring, whole)
    return FixedField(
        angles_rad=ring.theta,
        places=_across(feature.share, mesh)[:-1],
        pressures=whole,
        force_along=along,
        force_across=across,
    )


def _force(ring: _Ring, pressure: Array) -> tuple[float, float]:
    """Along and across the line of centres."""
    around = np.diff(ring.faces)
    line = (pressure * around[:, None] * ring.dz[None, :]).sum(axis=1)
    mean_cosine = np.diff(np.sin(ring.faces)) / around
    mean_sine = -np.diff(np.cos(ring.faces)) / around
    return float(line @ mean_cosine), float(line @ mean_sine)


def _solved(ring: _Ring, direction_rad: float, full: NDArray[np.bool_]) -> Array:
    """The pressure for a velocity; ``full`` is the guess of the full cells and becomes theirs."""
    n, m = ring.kx.shape
    sweep = np.diff(np.sin(ring.faces - direction_rad))
    source = np.where(ring.empty, _NEVER, 12.0 * sweep[:, None] * ring.dz[None, :])
    cut = int(np.argmin(np.cos(ring.theta - direction_rad)))
    turn = (cut + np.arange(n + 1)) % n
    film = full[turn] if full.any() else source[turn] > 0.0
    pressure = np.zeros((n + 1, m))
    _, changes = reynolds_between_lines(
        ring.kx[turn[:-1]], ring.kz[turn], source[turn], pressure, film, 1e-9, _MOST_SOLVES
    )
    if changes:
        raise ArithmeticError("the rupture of the squeezed film does not settle")
    full[turn[:-1]] = film[:-1]
    full[cut] = False
    whole = np.empty((n, m))
    whole[turn[:-1]] = pressure[:-1]
    return whole


def _ring(
    ratio: float, angle_rad: float, width_ratio: float, feature: Feature, mesh: Mesh
) -> _Ring:
    half_angle = {
        PathGroove.HALF: 0.5 * math.pi,
        PathGroove.HOLE: feature.share * width_ratio,
    }.get(feature.kind, 0.5 * math.pi)
    theta = _lines(ratio, -angle_rad, half_angle, mesh.around)
    after = np.append(theta, theta[0] + 2.0 * np.pi)
    between = 0.5 * (after[1:] + after[:-1])
    faces = np.concatenate(([between[-1] - 2.0 * np.pi], between))
    z = _across(feature.share, mesh)
    nodes, middles = z[:-1], 0.5 * (z[1:] + z[:-1])
    dz = np.diff(np.concatenate(([0.0], middles)))
    away = np.abs((theta + angle_rad + np.pi) % (2.0 * np.pi) - np.pi)
    step_x = np.repeat(np.diff(after)[:, None], nodes.size, axis=1)
    step_z = np.repeat(np.diff(z)[None, :], theta.size, axis=0)
    empty = np.zeros((theta.size, nodes.size), dtype=bool)
    if feature.kind is PathGroove.FULL:
        empty[:, nodes < feature.share + 1e-9] = True
    if feature.kind is PathGroove.HALF:
        empty = (away < half_angle + 1e-9)[:, None] & (nodes < feature.share + 1e-9)[None, :]
    if feature.kind is PathGroove.HOLE:
        empty = _cut_by_hole(away, nodes, half_angle, feature.share, step_x, step_z)
    film_faces = (1.0 - ratio * np.cos(between)) ** 3
    film = (1.0 - ratio * np.cos(theta)) ** 3
    kz = np.zeros((theta.size, nodes.size + 1))
    kz[:, 1:] = (film * np.diff(faces))[:, None] / step_z / width_ratio**2
    return _Ring(
        theta=theta,
        faces=faces,
        dz=dz,
        kx=film_faces[:, None] * dz[None, :] / step_x,
        kz=kz,
        empty=empty,
    )


def _cut_by_hole(
    away: Array, nodes: Array, radius: float, share: float, step_x: Array, step_z: Array
) -> NDArray[np.bool_]:
    """The nodes in the hole; links that its edge cuts are shortened to it, in place."""
    inside = (away[:, None] / radius) ** 2 + (nodes[None, :] / share) ** 2 < 1.0 + 1e-9
    chord = radius * np.sqrt(np.maximum(1.0 - (nodes / share) ** 2, 0.0))
    reach = share * np.sqrt(np.maximum(1.0 - (away / radius) ** 2, 0.0))
    ahead, behind = np.roll(inside, -1, axis=0), inside
    out_x = np.where(ahead, away[:, None], np.roll(away, -1)[:, None]) - chord[None, :]
    cut_x = ahead != behind
    step_x[cut_x] = np.maximum(out_x, _CLOSEST * step_x)[cut_x]
    cut_z = inside[:, :-1] & ~inside[:, 1:]
    out_z = nodes[None, 1:] - reach[:, None]
    step_z[:, :-1][cut_z] = np.maximum(out_z, _CLOSEST * step_z[:, :-1])[cut_z]
    return np.asarray(inside)


def _lines(ratio: float, middle: float, half_angle: float, around: int) -> Array:
    """Angles once round, with lines on both edges of the groove."""
    low = stretched_angle(ratio, middle - half_angle)
    high = stretched_angle(ratio, middle + half_angle)
    share = (high - low) / (2.0 * math.pi)
    inner = min(max(round(around * share), _LEAST_LINES), around - _LEAST_LINES)
    uniform = np.concatenate(
        (
            np.linspace(low, high, inner, endpoint=False),
            np.linspace(high, low + 2.0 * np.pi, around - inner, endpoint=False),
        )
    )
    return relaxed_angle(ratio, uniform)[0]


def _across(share: float, mesh: Mesh) -> Array:
    """Places from the middle to the end, one on the edge of the groove."""
    t = np.linspace(0.0, 1.0, mesh.in_groove + 1)
    inner = (1.0 - _EDGE_SHARE) * t + _EDGE_SHARE * np.sin(0.5 * np.pi * t)
    t = np.linspace(0.0, 1.0, mesh.beside + 1)
    outer = (1.0 - _EDGE_SHARE) * t + _EDGE_SHARE * 0.5 * (1.0 - np.cos(np.pi * t))
    return np.concatenate((share * inner[:-1], share + (1.0 - share) * outer))
