"""What one-sided readings say together: of the tightest place, of the loosest, of all of them."""

from __future__ import annotations

from collections.abc import Hashable, Iterable
from dataclasses import dataclass

from oilwedge.metrology.reading import Bound


@dataclass(frozen=True, kw_only=True, slots=True)
class Bounds:
    """Bounds on a size that may differ from place to place (metres); None where nothing says so.

    The largest place is at least ``at_least_m``, the smallest at most ``at_most_m``; and all
    places that carry one-sided readings lie between the two bounds ``everywhere_…``.
    """

    at_least_m: float | None = None
    at_most_m: float | None = None
    everywhere_at_least_m: float | None = None
    everywhere_at_most_m: float | None = None


def bounds_of(readings: Iterable[tuple[Hashable, Bound, float]]) -> Bounds:
    """Put one-sided readings together: (place, side, value in metres) each.

    "At least" at the front and "at most" at the rear bound one place each and say nothing of
    the whole; only where every place has a bound on a side has the whole one, the weakest of them.
    """
    lows: dict[Hashable, float] = {}
    highs: dict[Hashable, float] = {}
    for place, bound, value_m in readings:
        if bound is Bound.AT_LEAST:
            lows[place] = max(value_m, lows.get(place, value_m))
        elif bound is Bound.AT_MOST:
            highs[place] = min(value_m, highs.get(place, value_m))
    places = lows.keys() | highs.keys()
    return Bounds(
        at_least_m=max(lows.values(), default=None),
        at_most_m=min(highs.values(), default=None),
        everywhere_at_least_m=min(lows.values()) if lows and lows.keys() == places else None,
        everywhere_at_most_m=max(highs.values()) if highs and highs.keys() == places else None,
    )
