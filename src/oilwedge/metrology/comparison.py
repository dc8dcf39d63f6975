"""Several ways of measuring one thing: do they agree, and what do they say together?

Two estimates are compared by their difference, in which every error that they share has already
cancelled::

    En = (y₁ − y₂) / U(y₁ − y₂),    U at 95 %,    agreement when |En| ≤ 1

which for independent estimates is the usual (x_lab − x_ref)/√(U_lab² + U_ref²) (ISO/IEC 17043,
ISO 13528, recalled). Those that agree are combined by generalised least squares::

    y = Σ wᵢ yᵢ,    w = V⁻¹1 / (1ᵀ V⁻¹ 1)

with V their covariance. A weight below zero would mean extrapolating beyond the estimates, on the
strength of a covariance that is not known that well: that estimate is left out, and named.
Estimates are in metres; the algebra holds for any one unit.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from enum import Enum
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from oilwedge.uncertainty.quantity import Quantity, covariance_matrix, linear_combination

LITTLE_PROOF_SHARE = 0.5
"""With U of a difference over this share of the tolerance, agreement proves little."""


class Role(Enum):
    """Whether a way counts in the result, or only checks it."""

    DECIDES = "decides"
    CROSS_CHECK = "cross-check"


@dataclass(frozen=True, kw_only=True, slots=True)
class Estimate:
    """One way's result under its name."""

    name: str
    quantity: Quantity
    role: Role = Role.DECIDES


@dataclass(frozen=True, kw_only=True, slots=True)
class Pair:
    """Two ways held against each other; ``difference`` is first minus second.

    ``normalised_error`` is En, with the sign of the difference.
    ``proves_little`` where U of the difference is wide against the tolerance.
    """

    first: str
    second: str
    difference: Quantity
    half_width: float
    normalised_error: float
    agree: bool
    proves_little: bool = False


@dataclass(frozen=True, kw_only=True, slots=True)
class LeftOut:
    """A way that does not count in the combination, and why."""

    name: str
    why: str


@dataclass(frozen=True, kw_only=True, slots=True)
class Comparison:
    """All pairs, and the combination of those that decide: None where any pair disagrees."""

    pairs: tuple[Pair, ...]
    agree: bool
    combined: Quantity | None
    weights: Mapping[str, float] = field(default_factory=dict)
    left_out: tuple[LeftOut, ...] = ()
    notes: tuple[str, ...] = ()


def compare(*, estimates: Sequence[Estimate], tolerance_m: float | None = None) -> Comparison:
    """Compare all pairs and combine (module text) the estimates that decide.

    Where some decide and some cross-check, only the deciding ones are combined; where all have
    one role, all are. ``tolerance_m`` is the width of the window that they serve. ValueError
    without an estimate, or with a name used twice.
    """
    names = [estimate.name for estimate in estimates]
    if not names or len(set(names)) < len(names):
        raise ValueError(f"a comparison needs estimates with names of their own, {names} given")
    pairs = tuple(_pair(a, b, tolerance_m) for a, b in combinations(estimates, 2))
    notes = tuple(
        f"{pair.first} and {pair.second} agree, but their difference is uncertain by "
        f"± {pair.half_width * 1e6:.0f} µm: within a window of {tolerance_m * 1e6:.0f} µm that "
        "proves little."
        for pair in pairs
        if pair.proves_little and tolerance_m is not None
    )
    if not all(pair.agree for pair in pairs):
        return Comparison(pairs=pairs, agree=False, combined=None, notes=notes)
    deciding = [e for e in estimates if e.role is Role.DECIDES]
    aside = tuple(
        LeftOut(name=e.name, why="checks the others and does not count in the result")
        for e in estimates
        if deciding and e.role is Role.CROSS_CHECK
    )
    combined, weights, dropped = combine(deciding or list(estimates))
    return Comparison(
        pairs=pairs,
        agree=True,
        combined=combined,
        weights=weights,
        left_out=dropped + aside,
        notes=notes,
    )


def combine(
    estimates: Sequence[Estimate],
) -> tuple[Quantity, Mapping[str, float], tuple[LeftOut, ...]]:
    """Generalised least squares without negative weights: result, weights, who was left out.

    While a weight is below zero, the estimate with the most negative one goes.
    """
    kept = list(estimates)
    dropped: list[LeftOut] = []
    while True:
        weights = _weights(covariance_matrix([e.quantity for e in kept]))
        worst = int(np.argmin(weights))
        if weights[worst] >= -1e-9:
            break
        why = "its weight would be negative: what it adds is already in the others"
        dropped.append(LeftOut(name=kept.pop(worst).name, why=why))
    found = [max(0.0, float(weight)) for weight in weights]
    combined = linear_combination(terms=[(w, e.quantity) for w, e in zip(found, kept, strict=True)])
    by_name = {e.name: w for e, w in zip(kept, found, strict=True)}
    return combined, by_name, tuple(dropped)


def contradicts_bounds(
    *, quantity: Quantity, at_least_m: float | None, at_most_m: float | None
) -> bool:
    """Whether a measured value lies outside one-sided information by more than its U (95 %)."""
    half = quantity.expanded().half_width
    return (at_least_m is not None and quantity.value + half < at_least_m) or (
        at_most_m is not None and quantity.value - half > at_most_m
    )


def _pair(a: Estimate, b: Estimate, tolerance_m: float | None) -> Pair:
    difference = a.quantity - b.quantity
    half = difference.expanded().half_width
    # Two estimates from all the same errors: any real difference is a contradiction.
    en = difference.value / half if half else math.copysign(math.inf, difference.value)
    if abs(difference.value) <= 1e-12:
        en = 0.0
    agree = abs(en) <= 1.0
    wide = tolerance_m is not None and half > LITTLE_PROOF_SHARE * tolerance_m
    return Pair(
        first=a.name,
        second=b.name,
        difference=difference,
        half_width=half,
        normalised_error=en,
        agree=agree,
        proves_little=agree and wide,
    )


def _weights(matrix: NDArray[np.float64]) -> NDArray[np.float64]:
    """V⁻¹1/(1ᵀV⁻¹1); where V is singular, the least-norm minimum of wᵀVw with Σw = 1."""
    n = len(matrix)
    if n == 1:
        return np.ones(1)
    scale = float(np.trace(matrix)) / n
    if scale == 0.0:
        return np.full(n, 1.0 / n)
    # The Lagrange system stays solvable where V alone is not.
    system = np.zeros((n + 1, n + 1))
    system[:n, :n] = matrix / scale
    system[:n, n] = system[n, :n] = 1.0
    right = np.zeros(n + 1)
    right[n] = 1.0
    return np.asarray(np.linalg.lstsq(system, right, rcond=1e-12)[0][:n], dtype=np.float64)
