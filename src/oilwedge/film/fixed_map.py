"""The mobility of a journal in a bearing with a half groove or a hole, which stand in the bearing.

As :mod:`oilwedge.film.mobility`, but M depends on two directions besides ε: that of the
eccentricity and that of the load, both in the bearing. In axes fixed to the bearing::

    dε/dt = F (C/R)²/(μ L D) · M(ε, ψ, direction of F) + (ω_j/2) k × ε                     (1)

which is as exact as without a groove: :mod:`oilwedge.film.fixed_squeeze` says why. The pressure in
the groove is ambient; the supply is neglected. The map is read from the package's tables, which
``python -m oilwedge.film.make_fixed_map`` makes, written as :mod:`oilwedge.film.fixed_grid` says.

Range: ε from 0 to 0.998, L/D from 0.1 to 1, groove or hole 0.1 to 0.4 of the width.
Axes here: x through the middle of the groove or hole.
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
from oilwedge.film import fixed_grid, mobility_grid
from oilwedge.film.mobility import LARGEST_ECCENTRICITY, Mobility, half_angle, written_map
from oilwedge.film.path_groove import PathGroove

Array = NDArray[np.float64]

_FOLDER = Path(__file__).parent
_STEP_S: Final = mobility_grid.STEP_S
_STEP_P: Final = fixed_grid.STEP_P
_STEP_G: Final = mobility_grid.STEP_G
_LAST_ROW: Final = mobility_grid.NODES_S - 2
_LAST_PLACE: Final = fixed_grid.NODES_P - 2
_CENTRED: Final = 1e-9  # an ε that has no direction any more


@dataclass(frozen=True, kw_only=True, slots=True)
class FixedMap:
    """The map of one bearing, times (L/D)², as coefficients of cubic B-splines.

    motion: nodes of s by σ by γ, each with a rim, by a and v; peak: the same by c. hole: 1 for a
    hole, 0 for a half groove. width_ratio: L/D.
    """

    motion: Array
    peak: Array
    hole: int
    width_ratio: float


@lru_cache(maxsize=64)
def fixed_bearing_map(*, kind: PathGroove, width_ratio: float, share: float) -> FixedMap:
    """The map of a bearing with a half groove, or a hole, of ``share`` of its width.

    Errors: an :class:`OutOfRangeError` outside L/D 0.1 to 1 and a share of 0.1 to 0.4.
    """
    _check(kind, width_ratio, share)
    parts = _parts(kind, width_ratio, share)
    shape = (mobility_grid.NODES_S, 1, fixed_grid.NODES_G)
    plain = _reshaped(fixed_grid.numbers_all_round(written_map(width_ratio)), shape)
    lands = None
    if kind is PathGroove.HALF:
        land = fixed_grid.numbers_all_round(written_map(0.5 * width_ratio * (1.0 - share)))
        lands = _reshaped(fixed_grid.two_lands(land, share=share), shape)
    numbers = fixed_grid.numbers_from(
        (parts[..., 0], parts[..., 1], parts[..., 2]), plain=plain, lands=lands
    )
    return FixedMap(
        motion=_coefficients(np.stack((numbers.along, numbers.across), axis=-1)),
        peak=_coefficients(numbers.peak[..., None]),
        hole=int(kind is PathGroove.HOLE),
        width_ratio=width_ratio,
    )


def find_fixed_mobility(
    *, map_: FixedMap, eccentricity_x: float, eccentricity_y: float, load_angle_rad: float
) -> Mobility:
    """The mobility along and across the load, and the peak pressure, at an eccentricity ratio.

    x lies through the middle of the groove or hole, and so do the angles count.
    Errors: an :class:`OutOfRangeError` where ε is above 0.998.
    """
    ratio = math.hypot(eccentricity_x, eccentricity_y)
    if not ratio <= LARGEST_ECCENTRICITY:
        raise OutOfRangeError(
            Fault(
                given=f"eccentricity ratio {ratio:g}",
                allowed=f"the mobility map reaches from 0 to {LARGEST_ECCENTRICITY:g}",
            )
        )
    at = eccentricity_x, eccentricity_y, math.cos(load_angle_rad), math.sin(load_angle_rad)
    along, across = fixed_mobility_at(map_.motion, map_.hole, *at)
    scale = map_.width_ratio**2
    return Mobility(
        along=along / scale,
        across=across / scale,
        peak_pressure_ratio=fixed_peak_at(map_.peak, map_.hole, *at),
    )


def _check(kind: PathGroove, width_ratio: float, share: float) -> None:
    widths, shares = fixed_grid.WIDTH_RATIOS, fixed_grid.SHARES
    what = "hole" if kind is PathGroove.HOLE else "half groove"
    if not widths[0] <= width_ratio <= widths[-1]:
        raise OutOfRangeError(
            Fault(
                given=f"a width of {width_ratio:g} diameters with a {what}",
                allowed=f"with a {what} the mobility map holds for widths from {widths[0]:g} to"
                f" {widths[-1]:g} diameters",
                action="check width and diameter and their units, or leave the groove out",
            )
        )
    if not shares[0] <= share <= shares[-1]:
        raise OutOfRangeError(
            Fault(
                given=f"a {what} of {share * 100:g} % of the width",
                allowed=f"the mobility map holds for a {what} from {shares[0] * 100:g} to"
                f" {shares[-1] * 100:g} % of the width",
                action=f"check the {what} and the width, or leave the groove out",
            )
        )


@lru_cache(maxsize=2)
def _written(kind: PathGroove) -> Array:
    with np.load(_FOLDER / f"fixed_map_{kind.value}.npz") as file:
        return fixed_grid.unpacked(file["table"])


def _parts(kind: PathGroove, width_ratio: float, share: float) -> Array:
    """What is written, at the nodes of s of the plain map, by σ by γ by three."""
    from scipy.interpolate import CubicSpline

    roots = np.sqrt(fixed_grid.WIDTH_RATIOS)
    of_width = CubicSpline(roots, _written(kind))(math.sqrt(width_ratio))
    of_share = CubicSpline(fixed_grid.SHARES, of_width)(share)
    nodes = _STEP_S * np.arange(mobility_grid.NODES_S)
    return np.asarray(CubicSpline(fixed_grid.WRITTEN_S, of_share)(nodes), dtype=np.float64)


def _reshaped(
    numbers: fixed_grid.FilmNumbers, shape: tuple[int, int, int]
) -> fixed_grid.FilmNumbers:
    return fixed_grid.FilmNumbers(
        along=numbers.along.reshape(shape),
        across=numbers.across.reshape(shape),
        peak=numbers.peak.reshape(shape),
    )


def _coefficients(values: Array) -> Array:
    """Of cubic B-splines through nodes a step of 1 apart: f − f''/6, with a rim round them."""
    from scipy.interpolate import CubicSpline

    for axis in (0, 1):
        nodes = np.arange(values.shape[axis])
        bent = CubicSpline(nodes, values, axis=axis)(nodes, 2)
        inner = np.moveaxis(values - bent / 6.0, axis, 0)
        ends = np.moveaxis(values, axis, 0)
        before = 6.0 * ends[:1] - 4.0 * inner[:1] - inner[1:2]
        after = 6.0 * ends[-1:] - 4.0 * inner[-1:] - inner[-2:-1]
        values = np.moveaxis(np.concatenate((before, inner, after)), 0, axis)
    wrapped = np.concatenate((values, values[:, :, :1]), axis=2)
    nodes = np.arange(wrapped.shape[2])
    bent = CubicSpline(nodes, wrapped, axis=2, bc_type="periodic")(nodes[:-1], 2)
    inner = values - bent / 6.0
    found = np.ascontiguousarray(np.concatenate((inner[:, :, -1:], inner, inner[:, :, :2]), axis=2))
    found.setflags(write=False)
    return found


@njit(cache=True, inline="always")
def _weights(part: float) -> tuple[float, float, float, float]:
    """Of the four cubic B-splines that reach into a cell."""
    rest = 1.0 - part
    third = part * part * part / 6.0
    first = rest * rest * rest / 6.0
    return (
        first,
        2.0 / 3.0 - part * part * (1.0 - 0.5 * part),
        2.0 / 3.0 - rest * rest * (1.0 - 0.5 * rest),
        third,
    )


@njit(cache=True)
def _place(
    hole: int, x: float, y: float, cosine: float, sine: float
) -> tuple[float, float, float, float, float, float]:
    """s, σ + 1 and γ in steps of the nodes, ξ, η, all mirrored to y ≥ 0; and −1 if mirrored."""
    ratio = math.sqrt(x * x + y * y)
    if ratio < _CENTRED:
        x, y, ratio = _CENTRED, 0.0, _CENTRED
    mirror = 1.0
    if y < 0.0:
        y, sine, mirror = -y, -sine, -1.0
    xi = x * cosine + y * sine
    eta = y * cosine - x * sine
    squeeze = math.sqrt(math.sqrt((1.0 - ratio) / (1.0 + ratio)))
    if hole:
        place = 4.0 / math.pi * half_angle(x, y, ratio, squeeze)
    else:
        place = 1.0 - math.atan2(x, squeeze * (ratio + y)) / math.atan(1.0 / squeeze)
    gamma = 2.0 * half_angle(xi, eta, ratio, squeeze)
    if eta < 0.0:
        gamma = 2.0 * math.pi - gamma
    return -math.log(1.0 - ratio) / _STEP_S, place / _STEP_P, gamma / _STEP_G, xi, eta, mirror


@njit(cache=True)
def fixed_mobility_at(
    table: Array, hole: int, x: float, y: float, cosine: float, sine: float
) -> tuple[float, float]:
    """(L/D)² M along and across a load of direction (cosine, sine), inside the map (unchecked)."""
    s, p, g, xi, eta, mirror = _place(hole, x, y, cosine, sine)
    row = min(int(s), _LAST_ROW)
    middle = min(max(int(p), 0), _LAST_PLACE)
    column = min(int(g), fixed_grid.NODES_G - 1)
    in_s, in_p, in_g = _weights(s - row), _weights(p - middle), _weights(g - column)
    a = v = 0.0
    for i in range(4):
        for j in range(4):
            weight = in_s[i] * in_p[j]
            of_a = of_v = 0.0
            for k in range(4):
                of_a += in_g[k] * table[row + i, middle + j, column + k, 0]
                of_v += in_g[k] * table[row + i, middle + j, column + k, 1]
            a += weight * of_a
            v += weight * of_v
    room = 1.0 - xi
    along = room * room * math.sqrt(room) / math.pi * math.exp(a)
    lean = -4.0 / math.pi * eta / room
    up = math.exp(v)
    down = 1.0 / up
    across = along * 0.5 * ((up - down) * math.sqrt(1.0 + lean * lean) + (up + down) * lean)
    return along, mirror * across


@njit(cache=True)
def fixed_peak_at(table: Array, hole: int, x: float, y: float, cosine: float, sine: float) -> float:
    """p L D/F at an ε inside the map (unchecked)."""
    s, p, g, _, _, _ = _place(hole, x, y, cosine, sine)
    row = min(int(s), _LAST_ROW)
    middle = min(max(int(p), 0), _LAST_PLACE)
    column = min(int(g), fixed_grid.NODES_G - 1)
    in_s, in_p, in_g = _weights(s - row), _weights(p - middle), _weights(g - column)
    c = 0.0
    for i in range(4):
        for j in range(4):
            for k in range(4):
                weight = in_s[i] * in_p[j] * in_g[k]
                c += weight * table[row + i, middle + j, column + k, 0]
    return math.exp(c)
