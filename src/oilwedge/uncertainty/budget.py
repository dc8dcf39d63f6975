"""The uncertainty budget of a quantity, line by line, largest first."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from oilwedge.uncertainty.quantity import ErrorSource, Expanded, Quantity, SourceKind


@dataclass(frozen=True, slots=True, kw_only=True)
class BudgetLine:
    """One source: its contribution c·u with its sign, and its share of the variance (0 to 1)."""

    source: ErrorSource
    kind: SourceKind
    words: str
    contribution: float
    share_of_variance: float
    degrees_of_freedom: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Budget:
    """All lines, largest first, and what they add up to, in the unit of the value.

    ``degrees_of_freedom`` is the effective ν as the Welch-Satterthwaite formula gives it;
    ``expanded`` holds U, its k, and the whole number that ν was cut to.
    """

    lines: tuple[BudgetLine, ...]
    value: float
    standard_uncertainty: float
    degrees_of_freedom: float
    expanded: Expanded

    @property
    def nu(self) -> float:
        """The effective degrees of freedom, not cut."""
        return self.degrees_of_freedom

    @property
    def k(self) -> float:
        """The coverage factor."""
        return self.expanded.k

    @property
    def by_kind(self) -> Mapping[SourceKind, float]:
        """Share of the variance (0 to 1) of each kind of source, largest first."""
        shares: dict[SourceKind, float] = {}
        for line in self.lines:
            shares[line.kind] = shares.get(line.kind, 0.0) + line.share_of_variance
        return dict(sorted(shares.items(), key=lambda item: (-item[1], item[0].value)))


def budget(quantity: Quantity, *, coverage_probability: float = 0.95) -> Budget:
    """The budget of ``quantity``: equal contributions stand in the order of their keys."""
    variance = quantity.variance
    lines = [
        BudgetLine(
            source=source,
            kind=source.kind,
            words=source.words,
            contribution=c,
            share_of_variance=c * c / variance,
            degrees_of_freedom=source.degrees_of_freedom,
        )
        for source, c in quantity.contributions.items()
        if c
    ]
    lines.sort(key=lambda line: (-abs(line.contribution), line.source.key))
    return Budget(
        lines=tuple(lines),
        value=quantity.value,
        standard_uncertainty=quantity.standard_uncertainty,
        degrees_of_freedom=quantity.degrees_of_freedom,
        expanded=quantity.expanded(coverage_probability=coverage_probability),
    )
