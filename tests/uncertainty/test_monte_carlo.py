"""Drawing: reproducible, correlated as the sources say, and t where repeats are few."""

from __future__ import annotations

import math

import numpy as np
import pytest
from numpy.typing import NDArray

from oilwedge.uncertainty.distribution import Arcsine, Distribution, Normal, Rectangular, Triangular
from oilwedge.uncertainty.monte_carlo import (
    Interval,
    adaptive_monte_carlo,
    draw_inputs,
    monte_carlo,
    sample,
    summarise,
)
from oilwedge.uncertainty.quantity import ErrorSource, Quantity, SourceKind, exact


def source(key: str, nu: float = math.inf, group: str = "") -> ErrorSource:
    return ErrorSource(
        key=key, kind=SourceKind.OTHER, words=key, degrees_of_freedom=nu, group=group
    )


def rng() -> np.random.Generator:
    return np.random.default_rng(11)


def total(x: NDArray[np.float64]) -> NDArray[np.float64]:
    return np.asarray(x.sum(axis=0))


A, B = source("a"), source("b")


def test_the_same_generator_state_gives_the_same_draws() -> None:
    q = Quantity(1.0, {A: 1.0})
    assert np.array_equal(
        sample([q], generator=rng(), draws=10), sample([q], generator=rng(), draws=10)
    )


def test_shared_sources_are_drawn_once() -> None:
    first, second = Quantity(5.0, {A: 1.0, B: 2.0}), Quantity(3.0, {A: 1.0, B: 2.0})
    draws = sample([first, second, exact(4.0)], generator=rng(), draws=1000)
    assert draws.shape == (3, 1000)
    assert draws[0] - draws[1] == pytest.approx(2.0)
    assert (draws[2] == 4.0).all()
    assert draws[0].std() == pytest.approx(math.sqrt(5.0), rel=0.1)


def test_exact_quantities_need_no_draws() -> None:
    assert (sample([exact(2.0)], generator=rng(), draws=3) == 2.0).all()


def test_few_repeats_are_drawn_from_t() -> None:
    # variance of t with 5 degrees of freedom: 5/3
    draws = sample([Quantity(0.0, {source("x", 5): 2.0})], generator=rng(), draws=400_000)[0]
    assert draws.var() == pytest.approx(4.0 * 5.0 / 3.0, rel=0.03)
    # its 97.5 % quantile: 2.571 (GUM table G.2)
    assert np.quantile(draws, 0.975) == pytest.approx(2.0 * 2.571, rel=0.02)


def test_sources_estimated_together_share_their_divisor() -> None:
    x, y = source("x", 3, "set"), source("y", 3, "set")
    draws = sample(
        [Quantity(0.0, {x: 1.0}), Quantity(0.0, {y: 1.0})], generator=rng(), draws=20_000
    )
    alone = sample(
        [Quantity(0.0, {source("p", 3): 1.0}), Quantity(0.0, {source("q", 3): 1.0})],
        generator=rng(),
        draws=20_000,
    )
    together = float(np.corrcoef(np.log(np.abs(draws)))[0, 1])
    apart = float(np.corrcoef(np.log(np.abs(alone)))[0, 1])
    assert together > 0.1
    assert abs(apart) < 0.05


@pytest.mark.parametrize(
    ("distribution", "mean", "deviation"),
    [
        (Normal(mean=2.0, standard_deviation=3.0), 2.0, 3.0),
        (Rectangular(low=1.0, high=3.0), 2.0, 1.0 / math.sqrt(3.0)),
        (Triangular(low=1.0, high=3.0), 2.0, 1.0 / math.sqrt(6.0)),
        (Arcsine(low=1.0, high=3.0), 2.0, 1.0 / math.sqrt(2.0)),
    ],
)
def test_distributions_have_the_spread_of_their_divisor(
    distribution: Normal | Rectangular | Triangular | Arcsine, mean: float, deviation: float
) -> None:
    result = monte_carlo(
        function=lambda x: x[0], inputs=[distribution], generator=rng(), draws=200_000
    )
    assert result.mean == pytest.approx(mean, abs=0.02)
    assert result.standard_uncertainty == pytest.approx(deviation, rel=0.01)


def test_bounded_distributions_keep_their_bounds() -> None:
    for kind in (Rectangular, Triangular, Arcsine):
        drawn = draw_inputs([kind(low=1.0, high=3.0)], generator=rng(), draws=10_000)
        assert 1.0 <= drawn.min() < 1.1
        assert 2.9 < drawn.max() <= 3.0


def test_quantities_and_distributions_keep_their_order() -> None:
    inputs: list[Quantity | Distribution] = [
        Rectangular(low=10.0, high=11.0),
        Quantity(1.0, {A: 0.01}),
        exact(5.0),
    ]
    drawn = draw_inputs(inputs, generator=rng(), draws=100)
    assert drawn.mean(axis=1) == pytest.approx([10.5, 1.0, 5.0], abs=0.1)


def test_the_shortest_interval_is_no_longer_than_the_symmetric_one() -> None:
    values = rng().exponential(1.0, 100_000)
    symmetric = summarise(values, coverage=0.95, interval=Interval.SYMMETRIC)
    shortest = summarise(values, coverage=0.95, interval=Interval.SHORTEST)
    # closed forms for the exponential distribution
    assert (symmetric.low, symmetric.high) == pytest.approx(
        (-math.log(0.975), -math.log(0.025)), abs=0.06
    )
    assert (shortest.low, shortest.high) == pytest.approx((0.0, -math.log(0.05)), abs=0.06)
    assert shortest.high - shortest.low < symmetric.high - symmetric.low


def test_too_few_draws_are_refused() -> None:
    with pytest.raises(ValueError, match="too few"):
        summarise(np.array([1.0]), coverage=0.95, interval=Interval.SYMMETRIC)


def test_drawing_until_settled_says_so() -> None:
    outcome = adaptive_monte_carlo(
        function=total, inputs=[Quantity(0.0, {A: 1.0}), Quantity(0.0, {B: 1.0})], generator=rng()
    )
    assert outcome.settled
    assert outcome.tolerance == 0.05
    assert outcome.draws >= 20_000
    assert outcome.result.standard_uncertainty == pytest.approx(math.sqrt(2.0), abs=0.02)


def test_drawing_that_does_not_settle_says_so() -> None:
    outcome = adaptive_monte_carlo(
        function=total,
        inputs=[Quantity(0.0, {A: 1.0})],
        generator=rng(),
        digits=5,
        most_blocks=3,
    )
    assert not outcome.settled
    assert outcome.draws == 30_000


def test_a_constant_settles_at_once() -> None:
    outcome = adaptive_monte_carlo(function=total, inputs=[exact(3.0)], generator=rng())
    assert outcome.settled
    assert outcome.result.standard_uncertainty == 0.0
