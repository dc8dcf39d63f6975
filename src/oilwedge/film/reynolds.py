"""Kernels that solve the discrete Reynolds equation with film rupture (compiled by numba).

Finite volumes on lines i of constant angle and nodes j along the width. Flow out of a cell through
its downstream face is ``couette[i, j] θ[i, j] − kx[i, j] (p[i+1, j] − p[i, j])``, with θ the film
fraction of the cell upstream, and through its side face ``−kz[i, j+1] (p[i, j+1] − p[i, j])``;
what flows out less what flows in is ``source[i, j]``. Index i of ``kx`` and ``couette`` is the face
between line i and line i + 1; indices 0 and m of the second axis of ``kz`` are the faces to the two
ends.
Pressures are counted from that of the cavity. Two conditions close the problem:

* Reynolds: p ≥ 0, flow short by w ≥ 0, p·w = 0 (the condition of the classical tables: the film
  ends where p and its slope vanish; oil is not conserved where the film forms again);
* mass-conserving (Jakobsson, Floberg and Olsson): p ≥ 0, θ ≤ 1, p·(1 − θ) = 0.

Both are solved by an active set: the sets of full and ruptured cells are guessed, the linear
problem is solved directly (band elimination without pivots: the matrices are diagonally dominant
by column), cells that break their condition change sides, until none does. That ends with the exact
solution of the discrete problem; a cell that changes sides for ever is told by the count.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, TypeVar

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Mask = NDArray[np.bool_]

if TYPE_CHECKING:
    from collections.abc import Callable

    Kernel = TypeVar("Kernel", bound=Callable[..., Any])

    def _compiled(kernel: Kernel) -> Kernel:
        """Stand for numba's decorator, which has no types."""

else:
    from numba import njit

    _compiled = njit(cache=True, error_model="numpy", fastmath={"contract", "reassoc", "nsz"})


@_compiled
def _symmetric_system(
    kx: Floats, kz: Floats, source: Floats, p: Floats, film: Mask, last: int, U: Floats, b: Floats
) -> None:
    """Upper band of the matrix for lines 1 to ``last``; ruptured cells are rows of identity."""
    n, m = kx.shape
    for i in range(1, last + 1):
        for j in range(m):
            k = (i - 1) * m + j
            row = U[k]
            row[:] = 0.0
            if not film[i, j]:
                row[0] = 1.0
                b[k] = 0.0
                continue
            row[0] = kx[i - 1, j] + kx[i, j] + kz[i, j] + kz[i, j + 1]
            if j + 1 < m and film[i, j + 1]:
                row[1] = -kz[i, j + 1]
            if i < last and film[i + 1, j]:
                row[m] += -kx[i, j]  # added: with one node a line it is also the next column
            b[k] = source[i, j]
            if i == 1:
                b[k] += kx[0, j] * p[0, j]
            if i == n - 1:
                b[k] += kx[n - 1, j] * p[n, j]


@_compiled
def _symmetric_band(U: Floats, b: Floats, size: int, width: int) -> None:
    """Solve in place: Gauss elimination on the upper band, then from the last row back."""
    for k in range(size):
        row = U[k]
        inverse = 1.0 / row[0]
        value = b[k]
        for r in range(1, min(width, size - 1 - k) + 1):
            factor = row[r] * inverse
            if factor != 0.0:
                target = U[k + r]
                for s in range(width + 1 - r):
                    target[s] -= factor * row[s + r]
                b[k + r] -= factor * value
    for k in range(size - 1, -1, -1):
        value = b[k]
        for r in range(1, min(width, size - 1 - k) + 1):
            value -= U[k, r] * b[k + r]
        b[k] = value / U[k, 0]


