"""The compiled integration of a journal's path: see :mod:`oilwedge.film.orbit` for its equation.

Loads come in as F (C/R)²/(μ L D ω) over (L/D)², and the turn as ω_j/2ω, at every angle; between
two angles they run straight. The pair 3(2) of Bogacki and Shampine, whose step is held so that its
error stays below a set part of the film left. A step that would leave the map is taken again,
smaller: nothing is clamped.

A map is the table of :mod:`oilwedge.film.mobility`, or the pair of a table and the mark of a hole
of :mod:`oilwedge.film.fixed_map`; the kernels are compiled for each of both once. Numba's cache
of them looks at this file alone, so that a change of those two has to be counted here: 2.
What is called from outside lets other threads run meanwhile: virtual builds, pages being served.
"""

from __future__ import annotations

import math
from typing import Any, Final

import numpy as np
from numba import njit, types
from numba.extending import overload
from numpy.typing import NDArray

from oilwedge.film.fixed_map import fixed_mobility_at, fixed_peak_at
from oilwedge.film.mobility import LARGEST_ECCENTRICITY, mobility_at

Array = NDArray[np.float64]

RESIDUAL_ALLOWED: Final = 1e-4
SETTLED: Final = 0
BEYOND: Final = 1
_AIMED = 0.3 * RESIDUAL_ALLOWED
_STEP_ERROR = 2e-5  # of the film left
_SMALLEST_STEP = 1e-7  # of the way from one angle to the next


def _motion(table: Any, x: Any, y: Any, cosine: Any, sine: Any) -> Any:  # pragma: no cover
    """(L/D)² M along and across a load; numba takes one of the two below, by the kind of map."""
    raise NotImplementedError


@overload(_motion)
def _motion_by_map(table: Any, x: Any, y: Any, cosine: Any, sine: Any) -> Any:  # pragma: no cover
    def plain(table: Any, x: Any, y: Any, cosine: Any, sine: Any) -> Any:
        along, across, _ = mobility_at(table, x * cosine + y * sine, y * cosine - x * sine)
        return along, across

    def fixed(table: Any, x: Any, y: Any, cosine: Any, sine: Any) -> Any:
        return fixed_mobility_at(table[0], table[1], x, y, cosine, sine)

    return plain if isinstance(table, types.Array) else fixed


@njit(cache=True)
def _slope(
    table: Any, x: float, y: float, load_x: float, load_y: float, turn: float
) -> tuple[float, float, bool]:
    """dε/dφ by (1), and whether ε lies inside the map."""
    if not x * x + y * y <= LARGEST_ECCENTRICITY * LARGEST_ECCENTRICITY:
        return 0.0, 0.0, False
    load = math.sqrt(load_x * load_x + load_y * load_y)
    if load == 0.0:
        return -turn * y, turn * x, True
    cosine, sine = load_x / load, load_y / load
    along, across = _motion(table, x, y, cosine, sine)
    return (
        load_x * along - load_y * across - turn * y,
        load_y * along + load_x * across + turn * x,
        True,
    )


@njit(cache=True)
def _between(column: Array, node: int, part: float) -> float:
    return float(column[node] + (column[node + 1] - column[node]) * part)


