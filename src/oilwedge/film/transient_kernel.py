"""One step of :mod:`oilwedge.film.transient`, where the equations stand (compiled by numba).

Finite volumes fixed to the bearing: n lines evenly round it, m cells along the width. A step from
0 to 1 over Δφ has the gap and the load of its middle (implicit midpoint) and the film fraction of
its end, handed on upwind. With A the area of a cell, H the gap over C and s = ω_j/ω::

    12 A (θ₁H₁ − θ₀H₀)/Δφ + Σ out of the faces of [6 s θ₁ H − H³ ∂P] = 0                   (1)
    Σ P n A = W                                                                             (2)

Unknowns are P in full cells, θ₁ in ruptured ones and the journal's place at 1, all at once by
Newton's method on a set of full cells that is found on the way (P ≥ 0, θ ≤ 1). The Reynolds
condition holds θ at 1 and lets a ruptured cell give more than it gets. Lines are eliminated from a
line that is ruptured all along, else with the last line carried along as a border.
"""

from __future__ import annotations

import math
from typing import Final

import numpy as np
from numpy.typing import NDArray

from oilwedge.film.transient_lines import RIGHT, compiled, eliminate_lines

Floats = NDArray[np.float64]
Mask = NDArray[np.bool_]

MOST_ROUNDS: Final = 30
END, GROOVE, COPIES, CONSERVING, FREE = range(5)
"""Places in ``flags``: pressure at the ends and in the groove, how often this land is there, 1 for
the mass-conserving condition, 1 for a journal that is free to move."""
SPAN, SPIN, LOAD_X, LOAD_Y = range(4)
"""Places in ``now``: Δφ, ω_j/ω, and the load in x and y, at the middle of the step."""
COS, SIN, FACE_COS, FACE_SIN = range(4)
"""Lines of ``ring`` (4, n): at the cells, and at the faces ahead of them."""
WIDE, NEXT, SIDE, FEED = range(4)
"""Lines of ``strip`` (4, m): extent, and one over the distance to the next cell, to the ends of
the bearing, to the groove; 0 where there is none."""
FLOW, LEAN, KX, CARRY, FLOW_Z, LEAN_Z, KZ, FLOW_OUT, KOUT, MISS = range(10)
"""Layers of ``cell`` (10, n, m): through the face ahead the flow, its slope by the gap there, what
pressure and film fraction drive; along the width the same; to ends and groove; the miss of (1)."""
LAYERS: Final = 10

_EXACT = 1e-6  # change of place and film fraction after which a step is solved (Newton squares it)
_LEAST_LEFT = 0.05  # of a cell's gap, that a round may leave


@compiled
def gap_at(ring: Floats, x: float, y: float, form: Floats, gap: Floats) -> None:
    """H = 1 − x cos − y sin + what the parts' form adds, into ``gap``."""
    for i in range(gap.shape[0]):
        h = 1.0 - x * ring[COS, i] - y * ring[SIN, i]
        for j in range(gap.shape[1]):
            gap[i, j] = h + form[i, j]


@compiled
def _fluxes(
    ring: Floats,
    strip: Floats,
    flags: Floats,
    spin: float,
    x: float,
    y: float,
    form: Floats,
    mid: Floats,
    p: Floats,
    theta: Floats,
    cell: Floats,
) -> None:
    """All flows in the middle of a step; ``form`` is that of the middle."""
    n, m = mid.shape
    width = 2.0 * math.pi / n
    for i in range(n):
        ahead = i + 1 if i + 1 < n else 0
        face = 1.0 - x * ring[FACE_COS, i] - y * ring[FACE_SIN, i]
        for j in range(m):
            h = face + 0.5 * (form[i, j] + form[ahead, j])
            kx = h**3 * strip[WIDE, j] / width
            carry = 6.0 * spin * h * strip[WIDE, j]
            carried = carry * (theta[i, j] if spin >= 0.0 else theta[ahead, j])
            pressed = kx * (p[i, j] - p[ahead, j])
            cell[KX, i, j], cell[CARRY, i, j] = kx, carry
            cell[FLOW, i, j] = carried + pressed
            cell[LEAN, i, j] = 0.5 * (carried + 3.0 * pressed) / h
            cell[FLOW_Z, i, j] = cell[LEAN_Z, i, j] = cell[KZ, i, j] = 0.0
            h = mid[i, j]
            if strip[NEXT, j] > 0.0:
                between = 0.5 * (h + mid[i, j + 1])
                cell[KZ, i, j] = between**3 * width * strip[NEXT, j]
                cell[FLOW_Z, i, j] = cell[KZ, i, j] * (p[i, j] - p[i, j + 1])
                cell[LEAN_Z, i, j] = 1.5 * cell[FLOW_Z, i, j] / between
            out = h**3 * width
            cell[KOUT, i, j] = out * (strip[SIDE, j] + strip[FEED, j])
            cell[FLOW_OUT, i, j] = out * (
                strip[SIDE, j] * (p[i, j] - flags[END]) + strip[FEED, j] * (p[i, j] - flags[GROOVE])
            )


