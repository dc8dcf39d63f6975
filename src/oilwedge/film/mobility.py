"""The mobility of a journal: how fast a load drives it, for a short bearing and a finite one.

In axes that turn at the mean speed of journal and bearing, ω̄ = (ω_j + ω_b)/2, the film is only
squeezed, and the journal moves as::

    dε/dt = F (C/R)²/(μ L D) · M(ε, direction of F)                                        (1)

so that in axes fixed to the bearing dε/dt = F (C/R)²/(μ L D) M + (ω_j/2) k × ε. Without a groove, M
is fixed by the eccentricity ratio, the angle β from load to line of centres, and L/D. It is exact
for the film of :mod:`oilwedge.film.squeeze`: isoviscous oil, rigid aligned cylinders, ends open to
ambient pressure, rupture by the Reynolds condition with no oil history (not mass-conserving).

Two maps: of a short bearing (half film, the limit L/D → 0) and of a finite one, interpolated in the
package's table, which ``python -m oilwedge.film.make_mobility_map`` makes.
Range: ε from 0 to 0.998, L/D from 0.1 to 1.6. Source of the method: J. F. Booker, J. Basic
Engineering 87, 1965, and J. Lubrication Technology 93, 1971 (RECALLED).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Final

import numpy as np
from numba import njit
from numpy.typing import NDArray

from oilwedge.errors import Fault, OutOfRangeError
from oilwedge.film import mobility_grid as grid

Array = NDArray[np.float64]

LARGEST_ECCENTRICITY: Final = grid.LARGEST_ECCENTRICITY
SMALLEST_WIDTH_RATIO: Final = 0.1
LARGEST_WIDTH_RATIO: Final = 1.6

_FINER = 2  # a read map is drawn out by splines, for the kernel's cubic pieces
_CELLS_S = (grid.NODES_S - 1) * _FINER
_CELLS_G = (grid.NODES_G - 1) * _FINER
_STEP_S = grid.STEP_S / _FINER
_STEP_G = grid.STEP_G / _FINER
_MAP_FILE = Path(__file__).with_name("mobility_map.npz")


@dataclass(frozen=True, kw_only=True, slots=True)
class MobilityMap:
    """The mobility of bearings of one width ratio, times (L/D)², on the finer grid with a rim.

    table: nodes of s by nodes of γ (see :mod:`oilwedge.film.mobility_grid`) by three logarithms.
    width_ratio: L/D of the bearing that it is for.
    """

    table: Array
    width_ratio: float


@dataclass(frozen=True, kw_only=True, slots=True)
class Mobility:
    """Along and across the load (a quarter turn on from it), and the peak pressure p L D/F."""

    along: float
    across: float
    peak_pressure_ratio: float


def short_bearing_map(*, width_ratio: float) -> MobilityMap:
    """The map of the short bearing: parabolic pressure across the width, half film (Ocvirk)."""
    _check_width(width_ratio, 0.0)
    return MobilityMap(table=_finer(0.0), width_ratio=width_ratio)


def finite_bearing_map(*, width_ratio: float) -> MobilityMap:
    """The map of a bearing of finite width, L/D from 0.1 to 1.6."""
    _check_width(width_ratio, SMALLEST_WIDTH_RATIO)
    return MobilityMap(table=_finer(width_ratio), width_ratio=width_ratio)


def find_mobility(*, map_: MobilityMap, along_load: float, across_load: float) -> Mobility:
    """The mobility at an eccentricity ratio of components ξ along the load and η across it.

    Errors: an :class:`OutOfRangeError` where ε = √(ξ² + η²) is above 0.998.
    """
    ratio = math.hypot(along_load, across_load)
    if not ratio <= LARGEST_ECCENTRICITY:
        raise OutOfRangeError(
            Fault(
                given=f"eccentricity ratio {ratio:g}",
                allowed=f"the mobility map reaches from 0 to {LARGEST_ECCENTRICITY:g}",
            )
        )
    along, across, peak = mobility_at(map_.table, along_load, across_load)
    scale = map_.width_ratio**2
    return Mobility(along=along / scale, across=across / scale, peak_pressure_ratio=peak)


def closed_form_short_mobility(
    *, along_load: float, across_load: float, width_ratio: float
) -> tuple[float, float]:
    """The published closed form for the short bearing, within 1 to 9 % of its exact half film.

    M_ξ = (D/L)² (1 − ξ)^(5/2)/π, M_η = −(D/L)² 4 η (1 − ξ)^(3/2)/π². Source: J. F. Booker, 1965
    (RECALLED). It serves as a check and as the norm of the maps, not for answers.
    """
    room = 1.0 - along_load
    scale = width_ratio**2
    return (
        room**2.5 / math.pi / scale,
        -4.0 * across_load * room**1.5 / math.pi**2 / scale,
    )


def _check_width(width_ratio: float, smallest: float) -> None:
    if not (smallest <= width_ratio <= LARGEST_WIDTH_RATIO and width_ratio > 0.0):
        raise OutOfRangeError(
            Fault(
                given=f"a width of {width_ratio:g} diameters",
                allowed=f"the mobility map holds for widths from {SMALLEST_WIDTH_RATIO:g} to"
                f" {LARGEST_WIDTH_RATIO:g} diameters",
                action="check width and diameter and their units",
            )
        )


@lru_cache(maxsize=1)
def _written() -> tuple[Array, Array]:
    with np.load(_MAP_FILE) as file:
        return file["table"].astype(np.float64), file["width_ratios"].astype(np.float64)


def written_map(width_ratio: float) -> Array:
    """The three logarithms at the map's own nodes (s by γ), at a width ratio from 0 to 1.6.

    It is not checked. Below 0.1 it runs on to the short bearing, with a larger error near the wall.
    """
    from scipy.interpolate import CubicSpline

    tables, widths = _written()
    table = tables[0] if width_ratio == 0.0 else CubicSpline(widths, tables)(width_ratio)
    return np.asarray(table, dtype=np.float64)


@lru_cache(maxsize=256)
def _finer(width_ratio: float) -> Array:
    """The written map at a width ratio, drawn out by splines, with a rim one node wide."""
    from scipy.interpolate import CubicSpline

    table = written_map(width_ratio)
    nodes_s = np.arange(grid.NODES_S) * _FINER
    table = CubicSpline(nodes_s, table)(np.arange(-1, _CELLS_S + 2))
    even = np.concatenate((table[:, 4:0:-1], table, table[:, -2:-6:-1]), axis=1)
    nodes_g = np.arange(-4, grid.NODES_G + 4) * _FINER
    finer = np.ascontiguousarray(
        CubicSpline(nodes_g, even, axis=1)(np.arange(-1, _CELLS_G + 2)), dtype=np.float64
    )
    finer.setflags(write=False)
    return finer


@njit(cache=True, inline="always")
def _weights(part: float) -> tuple[float, float, float, float]:
    """Of the cubic through four values that is smooth from one cell to the next."""
    rest = 1.0 - part
    return (
        -0.5 * part * rest * rest,
        1.0 - part * part * (2.5 - 1.5 * part),
        1.0 - rest * rest * (2.5 - 1.5 * rest),
        -0.5 * rest * part * part,
    )


@njit(cache=True)
def half_angle(x: float, y: float, length: float, squeeze: float) -> float:
    """atan(tan(ψ/2)/k), ψ from 0 to π the angle of (x, ±y) from x; right at x = −length as well."""
    if x >= 0.0:
        return math.atan2(abs(y), squeeze * (length + x))
    return math.atan2(length - x, squeeze * abs(y))


@njit(cache=True)
def mobility_at(table: Array, xi: float, eta: float) -> tuple[float, float, float]:
    """(L/D)² M along and across the load, and p L D/F, at an ε inside the map (unchecked)."""
    ratio = math.sqrt(xi * xi + eta * eta)
    place = -math.log(1.0 - ratio) / _STEP_S
    row = min(int(place), _CELLS_S - 1)
    squeeze = ((1.0 - ratio) / (1.0 + ratio)) ** 0.25
    angle = 2.0 * half_angle(xi, eta, ratio, squeeze) if ratio > 0.0 else 0.0
    across = angle / _STEP_G
    column = min(int(across), _CELLS_G - 1)
    down = _weights(place - row)
    along = _weights(across - column)
    a = b = c = 0.0
    for i in range(4):
        for j in range(4):
            weight = down[i] * along[j]
            a += weight * table[row + i, column + j, 0]
            b += weight * table[row + i, column + j, 1]
            c += weight * table[row + i, column + j, 2]
    room = 1.0 - xi
    power = room * math.sqrt(room)
    return (
        power * room / math.pi * math.exp(a),
        -4.0 / (math.pi * math.pi) * eta * power * math.exp(b),
        math.exp(c),
    )
