"""Like bearings held against each other: one that stands apart is worth a second look."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from oilwedge.uncertainty.coverage import t_quantile
from oilwedge.uncertainty.quantity import Quantity, linear_combination

# Below this share of the build window a difference is of no use to anybody; common practice,
# no source.
SHARE_OF_WINDOW = 0.25
# What is expected of like bearings before any is measured: a standard deviation of an eighth of
# the build window, known as well as four degrees of freedom say; common practice, no source.
USUAL_SPREAD_SHARE = 1.0 / 8.0
USUAL_DEGREES_OF_FREEDOM = 4.0
# The chance that any is named among bearings that are all alike; kept for spreads up to a sixth
# of the window in sets of three to eight.
FALSE_ALARM = 0.03


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

    One stands apart when the difference d is larger than its own U (what the readings share
    cancels in it), larger than a quarter of the build window W, and larger than its neighbours'
    scatter explains::

        |d| > t(1 − α/2n; ν) · s · √(1 + 1/(n − 1))

    with n bearings, α the false alarm of the whole set (Bonferroni), and s² the variance of the
    others (n − 2 degrees of freedom) pooled with what is usual, (W/8)² with 4, so that two which
    lie close together by chance do not make the third one stand out. Without a window the others
    speak alone. Fewer than three bearings have no neighbours to speak of.
    """
    count = len(clearances)
    if count < 3:
        return ()
    nu, usual = count - 2.0, 0.0
    if window_m is not None:
        nu += USUAL_DEGREES_OF_FREEDOM
        usual = USUAL_DEGREES_OF_FREEDOM * (USUAL_SPREAD_SHARE * window_m) ** 2
    factor = t_quantile(probability=1.0 - FALSE_ALARM / (2.0 * count), degrees_of_freedom=nu)
    factor *= math.sqrt(1.0 + 1.0 / (count - 1))
    values = [quantity.value for quantity in clearances.values()]
    total, share = sum(values), 1.0 / (count - 1)
    found = []
    for number, quantity in clearances.items():
        others_m = (total - quantity.value) * share
        squares = sum((value - others_m) ** 2 for value in values)
        squares -= (quantity.value - others_m) ** 2
        spread_m = math.sqrt((max(0.0, squares) + usual) / nu)
        floor_m = max(factor * spread_m, SHARE_OF_WINDOW * (window_m or 0.0))
        if abs(quantity.value - others_m) <= floor_m:
            continue
        others = [(-share, other) for key, other in clearances.items() if key != number]
        difference = linear_combination(terms=[(1.0, quantity), *others])
        if abs(difference.value) > difference.expanded().half_width:
            found.append(Apart(number=number, difference=difference, others_mean_m=others_m))
    return tuple(found)
