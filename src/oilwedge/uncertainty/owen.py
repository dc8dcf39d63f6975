"""Owen's T function, by quadrature.

T(h, a) = 1/(2π) ∫₀ᵃ exp(−h²(1 + x²)/2)/(1 + x²) dx (Owen 1956). The integrand is smooth for
|a| ≤ 1, where a fixed Gauss-Legendre rule is exact to rounding; larger a go through
T(h, a) = ½Φ(h) + ½Φ(ah) − Φ(h)Φ(ah) − T(ah, 1/a) for h, a ≥ 0. scipy has the same function and
takes longer to load than a whole engine takes to judge.
"""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

_POINTS = 48


def owen_t(*, h: float, a: float) -> float:
    """T(h, a): even in h, odd in a; absolute error about 1e-16. ``a`` may be infinite."""
    h = abs(h)
    if a < 0.0:
        return -owen_t(h=h, a=-a)
    if math.isinf(a):
        return 0.25 * math.erfc(h / math.sqrt(2.0))
    if a <= 1.0:
        return _integral(h, a)
    # in tails, so that nothing is lost where both Φ are nearly 1: Q = 1 − Φ
    q_h, q_ah = (0.5 * math.erfc(z / math.sqrt(2.0)) for z in (h, a * h))
    return 0.5 * (q_h + q_ah) - q_h * q_ah - _integral(a * h, 1.0 / a)


def _integral(h: float, a: float) -> float:
    nodes, weights = _rule()
    x = 0.5 * a * (nodes + 1.0)
    square = 1.0 + x * x
    values = np.exp(-0.5 * h * h * square) / square
    return float(weights @ values) * 0.5 * a / (2.0 * math.pi)


@lru_cache(maxsize=1)
def _rule() -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    nodes, weights = np.polynomial.legendre.leggauss(_POINTS)
    return nodes, weights
