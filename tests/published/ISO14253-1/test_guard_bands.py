"""Guard bands: how often, at worst, an item outside its limit is taken as good."""

from __future__ import annotations

import math

import pytest

from oilwedge.uncertainty.conformity import chance_above, guard_band
from oilwedge.uncertainty.quantity import ErrorSource, Quantity, SourceKind

pytestmark = pytest.mark.published

ERROR = ErrorSource(key="measurement", kind=SourceKind.OTHER, words="measurement")


@pytest.mark.parametrize(
    ("w_over_U", "worst"),
    [
        (0.0, 0.50),  # simple acceptance, ILAC-G8 4.2.1, READ
        (1.0, 0.025),  # guard band U, ILAC-G8 4.2.2, READ
        (0.83, 0.05),  # ISO 14253-1:2017 default, RECALLED
        (1.5, 0.0016),  # 3 sigma, RECALLED
        (3.0, 1e-6),  # 6 sigma, RECALLED
    ],
)
def test_the_worst_false_accept_is_under_the_printed_one(w_over_U: float, worst: float) -> None:
    u = 0.5  # U = 2u = 1; the upper limit is 0, the measured value at the acceptance limit
    at_acceptance_limit = Quantity(-w_over_U, {ERROR: u})
    outside = chance_above(value=at_acceptance_limit, limit=0.0)
    assert 0.0 < outside <= worst


@pytest.mark.parametrize(("w_over_U", "exact"), [(0.0, 0.5), (1.0, 0.0228), (0.83, 0.0485)])
def test_the_worst_false_accept_is_the_computed_one(w_over_U: float, exact: float) -> None:
    assert chance_above(value=Quantity(-w_over_U, {ERROR: 0.5}), limit=0.0) == pytest.approx(
        exact, abs=5e-5
    )


def test_the_default_proof_of_95_per_cent_takes_1_65_u() -> None:
    w = guard_band(standard_uncertainty=1.0, degrees_of_freedom=math.inf, risk=0.05)
    assert w == pytest.approx(1.65, abs=0.006)
    assert w / 2 == pytest.approx(0.83, abs=0.01)


def test_two_limits_that_share_the_risk_take_1_96_u_each() -> None:
    w = guard_band(standard_uncertainty=1.0, degrees_of_freedom=math.inf, risk=0.025)
    assert w == pytest.approx(1.960, abs=5e-4)
