"""Standard undersizes, and the turn of a thimble that looks exactly like one.

Common practice, no source. The same steps serve as oversizes of bores.
"""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from oilwedge.units import Dimension, parse_quantity


@dataclass(frozen=True, slots=True, kw_only=True)
class StandardStep:
    """A step of the trade: its size on the diameter, and how it is written ("0.25 mm")."""

    size_m: float
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ThimbleTurns:
    """Whole turns of a micrometer's thimble, each ``turn_m``."""

    turns: int
    turn_m: float
    words: str


@cache
def _table() -> tuple[tuple[StandardStep, ...], tuple[StandardStep, ...]]:
    data = tomllib.loads(Path(__file__).with_suffix(".toml").read_text(encoding="utf-8"))
    steps = [f"{number} mm" for number in data["undersizes_mm"]]
    steps += [f"{number} in" for number in data["undersizes_in"]]
    turns = [f"{data['thimble_turn_mm']} mm", f"{data['thimble_turn_in']} in"]
    return tuple(map(_step, steps)), tuple(map(_step, turns))


def _step(words: str) -> StandardStep:
    size_m = parse_quantity(words, dimension=Dimension.LENGTH).value_si
    return StandardStep(size_m=size_m, words=words)


def standard_steps() -> tuple[StandardStep, ...]:
    """Every standard undersize, metric first."""
    return _table()[0]


def thimble_turns_of_trade() -> tuple[StandardStep, ...]:
    """What one turn of a thimble is worth: 0.50 mm and 0.025 in."""
    return _table()[1]


def nearest_standard_step(*, deviation_m: float, tolerance_m: float) -> StandardStep | None:
    """The standard step nearest to a deviation from standard size, of either sign.

    None when none lies within ``tolerance_m``. Metric and inch steps are 4 to 12 µm apart: with
    a tolerance above that the nearest one wins, and the other may be meant.
    """
    best = min(standard_steps(), key=lambda step: abs(abs(deviation_m) - step.size_m))
    return best if abs(abs(deviation_m) - best.size_m) <= tolerance_m else None


def whole_thimble_turns(*, deviation_m: float, tolerance_m: float) -> ThimbleTurns | None:
    """The whole turns of a thimble, one or more, that a deviation of either sign looks like.

    None when no whole number of turns lies within ``tolerance_m``; the nearest of metric and
    inch turns otherwise.
    """
    found: list[tuple[float, ThimbleTurns]] = []
    for turn in thimble_turns_of_trade():
        count = round(abs(deviation_m) / turn.size_m)
        miss = abs(abs(deviation_m) - count * turn.size_m)
        if count >= 1 and miss <= tolerance_m:
            found.append((miss, ThimbleTurns(turns=count, turn_m=turn.size_m, words=turn.words)))
    return min(found, key=lambda item: item[0])[1] if found else None