@compiled
def _misses(
    strip: Floats,
    step: float,
    theta0: Floats,
    before: Floats,
    theta: Floats,
    after: Floats,
    cell: Floats,
) -> None:
    """What (1) is missed by, cell by cell."""
    n, m = theta.shape
    for i in range(n):
        behind = i - 1 if i > 0 else n - 1
        for j in range(m):
            hold = 12.0 * 2.0 * math.pi / n * strip[WIDE, j] / step
            miss = hold * (theta[i, j] * after[i, j] - theta0[i, j] * before[i, j])
            miss += cell[FLOW, i, j] - cell[FLOW, behind, j] + cell[FLOW_OUT, i, j]
            miss += cell[FLOW_Z, i, j]
            if j > 0:
                miss -= cell[FLOW_Z, i, j - 1]
            cell[MISS, i, j] = miss


@compiled
def _row(
    ring: Floats,
    strip: Floats,
    hold: float,
    conserving: bool,
    spin: float,
    i: int,
    j: int,
    theta: Floats,
    after: Floats,
    mid: Floats,
    film: Mask,
    cell: Floats,
    band: Floats,
    right: Floats,
) -> tuple[float, float]:
    """One cell's row but for its lines behind and ahead, whose couplings are given back."""
    n, m = film.shape
    up, down = (i - 1 if i > 0 else n - 1), (i + 1 if i + 1 < n else 0)
    lean = hold * theta[i, j] + cell[LEAN_Z, i, j] + 1.5 * cell[FLOW_OUT, i, j] / mid[i, j]
    own = cell[KX, i, j] + cell[KX, up, j] + cell[KOUT, i, j] + cell[KZ, i, j]
    if j > 0:
        lean -= cell[LEAN_Z, i, j - 1]
        own += cell[KZ, i, j - 1]
        if film[i, j - 1]:
            band[m - 1] = -cell[KZ, i, j - 1]
    if j + 1 < m and film[i, j + 1]:
        band[m + 1] = -cell[KZ, i, j]
    given = cell[CARRY, i, j] if spin >= 0.0 else -cell[CARRY, up, j]
    band[m] = own if film[i, j] else hold * after[i, j] + given
    lean_up, lean_down = -cell[LEAN, up, j], cell[LEAN, i, j]
    right[0] = -cell[MISS, i, j]
    right[1] = lean * ring[COS, i] + lean_up * ring[FACE_COS, up] + lean_down * ring[FACE_COS, i]
    right[2] = lean * ring[SIN, i] + lean_up * ring[FACE_SIN, up] + lean_down * ring[FACE_SIN, i]
    to_up = to_down = 0.0
    if film[up, j]:
        to_up = -cell[KX, up, j]
    elif conserving and spin >= 0.0:
        to_up = -cell[CARRY, up, j]
    if film[down, j]:
        to_down = -cell[KX, i, j]
    elif conserving and spin < 0.0:
        to_down = cell[CARRY, i, j]
    return to_up, to_down


@compiled
def _system(
    ring: Floats,
    strip: Floats,
    conserving: bool,
    now: Floats,
    cut: int,
    fixed: Mask,
    theta: Floats,
    after: Floats,
    mid: Floats,
    film: Mask,
    cell: Floats,
    A: Floats,
    R: Floats,
    wrap: Floats,
) -> None:
    """Matrix and right-hand sides; the lines follow each other from the one after ``cut``."""
    n, m = film.shape
    for k in range(n * m):
        for s in range(2 * m + 1):
            A[k, s] = 0.0
        for s in range(RIGHT + m):
            R[k, s] = 0.0
    for q in range(n):
        i = (cut + 1 + q) % n
        for j in range(m):
            k = q * m + j
            wrap[j] = 0.0
            if fixed[i, j] or not (film[i, j] or conserving):
                A[k, m] = 1.0
                continue
            hold = 12.0 * 2.0 * math.pi / n * strip[WIDE, j] / now[SPAN]
            to_up, to_down = _row(
                ring, strip, hold, conserving, now[SPIN], i, j, theta, after, mid, film, cell,
                A[k], R[k],
            )  # fmt: skip
            if q == 0:
                R[k, RIGHT + j] += to_up
            else:
                A[k, 0] += to_up
            if q == n - 1:
                wrap[j] = to_down
            elif q == n - 2:
                R[k, RIGHT + j] += to_down
            else:
                A[k, 2 * m] += to_down


@compiled
def _move(
    ring: Floats,
    strip: Floats,
    flags: Floats,
    now: Floats,
    cut: int,
    p: Floats,
    film: Mask,
    R: Floats,
) -> tuple[float, float, bool]:
    """How far the journal has to go so that the film carries the load, and whether that is told."""
    n, m = film.shape
    miss_x, miss_y = now[LOAD_X] / flags[COPIES], now[LOAD_Y] / flags[COPIES]
    xx = xy = yx = yy = 0.0
    for q in range(n):
        i = (cut + 1 + q) % n
        for j in range(m):
            if film[i, j]:
                k = q * m + j
                area = 2.0 * math.pi / n * strip[WIDE, j]
                across, up = area * ring[COS, i], area * ring[SIN, i]
                miss_x -= across * (p[i, j] + R[k, 0])
                miss_y -= up * (p[i, j] + R[k, 0])
                xx += across * R[k, 1]
                xy += across * R[k, 2]
                yx += up * R[k, 1]
                yy += up * R[k, 2]
    whole = xx * yy - xy * yx
    if not abs(whole) > 1e-14 * (abs(xx * yy) + abs(xy * yx)):
        return 0.0, 0.0, False
    return (miss_x * yy - miss_y * xy) / whole, (miss_y * xx - miss_x * yx) / whole, True


