"""Chances, guard bands and risks; published figures are under tests/published/JCGM106."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import integrate, stats

from oilwedge.uncertainty.conformity import (
    chance_above,
    chance_below,
    chance_inside,
    decision_risks,
    guard_band,
)
from oilwedge.uncertainty.monte_carlo import sample
from oilwedge.uncertainty.quantity import ErrorSource, Quantity, SourceKind, exact


def source(key: str, nu: float = math.inf) -> ErrorSource:
    return ErrorSource(key=key, kind=SourceKind.OTHER, words=key, degrees_of_freedom=nu)


A, B, FEW = source("a"), source("b"), source("few", 3)


def test_few_repeats_widen_the_tails() -> None:
    value = Quantity(2.0, {FEW: 1.0})
    assert chance_above(value=value, limit=0.0) == pytest.approx(stats.t.cdf(2.0, 3))
    assert chance_below(value=value, limit=0.0) == pytest.approx(stats.t.sf(2.0, 3))
    known = Quantity(2.0, {A: 1.0})
    assert chance_above(value=known, limit=0.0) == pytest.approx(stats.norm.cdf(2.0))


def test_an_exact_value_is_inside_up_to_its_limit() -> None:
    assert chance_above(value=exact(1.0), limit=1.0) == 1.0
    assert chance_above(value=exact(0.9), limit=1.0) == 0.0
    assert chance_below(value=exact(1.0), limit=1.0) == 1.0
    assert chance_below(value=exact(1.1), limit=1.0) == 0.0


@given(value=st.floats(-5, 5), limit=st.floats(-5, 5))
def test_above_and_below_make_one(value: float, limit: float) -> None:
    q = Quantity(value, {FEW: 0.7, A: 0.2})
    assert chance_above(value=q, limit=limit) + chance_below(value=q, limit=limit) == pytest.approx(
        1.0
    )


@given(value=st.floats(-3, 3), u=st.floats(0.1, 3))
def test_one_quantity_between_two_limits_is_a_difference_of_two_chances(
    value: float, u: float
) -> None:
    q = Quantity(value, {A: u})
    joint = chance_inside(low=q, high=q, low_limit=-1.0, high_limit=1.0)
    expected = stats.norm.cdf((1 - value) / u) - stats.norm.cdf((-1 - value) / u)
    assert joint.both == pytest.approx(expected, abs=1e-9)


def test_limits_that_are_missing_are_kept() -> None:
    q = Quantity(0.5, {A: 1.0})
    none = chance_inside(low=q, high=q, low_limit=None, high_limit=None)
    assert (none.above_low, none.below_high, none.both) == (1.0, 1.0, 1.0)
    low = chance_inside(low=q, high=q, low_limit=0.0, high_limit=None)
    assert low.both == pytest.approx(low.above_low)
    high = chance_inside(low=q, high=q, low_limit=None, high_limit=0.0)
    assert high.both == pytest.approx(high.below_high)


def test_independent_ends_multiply() -> None:
    low, high = Quantity(0.5, {A: 1.0}), Quantity(1.0, {B: 2.0})
    joint = chance_inside(low=low, high=high, low_limit=0.0, high_limit=3.0)
    assert joint.both == pytest.approx(joint.above_low * joint.below_high)


def test_an_error_in_common_trades_one_limit_for_the_other() -> None:
    low, high = Quantity(0.5, {A: 1.0, B: 0.3}), Quantity(1.0, {A: 1.0, FEW: 0.0})
    joint = chance_inside(low=low, high=high, low_limit=0.0, high_limit=2.0)
    assert joint.both < joint.above_low * joint.below_high
    draws = sample([low, high], generator=np.random.default_rng(7), draws=400_000)
    share = float(((draws[0] >= 0.0) & (draws[1] <= 2.0)).mean())
    assert joint.both == pytest.approx(share, abs=0.003)


@given(
    low=st.floats(-3, 3),
    spread=st.floats(0, 2),
    shared=st.floats(-1, 1),
    own=st.floats(0.01, 1),
)
def test_both_together_are_never_likelier_than_either(
    low: float, spread: float, shared: float, own: float
) -> None:
    joint = chance_inside(
        low=Quantity(low, {A: shared, FEW: own}),
        high=Quantity(low + spread, {A: shared, B: own}),
        low_limit=-1.0,
        high_limit=1.5,
    )
    assert joint.both <= min(joint.above_low, joint.below_high) + 1e-12
    assert joint.both >= joint.above_low + joint.below_high - 1.0 - 1e-12


def test_a_value_at_its_guard_band_is_proved_with_just_the_wanted_chance() -> None:
    value = Quantity(0.0, {FEW: 1.0, A: 0.5})
    for risk in (0.05, 0.025):
        w = guard_band(
            standard_uncertainty=value.standard_uncertainty,
            degrees_of_freedom=value.degrees_of_freedom,
            risk=risk,
        )
        assert chance_above(value=value, limit=-w) == pytest.approx(1.0 - risk)


@pytest.mark.parametrize("risk", [0.0, 0.6, -0.1])
def test_a_risk_beyond_a_half_is_refused(risk: float) -> None:
    with pytest.raises(ValueError, match="above 0 and up to"):
        guard_band(standard_uncertainty=1.0, degrees_of_freedom=math.inf, risk=risk)


@pytest.mark.parametrize(("guard", "offset"), [(0.0, 0.0), (0.3, 0.2), (-0.2, -0.5)])
def test_risks_agree_with_integration_over_the_true_value(guard: float, offset: float) -> None:
    half, sigma, u = 1.0, 0.6, 0.25
    accept = half - guard

    def accepted(x: float) -> float:
        return float(stats.norm.cdf((accept - x) / u) - stats.norm.cdf((-accept - x) / u))

    def density(x: float) -> float:
        return float(stats.norm.pdf(x, offset, sigma))

    bad = [
        integrate.quad(lambda x: density(x) * accepted(x), *ends)[0]
        for ends in ((-8.0, -half), (half, 8.0))
    ]
    lost = integrate.quad(lambda x: density(x) * (1.0 - accepted(x)), -half, half)[0]
    risks = decision_risks(
        half_width=half,
        prior_standard_deviation=sigma,
        standard_uncertainty=u,
        guard_band_width=guard,
        prior_offset=offset,
    )
    assert risks.false_accept == pytest.approx(sum(bad), abs=1e-8)
    assert risks.false_reject == pytest.approx(lost, abs=1e-8)


def test_a_guard_band_as_wide_as_the_tolerance_rejects_everything() -> None:
    risks = decision_risks(
        half_width=1.0, prior_standard_deviation=0.5, standard_uncertainty=0.5, guard_band_width=1.0
    )
    assert risks.false_accept == 0.0
    assert risks.false_reject == pytest.approx(stats.norm.cdf(2) - stats.norm.cdf(-2))
