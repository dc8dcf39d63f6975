"""What repeats tell, and what limits tell: standard uncertainties of type A and type B."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from oilwedge.errors import Fault, OutOfRangeError

RECTANGULAR = math.sqrt(3.0)
"""Divisor from half width to u: anywhere between the limits alike (GUM 4.3.7)."""
TRIANGULAR = math.sqrt(6.0)
"""Divisor: between the limits, the middle likelier (GUM 4.3.9)."""
ARCSINE = math.sqrt(2.0)
"""Divisor: a swing to and fro between the limits (GUM H.1.3.4)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TypeA:
    """Mean, spread of one reading, spread of the mean, and degrees of freedom of repeats."""

    mean: float
    standard_deviation: float
    standard_deviation_of_mean: float
    degrees_of_freedom: int
    count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Pooled:
    """A spread that several sets of repeats have in common."""

    standard_deviation: float
    degrees_of_freedom: int


def type_a(values: Sequence[float]) -> TypeA:
    """Mean x̄, s = √(Σ(x − x̄)²/(n − 1)), s/√n and ν = n − 1 of n ≥ 2 repeats (GUM 4.2).

    OutOfRangeError for fewer: one reading says nothing about its own scatter.
    """
    count = len(values)
    if count < 2:
        raise OutOfRangeError(
            Fault(
                given="1 reading" if count else "no readings",
                allowed="the scatter shows from two repeats on",
                action="repeat the reading, or pool the scatter of like places",
            )
        )
    mean = math.fsum(values) / count
    s = math.sqrt(_squares(values) / (count - 1))
    return TypeA(
        mean=mean,
        standard_deviation=s,
        standard_deviation_of_mean=s / math.sqrt(count),
        degrees_of_freedom=count - 1,
        count=count,
    )


def pooled_standard_deviation(groups: Sequence[Sequence[float]]) -> Pooled:
    """s = √(Σ νⱼsⱼ² / Σ νⱼ), ν = Σ νⱼ over sets of repeats with a like scatter (GUM 4.2.4).

    A set of one reading says nothing and is passed over. OutOfRangeError when all are such.
    """
    nu = sum(len(group) - 1 for group in groups if group)
    if nu < 1:
        raise OutOfRangeError(
            Fault(
                given="no place with repeats",
                allowed="a common scatter needs one place or more with two repeats",
                action="repeat one reading at least",
            )
        )
    squares = math.fsum(_squares(group) for group in groups if len(group) > 1)
    return Pooled(standard_deviation=math.sqrt(squares / nu), degrees_of_freedom=nu)


def _squares(values: Sequence[float]) -> float:
    """Σ(x − x̄)², from the mean first: no loss of digits on sizes of 50 mm with µm scatter."""
    mean = math.fsum(values) / len(values)
    return math.fsum((value - mean) ** 2 for value in values)


def resolution_uncertainty(*, resolution: float) -> float:
    """u = r/√12 of a reading rounded to steps of r (rectangular, ±r/2; GUM F.2.2.1)."""
    return resolution / math.sqrt(12.0)


def degrees_of_freedom_from_reliability(*, relative: float) -> float:
    """ν = ½·(Δu/u)⁻² where u itself is believed within ``relative`` (0.25: 25 %; GUM G.4.2)."""
    if not relative > 0.0:
        raise ValueError(f"the relative uncertainty of u must be above 0, {relative!r} given")
    return 0.5 / relative**2


def reliability(*, degrees_of_freedom: float) -> float:
    """Δu/u = 1/√(2ν): how far u itself is uncertain (GUM G.4.2, E.4.3)."""
    return math.sqrt(0.5 / degrees_of_freedom)
