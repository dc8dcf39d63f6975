"""What a step of :mod:`oilwedge.film.transient_kernel` amounts to (compiled by numba)."""

from __future__ import annotations

import math
from typing import Final

import numpy as np
from numpy.typing import NDArray

from oilwedge.film.transient_kernel import (
    COPIES,
    END,
    FEED,
    FLOW_Z,
    GROOVE,
    KX,
    MISS,
    SIDE,
    WIDE,
    gap_at,
)
from oilwedge.film.transient_lines import compiled

Floats = NDArray[np.float64]
Mask = NDArray[np.bool_]

PEAK, SHEAR, THIN_SHEAR, PUMPED, SIDE_OUT, SIDE_IN, FED = range(7)
"""Places of what is summed: peak pressure; rates of shear of the full gap and of the film
fraction, of the pressure flow's work, of flow out of and into the ends and from the groove."""
RATES: Final = 7


@compiled
def _peak(p: Floats) -> float:
    """The largest pressure, by a parabola through three lines."""
    n, m = p.shape
    best, i_best, j_best = 0.0, 0, 0
    for i in range(n):
        for j in range(m):
            if p[i, j] > best:
                best, i_best, j_best = p[i, j], i, j
    low, high = p[(i_best - 1) % n, j_best], p[(i_best + 1) % n, j_best]
    bend = 2.0 * best - low - high
    return best + 0.125 * (high - low) ** 2 / bend if bend > 0.0 else best


@compiled
def step_rates(
    strip: Floats,
    flags: Floats,
    fixed: Mask,
    spin: float,
    gap: Floats,
    p: Floats,
    theta: Floats,
    cell: Floats,
    sums: Floats,
) -> None:
    """Shear, pumping and flows of a step, whose flows stand in ``cell``; ``gap`` is its middle."""
    n, m = p.shape
    width = 2.0 * math.pi / n
    copies = flags[COPIES]
    for s in range(SHEAR, RATES):
        sums[s] = 0.0
    sums[PEAK] = _peak(p)
    for i in range(n):
        for j in range(m):
            h = gap[i, j]
            shear = copies * width * strip[WIDE, j] / h * spin * spin
            sums[SHEAR] += shear
            sums[THIN_SHEAR] += shear * theta[i, j]
            side, feed = p[i, j] - flags[END], flags[GROOVE] - p[i, j]
            out = copies * h**3 * width * strip[SIDE, j] * side
            fed = copies * h**3 * width * strip[FEED, j] * feed
            ahead = p[i, j] - p[(i + 1) % n, j]
            work = cell[KX, i, j] * ahead * ahead
            if j + 1 < m:
                work += cell[FLOW_Z, i, j] * (p[i, j] - p[i, j + 1])
            sums[PUMPED] += copies * work + out * side + fed * feed
            sums[SIDE_OUT] += max(out, 0.0)
            sums[SIDE_IN] += max(-out, 0.0)
            sums[FED] += fed
            if fixed[i, j]:
                sums[FED] += copies * cell[MISS, i, j]


@compiled
def oil_held(
    ring: Floats, strip: Floats, copies: float, place: Floats, form: Floats, theta: Floats
) -> float:
    """The oil in the gap, in R² C times 12, as the rates are counted."""
    n, m = theta.shape
    gap = np.empty((n, m))
    gap_at(ring, place[0], place[1], form, gap)
    held = 0.0
    for i in range(n):
        for j in range(m):
            held += theta[i, j] * gap[i, j] * strip[WIDE, j]
    return float(12.0 * copies * held * 2.0 * math.pi / n)
