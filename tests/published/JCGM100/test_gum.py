"""Worked examples of the GUM (JCGM 100:2008)."""

from __future__ import annotations

import math
from collections.abc import Sequence
from decimal import Decimal
from statistics import fmean

import numpy as np
import pytest
from numpy.typing import NDArray

from oilwedge.uncertainty.budget import budget
from oilwedge.uncertainty.distribution import Arcsine, Normal, Rectangular
from oilwedge.uncertainty.monte_carlo import monte_carlo
from oilwedge.uncertainty.quantity import (
    ErrorSource,
    Quantity,
    SourceKind,
    correlated_quantities,
    correlation,
    propagate,
)
from oilwedge.uncertainty.rounding import format_with_uncertainty, round_up_uncertainty
from oilwedge.uncertainty.type_a import (
    ARCSINE,
    RECTANGULAR,
    TRIANGULAR,
    degrees_of_freedom_from_reliability,
    resolution_uncertainty,
    type_a,
)

pytestmark = pytest.mark.published


def quantity(value: float, **parts: tuple[float, float]) -> Quantity:
    """A value with (u, ν) for each named source."""
    return Quantity(
        value,
        {
            ErrorSource(key=key, kind=SourceKind.OTHER, words=key, degrees_of_freedom=nu): u
            for key, (u, nu) in parts.items()
        },
    )


# H.1: end gauge of 50 mm against a standard; everything in nm and °C. READ
STANDARD_NM = 50_000_623.0
ALPHA = 11.5e-6


def end_gauge() -> Quantity:
    return propagate(
        function=lambda x: x[0] + x[1] - x[0] * (x[4] * x[3] + x[2] * x[5]),
        inputs=[
            quantity(STANDARD_NM, standard=(25.0, 18)),
            quantity(215.0, repeats=(5.8, 24), random=(3.9, 5), systematic=(6.7, 8)),
            quantity(ALPHA, alpha=(2e-6 / RECTANGULAR, math.inf)),
            quantity(-0.1, bed=(0.2, math.inf), swing=(0.5 / ARCSINE, math.inf)),
            quantity(0.0, d_alpha=(1e-6 / RECTANGULAR, 50)),
            quantity(0.0, d_theta=(0.05 / RECTANGULAR, 2)),
        ],
    )


def test_h1_gives_the_printed_length_and_uncertainty() -> None:
    length = end_gauge()
    assert length.value / 1e6 == pytest.approx(50.000838, abs=5e-7)
    assert length.standard_uncertainty == pytest.approx(32, abs=0.5)


def test_h1_gives_the_printed_contributions() -> None:
    printed = {
        "standard": 25.0,
        "d_theta": 16.6,
        "systematic": 6.7,
        "repeats": 5.8,
        "random": 3.9,
        "d_alpha": 2.9,
    }
    lines = [line for line in budget(end_gauge()).lines if abs(line.contribution) > 0.01]
    assert [line.source.key for line in lines] == list(printed)
    for line, contribution in zip(lines, printed.values(), strict=True):
        assert abs(line.contribution) == pytest.approx(contribution, abs=0.05)
    signs = {line.source.key: math.copysign(1, line.contribution) for line in lines}
    assert signs["d_alpha"] == 1.0
    assert signs["d_theta"] == -1.0


def test_h1_cuts_its_degrees_of_freedom_to_16() -> None:
    assert end_gauge().degrees_of_freedom == pytest.approx(16.7, abs=0.1)
    expanded = end_gauge().expanded(coverage_probability=0.99)
    assert expanded.degrees_of_freedom == 16.0
    assert expanded.k == pytest.approx(2.92, abs=0.005)
    assert 92 <= expanded.half_width <= 93
    # t95(16), untruncated it would be 2.113
    assert end_gauge().expanded(coverage_probability=0.95).k == pytest.approx(2.120, abs=5e-4)


def test_h1_with_second_order_terms_gives_34_nm() -> None:
    def model(x: NDArray[np.float64]) -> NDArray[np.float64]:
        standard, d, alpha, bed, swing, d_alpha, d_theta = x
        return np.asarray(d + standard * (1 - d_alpha * (bed + swing) - alpha * d_theta))

    result = monte_carlo(
        function=model,
        inputs=[
            Normal(mean=STANDARD_NM, standard_deviation=25.0),
            Normal(mean=215.0, standard_deviation=9.7),
            Rectangular(low=ALPHA - 2e-6, high=ALPHA + 2e-6),
            Normal(mean=-0.1, standard_deviation=0.2),
            Arcsine(low=-0.5, high=0.5),
            Rectangular(low=-1e-6, high=1e-6),
            Rectangular(low=-0.05, high=0.05),
        ],
        generator=np.random.default_rng(1),
        draws=400_000,
    )
    assert result.standard_uncertainty == pytest.approx(34, abs=0.5)
    # the two extra terms, 11.9 and 1.7 nm, from the rounded inputs of the example: 33.9 nm
    terms = (STANDARD_NM * 0.58e-6 * 0.41, STANDARD_NM * 1.2e-6 * 0.029)
    first_order = end_gauge().standard_uncertainty
    assert terms == pytest.approx((11.9, 1.7), abs=0.05)
    assert math.hypot(first_order, *terms) == pytest.approx(33.9, abs=0.05)
    # and from the unrounded ones
    theta = math.hypot(0.2, 0.5 / ARCSINE)
    unrounded = (
        STANDARD_NM * 1e-6 / RECTANGULAR * theta,
        STANDARD_NM * 2e-6 / RECTANGULAR * 0.05 / RECTANGULAR,
    )
    expected = math.hypot(first_order, *unrounded)
    assert result.standard_uncertainty == pytest.approx(expected, abs=0.15)


