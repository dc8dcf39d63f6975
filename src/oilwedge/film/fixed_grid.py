"""Where the nodes of a map fixed to the bearing lie, and what is written at them.

Three coordinates, of which s and γ are those of :mod:`oilwedge.film.mobility_grid`, with the angle
β from load to line of centres all round; the third is the place ψ of the line of centres from the
middle of the groove, from 0 to π (the other half mirrors it), drawn out at the feature's edge as
near the wall as the pressure there is narrow::

    half groove    σ = atan(tan((ψ − π/2)/2)/k)/atan(1/k)      from −1 to 1
    hole           σ = 4 atan(tan(ψ/2)/k)/π − 1                from −1 to 1

with k = ((1 − ε)/(1 + ε))^(1/4). A film there is told by three numbers: a and c as without a groove
(mobility along the load, peak pressure), and, since the mobility across no longer changes sign with
η, v in  M_η/M_ξ = sinh(asinh q + v),  q = −(4/π) η/(1 − ξ).

What is written is not a, v, c, but how far they have gone from the bearing without groove (0) to
the one of two lands (1): t, and what is left over of v and c. So both limits are exact and what is
left is smooth. A hole has no such other end: there the differences are written as they are.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from oilwedge.film import mobility_grid
from oilwedge.film.path_groove import PathGroove

Array = NDArray[np.float64]

WRITTEN_S: Final = (*np.arange(0.0, 6.1, 0.5).tolist(), 6.25)
NODES_P: Final = 27
NODES_G: Final = 2 * (mobility_grid.NODES_G - 1)
STEP_P: Final = 2.0 / (NODES_P - 1)
WIDTH_RATIOS: Final = (0.1, 0.2, 0.35, 0.6, 1.0)  # splined over their roots
SHARES: Final = (0.1, 0.25, 0.4)
_PER_UNIT: Final = (2048.0, 1024.0, 512.0)  # steps in which the three parts are written


@dataclass(frozen=True, kw_only=True, slots=True)
class FilmNumbers:
    """The numbers a, v, c of films at points of any shape."""

    along: Array
    across: Array
    peak: Array


def groove_angle_at(*, place: float, eccentricity_ratio: float, kind: PathGroove) -> float:
    """The angle ψ [rad] of a value of σ."""
    squeeze = ((1.0 - eccentricity_ratio) / (1.0 + eccentricity_ratio)) ** 0.25
    if kind is PathGroove.HOLE:
        return 2.0 * math.atan(squeeze * math.tan(math.pi / 4.0 * min(place + 1.0, 1.999999999999)))
    turn = place * math.atan(1.0 / squeeze)
    return 0.5 * math.pi + 2.0 * math.atan(squeeze * math.tan(turn))


def numbers_of(*, along: Array, across: Array, peak: Array, xi: Array, eta: Array) -> FilmNumbers:
    """a, v, c of mobilities times (L/D)² and peak pressures p L D/F at ε = (ξ, η)."""
    room = 1.0 - xi
    lean = -4.0 / np.pi * eta / room
    return FilmNumbers(
        along=np.log(along * np.pi / room**2.5),
        across=np.arcsinh(across / along) - np.arcsinh(lean),
        peak=np.log(peak),
    )


def packed(parts: Array) -> NDArray[np.int16]:
    """The parts as whole steps, their axis first, so that a file of them is small.

    Errors: an ArithmeticError for a part that is no number or too large for it.
    """
    steps = np.moveaxis(np.round(parts * _PER_UNIT), -1, 0)
    if not np.abs(steps).max() < 2.0**15:
        raise ArithmeticError("the map holds a value that is no number, or too large a one")
    return np.ascontiguousarray(steps, dtype=np.int16)


def unpacked(steps: NDArray[np.int16]) -> Array:
    """The inverse of :func:`packed`, but for the rounding."""
    return np.asarray(np.moveaxis(steps, 0, -1) / np.array(_PER_UNIT), dtype=np.float64)


def numbers_all_round(table: Array) -> FilmNumbers:
    """a, v, c at the nodes of s by those of γ all round, from the plain map at its nodes."""
    whole = np.concatenate((table, table[:, -2:0:-1]), axis=1)
    gamma = mobility_grid.STEP_G * np.arange(NODES_G)
    ratio = -np.expm1(-mobility_grid.STEP_S * np.arange(table.shape[0]))[:, None]
    squeeze = ((1.0 - ratio) / (1.0 + ratio)) ** 0.25
    beta = 2.0 * np.arctan2(squeeze * np.sin(0.5 * gamma), np.cos(0.5 * gamma))
    lean = -4.0 / np.pi * ratio * np.sin(beta) / (1.0 - ratio * np.cos(beta))
    return FilmNumbers(
        along=whole[..., 0],
        across=np.arcsinh(lean * np.exp(whole[..., 1] - whole[..., 0])) - np.arcsinh(lean),
        peak=whole[..., 2],
    )


def two_lands(numbers: FilmNumbers, *, share: float) -> FilmNumbers:
    """Of the whole bearing, from those of one of its two lands; ``share`` is the groove's, a ratio.

    Each land has (1 − share)/2 of the width and half of the load.
    """
    return FilmNumbers(
        along=numbers.along + math.log(4.0 / (1.0 - share) ** 3),
        across=numbers.across,
        peak=numbers.peak - math.log(1.0 - share),
    )


def parts_of(
    numbers: FilmNumbers, *, plain: FilmNumbers, lands: FilmNumbers | None
) -> tuple[Array, Array, Array]:
    """What is written of a film between a bearing without groove and one of two lands."""
    if lands is None:
        return numbers.along - plain.along, numbers.across - plain.across, numbers.peak - plain.peak
    part = (numbers.along - plain.along) / (lands.along - plain.along)
    return (
        part,
        numbers.across - plain.across - part * (lands.across - plain.across),
        numbers.peak - plain.peak - part * (lands.peak - plain.peak),
    )


def numbers_from(
    parts: tuple[Array, Array, Array], *, plain: FilmNumbers, lands: FilmNumbers | None
) -> FilmNumbers:
    """The inverse of :func:`parts_of`."""
    part, across, peak = parts
    if lands is None:
        return FilmNumbers(
            along=plain.along + part, across=plain.across + across, peak=plain.peak + peak
        )
    return FilmNumbers(
        along=plain.along + part * (lands.along - plain.along),
        across=plain.across + part * (lands.across - plain.across) + across,
        peak=plain.peak + part * (lands.peak - plain.peak) + peak,
    )
