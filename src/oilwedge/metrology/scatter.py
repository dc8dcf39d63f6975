"""How much the readings of one feature scatter while nothing is taken off or set anew."""

from __future__ import annotations

import math
from collections.abc import Hashable, Sequence

import numpy as np

from oilwedge.metrology.form import Design, residual_scatter


def scatter_within(
    *, design: Design, values: Sequence[float], groups: Sequence[Hashable]
) -> tuple[float | None, float]:
    """(s, ν): √(Σ residual²/ν) in the unit of the values, each group with a level of its own.

    ``groups`` names the fitting and the setting of each reading. What differs from one fitting to
    the next (dirt, seating, zero) has its own line in the budget; counted as scatter too, it would
    stand there twice, and refitting would not pay. None with ν = 0 without spare readings.
    """
    levels = list(dict.fromkeys(groups))
    if len(levels) == 1:
        return residual_scatter(design=design, values=values), float(design.degrees_of_freedom)
    given = np.array([value - values[0] for value in values])
    carried = np.abs(design.weights).any(axis=1)
    own_level = np.array([[group == level for level in levels] for group in groups], dtype=float)
    matrix = np.column_stack([design.matrix[:, carried], own_level])
    found, _, rank, _ = np.linalg.lstsq(matrix, given, rcond=1e-9)
    freedom = len(given) - int(rank)
    if freedom < 1:
        return None, 0.0
    residual = given - matrix @ found
    return math.sqrt(float(residual @ residual) / freedom), float(freedom)


def scatter_of_repeats(
    *, values: Sequence[float], spots: Sequence[Hashable]
) -> tuple[float | None, float]:
    """(s, ν) of readings at one spot in one fitting, pooled over the spots, whatever the form.

    In the unit of the values; None with ν = 0 where nothing was read twice.
    """
    groups: dict[Hashable, list[float]] = {}
    for value, spot in zip(values, spots, strict=True):
        groups.setdefault(spot, []).append(value)
    freedom = sum(len(group) - 1 for group in groups.values())
    if freedom < 1:
        return None, 0.0
    square = 0.0
    for group in groups.values():
        level = sum(group) / len(group)
        square += sum((value - level) ** 2 for value in group)
    return math.sqrt(square / freedom), float(freedom)
