"""Which flattened strip covers the limits of a fit, and what it cannot show."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import Enum

from oilwedge.engine.model import Fit
from oilwedge.metrology.instrument import Strip

# Used where the shop lists no strip: several sizes together span about this much.
# Common practice, no source.
GENERIC_STRIP = Strip(key="strip", title="strip, none on the list", low_m=0.025e-3, high_m=0.23e-3)


class StripLimit(Enum):
    """A limit that a strip should reach, in words."""

    LOW = "low limit"
    HIGH = "high limit"
    SERVICE = "service limit"


@dataclass(frozen=True, kw_only=True, slots=True)
class StripHole:
    """A stretch of clearance beside a limit that the strips cannot show."""

    limit: StripLimit
    from_m: float
    to_m: float


@dataclass(frozen=True, kw_only=True, slots=True)
class StripAdvice:
    """The strips to take for a fit (one, or two where no one covers all), and the holes left.

    ``generic``: the shop lists none.
    """

    fit: Fit
    strips: tuple[Strip, ...]
    holes: tuple[StripHole, ...]
    generic: bool


def strip_advice(*, fit: Fit, strips: Mapping[str, Strip]) -> StripAdvice:
    """Choose the strip that covers most of a fit's limits; among equals the narrowest range.

    Limits of all numbers of the fit count. A second strip joins when it covers a limit that the
    first does not.
    """
    limits = _limits(fit)
    if not strips:
        return StripAdvice(
            fit=fit,
            strips=(GENERIC_STRIP,),
            holes=_holes(limits, (GENERIC_STRIP,)),
            generic=True,
        )
    first = min(strips.values(), key=lambda one: _merit(limits, (one,)))
    best: tuple[Strip, ...] = (first,)
    others = [one for one in strips.values() if one is not first]
    if _holes(limits, best) and others:
        second = min(others, key=lambda one: _merit(limits, (first, one)))
        if len(_holes(limits, (first, second))) < len(_holes(limits, best)):
            best = (first, second)
    return StripAdvice(fit=fit, strips=best, holes=_holes(limits, best), generic=False)


def _limits(fit: Fit) -> dict[StripLimit, float]:
    """The outermost limits over all numbers."""
    every = [fit.at(number) for number in fit.numbers]
    low = [one.low_m for one in every if one.low_m is not None]
    high = [one.high_m for one in every if one.high_m is not None]
    service = [one.service_high_m for one in every if one.service_high_m is not None]
    found = {}
    if low:
        found[StripLimit.LOW] = min(low)
    if high:
        found[StripLimit.HIGH] = max(high)
    if service:
        found[StripLimit.SERVICE] = max(service)
    return found


def _merit(limits: Mapping[StripLimit, float], strips: Sequence[Strip]) -> tuple[int, float, float]:
    """Fewest limits left out, then the shortest stretches left out, then the narrowest range."""
    holes = _holes(limits, strips)
    return (
        len(holes),
        sum(hole.to_m - hole.from_m for hole in holes),
        sum(one.high_m - one.low_m for one in strips),
    )


def _holes(limits: Mapping[StripLimit, float], strips: Sequence[Strip]) -> tuple[StripHole, ...]:
    found = []
    for name, limit in limits.items():
        if any(one.low_m <= limit <= one.high_m for one in strips):
            continue
        edges = [edge for one in strips for edge in (one.low_m, one.high_m)]
        nearest = min(edges, key=lambda edge: abs(edge - limit))
        found.append(StripHole(limit=name, from_m=min(limit, nearest), to_m=max(limit, nearest)))
    return tuple(found)
