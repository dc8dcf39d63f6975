"""Propagation of distributions by drawing (JCGM 101:2008), for where first order fails.

The random generator comes in as an argument: the same generator state gives the same result.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import Enum
from typing import TYPE_CHECKING

import numpy as np

from oilwedge.uncertainty.distribution import Distribution
from oilwedge.uncertainty.quantity import ErrorSource, Quantity, sources_of

if TYPE_CHECKING:
    from numpy.typing import NDArray


class Interval(Enum):
    """Which of the intervals with the wanted coverage is given."""

    SYMMETRIC = "as much probability left out below as above"
    SHORTEST = "the shortest"


@dataclass(frozen=True, slots=True, kw_only=True)
class MonteCarloResult:
    """Mean, standard deviation and coverage interval of the drawn values."""

    mean: float
    standard_uncertainty: float
    low: float
    high: float


@dataclass(frozen=True, slots=True, kw_only=True)
class AdaptiveResult:
    """A result of growing draws: how many were made, and whether it settled to ``tolerance``."""

    result: MonteCarloResult
    draws: int
    tolerance: float
    settled: bool


Model = Callable[["NDArray[np.float64]"], "NDArray[np.float64]"]
"""Takes draws of the inputs, shape (inputs, draws), gives the output's, shape (draws,)."""


def sample(
    quantities: Sequence[Quantity], *, generator: np.random.Generator, draws: int
) -> NDArray[np.float64]:
    """Joint draws of the quantities, shape (quantities, draws).

    Each source is drawn once, whoever carries it: N(0, 1) where its ν is infinite, else a
    t-variable with ν degrees of freedom, not scaled down to variance 1 (JCGM 101, 6.4.9.2: what
    is known of a mean after few repeats). So the drawn spread is √(ν/(ν − 2)) wider than u, and
    without bound for ν ≤ 2. Sources of one group share the divisor of their t-variables.
    """
    sources = sources_of(quantities)
    values = np.array([quantity.value for quantity in quantities])[:, None]
    matrix = np.array([[q.contributions.get(s, 0.0) for s in sources] for q in quantities])
    if not sources:
        return np.repeat(values, draws, axis=1)
    return np.asarray(values + matrix @ _draw_sources(sources, generator, draws))


def _draw_sources(
    sources: Sequence[ErrorSource], generator: np.random.Generator, draws: int
) -> NDArray[np.float64]:
    errors = generator.standard_normal((len(sources), draws))
    divisors: dict[tuple[str, float], NDArray[np.float64]] = {}
    for row, source in enumerate(sources):
        nu = source.degrees_of_freedom
        if math.isinf(nu):
            continue
        joint = (source.group or f"only {source.key}", nu)
        if joint not in divisors:
            divisors[joint] = np.sqrt(generator.chisquare(nu, draws) / nu)
        errors[row] /= divisors[joint]
    return errors


def draw_inputs(
    inputs: Sequence[Quantity | Distribution], *, generator: np.random.Generator, draws: int
) -> NDArray[np.float64]:
    """Draws of all inputs, shape (inputs, draws): quantities jointly, distributions alone."""
    drawn = np.empty((len(inputs), draws))
    joint = [i for i, item in enumerate(inputs) if isinstance(item, Quantity)]
    quantities = [item for item in inputs if isinstance(item, Quantity)]
    if quantities:
        drawn[joint] = sample(quantities, generator=generator, draws=draws)
    for i, item in enumerate(inputs):
        if not isinstance(item, Quantity):
            drawn[i] = item.draw(generator=generator, draws=draws)
    return drawn


def monte_carlo(
    *,
    function: Model,
    inputs: Sequence[Quantity | Distribution],
    generator: np.random.Generator,
    draws: int = 200_000,
    coverage: float = 0.95,
    interval: Interval = Interval.SYMMETRIC,
) -> MonteCarloResult:
    """Draws the inputs, puts them through ``function`` and sums up what comes out.

    Source: JCGM 101:2008, clause 7. ``draws`` should be 10⁴/(1 − coverage) or more (7.2.2).
    """
    drawn = draw_inputs(inputs, generator=generator, draws=draws)
    return summarise(np.asarray(function(drawn)), coverage=coverage, interval=interval)


def summarise(
    values: NDArray[np.float64], *, coverage: float, interval: Interval
) -> MonteCarloResult:
    """Mean, standard deviation and coverage interval of drawn ``values`` (JCGM 101, 7.6, 7.7)."""
    ordered = np.sort(values)
    count = ordered.size
    kept = min(count - 1, math.floor(coverage * count + 0.5))
    if not 0.0 < coverage < 1.0 or kept < 1:
        raise ValueError(f"{count} draws are too few for a coverage of {coverage!r}")
    if interval is Interval.SHORTEST:
        start = int(np.argmin(ordered[kept:] - ordered[: count - kept]))
    else:
        start = (count - kept) // 2
    return MonteCarloResult(
        mean=float(ordered.mean()),
        standard_uncertainty=float(ordered.std(ddof=1)),
        low=float(ordered[start]),
        high=float(ordered[start + kept]),
    )


def numerical_tolerance(*, standard_uncertainty: float, digits: int) -> float:
    """δ = ½·10^l, where u = c·10^l and c is a whole number of ``digits`` digits (JCGM 101, 7.9.2).

    Half of one in the last digit of u that is thought to mean something.
    """
    if not (math.isfinite(standard_uncertainty) and standard_uncertainty > 0.0):
        raise ValueError(f"u must be above 0 and finite, {standard_uncertainty!r} given")
    exponent = int(f"{standard_uncertainty:.{digits - 1}e}".split("e")[1])
    return 0.5 * 10.0 ** (exponent - digits + 1)


def adaptive_monte_carlo(
    *,
    function: Model,
    inputs: Sequence[Quantity | Distribution],
    generator: np.random.Generator,
    digits: int = 2,
    coverage: float = 0.95,
    interval: Interval = Interval.SYMMETRIC,
    most_blocks: int = 200,
) -> AdaptiveResult:
    """Draws block by block until mean, u and both ends settle to ``digits`` digits of u.

    Source: JCGM 101:2008, 7.9.4: blocks of max(100/(1 − coverage), 10⁴) draws; settled when twice
    the standard deviation of each block average is below δ. ``settled`` is False when
    ``most_blocks`` were not enough.
    """
    block = max(math.ceil(100.0 / (1.0 - coverage)), 10_000)
    drawn: list[NDArray[np.float64]] = []
    rows: list[tuple[float, float, float, float]] = []
    tolerance, settled = 0.0, False
    while len(rows) < max(2, most_blocks) and not settled:
        values = np.asarray(function(draw_inputs(inputs, generator=generator, draws=block)))
        drawn.append(values)
        part = summarise(values, coverage=coverage, interval=interval)
        rows.append((part.mean, part.standard_uncertainty, part.low, part.high))
        if len(rows) < 2:
            continue
        table = np.array(rows)
        u = float(table[:, 1].mean())
        spread = 2.0 * table.std(axis=0, ddof=1) / math.sqrt(len(rows))
        tolerance = numerical_tolerance(standard_uncertainty=u, digits=digits) if u else 0.0
        settled = bool((spread <= tolerance).all())
    everything = np.concatenate(drawn)
    return AdaptiveResult(
        result=summarise(everything, coverage=coverage, interval=interval),
        draws=everything.size,
        tolerance=tolerance,
        settled=settled,
    )
