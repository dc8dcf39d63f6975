"""Pure squeeze of a journal in a bearing of finite width: force and peak pressure for a velocity.

The Reynolds equation of a film that is only squeezed, seen from axes in which journal and bearing
do not turn together (their mean speed is taken out)::

    d/dθ(H³ dp/dθ) + (D/L)² d/dζ(H³ dp/dζ) = −12 ν·n      H = 1 − e·n      n = (cos θ, sin θ)

with θ the angle from the line of centres, on the side of the smallest film; ζ = 2z/L from 0 in the
middle to 1 at the end; e the eccentricity over the radial clearance C, ν its rate; p the pressure
over μ (R/C)². Boundaries: p = 0 at the ends (ambient), p ≥ 0 with the Reynolds condition, that is,
pressure and its slope vanish where the film ruptures (Swift-Stieber). There is no groove.

The force that the film carries is F = μ (R/C)² (L D/2) w with w = ∫∫ p n dζ dθ (ζ from 0 to 1), so
that the mobility is M = 2 ν/|w| in  dε/dt = F (C/R)²/(μ L D) M.

Method: finite volumes of second order on a mesh that is finer at the smallest film and at the ends;
the ruptured region by an active set, which ends exactly, each step by a banded Cholesky solution.

Source: O. Pinkus and B. Sternlicht, Theory of Hydrodynamic Lubrication, 1961, ch. 3 (RECALLED), for
the equation; J. F. Booker, J. Basic Engineering 87, 1965 (RECALLED), for the mobility.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from oilwedge.errors import Fault, OutOfRangeError

Array = NDArray[np.float64]

_LARGEST_ROUNDS = 200
_MESH_POWER = 0.3  # how strongly the mesh follows the smallest film
_QUARTERS = (-0.5, 0.5)


@dataclass(frozen=True, kw_only=True, slots=True)
class Squeezed:
    """The film's answer to a unit velocity, all without dimension.

    force_along, force_across: w along and across the line of centres (across: towards larger θ).
    peak_pressure: the largest p.
    """

    force_along: float
    force_across: float
    peak_pressure: float

    @property
    def force(self) -> float:
        """The size of w."""
        return math.hypot(self.force_along, self.force_across)


def solve_short_squeeze(*, eccentricity_ratio: float, direction_rad: float) -> Squeezed:
    """The limit of :func:`solve_squeeze` for a width ratio of 0, over (L/D)².

    There p = 6 (L/D)² (1 − ζ²) ν·n/H³ wherever ν·n > 0, and nothing elsewhere (the half film of
    Ocvirk, which the Reynolds condition gives by itself); w is a sum over the half that closes.
    Errors: an :class:`OutOfRangeError` outside 0 ≤ ε < 1.
    """
    _check(eccentricity_ratio, 1.0)
    nodes, weights = _gauss()
    first, last = (
        stretched_angle(eccentricity_ratio, direction_rad + turn * np.pi) for turn in _QUARTERS
    )
    uniform = first + (last - first) * (nodes + 1.0) / 2.0
    angle, slope = relaxed_angle(eccentricity_ratio, uniform)
    film = (1.0 - eccentricity_ratio * np.cos(angle)) ** 3
    pressure = 6.0 * np.maximum(np.cos(angle - direction_rad), 0.0) / film
    line = (2.0 / 3.0) * pressure * slope * weights * (last - first) / 2.0
    return Squeezed(
        force_along=float(line @ np.cos(angle)),
        force_across=float(line @ np.sin(angle)),
        peak_pressure=float(pressure.max()),
    )


@cache
def _gauss() -> tuple[Array, Array]:
    nodes, weights = np.polynomial.legendre.leggauss(240)
    return nodes, weights


def _check(eccentricity_ratio: float, width_ratio: float) -> None:
    if not 0.0 <= eccentricity_ratio < 1.0:
        raise OutOfRangeError(
            Fault(
                given=f"eccentricity ratio {eccentricity_ratio:g}",
                allowed="the journal stays inside its clearance, from 0 to below 1",
            )
        )
    if not width_ratio > 0.0:
        raise OutOfRangeError(
            Fault(given=f"width ratio {width_ratio:g}", allowed="a width over diameter above 0")
        )


def stretched_angle(eccentricity_ratio: float, angle_rad: float) -> float:
    """The uniform coordinate of an angle, both in rad: spread out where the film is smallest."""
    spread = ((1.0 + eccentricity_ratio) / (1.0 - eccentricity_ratio)) ** _MESH_POWER
    turns = 2.0 * np.pi * round(angle_rad / (2.0 * np.pi))
    half = (angle_rad - turns) / 2.0
    return 2.0 * math.atan2(spread * math.sin(half), math.cos(half)) + turns


def relaxed_angle(eccentricity_ratio: float, uniform: Array) -> tuple[Array, Array]:
    """The angle of a uniform coordinate, and its slope."""
    spread = ((1.0 + eccentricity_ratio) / (1.0 - eccentricity_ratio)) ** _MESH_POWER
    turns = 2.0 * np.pi * np.round(uniform / (2.0 * np.pi))
    half = (uniform - turns) / 2.0
    sine, cosine = np.sin(half), np.cos(half)
    angle = 2.0 * np.arctan2(sine, spread * cosine) + turns
    return angle, spread / (sine**2 + (spread * cosine) ** 2)


def _angles(eccentricity_ratio: float, cut_rad: float, cells: int) -> tuple[Array, Array]:
    """Faces and centres of the cells around the bearing, from the cut once round."""
    start = stretched_angle(eccentricity_ratio, cut_rad)
    step = 2.0 * np.pi / cells
    faces, _ = relaxed_angle(eccentricity_ratio, np.asarray(start + step * np.arange(cells + 1)))
    centres, _ = relaxed_angle(
        eccentricity_ratio, np.asarray(start + step * (np.arange(cells) + 0.5))
    )
    return faces, centres


def solve_squeeze(
    *,
    eccentricity_ratio: float,
    direction_rad: float,
    width_ratio: float,
    cells_around: int = 360,
    cells_half_width: int = 16,
) -> Squeezed:
    """The film's force and peak pressure for the unit velocity at ``direction_rad``.

    direction_rad: from the line of centres, where the film is smallest. width_ratio: L/D.
    Errors: an :class:`OutOfRangeError` outside 0 ≤ ε < 1 and L/D > 0, and where no line across
    the bearing is free of pressure (a bearing so wide that the film would not rupture).
    """
    field = solve_squeeze_field(
        eccentricity_ratio=eccentricity_ratio,
        direction_rad=direction_rad,
        width_ratio=width_ratio,
        cells_around=cells_around,
        cells_half_width=cells_half_width,
    )
    return Squeezed(
        force_along=field.force_along,
        force_across=field.force_across,
        peak_pressure=float(field.pressures.max()),
    )


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class SqueezeField:
    """The film's pressure for a unit velocity; without dimension as in :class:`Squeezed`.

    pressures[i, j] at angles_rad[i] from the line of centres (rising, from where the film is free
    of pressure once round) and places[j], ζ from the middle of the width to one end; the other half
    of the width is alike. Values of cells, which reach neither middle nor end.
    """

    angles_rad: Array
    places: Array
    pressures: Array
    force_along: float
    force_across: float


def solve_squeeze_field(
    *,
    eccentricity_ratio: float,
    direction_rad: float,
    width_ratio: float,
    cells_around: int = 360,
    cells_half_width: int = 16,
) -> SqueezeField:
    """The pressure all over the film for the unit velocity at ``direction_rad``.

    Arguments and errors are those of :func:`solve_squeeze`.
    """
    _check(eccentricity_ratio, width_ratio)
    faces, centres = _angles(eccentricity_ratio, direction_rad + np.pi, cells_around)
    ends = np.sin(0.5 * np.pi * np.linspace(0.0, 1.0, cells_half_width + 1))
    across = np.diff(ends)
    middles = 0.5 * (ends[1:] + ends[:-1])
    around = np.diff(faces)
    band, diagonal, source = _equations(
        eccentricity_ratio, direction_rad, width_ratio, faces, centres, across, middles
    )
    pressure = _ruptured(band, diagonal, source).reshape(cells_around, cells_half_width)
    if pressure[0].any() or pressure[-1].any():
        raise OutOfRangeError(
            Fault(
                given=f"width ratio {width_ratio:g}",
                allowed="a bearing narrow enough that its film ruptures opposite the squeeze",
            )
        )
    line = pressure @ across * around
    return SqueezeField(
        angles_rad=centres,
        places=middles,
        pressures=pressure,
        force_along=float(line @ np.cos(centres)),
        force_across=float(line @ np.sin(centres)),
    )


def _equations(
    eccentricity_ratio: float,
    direction_rad: float,
    width_ratio: float,
    faces: Array,
    centres: Array,
    across: Array,
    middles: Array,
) -> tuple[tuple[Array, Array], Array, Array]:
    """Couplings to the next cell across and around, diagonal, and right-hand side."""
    around = np.diff(faces)
    film_faces = (1.0 - eccentricity_ratio * np.cos(faces)) ** 3
    film_cells = (1.0 - eccentricity_ratio * np.cos(centres)) ** 3
    span = np.concatenate(([centres[0] - faces[0]], np.diff(centres), [faces[-1] - centres[-1]]))
    ring = (film_faces / span)[:, None] * across[None, :]
    gaps = np.append(np.diff(middles), 1.0 - middles[-1])
    end = (film_cells * around)[:, None] / gaps[None, :] / width_ratio**2
    diagonal = ring[:-1] + ring[1:] + end
    diagonal[:, 1:] += end[:, :-1]
    next_across = -end.copy()
    next_across[:, -1] = 0.0  # the end of the bearing is no cell
    next_around = -ring[1:].copy()
    next_around[-1] = 0.0
    sweep = np.diff(np.sin(faces - direction_rad))
    source = 12.0 * sweep[:, None] * across[None, :]
    return (next_across.ravel(), next_around.ravel()), diagonal.ravel(), source.ravel()


def _ruptured(couplings: tuple[Array, Array], diagonal: Array, source: Array) -> Array:
    """The pressure p ≥ 0 whose equations hold wherever p > 0 (an active set, to its end)."""
    from scipy.linalg import solveh_banded

    next_across, next_around = couplings
    cells = diagonal.size
    wide = cells - int(np.flatnonzero(next_around == 0.0)[0])
    full = source > 0.0
    for _ in range(_LARGEST_ROUNDS):
        band = np.zeros((wide + 1, cells))
        band[0] = np.where(full, diagonal, 1.0)
        band[1, :-1] = np.where(full[:-1] & full[1:], next_across[:-1], 0.0)
        band[wide, :-wide] = np.where(full[:-wide] & full[wide:], next_around[:-wide], 0.0)
        pressure = solveh_banded(
            band, np.where(full, source, 0.0), lower=True, check_finite=False, overwrite_ab=True
        )
        left_over = source - diagonal * pressure
        left_over[:-1] -= next_across[:-1] * pressure[1:]
        left_over[1:] -= next_across[:-1] * pressure[:-1]
        left_over[:-wide] -= next_around[:-wide] * pressure[wide:]
        left_over[wide:] -= next_around[:-wide] * pressure[:-wide]
        now = np.where(full, pressure > 0.0, left_over > 1e-12 * np.abs(source).max())
        if np.array_equal(now, full):
            return np.asarray(np.where(full, pressure, 0.0))
        full = now
    raise ArithmeticError("the rupture of the squeezed film does not settle")