@_compiled
def reynolds_between_lines(
    kx: Floats, kz: Floats, source: Floats, p: Floats, film: Mask, accept: float, most: int
) -> tuple[int, int]:
    """Reynolds condition between two lines of given pressure, 0 and n (``p[0]`` and ``p[n]``).

    ``source`` holds what the Couette flow and the ends bring. ``film`` is the guess of the full
    cells and ends as the answer, like ``p``. Where the condition is missed by no more than
    ``accept`` times the peak pressure, that is good enough; 0 asks for the exact end. Gives the
    solves needed and the cells that would still change sides: 0, unless ``most`` solves were not
    enough.
    """
    n, m = kx.shape
    U = np.empty((n * m, m + 1))
    b = np.empty(n * m)
    changes = 0
    for solve in range(1, most + 1):
        last = n - 1
        while last > 1 and not film[last].any():
            last -= 1
        _symmetric_system(kx, kz, source, p, film, last, U, b)
        _symmetric_band(U, b, last * m, m)
        p[1:n] = 0.0
        p[1 : last + 1] = b[: last * m].reshape(last, m)
        changes, worst, peak = 0, 0.0, 0.0
        for i in range(1, n):
            for j in range(m):
                peak = max(peak, p[i, j])
                if film[i, j]:
                    if p[i, j] < 0.0:
                        film[i, j] = False
                        changes += 1
                        worst = max(worst, -p[i, j])
                    continue
                gain = source[i, j] + kx[i - 1, j] * p[i - 1, j] + kx[i, j] * p[i + 1, j]
                if j > 0:
                    gain += kz[i, j] * p[i, j - 1]
                if j + 1 < m:
                    gain += kz[i, j + 1] * p[i, j + 1]
                if gain > 0.0:
                    film[i, j] = True
                    changes += 1
                    own = kx[i - 1, j] + kx[i, j] + kz[i, j] + kz[i, j + 1]
                    worst = max(worst, gain / own)
        for i in range(1, n):
            for j in range(m):
                if p[i, j] < 0.0:
                    p[i, j] = 0.0
        if changes == 0 or worst <= accept * peak:
            return solve, 0
    return most, changes


@_compiled
def _dense(A: Floats, b: Floats) -> None:
    """Solve A x = b in place of b; A is lost. Diagonally dominant by column: no pivots."""
    size = b.size
    for k in range(size):
        for i in range(k + 1, size):
            factor = A[i, k] / A[k, k]
            A[i, k:] -= factor * A[k, k:]
            b[i] -= factor * b[k]
    for k in range(size - 1, -1, -1):
        for i in range(k + 1, size):
            b[k] -= A[k, i] * b[i]
        b[k] /= A[k, k]


@_compiled
def _solve_ring(A: Floats, R: Floats, wrap: Floats) -> None:
    """Solve a ring of lines in place: the solution is in the last column of ``R``.

    Row k of ``A`` holds its band, column c at c − k + m. All lines but the last are eliminated as
    functions of the last one, whose columns stand in ``R[:, :m]`` beside the right side
    ``R[:, m]``; ``wrap[j]`` couples cell j of the last line to cell j of line 0.
    """
    m = wrap.size
    size = A.shape[0] - m
    for k in range(size):
        row = A[k]
        for r in range(1, min(m, size - 1 - k) + 1):
            factor = A[k + r, m - r] / row[m]
            if factor != 0.0:
                target = A[k + r]
                for s in range(m + 1):
                    target[m - r + s] -= factor * row[m + s]
                for s in range(m + 1):
                    R[k + r, s] -= factor * R[k, s]
    for k in range(size - 1, -1, -1):
        for r in range(1, min(m, size - 1 - k) + 1):
            factor = A[k, m + r]
            if factor != 0.0:
                for s in range(m + 1):
                    R[k, s] -= factor * R[k + r, s]
        for s in range(m + 1):
            R[k, s] /= A[k, m]
    block = np.zeros((m, m))
    right = np.empty(m)
    for j in range(m):
        k = size + j
        right[j] = R[k, m] - A[k, 0] * R[k - m, m] - wrap[j] * R[j, m]
        for c in range(m):
            block[j, c] = A[k, c - j + m] - A[k, 0] * R[k - m, c] - wrap[j] * R[j, c]
    _dense(block, right)
    for k in range(size):
        for s in range(m):
            R[k, m] -= R[k, s] * right[s]
    R[size:, m] = right


@_compiled
def _ring_system(
    kx: Floats,
    kz: Floats,
    couette: Floats,
    storage: Floats,
    source: Floats,
    fixed: Mask,
    p: Floats,
    film: Mask,
    conserving: int,
    A: Floats,
    R: Floats,
    wrap: Floats,
) -> None:
    """One row for each cell: its pressure where it is full, its film fraction where it is not."""
    n, m = kx.shape
    A[:] = 0.0
    R[:] = 0.0
    wrap[:] = 0.0
    for i in range(n):
        up, down = (i - 1) % n, (i + 1) % n
        for j in range(m):
            k = i * m + j
            if fixed[i, j] or not (film[i, j] or conserving):
                A[k, m] = 1.0
                R[k, m] = p[i, j] if fixed[i, j] else 0.0
                continue
            value = source[i, j]
            if film[i, j]:
                A[k, m] = kx[up, j] + kx[i, j] + kz[i, j] + kz[i, j + 1]
                value -= couette[i, j] + storage[i, j]
            else:
                A[k, m] = couette[i, j] + storage[i, j]
            if j > 0 and film[i, j - 1]:
                A[k, m - 1] = -kz[i, j]
            if j + 1 < m and film[i, j + 1]:
                A[k, m + 1] = -kz[i, j + 1]
            before = -kx[up, j]
            if not film[up, j] and conserving:
                before = -couette[up, j]
            else:
                value += couette[up, j]
                before = before if film[up, j] else 0.0
            after = -kx[i, j] if film[down, j] else 0.0
            if i == 0:
                R[k, j] += before
            else:
                A[k, 0] += before
            if i == n - 2:
                R[k, j] += after
            elif i == n - 1:
                wrap[j] = after
            else:
                A[k, 2 * m] += after
            R[k, m] = value