# H.2: simultaneous readings of V (V), I (mA) and phase (rad). READ
VOLTS = [5.007, 4.994, 5.005, 4.990, 4.999]
MILLIAMPERES = [19.663, 19.639, 19.640, 19.685, 19.678]
PHASE = [1.0456, 1.0438, 1.0468, 1.0428, 1.0433]


def resistance(x: Sequence[float]) -> float:
    return x[0] / x[1] * math.cos(x[2])


def reactance(x: Sequence[float]) -> float:
    return x[0] / x[1] * math.sin(x[2])


def impedance(x: Sequence[float]) -> float:
    return x[0] / x[1]


def readings() -> tuple[Quantity, ...]:
    rows = np.array([VOLTS, [i / 1000 for i in MILLIAMPERES], PHASE])
    return correlated_quantities(
        values=[float(mean) for mean in rows.mean(axis=1)],
        covariance=np.cov(rows) / rows.shape[1],
        degrees_of_freedom=4,
        keys=["V", "I", "phase"],
        kind=SourceKind.REPEATABILITY,
    )


def test_h2_inputs_are_correlated_as_printed() -> None:
    v, i, phase = readings()
    assert correlation(v, i) == pytest.approx(-0.36, abs=0.006)
    assert correlation(v, phase) == pytest.approx(0.86, abs=0.005)
    assert correlation(i, phase) == pytest.approx(-0.65, abs=0.006)


def test_h2_gives_the_printed_values_uncertainties_and_correlations() -> None:
    inputs = readings()
    r, x, z = (propagate(function=f, inputs=inputs) for f in (resistance, reactance, impedance))
    assert (r.value, x.value, z.value) == pytest.approx((127.732, 219.847, 254.260), abs=6e-4)
    assert r.standard_uncertainty == pytest.approx(0.071, abs=5e-4)
    assert x.standard_uncertainty == pytest.approx(0.295, abs=1e-3)  # unrounded 0.2956
    assert z.standard_uncertainty == pytest.approx(0.236, abs=5e-4)
    assert correlation(r, x) == pytest.approx(-0.588, abs=1e-3)
    assert correlation(r, z) == pytest.approx(-0.485, abs=1e-3)
    assert correlation(x, z) == pytest.approx(0.993, abs=1e-3)


def test_h2_repeats_taken_together_keep_their_four_degrees_of_freedom() -> None:
    assert propagate(function=resistance, inputs=readings()).degrees_of_freedom == pytest.approx(4)


def test_h2_without_the_correlation_is_wrong_both_ways() -> None:
    alone = [
        quantity(q.value, **{name: (q.standard_uncertainty, 4)})
        for name, q in zip(("V", "I", "phase"), readings(), strict=True)
    ]
    r = propagate(function=resistance, inputs=alone)
    x = propagate(function=reactance, inputs=alone)
    assert r.standard_uncertainty == pytest.approx(0.195, abs=1e-3)
    assert x.standard_uncertainty == pytest.approx(0.201, abs=1e-3)


# 4.4.3: twenty temperatures in °C. READ
TEMPERATURES = """96.90 98.18 98.25 98.61 99.03 99.49 99.56 99.74 99.89 100.07
100.33 100.42 100.68 100.95 101.11 101.20 101.57 101.84 102.36 102.72"""


def test_4_4_3_repeats_of_a_temperature() -> None:
    values = [float(text) for text in TEMPERATURES.split()]
    result = type_a(values)
    assert result.mean == pytest.approx(fmean(values))
    assert result.mean == pytest.approx(100.145, abs=5e-4)
    assert result.standard_deviation == pytest.approx(1.489, abs=5e-4)
    assert result.standard_deviation_of_mean == pytest.approx(0.333, abs=5e-4)
    assert result.degrees_of_freedom == 19


def test_7_2_6_rounds_up_with_common_sense() -> None:
    assert round_up_uncertainty(10.47) == Decimal(11)
    assert round_up_uncertainty(28.05) == Decimal(28)
    rounded = format_with_uncertainty(
        value=10.05762, uncertainty=0.027, unit_factor=1.0, maximum_decimals=6
    )
    assert (rounded.value_text, rounded.uncertainty_text) == ("10.058", "0.027")


@pytest.mark.parametrize(("relative", "nu"), [(0.25, 8), (0.10, 50), (0.50, 2)])
def test_g_4_2_degrees_of_freedom_from_how_well_u_is_known(relative: float, nu: float) -> None:
    assert degrees_of_freedom_from_reliability(relative=relative) == pytest.approx(nu)


def test_divisors_are_those_of_the_guide() -> None:
    divisors = (RECTANGULAR, TRIANGULAR, ARCSINE)
    assert divisors == pytest.approx((math.sqrt(3), math.sqrt(6), math.sqrt(2)))
    assert resolution_uncertainty(resolution=1.0) == pytest.approx(0.29, abs=0.005)  # F.2.2.1