@compiled
def _update(
    dx: float,
    dy: float,
    cut: int,
    conserving: bool,
    fixed: Mask,
    p: Floats,
    theta: Floats,
    film: Mask,
    R: Floats,
) -> tuple[int, float]:
    """Take the round's change: how many cells changed sides, and the largest of film fraction."""
    n, m = film.shape
    changes, moved = 0, 0.0
    for q in range(n):
        i = (cut + 1 + q) % n
        for j in range(m):
            k = q * m + j
            change = R[k, 0] + R[k, 1] * dx + R[k, 2] * dy
            if fixed[i, j]:
                continue
            if film[i, j]:
                p[i, j] += change
                if p[i, j] < 0.0:
                    film[i, j], p[i, j] = False, 0.0
                    changes += 1
            elif conserving:
                theta[i, j] += change
                moved = max(moved, abs(change))
                if theta[i, j] > 1.0 + 1e-10:
                    film[i, j], theta[i, j] = True, 1.0
                    changes += 1
    return changes, moved


@compiled
def _dry_line(film: Mask) -> int:
    """A line that is ruptured all along; −1 where there is none."""
    n, m = film.shape
    for i in range(n):
        dry = True
        for j in range(m):
            dry = dry and not film[i, j]
        if dry:
            return i
    return -1


@compiled
def _refill(fixed: Mask, film: Mask, cell: Floats) -> int:
    """Fill the cells that get more than they give (Reynolds condition); how many they are."""
    filled = 0
    for i in range(film.shape[0]):
        for j in range(film.shape[1]):
            if not film[i, j] and not fixed[i, j] and cell[MISS, i, j] < 0.0:
                film[i, j] = True
                filled += 1
    return filled


@compiled
def film_step(
    ring: Floats,
    strip: Floats,
    flags: Floats,
    fixed: Mask,
    now: Floats,
    form0: Floats,
    form1: Floats,
    place: Floats,
    theta0: Floats,
    p: Floats,
    theta: Floats,
    film: Mask,
    A: Floats,
    R: Floats,
    cell: Floats,
) -> int:
    """One step, in place; the rounds it took, or 0 where it did not settle.

    place: x and y at 0 and at 1 (a guess). ``p``, ``theta`` and ``film`` are guess and answer;
    ``fixed`` cells are full and keep their pressure. ``form0`` and ``form1`` (n, m): what the
    parts' form adds to the gap at 0 and 1. A (n·m, 2 m + 1), R (n·m, RIGHT + m): to work in.
    """
    n, m = film.shape
    conserving, free = flags[CONSERVING] > 0.0, flags[FREE] > 0.0
    wrap, gaps = np.empty(m), np.empty((4, n, m))
    before, after, mid, form = gaps[0], gaps[1], gaps[2], gaps[3]
    gap_at(ring, place[0], place[1], form0, before)
    rounds, done = 0, False
    while rounds < MOST_ROUNDS:
        gap_at(ring, place[2], place[3], form1, after)
        for i in range(n):
            for j in range(m):
                if not after[i, j] > _LEAST_LEFT * before[i, j]:
                    return 0
                mid[i, j] = 0.5 * (before[i, j] + after[i, j])
                form[i, j] = 0.5 * (form0[i, j] + form1[i, j])
        x, y = 0.5 * (place[0] + place[2]), 0.5 * (place[1] + place[3])
        _fluxes(ring, strip, flags, now[SPIN], x, y, form, mid, p, theta, cell)
        _misses(strip, now[SPAN], theta0, before, theta, after, cell)
        filled = 0 if conserving else _refill(fixed, film, cell)
        if done and filled == 0:
            return rounds
        rounds += 1
        if filled > 0:
            done = False
            continue
        cut = _dry_line(film)
        bordered = cut < 0
        if bordered:
            cut = n - 1
        _system(ring, strip, conserving, now, cut, fixed, theta, after, mid, film, cell, A, R, wrap)
        eliminate_lines(A, R, wrap, bordered)
        dx = dy = 0.0
        if free:
            dx, dy, told = _move(ring, strip, flags, now, cut, p, film, R)
            if not told:
                return 0
            place[2] += dx
            place[3] += dy
        changes, moved = _update(dx, dy, cut, conserving, fixed, p, theta, film, R)
        room = max(abs(1.0 - math.hypot(place[2], place[3])), 1e-3)
        done = changes == 0 and max(moved, (abs(dx) + abs(dy)) / room) < _EXACT
    return 0
