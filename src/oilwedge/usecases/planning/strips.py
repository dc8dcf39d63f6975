"""Which flattened strip to take for a fit, and what it cannot show; said before one is cut."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from oilwedge.engine.model import Fit
from oilwedge.metrology.instrument import Strip
from oilwedge.metrology.strip_choice import (
    ClearanceLimits,
    StripCoverage,
    choose_strip,
    coverage,
)
from oilwedge.metrology.strip_size import GENERIC_STRIP


@dataclass(frozen=True, kw_only=True, slots=True)
class StripAdvice:
    """The strips to take for a fit: one, or two where no one shows every limit.

    ``missing`` are the limits that these leave out of sight. ``generic``: the shop lists none.
    """

    fit: Fit
    limits: ClearanceLimits
    strips: tuple[Strip, ...]
    missing: ClearanceLimits
    generic: bool

    def shortcomings(self, unit: str) -> tuple[str, ...]:
        """What the strips cannot show, in sentences."""
        return coverage(strip=self.strips[0], limits=self.missing, unit=unit).sentences


def strip_advice(*, fit: Fit, strips: Mapping[str, Strip]) -> StripAdvice:
    """Choose for the outermost limits among the numbers of a fit.

    The first strip shows most limits, the second (if any) one that the first does not.
    """
    limits = _outermost_limits(fit)
    listed = list(strips.values()) or [GENERIC_STRIP]
    ranked = choose_strip(strips=listed, limits=limits) or (
        coverage(strip=listed[0], limits=limits),
    )
    first = ranked[0]
    taken = [first]
    missing = _unseen(limits, taken)
    for other in ranked[1:]:
        left = _unseen(limits, [first, other])
        if left != missing:
            taken, missing = [first, other], left
            break
    return StripAdvice(
        fit=fit,
        limits=limits,
        strips=tuple(one.strip for one in taken),
        missing=missing,
        generic=not strips,
    )


def _outermost_limits(fit: Fit) -> ClearanceLimits:
    every = [fit.at(number) for number in fit.numbers]
    return ClearanceLimits(
        low_m=min((one.low_m for one in every if one.low_m is not None), default=None),
        high_m=max((one.high_m for one in every if one.high_m is not None), default=None),
        service_m=max(
            (one.service_high_m for one in every if one.service_high_m is not None), default=None
        ),
    )


def _unseen(limits: ClearanceLimits, strips: Iterable[StripCoverage]) -> ClearanceLimits:
    """The limits that none of the strips shows."""
    shown = list(strips)
    return ClearanceLimits(
        low_m=None if any(one.low for one in shown) else limits.low_m,
        high_m=None if any(one.high for one in shown) else limits.high_m,
        service_m=None if any(one.service for one in shown) else limits.service_m,
    )
