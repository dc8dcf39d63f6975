"""Quantiles and probabilities, against scipy.stats (an independent way through the same library)
and closed forms."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from oilwedge.uncertainty.coverage import (
    bivariate_normal_cdf,
    coverage_factor,
    normal_cdf,
    normal_quantile,
    t_cdf,
    t_quantile,
    truncated_degrees_of_freedom,
)

finite = st.floats(min_value=-6, max_value=6)
rhos = st.floats(min_value=-1, max_value=1)


@given(z=finite)
def test_the_normal_distribution_agrees_with_scipy_stats(z: float) -> None:
    assert normal_cdf(z) == pytest.approx(stats.norm.cdf(z), rel=1e-12)
    assert normal_quantile(normal_cdf(z)) == pytest.approx(z, abs=1e-6)


@pytest.mark.parametrize("nu", [1, 2, 5, 16, 50])
@pytest.mark.parametrize("t", [-3.0, 0.0, 0.7, 4.0])
def test_the_t_distribution_agrees_with_scipy_stats(nu: int, t: float) -> None:
    chance = t_cdf(t=t, degrees_of_freedom=nu)
    assert chance == pytest.approx(stats.t.cdf(t, nu), rel=1e-12)
    assert t_quantile(probability=chance, degrees_of_freedom=nu) == pytest.approx(t, abs=1e-9)


def test_one_degree_of_freedom_is_the_cauchy_distribution() -> None:
    assert t_cdf(t=1.0, degrees_of_freedom=1) == pytest.approx(0.75)


def test_degrees_of_freedom_are_cut_before_the_look_up() -> None:
    assert truncated_degrees_of_freedom(16.7) == 16.0
    assert truncated_degrees_of_freedom(15.9999999999) == 16.0
    assert truncated_degrees_of_freedom(math.inf) == math.inf
    assert t_quantile(probability=0.9, degrees_of_freedom=4.9) == t_quantile(
        probability=0.9, degrees_of_freedom=4
    )


@pytest.mark.parametrize("nu", [0.5, 0.0, -1.0, -math.inf, math.nan])
def test_less_than_one_degree_of_freedom_is_refused(nu: float) -> None:
    with pytest.raises(ValueError, match="must be 1 or more"):
        truncated_degrees_of_freedom(nu)


def test_the_ends_of_probability_are_infinite() -> None:
    assert normal_quantile(0.0) == -math.inf
    assert normal_quantile(1.0) == math.inf
    assert t_quantile(probability=0.0, degrees_of_freedom=3) == -math.inf
    assert t_quantile(probability=1.0, degrees_of_freedom=3) == math.inf
    assert t_cdf(t=math.inf, degrees_of_freedom=3) == 1.0
    assert t_cdf(t=-math.inf, degrees_of_freedom=3) == 0.0


def test_what_is_no_probability_is_refused() -> None:
    with pytest.raises(ValueError, match="between 0 and 1"):
        normal_quantile(1.1)
    with pytest.raises(ValueError, match="between 0 and 1"):
        coverage_factor(coverage_probability=1.0, degrees_of_freedom=3)


@pytest.mark.parametrize("x", [-2.5, -0.3, 0.0, 0.8, 3.0])
@pytest.mark.parametrize("y", [-1.5, 0.0, 0.8, 2.0])
@pytest.mark.parametrize("rho", [-0.999, -0.9, -0.3, 0.0, 0.5, 0.95, 0.9999])
def test_the_bivariate_normal_agrees_with_scipy_stats(x: float, y: float, rho: float) -> None:
    reference = stats.multivariate_normal(mean=[0, 0], cov=[[1, rho], [rho, 1]]).cdf([x, y])
    assert bivariate_normal_cdf(x=x, y=y, correlation=rho) == pytest.approx(reference, abs=1e-7)


@pytest.mark.parametrize("rho", [-0.8, 0.0, 0.6])
def test_the_bivariate_normal_agrees_with_drawing(rho: float) -> None:
    generator = np.random.default_rng(20240501)
    draws = generator.multivariate_normal([0, 0], [[1, rho], [rho, 1]], 400_000)
    share = float(((draws[:, 0] <= 0.4) & (draws[:, 1] <= -0.2)).mean())
    assert bivariate_normal_cdf(x=0.4, y=-0.2, correlation=rho) == pytest.approx(share, abs=0.003)


@given(rho=rhos)
def test_a_quarter_and_an_arc_sine_at_the_middle(rho: float) -> None:
    # Sheppard 1899: P(X <= 0, Y <= 0) = 1/4 + asin(rho)/2 pi
    expected = 0.25 + math.asin(rho) / (2 * math.pi)
    assert bivariate_normal_cdf(x=0.0, y=0.0, correlation=rho) == pytest.approx(expected, abs=1e-9)


@given(x=finite, y=finite)
def test_full_correlation_leaves_one_variable(x: float, y: float) -> None:
    px, py = normal_cdf(x), normal_cdf(y)
    together = min(px, py)
    against = max(0.0, px + py - 1.0)
    for near in (1.0, 1.0 - 1e-14):
        assert bivariate_normal_cdf(x=x, y=y, correlation=near) == pytest.approx(together, abs=1e-7)
        assert bivariate_normal_cdf(x=x, y=y, correlation=-near) == pytest.approx(against, abs=1e-7)


@given(x=finite, rho=rhos)
def test_an_infinite_limit_is_no_limit(x: float, rho: float) -> None:
    inf = math.inf
    assert bivariate_normal_cdf(x=x, y=inf, correlation=rho) == pytest.approx(normal_cdf(x))
    assert bivariate_normal_cdf(x=inf, y=x, correlation=rho) == pytest.approx(normal_cdf(x))
    assert bivariate_normal_cdf(x=x, y=-inf, correlation=rho) == 0.0
    assert bivariate_normal_cdf(x=-inf, y=inf, correlation=rho) == 0.0
    assert bivariate_normal_cdf(x=inf, y=inf, correlation=rho) == 1.0


@given(x=finite, y=finite, rho=rhos)
def test_turning_one_variable_round_gives_the_rest(x: float, y: float, rho: float) -> None:
    there = bivariate_normal_cdf(x=x, y=y, correlation=rho)
    back = bivariate_normal_cdf(x=x, y=-y, correlation=-rho)
    assert there + back == pytest.approx(normal_cdf(x), abs=1e-9)


def test_a_correlation_beyond_one_is_refused() -> None:
    with pytest.raises(ValueError, match="between -1 and 1"):
        bivariate_normal_cdf(x=0.0, y=0.0, correlation=1.1)
