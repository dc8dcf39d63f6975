"""Like bearings held against each other: one that stands apart is worth a second look."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from oilwedge.uncertainty.quantity import Quantity, linear_combination

# Below this share of the build window a difference is of no use to anybody; common practice,
# no source.
SHARE_OF_WINDOW = 0.25
SPREADS = 3.0


@dataclass(frozen=True, kw_only=True, slots=True)
class Apart:
    """A bearing that stands apart from its neighbours, and by how much (metres)."""

    number: int
    difference: Quantity
    others_mean_m: float


def standing_apart(
    *, clearances: Mapping[int, Quantity], window_m: float | None
) -> tuple[Apart, ...]:
    """Name the bearings that differ from the mean of the others.

    One stands apart when the difference is larger than its own U (what the readings share
    cancels in it), larger than three times the spread of the others, and larger than a quarter of
    the build window. Fewer than three bearings have no neighbours to speak of.
    """
    if len(clearances) < 3:
        return ()
    found = []
    for number, value in clearances.items():
        others = [other for key, other in clearances.items() if key != number]
        share = 1.0 / len(others)
        mean = linear_combination(terms=[(share, other) for other in others])
        difference = value - mean
        spread_m = math.sqrt(
            sum((other.value - mean.value) ** 2 for other in others) / (len(others) - 1)
        )
        floor_m = max(SPREADS * spread_m, SHARE_OF_WINDOW * (window_m or 0.0))
        if abs(difference.value) > max(floor_m, difference.expanded().half_width):
            found.append(Apart(number=number, difference=difference, others_mean_m=mean.value))
    return tuple(found)
