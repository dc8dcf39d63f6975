"""Is it within its limits? Probabilities, guard bands and risks after JCGM 106:2012."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import Enum

from oilwedge.uncertainty.coverage import (
    bivariate_normal_cdf,
    normal_cdf,
    normal_quantile,
    t_cdf,
    t_quantile,
)
from oilwedge.uncertainty.quantity import Quantity, correlation


class DecisionRule(Enum):
    """How a value and its limit are turned into a verdict."""

    SIMPLE = "simple acceptance"
    SAFETY_MARGIN = "safety margin"


@dataclass(frozen=True, slots=True, kw_only=True)
class JointChance:
    """Chances of not being under the low limit, not over the high one, and both together."""

    above_low: float
    below_high: float
    both: float


@dataclass(frozen=True, slots=True, kw_only=True)
class DecisionRisks:
    """Shares of all items: bad ones taken as good, and good ones taken as bad."""

    false_accept: float
    false_reject: float


def chance_above(*, value: Quantity, limit: float) -> float:
    """P(true value ≥ limit) = F_ν((value − limit)/u), F_ν the t-distribution (JCGM 106, 7.2).

    ν is the quantity's effective one, cut to a whole number; normal where it is infinite. An
    exact value gives 0 or 1, and 1 at the limit itself.
    """
    return _chance(value.value - limit, value)


def chance_below(*, value: Quantity, limit: float) -> float:
    """P(true value ≤ limit); see :func:`chance_above`."""
    return _chance(limit - value.value, value)


def _chance(distance: float, value: Quantity) -> float:
    u = value.standard_uncertainty
    if u == 0.0:
        return 1.0 if distance >= 0.0 else 0.0
    return t_cdf(t=distance / u, degrees_of_freedom=value.degrees_of_freedom)


def chance_inside(
    *, low: Quantity, high: Quantity, low_limit: float | None, high_limit: float | None
) -> JointChance:
    """P(low ≥ low_limit and high ≤ high_limit), low and high correlated by what they share.

    ``low`` and ``high`` are the tightest and the loosest place of one fit (or one and the same
    quantity). The margins are t-distributed as in :func:`chance_above`, joined by a Gaussian
    copula with the correlation −r(low, high); for infinite ν that is the bivariate normal
    itself. A limit that is None is always kept.
    """
    above = 1.0 if low_limit is None else chance_above(value=low, limit=low_limit)
    below = 1.0 if high_limit is None else chance_below(value=high, limit=high_limit)
    both = bivariate_normal_cdf(
        x=normal_quantile(above), y=normal_quantile(below), correlation=-correlation(low, high)
    )
    return JointChance(above_low=above, below_high=below, both=both)


def guard_band(*, standard_uncertainty: float, degrees_of_freedom: float, risk: float) -> float:
    """w = t_(1−risk)(ν)·u: how far inside its limit a value must lie to prove it (JCGM 106, 8.3).

    ``risk`` is the one at this limit. With one limit it is the whole, 0.05 for a proof of 95 %;
    two limits share it, half on each side, 0.025 each.
    """
    if not 0.0 < risk <= 0.5:
        raise ValueError(f"the risk at a limit lies above 0 and up to 0.5, {risk!r} given")
    factor = t_quantile(probability=1.0 - risk, degrees_of_freedom=degrees_of_freedom)
    return factor * standard_uncertainty


def decision_risks(
    *,
    half_width: float,
    prior_standard_deviation: float,
    standard_uncertainty: float,
    guard_band_width: float = 0.0,
    prior_offset: float = 0.0,
) -> DecisionRisks:
    """Risks of accepting by |measured| ≤ half_width − guard_band_width (JCGM 106, 9.5).

    True values X ~ N(offset, σ²) about the middle of the tolerance ±T; measured Y = X + e with
    e ~ N(0, u²), so that (X, Y) is bivariate normal with ρ = σ/√(σ² + u²):
    false accept P(|Y| ≤ A, |X| > T), false reject P(|Y| > A, |X| ≤ T).
    """
    sigma = prior_standard_deviation
    measured = math.hypot(sigma, standard_uncertainty)
    accept = half_width - guard_band_width
    x = _ends(half_width, prior_offset, sigma)
    y = _ends(accept, prior_offset, measured) if accept > 0.0 else (0.0, 0.0)
    rho = sigma / measured
    corners = [
        bivariate_normal_cdf(x=x[i], y=y[j], correlation=rho) * (1.0 if i == j else -1.0)
        for i in (0, 1)
        for j in (0, 1)
    ]
    both = math.fsum(corners)
    accepted = normal_cdf(y[1]) - normal_cdf(y[0])
    good = normal_cdf(x[1]) - normal_cdf(x[0])
    return DecisionRisks(false_accept=max(0.0, accepted - both), false_reject=max(0.0, good - both))


def _ends(half_width: float, offset: float, spread: float) -> tuple[float, float]:
    return (-half_width - offset) / spread, (half_width - offset) / spread
