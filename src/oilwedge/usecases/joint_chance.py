"""The chance that many fits conform at once, by Monte Carlo on the shared error sources.

Fits measured with one micrometer are wrong together or right together, so the chances of the
single fits must not be multiplied. Every error source is drawn once per draw and carried into all
fits that it touches (JCGM 101:2008).
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from oilwedge.fits.limits import LimitName
from oilwedge.uncertainty.monte_carlo import sample
from oilwedge.uncertainty.quantity import Quantity
from oilwedge.usecases.judgement import FitResult, Judgement

BLOCK = 5000  # draws at a time, so that memory does not grow with the number of draws
LEAST_DRAWS, MOST_DRAWS = 1000, 10_000_000


@dataclass(frozen=True, kw_only=True, slots=True)
class Share:
    """A share of draws and its standard uncertainty, √(p (1 − p)/n)."""

    chance: float
    draws: int

    @property
    def standard_uncertainty(self) -> float:
        """How far the drawing alone may have missed."""
        return math.sqrt(self.chance * (1.0 - self.chance) / self.draws)


@dataclass(frozen=True, kw_only=True, slots=True)
class JointChance:
    """Chance inside the build limits: all fits at once, each kind at once, each fit alone."""

    every_fit: Share
    by_kind: Mapping[str, Share]
    by_fit: Mapping[tuple[str, int], Share]


@dataclass(frozen=True, kw_only=True, slots=True)
class _Bound:
    """One side of one fit: the quantity that must lie above or below its limit."""

    fit: int
    value: Quantity
    limit_m: float
    lower: bool


def _bounds(results: Sequence[FitResult]) -> list[_Bound]:
    bounds = []
    for index, result in enumerate(results):
        evidence, limits = result.measurement.evidence, result.verdict.limits
        for name, value in ((LimitName.LOW, evidence.smallest), (LimitName.HIGH, evidence.largest)):
            limit_m = limits.value_of(name)
            if limit_m is not None and value is not None:
                bounds.append(
                    _Bound(fit=index, value=value, limit_m=limit_m, lower=name is LimitName.LOW)
                )
    return bounds


def _inside(
    bounds: Sequence[_Bound], *, fits: int, generator: np.random.Generator, draws: int
) -> NDArray[np.bool_]:
    """Whether each fit is inside in each draw, shape (fits, draws)."""
    drawn = sample([bound.value for bound in bounds], generator=generator, draws=draws)
    inside = np.ones((fits, draws), dtype=np.bool_)
    for bound, values in zip(bounds, drawn, strict=True):
        inside[bound.fit] &= values >= bound.limit_m if bound.lower else values <= bound.limit_m
    return inside


def joint_chance(
    *, judgement: Judgement, generator: np.random.Generator, draws: int
) -> JointChance | None:
    """Draw the errors of all fits that have a value and build limits; None where none has.

    The tightest and loosest place of each fit are drawn as they were judged, with what is not
    linear in them already in their own sources (metrology/extremes.py).
    """
    results = [
        one
        for one in judgement.fits
        if one.measurement.evidence.smallest is not None
        and (one.verdict.limits.low_m is not None or one.verdict.limits.high_m is not None)
    ]
    if not results:
        return None
    bounds = _bounds(results)
    kinds: dict[str, list[int]] = {}
    for index, result in enumerate(results):
        kinds.setdefault(result.key, []).append(index)
    each = np.zeros(len(results), dtype=np.int64)
    by_kind = dict.fromkeys(kinds, 0)
    every = done = 0
    while done < draws:
        block = min(BLOCK, draws - done)
        inside = _inside(bounds, fits=len(results), generator=generator, draws=block)
        each += inside.sum(axis=1)
        every += int(inside.all(axis=0).sum())
        for kind, rows in kinds.items():
            by_kind[kind] += int(inside[rows].all(axis=0).sum())
        done += block
    return JointChance(
        every_fit=Share(chance=every / draws, draws=draws),
        by_kind={kind: Share(chance=n / draws, draws=draws) for kind, n in by_kind.items()},
        by_fit={
            (result.key, result.number): Share(chance=int(n) / draws, draws=draws)
            for result, n in zip(results, each, strict=True)
        },
    )
