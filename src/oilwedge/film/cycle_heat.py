"""The temperature at which many films each keep their own heat balance, found all at once.

    T = T_supply + P(T)/(2 ρ c Q(T))

as in :mod:`.heat_balance`, with means over the cycle for the friction power P and the fresh oil Q.
P falls as the film warms and Q hardly changes, so the right side less the left falls by at least 1
for each kelvin: one root. Secants from the cold side, which do not overshoot where the right side
is convex; a step that leaves the interval in which the root is known to lie halves it instead.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from oilwedge.film.oil import MOST_C

Array = NDArray[np.float64]
Places = NDArray[np.intp]
Rise = Callable[[Array, Places], Array]
"""P/(2 ρ c Q) in K at temperatures in °C, for the films of which the places are given."""

TEMPERATURE_TOLERANCE_K = 0.01
MOST_STEPS = 40
_FIRST_STEP_K = 1.0


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class Temperatures:
    """One a film: °C; the balance's right side less it in K; steps; whether the balance is met.

    A film that would get hotter than 200 °C is not met, and stands at 200 °C with what is left.
    """

    temperature_c: Array
    residual_k: Array
    steps: int
    converged: NDArray[np.bool_]


def settle_temperatures(
    *, rise_k: Rise, supply_temperature_c: Array, tolerance_k: float = TEMPERATURE_TOLERANCE_K
) -> Temperatures:
    """Find the temperature of each film; ``rise_k`` is asked for those that are still open only."""
    everyone = np.arange(supply_temperature_c.size)
    low = supply_temperature_c.astype(np.float64)
    high = np.full(low.size, MOST_C)
    before, before_k = low.copy(), rise_k(low, everyone)
    now, now_k = low.copy(), before_k.copy()
    step = np.minimum(_FIRST_STEP_K, now_k)
    steps = 1
    open_ = np.flatnonzero(np.abs(now_k) > tolerance_k)
    while open_.size and steps < MOST_STEPS:
        aim = now[open_] + step[open_]
        lost = ~((aim > low[open_]) & (aim <= high[open_]))
        top = lost & (high[open_] == MOST_C) & (aim > MOST_C)
        aim[lost] = 0.5 * (low[open_] + high[open_])[lost]
        aim[top] = MOST_C
        left = supply_temperature_c[open_] + rise_k(aim, open_) - aim
        steps += 1
        before[open_], before_k[open_] = now[open_], now_k[open_]
        now[open_], now_k[open_] = aim, left
        warm = left > 0.0
        low[open_[warm]] = aim[warm]
        high[open_[~warm]] = aim[~warm]
        apart = now[open_] - before[open_]
        with np.errstate(divide="ignore", invalid="ignore"):
            step[open_] = -left * apart / (left - before_k[open_])
        too_hot = warm & (aim >= MOST_C)
        open_ = open_[(np.abs(left) > tolerance_k) & ~too_hot]
    return Temperatures(
        temperature_c=now,
        residual_k=now_k,
        steps=steps,
        converged=np.abs(now_k) <= tolerance_k,
    )