@_compiled
def _change_sides(
    kx: Floats,
    kz: Floats,
    couette: Floats,
    storage: Floats,
    source: Floats,
    fixed: Mask,
    p: Floats,
    theta: Floats,
    film: Mask,
    conserving: int,
) -> int:
    """Turn the cells that break their condition; how many they are."""
    n, m = kx.shape
    changes = 0
    for i in range(n):
        up, down = (i - 1) % n, (i + 1) % n
        for j in range(m):
            if fixed[i, j]:
                continue
            if film[i, j]:
                turn = p[i, j] < 0.0
            elif conserving:
                turn = theta[i, j] > 1.0 + 1e-12
            else:
                gain = source[i, j] + couette[up, j] - couette[i, j] - storage[i, j]
                gain += kx[up, j] * p[up, j] + kx[i, j] * p[down, j]
                if j > 0:
                    gain += kz[i, j] * p[i, j - 1]
                if j + 1 < m:
                    gain += kz[i, j + 1] * p[i, j + 1]
                turn = gain > 0.0
            if turn:
                film[i, j] = not film[i, j]
                changes += 1
    return changes


@_compiled
def rupture_on_ring(
    kx: Floats,
    kz: Floats,
    couette: Floats,
    storage: Floats,
    source: Floats,
    fixed: Mask,
    p: Floats,
    theta: Floats,
    film: Mask,
    conserving: int,
    most: int,
) -> tuple[int, int]:
    """Film rupture all round a bearing; line n − 1 is followed by line 0.

    ``fixed`` cells (a groove, an oil hole) are full and keep the pressure given in ``p``.
    ``storage`` times the film fraction is what a cell takes up in a step of time (0 when steady);
    what it held before belongs to ``source``, and so does what the ends press in.
    ``conserving`` is 1 for the mass-conserving condition and 0 for that of Reynolds. ``film`` is
    the guess of the full cells; ``p``, ``theta`` and ``film`` are the answer. Gives the solves
    needed and the cells that would still change sides.
    """
    n, m = kx.shape
    A = np.empty((n * m, 2 * m + 1))
    R = np.empty((n * m, m + 1))
    wrap = np.empty(m)
    changes = 0
    for i in range(n):
        for j in range(m):
            film[i, j] = film[i, j] or fixed[i, j]
    for solve in range(1, most + 1):
        _ring_system(kx, kz, couette, storage, source, fixed, p, film, conserving, A, R, wrap)
        _solve_ring(A, R, wrap)
        for i in range(n):
            for j in range(m):
                value = R[i * m + j, m]
                p[i, j] = value if film[i, j] else 0.0
                theta[i, j] = value if conserving and not film[i, j] else 1.0
        changes = _change_sides(kx, kz, couette, storage, source, fixed, p, theta, film, conserving)
        if changes == 0:
            return solve, 0
    return most, changes


@_compiled
def carried_film_fraction(
    kx: Floats, kz: Floats, couette: Floats, p: Floats, film: Mask, theta: Floats
) -> None:
    """Film fraction of ruptured cells by the flow that full ones hand on downstream.

    For the Reynolds condition, which tells none: what flows in flows out through the face
    downstream, with θ no more than 1. ``theta`` is the answer, ``p`` has a line
    more than ``kx``; line 0 counts as full.
    """
    n, m = couette.shape
    for j in range(m):
        theta[0, j] = 1.0
        for i in range(1, n):
            if film[i, j]:
                theta[i, j] = 1.0
            else:
                flow = couette[i - 1, j] * theta[i - 1, j]
                flow += kx[i - 1, j] * p[i - 1, j] + kx[i, j] * p[i + 1, j]
                if j > 0:
                    flow += kz[i, j] * p[i, j - 1]
                if j + 1 < m:
                    flow += kz[i, j + 1] * p[i, j + 1]
                theta[i, j] = min(1.0, flow / couette[i, j])
