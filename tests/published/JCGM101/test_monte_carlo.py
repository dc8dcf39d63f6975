"""Clause 9 of JCGM 101:2008: propagation of distributions."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import pytest
from numpy.typing import NDArray

from oilwedge.uncertainty.distribution import Distribution, Normal, Rectangular
from oilwedge.uncertainty.monte_carlo import (
    Interval,
    MonteCarloResult,
    adaptive_monte_carlo,
    monte_carlo,
    numerical_tolerance,
)
from oilwedge.uncertainty.quantity import (
    ErrorSource,
    Quantity,
    SourceKind,
    linear_combination,
    propagate,
)

pytestmark = pytest.mark.published


def total(x: NDArray[np.float64]) -> NDArray[np.float64]:
    return np.asarray(x.sum(axis=0))


def drawn_sum(inputs: Sequence[Distribution], interval: Interval) -> MonteCarloResult:
    return monte_carlo(
        function=total,
        inputs=inputs,
        generator=np.random.default_rng(101),
        draws=500_000,
        interval=interval,
    )


def rectangular(deviation: float) -> Rectangular:
    half = deviation * math.sqrt(3.0)
    return Rectangular(low=-half, high=half)


def quantity(value: float, u: float, key: str) -> Quantity:
    return Quantity(value, {ErrorSource(key=key, kind=SourceKind.OTHER, words=key): u})


@pytest.mark.parametrize("interval", list(Interval))
def test_9_2_2_four_normal_inputs(interval: Interval) -> None:
    result = drawn_sum([Normal(mean=0.0, standard_deviation=1.0)] * 4, interval)
    assert result.standard_uncertainty == pytest.approx(2.00, abs=0.01)
    assert (result.low, result.high) == pytest.approx((-3.92, 3.92), abs=0.06)
    assert result.high - result.low == pytest.approx(7.84, abs=0.04)


def test_9_2_2_first_order_gives_the_same() -> None:
    terms = [(1.0, quantity(0.0, 1.0, str(i))) for i in range(4)]
    expanded = linear_combination(terms=terms).expanded()
    assert expanded.half_width == pytest.approx(3.92, abs=0.005)


def test_9_2_3_four_rectangular_inputs() -> None:
    result = drawn_sum([rectangular(1.0)] * 4, Interval.SYMMETRIC)
    assert result.standard_uncertainty == pytest.approx(2.00, abs=0.01)
    assert (result.low, result.high) == pytest.approx((-3.88, 3.88), abs=0.02)


def test_9_2_4_one_rectangular_input_that_dominates() -> None:
    result = drawn_sum([*[rectangular(1.0)] * 3, rectangular(10.0)], Interval.SYMMETRIC)
    assert result.standard_uncertainty == pytest.approx(10.1, abs=0.06)
    assert (result.low, result.high) == pytest.approx((-17.0, 17.0), abs=0.06)
    terms = [(1.0, quantity(0.0, u, str(i))) for i, u in enumerate((1.0, 1.0, 1.0, 10.0))]
    assert linear_combination(terms=terms).expanded().half_width == pytest.approx(19.9, abs=0.05)


def test_9_3_mass_of_a_weight_in_air() -> None:
    # mg and kg/m3; RECALLED, COMPUTED
    def model(x: NDArray[np.float64]) -> NDArray[np.float64]:
        return np.asarray((x[0] + x[1]) * (1 + (x[2] - 1.2) * (1 / x[3] - 1 / x[4])) - 100_000)

    result = monte_carlo(
        function=model,
        inputs=[
            Normal(mean=100_000.0, standard_deviation=0.05),
            Normal(mean=1.234, standard_deviation=0.02),
            Rectangular(low=1.10, high=1.30),
            Rectangular(low=7000.0, high=9000.0),
            Rectangular(low=7950.0, high=8050.0),
        ],
        generator=np.random.default_rng(93),
        draws=500_000,
        interval=Interval.SHORTEST,
    )
    assert result.mean == pytest.approx(1.2340, abs=5e-4)
    assert result.standard_uncertainty == pytest.approx(0.0754, abs=4e-4)
    assert (result.low, result.high) == pytest.approx((1.0834, 1.3825), abs=5e-3)


def test_9_3_first_order_is_too_small() -> None:
    root3 = math.sqrt(3.0)
    mass = propagate(
        function=lambda x: (x[0] + x[1]) * (1 + (x[2] - 1.2) * (1 / x[3] - 1 / x[4])) - 100_000,
        inputs=[
            quantity(100_000.0, 0.05, "reference"),
            quantity(1.234, 0.02, "difference"),
            quantity(1.20, 0.10 / root3, "air"),
            quantity(8000.0, 1000.0 / root3, "weight"),
            quantity(8000.0, 50.0 / root3, "reference weight"),
        ],
    )
    expanded = mass.expanded()
    assert mass.standard_uncertainty == pytest.approx(0.0539, abs=5e-5)
    low, high = mass.value - expanded.half_width, mass.value + expanded.half_width
    assert (low, high) == pytest.approx((1.1285, 1.3395), abs=1e-4)


def test_9_4_first_order_sees_nothing_at_a_stationary_point() -> None:
    def loss(x: NDArray[np.float64]) -> NDArray[np.float64]:
        return np.asarray(x[0] ** 2 + x[1] ** 2)

    inputs = [quantity(0.0, 0.005, "x1"), quantity(0.0, 0.005, "x2")]
    first_order = propagate(function=lambda x: x[0] ** 2 + x[1] ** 2, inputs=inputs)
    assert first_order.standard_uncertainty == 0.0
    result = monte_carlo(
        function=loss,
        inputs=inputs,
        generator=np.random.default_rng(94),
        draws=500_000,
        interval=Interval.SHORTEST,
    )
    assert result.mean == pytest.approx(50e-6, abs=0.5e-6)
    assert result.standard_uncertainty == pytest.approx(50e-6, abs=0.5e-6)
    assert (result.low, result.high) == pytest.approx((0.0, 150e-6), abs=2e-6)


@pytest.mark.parametrize(("digits", "tolerance"), [(1, 0.5), (2, 0.05), (3, 0.005)])
def test_numerical_tolerance_of_u_2_00(digits: int, tolerance: float) -> None:
    found = numerical_tolerance(standard_uncertainty=2.00, digits=digits)
    assert found == pytest.approx(tolerance)


def test_drawing_until_settled_reaches_the_sum_of_four_rectangular_inputs() -> None:
    outcome = adaptive_monte_carlo(
        function=total, inputs=[rectangular(1.0)] * 4, generator=np.random.default_rng(8), digits=2
    )
    assert outcome.settled
    assert outcome.result.high == pytest.approx(3.88, abs=outcome.tolerance)
    assert outcome.result.low == pytest.approx(-3.88, abs=outcome.tolerance)