@njit(cache=True)
def _advance(
    table: Any,
    span: float,
    load_x: Array,
    load_y: Array,
    turn: Array,
    node: int,
    state: Array,
) -> bool:
    """From one angle to the next, in place; false where the film is too thin to go on.

    state: x, y, the step to try (a part of the way), the smallest 1 − ε so far and its place,
    in angles counted from 0.
    """
    x, y = state[0], state[1]
    part = 0.0
    fx, fy, ok = _slope(table, x, y, load_x[node], load_y[node], turn[node])
    while part < 1.0 and ok:
        step = min(state[2], 1.0 - part)
        h = step * span
        p = part + 0.5 * step
        gx, gy, ok1 = _slope(
            table,
            x + 0.5 * h * fx,
            y + 0.5 * h * fy,
            _between(load_x, node, p),
            _between(load_y, node, p),
            _between(turn, node, p),
        )
        p = part + 0.75 * step
        kx, ky, ok2 = _slope(
            table,
            x + 0.75 * h * gx,
            y + 0.75 * h * gy,
            _between(load_x, node, p),
            _between(load_y, node, p),
            _between(turn, node, p),
        )
        nx = x + h * (2.0 * fx + 3.0 * gx + 4.0 * kx) / 9.0
        ny = y + h * (2.0 * fy + 3.0 * gy + 4.0 * ky) / 9.0
        p = min(part + step, 1.0)
        mx, my, ok3 = _slope(
            table,
            nx,
            ny,
            _between(load_x, node, p),
            _between(load_y, node, p),
            _between(turn, node, p),
        )
        if not (ok1 and ok2 and ok3):
            state[2] = 0.25 * step
            ok = state[2] > _SMALLEST_STEP
            continue
        room = 1.0 - math.sqrt(nx * nx + ny * ny)
        off_x = h * (-5.0 * fx / 72.0 + gx / 12.0 + kx / 9.0 - mx / 8.0)
        off_y = h * (-5.0 * fy / 72.0 + gy / 12.0 + ky / 9.0 - my / 8.0)
        error = math.sqrt(off_x * off_x + off_y * off_y) / (_STEP_ERROR * room)
        factor = 5.0 if error < 1e-3 else min(5.0, max(0.2, 0.9 / error ** (1.0 / 3.0)))
        if error <= 1.0:
            x, y, fx, fy = nx, ny, mx, my
            part = 1.0 if step == 1.0 - part else part + step
            if room < state[3]:
                state[3], state[4] = room, node + part
            state[2] = min(1.0, max(state[2], step * factor) if factor > 1.0 else step * factor)
        else:
            state[2] = step * factor
            ok = state[2] > _SMALLEST_STEP
    state[0], state[1] = x, y
    return ok


@njit(cache=True)
def run_cycle(
    table: Any, angle: Array, load_x: Array, load_y: Array, turn: Array, path: Array, state: Array
) -> bool:
    """One cycle from ``path[0]``, which fills the path; false where the film is too thin."""
    state[0], state[1] = path[0, 0], path[0, 1]
    state[3], state[4] = 2.0, 0.0
    for node in range(angle.size - 1):
        span = angle[node + 1] - angle[node]
        if not _advance(table, span, load_x, load_y, turn, node, state):
            state[4] = float(node)
            return False
        path[node + 1, 0], path[node + 1, 1] = state[0], state[1]
    return True


@njit(cache=True)
def _foreseen(starts: Array) -> tuple[float, float, bool]:
    """Where four starts in a row lead if each change is the same matrix times the one before."""
    ax, ay = starts[1, 0] - starts[0, 0], starts[1, 1] - starts[0, 1]
    bx, by = starts[2, 0] - starts[1, 0], starts[2, 1] - starts[1, 1]
    cx, cy = starts[3, 0] - starts[2, 0], starts[3, 1] - starts[2, 1]
    whole = ax * by - ay * bx
    if abs(whole) < 1e-30:
        return 0.0, 0.0, False
    # J from J a = b, J b = c; then the limit x₂ + (1 − J)⁻¹ c, where c = x₃ − x₂
    j11, j12 = (bx * by - cx * ay) / whole, (cx * ax - bx * bx) / whole
    j21, j22 = (by * by - cy * ay) / whole, (cy * ax - by * bx) / whole
    loss = (1.0 - j11) * (1.0 - j22) - j12 * j21
    if abs(loss) < 1e-12:
        return 0.0, 0.0, False
    x = starts[2, 0] + ((1.0 - j22) * cx + j12 * cy) / loss
    y = starts[2, 1] + (j21 * cx + (1.0 - j11) * cy) / loss
    return x, y, x * x + y * y < 0.98


