"""Which input makes how much of a result's variance: Sobol's indices by Saltelli's design.

Two independent matrices A and B of inputs (base × k, one column a factor), and A with column i from
B, A_Bi. With f of each and V the variance over A and B together::

    S_i  = mean[f(B) (f(A_Bi) − f(A))]/V      alone (Saltelli and others, 2010)
    T_i  = mean[(f(A) − f(A_Bi))²]/(2V)       with all that it does together with others (Jansen)

f is centred first, which changes neither and lessens the noise of S. (k + 2) · base values of f.
S_i ≤ T_i and Σ S_i ≤ 1 but for the noise of sampling, which falls with the base; nothing is cut off
at 0 or 1. Inputs must be independent. Source: A. Saltelli and others, Computer Physics
Communications 181, 2010; M. J. W. Jansen, the same 117, 1999 (both RECALLED).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class SobolIndices:
    """First-order and total index of each factor, in order; 0 throughout if nothing varies."""

    first: Array
    total: Array


def saltelli_design(*, points: Array) -> Array:
    """(k + 2) · base × k inputs in one stack, A, B, A_B1 … A_Bk, from base × 2k points."""
    factors = points.shape[1] // 2
    a, b = points[:, :factors], points[:, factors : 2 * factors]
    mixed = []
    for factor in range(factors):
        part = a.copy()
        part[:, factor] = b[:, factor]
        mixed.append(part)
    return np.concatenate((a, b, *mixed))


def sobol_indices(*, values: Array, factors: int) -> SobolIndices:
    """The indices from the values of f over a :func:`saltelli_design` of that many factors.

    ValueError where the number of values is no multiple of ``factors`` + 2.
    """
    if values.ndim != 1 or values.size % (factors + 2) or values.size == 0:
        raise ValueError(f"{values.size} values do not fill a design of {factors} factors")
    f_a, f_b, *mixed = (values - values.mean()).reshape(factors + 2, -1)
    variance = float(np.concatenate((f_a, f_b)).var())
    if variance == 0.0:
        return SobolIndices(first=np.zeros(factors), total=np.zeros(factors))
    first = [float((f_b * (f_ab - f_a)).mean()) / variance for f_ab in mixed]
    total = [float(((f_a - f_ab) ** 2).mean()) / (2.0 * variance) for f_ab in mixed]
    return SobolIndices(first=np.array(first), total=np.array(total))
