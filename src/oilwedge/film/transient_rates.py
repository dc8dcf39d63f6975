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
    NEXT,
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
def _above(low: float, top: float, high: float, before: float, after: float) -> float:
    """How far a parabola rises over its middle node; the others are so far before and after it."""
    fall, rise = (top - low) / before, (high - top) / after
    bend = (fall - rise) / (before + after)
    lean = (fall * after + rise * before) / (before + after)
    return 0.25 * lean * lean / bend if bend > 0.0 else 0.0


@compiled
def _peak(strip: Floats, p: Floats) -> float:
    """The largest pressure, by parabolas through the nodes beside it.

    A strip that begins with no edge begins at the middle of the bearing, beyond which lies its
    mirror image.
    """
    n, m = p.shape
    best, i, j = 0.0, 0, 0
    for line in range(n):
        for node in range(m):
            if p[line, node] > best:
                best, i, j = p[line, node], line, node
    top = best + _above(p[(i - 1) % n, j], best, p[(i + 1) % n, j], 1.0, 1.0)
    if j + 1 < m and strip[NEXT, j] > 0.0:
        after = 1.0 / strip[NEXT, j]
        if j > 0 and strip[NEXT, j - 1] > 0.0:
            top += _above(p[i, j - 1], best, p[i, j + 1], 1.0 / strip[NEXT, j - 1], after)
        elif strip[SIDE, j] + strip[FEED, j] == 0.0:
            top += _above(best, best, p[i, j + 1], strip[WIDE, j], after)
    return float(top)


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
    """Shear, pumping and flows of a step, in the kernel's units; its flows stand in ``cell``.

    ``gap`` is that of its middle, ``spin`` the ratio ω_j/ω.
    """
    n, m = p.shape
    width = 2.0 * math.pi / n
    copies = flags[COPIES]
    for s in range(SHEAR, RATES):
        sums[s] = 0.0
    sums[PEAK] = _peak(strip, p)
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
    """The oil in the gap, in units of R² C times 12, as the rates are counted."""
    n, m = theta.shape
    gap = np.empty((n, m))
    gap_at(ring, place[0], place[1], form, gap)
    held = 0.0
    for i in range(n):
        for j in range(m):
            held += theta[i, j] * gap[i, j] * strip[WIDE, j]
    return float(12.0 * copies * held * 2.0 * math.pi / n)
