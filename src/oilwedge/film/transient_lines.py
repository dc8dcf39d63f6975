"""Elimination of a ring of lines for :mod:`oilwedge.film.transient_kernel` (compiled by numba)."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final, TypeVar

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

if TYPE_CHECKING:
    from collections.abc import Callable

    Kernel = TypeVar("Kernel", bound=Callable[..., Any])

    def compiled(kernel: Kernel) -> Kernel:
        """Stand for numba's decorator, which has no types."""

else:
    from numba import njit

    compiled = njit(cache=True, error_model="numpy", fastmath={"contract", "reassoc", "nsz"})

RIGHT: Final = 3
"""Right-hand sides: the miss, and its slopes by the journal's place in x and y."""


@compiled
def _down(A: Floats, R: Floats, m: int, many: int) -> None:
    """Eliminate below the diagonal, all lines but the last."""
    size = A.shape[0] - m
    for k in range(size):
        row = A[k]
        for r in range(1, min(m, size - 1 - k) + 1):
            factor = A[k + r, m - r]
            if factor != 0.0:
                factor /= row[m]
                target = A[k + r]
                for s in range(1, m + 1):
                    target[m - r + s] -= factor * row[m + s]
                for s in range(many):
                    R[k + r, s] -= factor * R[k, s]


@compiled
def _back(A: Floats, R: Floats, m: int, many: int) -> None:
    """From the last but one line back to the first."""
    size = A.shape[0] - m
    for k in range(size - 1, -1, -1):
        for r in range(1, min(m, size - 1 - k) + 1):
            factor = A[k, m + r]
            if factor != 0.0:
                for s in range(many):
                    R[k, s] -= factor * R[k + r, s]
        for s in range(many):
            R[k, s] /= A[k, m]


@compiled
def _border(A: Floats, R: Floats, wrap: Floats, bordered: bool) -> None:
    """The last line, from a full block of its own."""
    m = wrap.size
    size = A.shape[0] - m
    block = np.zeros((m, m))
    for j in range(m):
        k = size + j
        for c in range(m):
            block[j, c] = A[k, c - j + m]
            if bordered:
                block[j, c] -= A[k, 0] * R[k - m, RIGHT + c] + wrap[j] * R[j, RIGHT + c]
        for s in range(RIGHT):
            R[k, s] -= A[k, 0] * R[k - m, s] + wrap[j] * R[j, s]
    for j in range(m):
        for i in range(j + 1, m):
            factor = block[i, j] / block[j, j]
            for c in range(j, m):
                block[i, c] -= factor * block[j, c]
            for s in range(RIGHT):
                R[size + i, s] -= factor * R[size + j, s]
    for j in range(m - 1, -1, -1):
        for s in range(RIGHT):
            for c in range(j + 1, m):
                R[size + j, s] -= block[j, c] * R[size + c, s]
            R[size + j, s] /= block[j, j]


@compiled
def eliminate_lines(A: Floats, R: Floats, wrap: Floats, bordered: bool) -> None:
    """Solve A X = R in place for the first ``RIGHT`` columns of R.

    Row k of A holds its band, column c at c − k + m. The last line is the border: the columns by
    which the first and the last but one line know it stand in R after the right-hand sides,
    ``wrap[j]`` couples its cell j to that of the first line. Not ``bordered``: no line needs it.
    Without pivots: the matrices are diagonally dominant by column.
    """
    m = wrap.size
    size = A.shape[0] - m
    many = RIGHT + m if bordered else RIGHT
    _down(A, R, m, many)
    _back(A, R, m, many)
    _border(A, R, wrap, bordered)
    if bordered:
        for k in range(size):
            for c in range(m):
                for s in range(RIGHT):
                    R[k, s] -= R[k, RIGHT + c] * R[size + c, s]