@njit(cache=True, nogil=True)
def settle(
    table: Any,
    angle: Array,
    load_x: Array,
    load_y: Array,
    turn: Array,
    path: Array,
    largest_cycles: int,
) -> tuple[int, int, float, float, float, float]:
    """Cycle after cycle until the path closes.

    Gives a status (BEYOND: film too thin for the map), the cycles run, residual, the change of
    the smallest film over the last cycle, the smallest 1 − ε (a ratio) and its angle. ``path``
    holds the last cycle.
    """
    state = np.array([0.0, 0.0, 1.0, 2.0, 0.0])
    starts = np.empty((4, 2))
    known = 0
    residual, change, before = math.inf, 0.0, 0.0
    cycles = 0
    while cycles < largest_cycles:
        starts[known, 0], starts[known, 1] = path[0, 0], path[0, 1]
        known += 1
        if not run_cycle(table, angle, load_x, load_y, turn, path, state):
            return BEYOND, cycles, math.inf, 0.0, 0.0, angle[int(state[4])]
        cycles += 1
        change = (state[3] - before) / state[3]
        before = state[3]
        last = path.shape[0] - 1
        apart = math.hypot(path[last, 0] - path[0, 0], path[last, 1] - path[0, 1])
        start_room = 1.0 - math.hypot(path[0, 0], path[0, 1])
        residual = apart / min(start_room, 1.0 - math.hypot(path[last, 0], path[last, 1]))
        if residual <= _AIMED or cycles == largest_cycles:
            break
        x, y = path[last, 0], path[last, 1]
        if known == 3 and cycles > 3:
            starts[3, 0], starts[3, 1] = x, y
            ahead_x, ahead_y, good = _foreseen(starts)
            if good:
                x, y = ahead_x, ahead_y
        known = known % 3
        path[0, 0], path[0, 1] = x, y
    node = min(int(state[4]), angle.size - 2)
    where = angle[node] + (state[4] - node) * (angle[node + 1] - angle[node])
    return SETTLED, cycles, residual, change, state[3], where


@njit(cache=True, nogil=True)
def film_along(
    table: Array, path: Array, force_x: Array, force_y: Array
) -> tuple[Array, Array, Array]:
    """(L/D)² M along the load, p L D/F, and (L/D)² M whole, at every angle of a path."""
    along = np.zeros(path.shape[0])
    peak = np.zeros(path.shape[0])
    whole = np.zeros(path.shape[0])
    for k in range(path.shape[0]):
        load = math.hypot(force_x[k], force_y[k])
        if load > 0.0:
            cosine, sine = force_x[k] / load, force_y[k] / load
            xi = path[k, 0] * cosine + path[k, 1] * sine
            eta = path[k, 1] * cosine - path[k, 0] * sine
            along[k], across, peak[k] = mobility_at(table, xi, eta)
            whole[k] = math.hypot(along[k], across)
    return along, peak, whole


@njit(cache=True, nogil=True)
def fixed_film_along(
    motion: Array, peaks: Array, hole: int, path: Array, force_x: Array, force_y: Array
) -> tuple[Array, Array, Array]:
    """As :func:`film_along`, from a map fixed to the bearing."""
    along = np.zeros(path.shape[0])
    peak = np.zeros(path.shape[0])
    whole = np.zeros(path.shape[0])
    for k in range(path.shape[0]):
        load = math.hypot(force_x[k], force_y[k])
        if load > 0.0:
            x, y = path[k, 0], path[k, 1]
            cosine, sine = force_x[k] / load, force_y[k] / load
            along[k], across = fixed_mobility_at(motion, hole, x, y, cosine, sine)
            peak[k] = fixed_peak_at(peaks, hole, x, y, cosine, sine)
            whole[k] = math.hypot(along[k], across)
    return along, peak, whole
