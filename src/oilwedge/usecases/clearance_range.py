"""Which clearances keep a film above a chosen thickness: stretches of a curve, and what they share.

A film is thin where the clearance is too small (the oil gets hot) and where it is too large (the
load finds little wedge), so a curve of film over clearance has one hump, and what lies above a
height is one stretch around its top. Between two points of the curve all runs straight.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

__all__ = ["ClearanceRange", "range_above", "shared_range"]


@dataclass(frozen=True, kw_only=True, slots=True)
class ClearanceRange:
    """A stretch of diametral clearance, m.

    ``open_low`` and ``open_high``: the stretch goes on beyond the clearances that were looked at.
    """

    low_m: float
    high_m: float
    open_low: bool = False
    open_high: bool = False

    def holds(self, clearance_m: float) -> bool:
        """Whether a clearance lies in it, its ends included."""
        above = self.open_low or clearance_m >= self.low_m
        return above and (self.open_high or clearance_m <= self.high_m)


def range_above(
    *, clearances_m: Sequence[float], films_m: Sequence[float | None], film_m: float
) -> ClearanceRange | None:
    """The stretch around the thickest film on which the film is at least ``film_m``.

    clearances_m: rising; films_m: the smallest film at each, None where there is no answer (which
    counts as no film). None where no clearance reaches the film.
    """
    films = [0.0 if film is None else film for film in films_m]
    top = max(range(len(films)), key=films.__getitem__)
    if films[top] < film_m:
        return None
    first = last = top
    while first > 0 and films[first - 1] >= film_m:
        first -= 1
    while last < len(films) - 1 and films[last + 1] >= film_m:
        last += 1
    low, high = clearances_m[first], clearances_m[last]
    if first > 0 and films_m[first - 1] is not None:
        low = _crossing(clearances_m, films, first - 1, first, film_m)
    if last < len(films) - 1 and films_m[last + 1] is not None:
        high = _crossing(clearances_m, films, last, last + 1, film_m)
    return ClearanceRange(
        low_m=low, high_m=high, open_low=first == 0, open_high=last == len(films) - 1
    )


def _crossing(
    clearances_m: Sequence[float], films: Sequence[float], first: int, last: int, film_m: float
) -> float:
    """Where the straight line between two points of the curve passes the film."""
    share = (film_m - films[first]) / (films[last] - films[first])
    return clearances_m[first] + share * (clearances_m[last] - clearances_m[first])


def shared_range(ranges: Iterable[ClearanceRange | None]) -> ClearanceRange | None:
    """What all the stretches have in common; None where they share nothing or one is None."""
    found = list(ranges)
    stretches = [one for one in found if one is not None]
    if not stretches or len(stretches) < len(found):
        return None
    low = max(stretches, key=lambda one: (one.low_m, not one.open_low))
    high = min(stretches, key=lambda one: (one.high_m, one.open_high))
    if low.low_m > high.high_m:
        return None
    return ClearanceRange(
        low_m=low.low_m, high_m=high.high_m, open_low=low.open_low, open_high=high.open_high
    )
