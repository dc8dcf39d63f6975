"""The t-distribution for whole degrees of freedom, in closed form.

With θ = arctan(t/√ν), A(t|ν) = P(|T| ≤ t) is a finite sum of powers of cos θ (Abramowitz and
Stegun, 26.7.3 and 26.7.4, recalled). scipy has the same function for any ν and takes longer to
load than a whole engine takes to judge; here ν is always whole (GUM G.4.1), and small.
"""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

MOST_TERMS_NU = 20_000  # above it the sum is long and scipy answers (coverage.py)


def cdf(*, t: float, nu: int) -> float:
    """P(T ≤ t) for whole ν from 1 on; absolute error about 1e-14."""
    theta = math.atan2(t, math.sqrt(nu))
    sine, cosine = math.sin(theta), math.cos(theta)
    # even ν: 1, 1/2 c², 1·3/(2·4) c⁴ …; odd ν: c, 2/3 c³, 2·4/(3·5) c⁵ …, to the power ν − 2
    total = 1.0 + float(np.cumprod(cosine * cosine * _ratios(nu)).sum()) if nu > 1 else 0.0
    inside = (theta + sine * cosine * total) * 2.0 / math.pi if nu % 2 else sine * total
    return min(1.0, max(0.0, 0.5 * (1.0 + inside)))


@lru_cache(maxsize=256)
def _ratios(nu: int) -> NDArray[np.float64]:
    """Each coefficient of the sum over the one before it."""
    below = np.arange(1 + nu % 2, nu - 2, 2, dtype=np.float64)
    return below / (below + 1.0)


def density(*, t: float, nu: int) -> float:
    """The density of T at t."""
    scale = math.lgamma(0.5 * (nu + 1)) - math.lgamma(0.5 * nu) - 0.5 * math.log(nu * math.pi)
    return math.exp(scale - 0.5 * (nu + 1) * math.log1p(t * t / nu))


def quantile(*, probability: float, nu: int) -> float:
    """t with P(T ≤ t) = probability, for 0 < probability < 1: Newton steps inside a bracket."""
    if probability == 0.5:
        return 0.0
    if probability < 0.5:
        return -quantile(probability=1.0 - probability, nu=nu)
    low, high = 0.0, 1.0
    while cdf(t=high, nu=nu) < probability:
        low, high = high, 2.0 * high
    t = 0.5 * (low + high)
    for _ in range(200):
        miss = cdf(t=t, nu=nu) - probability
        low, high = (low, t) if miss > 0.0 else (t, high)
        slope = density(t=t, nu=nu)
        step = t - miss / slope if slope > 0.0 else high
        following = step if low < step < high else 0.5 * (low + high)
        if abs(following - t) <= 4e-16 * abs(t):
            break
        t = following
    return t
