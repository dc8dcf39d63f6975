"""The t-distribution in closed form, against scipy.stats over the whole range that is used."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import integrate, stats

from oilwedge.uncertainty import student

freedoms = st.integers(1, 60) | st.integers(1, student.MOST_TERMS_NU)


@given(t=st.floats(-40, 40), nu=freedoms)
def test_the_distribution_agrees_with_scipy_stats(t: float, nu: int) -> None:
    # scipy is out by up to some 1e-12 near t = 0, where the angle of ν = 1 shows it
    assert student.cdf(t=t, nu=nu) == pytest.approx(stats.t.cdf(t, nu), abs=2e-11)


@given(t=st.floats(-1e6, 1e6))
def test_one_degree_of_freedom_is_an_angle_and_two_a_root(t: float) -> None:
    assert student.cdf(t=t, nu=1) == pytest.approx(0.5 + math.atan(t) / math.pi, abs=1e-15)
    root = t / math.sqrt(2.0 + t * t)
    assert student.cdf(t=t, nu=2) == pytest.approx(0.5 + 0.5 * root, abs=1e-15)


@given(probability=st.floats(1e-9, 1 - 1e-9), nu=freedoms)
def test_the_quantile_agrees_with_scipy_stats(probability: float, nu: int) -> None:
    expected = stats.t.ppf(probability, nu)
    found = student.quantile(probability=probability, nu=nu)
    # what is left is rounding of the probability itself, largest far out in the tails
    slack = 4e-14 / stats.t.pdf(expected, nu)
    assert found == pytest.approx(expected, rel=1e-9, abs=max(1e-12, slack))


@pytest.mark.parametrize(
    ("probability", "nu", "printed"),
    [
        (0.975, 1, 12.706),
        (0.975, 4, 2.776),
        (0.95, 10, 1.812),
        (0.995, 16, 2.921),
        (0.975, 16, 2.12),
    ],
)
def test_quantiles_are_those_of_printed_tables(probability: float, nu: int, printed: float) -> None:
    """Tables of t as in GUM (JCGM 100:2008) G.2, RECALLED; t99(16) and t95(16) of H.1, READ."""
    found = student.quantile(probability=probability, nu=nu)
    assert found == pytest.approx(printed, abs=0.0006)


@pytest.mark.parametrize("nu", [1, 2, 3, 8, 41])
def test_the_density_is_the_slope_of_the_distribution(nu: int) -> None:
    area, _ = integrate.quad(lambda t: student.density(t=t, nu=nu), -1.5, 2.5)
    inside = student.cdf(t=2.5, nu=nu) - student.cdf(t=-1.5, nu=nu)
    assert area == pytest.approx(inside, abs=1e-12)
