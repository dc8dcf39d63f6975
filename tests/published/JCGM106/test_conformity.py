"""Worked numbers of JCGM 106:2012, and risks that were computed independently."""

from __future__ import annotations

import math

import pytest

from oilwedge.uncertainty.conformity import (
    chance_above,
    chance_below,
    chance_inside,
    decision_risks,
)
from oilwedge.uncertainty.coverage import normal_quantile
from oilwedge.uncertainty.quantity import ErrorSource, Quantity, SourceKind

pytestmark = pytest.mark.published

ERROR = ErrorSource(key="measurement", kind=SourceKind.OTHER, words="measurement")


def test_breakdown_voltage_under_one_limit() -> None:
    value = Quantity(-5.47, {ERROR: 0.05})
    assert chance_below(value=value, limit=-5.40) == pytest.approx(0.92, abs=0.005)
    assert chance_below(value=value, limit=-5.40) == pytest.approx(0.9192, abs=5e-5)
    assert chance_above(value=value, limit=-5.40) == pytest.approx(0.0808, abs=5e-5)


def test_oil_viscosity_between_two_limits() -> None:
    # kinematic viscosity at 100 °C, mm²/s, limits 12.5 and 16.3
    value = Quantity(13.6, {ERROR: 1.8})
    joint = chance_inside(low=value, high=value, low_limit=12.5, high_limit=16.3)
    assert joint.both == pytest.approx(0.66, abs=0.005)
    assert joint.both == pytest.approx(0.6626, abs=5e-5)
    assert joint.both == pytest.approx(joint.above_low + joint.below_high - 1.0)


@pytest.mark.parametrize(
    ("chance", "z"),
    [(0.80, 0.842), (0.90, 1.282), (0.95, 1.645), (0.99, 2.326), (0.999, 3.090)],
)
def test_table_1_one_sided_quantiles(chance: float, z: float) -> None:
    assert normal_quantile(chance) == pytest.approx(z, abs=5e-4)


@pytest.mark.parametrize(
    ("ratio", "false_accept", "false_reject"),
    [(10, 0.41, 0.52), (4, 0.86, 1.55), (3, 1.05, 2.29), (2, 1.34, 4.18), (1, 1.80, 13.0)],
)
def test_false_decisions_against_the_test_uncertainty_ratio(
    ratio: float, false_accept: float, false_reject: float
) -> None:
    # 95 % of the items truly in tolerance; ratio = tolerance half width / U, U = 2u; per cent
    z = normal_quantile(0.975)
    risks = decision_risks(
        half_width=1.0, prior_standard_deviation=1.0 / z, standard_uncertainty=1.0 / (ratio * 2.0)
    )
    assert 100 * risks.false_accept == pytest.approx(false_accept, abs=0.006)
    printed_to = 0.05 if false_reject > 10 else 0.006
    assert 100 * risks.false_reject == pytest.approx(false_reject, abs=printed_to)


def test_a_perfect_measurement_decides_nothing_wrongly() -> None:
    risks = decision_risks(half_width=1.0, prior_standard_deviation=0.5, standard_uncertainty=1e-12)
    assert risks.false_accept == pytest.approx(0.0, abs=1e-9)
    assert risks.false_reject == pytest.approx(0.0, abs=1e-9)
    assert math.isfinite(risks.false_reject)
