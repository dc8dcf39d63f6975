"""Quantiles and probabilities of the normal and the t-distribution.

Degrees of freedom are cut to a whole number before any look-up (GUM G.4.1, note 1), which is why
student.py can do without scipy; only very many degrees of freedom load it.
"""

from __future__ import annotations

import math
from functools import lru_cache
from statistics import NormalDist

from oilwedge.uncertainty import student
from oilwedge.uncertainty.owen import owen_t

_NORMAL = NormalDist()


def truncated_degrees_of_freedom(degrees_of_freedom: float) -> float:
    """Degrees of freedom cut to the next lower whole number, infinite ones left as they are.

    Source: GUM (JCGM 100:2008) G.4.1, note 1. A billionth is allowed for rounding, so that
    15.9999999999 is 16. ValueError under 1, where there is no t-distribution to speak of.
    """
    if math.isinf(degrees_of_freedom) and degrees_of_freedom > 0:
        return math.inf
    if not degrees_of_freedom >= 1.0 - 1e-9:
        raise ValueError(f"degrees of freedom must be 1 or more, {degrees_of_freedom!r} given")
    return float(math.floor(degrees_of_freedom + 1e-9))


def normal_cdf(z: float) -> float:
    """Φ(z), the chance that a standard normal variable is at most ``z``."""
    return 0.5 * math.erfc(-z / math.sqrt(2.0))


@lru_cache(maxsize=4096)
def normal_quantile(probability: float) -> float:
    """z with Φ(z) = ``probability``; ∓infinity at 0 and 1."""
    probability = _probability(probability)
    if probability in (0.0, 1.0):
        return math.inf if probability else -math.inf
    return _NORMAL.inv_cdf(probability)


def t_cdf(*, t: float, degrees_of_freedom: float) -> float:
    """Chance that a t-distributed variable is at most ``t``; normal where ν is infinite."""
    nu = truncated_degrees_of_freedom(degrees_of_freedom)
    if math.isinf(nu):
        return normal_cdf(t)
    if math.isinf(t):
        return 1.0 if t > 0 else 0.0
    if nu <= student.MOST_TERMS_NU:
        return student.cdf(t=t, nu=int(nu))
    from scipy.special import stdtr  # slow to load, and needed almost never

    return float(stdtr(nu, t))


def t_quantile(*, probability: float, degrees_of_freedom: float) -> float:
    """t that a t-distributed variable stays below with this probability (one-sided)."""
    return _t_quantile(truncated_degrees_of_freedom(degrees_of_freedom), _probability(probability))


@lru_cache(maxsize=4096)
def _t_quantile(nu: float, probability: float) -> float:
    if math.isinf(nu):
        return normal_quantile(probability)
    if probability in (0.0, 1.0):
        return math.inf if probability else -math.inf
    if nu <= student.MOST_TERMS_NU:
        return student.quantile(probability=probability, nu=int(nu))
    from scipy.special import stdtrit  # slow to load, and needed almost never

    return float(stdtrit(nu, probability))


def coverage_factor(*, coverage_probability: float, degrees_of_freedom: float) -> float:
    """k = t_p(ν): the two-sided factor that gives U = k·u this coverage (GUM G.3.2, G.6.4)."""
    if not 0.0 < coverage_probability < 1.0:
        raise ValueError(f"a coverage lies between 0 and 1, {coverage_probability!r} given")
    return t_quantile(
        probability=0.5 * (1.0 + coverage_probability), degrees_of_freedom=degrees_of_freedom
    )


def bivariate_normal_cdf(*, x: float, y: float, correlation: float) -> float:
    """Φ₂(x, y; ρ): the chance that X ≤ x and Y ≤ y for standard normals with correlation ρ.

    By Owen's T function (Owen 1956): Φ₂ = ½Φ(x) + ½Φ(y) − T(x, a_x) − T(y, a_y) − δ, with
    a_x = (y − ρx)/(x√(1 − ρ²)), a_y = (x − ρy)/(y√(1 − ρ²)), and δ = ½ where x and y have
    unlike signs (or one is 0 and the other negative). Holds for every ρ from −1 to 1 and for
    infinite limits; absolute error about 1e-15. ValueError for a ρ outside.
    """
    if not -1.0 - 1e-12 <= correlation <= 1.0 + 1e-12:
        raise ValueError(f"a correlation lies between -1 and 1, {correlation!r} given")
    # under 1e-100 a product would lose its sign; the distribution does not notice
    x, y = (0.0 if abs(z) < 1e-100 else z for z in (x, y))
    px, py = normal_cdf(x), normal_cdf(y)
    lowest, highest = max(0.0, px + py - 1.0), min(px, py)
    if math.isinf(x) or math.isinf(y):
        return highest if max(px, py) == 1.0 else 0.0
    spread = (1.0 - correlation) * (1.0 + correlation)
    if spread <= 0.0:
        return highest if correlation > 0 else lowest
    if x == 0.0 and y == 0.0:
        return 0.25 + math.asin(correlation) / (2.0 * math.pi)
    root = math.sqrt(spread)
    unlike = x * y < 0.0 or (x * y == 0.0 and x + y < 0.0)
    total = 0.5 * (px + py) - _owen(x, y, correlation, root) - _owen(y, x, correlation, root)
    return min(highest, max(lowest, total - (0.5 if unlike else 0.0)))


def _owen(h: float, k: float, rho: float, root: float) -> float:
    """T(h, (k − ρh)/(h·root)), with k − ρh formed so that it keeps its digits near ρ = ±1."""
    rest = (k - h) + h * (1.0 - rho) if rho > 0 else (k + h) - h * (1.0 + rho)
    slope = math.copysign(math.inf, rest) if h == 0.0 else rest / (h * root)
    return owen_t(h=h, a=slope)


def _probability(probability: float) -> float:
    if not 0.0 <= probability <= 1.0:
        raise ValueError(f"a probability lies between 0 and 1, {probability!r} given")
    return probability
