"""A straight axis of a plot: where a value stands, and which round values are labelled."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

MINUS = "\N{MINUS SIGN}"
_STEPS = (1.0, 2.0, 5.0, 10.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Axis:
    """Values from ``low`` to ``high`` drawn from ``start_px`` to ``end_px``, to scale."""

    low: float
    high: float
    start_px: float
    end_px: float

    def __post_init__(self) -> None:
        if not (math.isfinite(self.low) and math.isfinite(self.high) and self.low < self.high):
            raise ValueError(f"an axis cannot reach from {self.low:g} to {self.high:g}")

    def at(self, value: float) -> float:
        """The place of a value; also beyond the ends of the axis."""
        share = (value - self.low) / (self.high - self.low)
        return self.start_px + share * (self.end_px - self.start_px)

    def labelled(self, *, most: int) -> tuple[tuple[float, str], ...]:
        """Round values on the axis, at most this many, with their texts of like decimals."""
        step = self._step(most)
        decimals = max(0, -math.floor(math.log10(step) + 1e-9))
        return tuple(
            (value, f"{MINUS if value < -1e-9 * step else ''}{abs(value):.{decimals}f}")
            for value in self.ticks(most=most)
        )

    def ticks(self, *, most: int) -> tuple[float, ...]:
        """Round values on the axis, at most this many."""
        step = self._step(most)
        first = math.ceil(self.low / step - 1e-9)
        last = math.floor(self.high / step + 1e-9)
        return tuple(step * n for n in range(first, last + 1))

    def _step(self, most: int) -> float:
        return round_step((self.high - self.low) / max(1, most - 1))


@dataclass(frozen=True, slots=True, kw_only=True)
class LogAxis:
    """Values above 0 from ``low`` to ``high``, equal ratios drawn equally long."""

    low: float
    high: float
    start_px: float
    end_px: float

    def __post_init__(self) -> None:
        if not (math.isfinite(self.high) and 0.0 < self.low < self.high):
            raise ValueError(
                f"an axis of equal ratios cannot reach from {self.low:g} to {self.high:g}"
            )

    @classmethod
    def around(cls, values: Sequence[float], *, start_px: float, end_px: float) -> LogAxis:
        """An axis that holds every value and starts at one of 1, 2, 5, 10, 20 ..."""
        low = 1.0 / round_step(1.0 / min(values))
        high = max(1.05 * max(values), 2.0 * low)
        return cls(low=low, high=high, start_px=start_px, end_px=end_px)

    def at(self, value: float) -> float:
        """The place of a value above 0."""
        share = math.log(value / self.low) / math.log(self.high / self.low)
        return self.start_px + share * (self.end_px - self.start_px)

    def ticks(self) -> tuple[float, ...]:
        """1, 2, 5, 10, 20 ... as far as they lie on the axis."""
        value, found = round_step(self.low), []
        while value <= self.high * (1.0 + 1e-9):
            found.append(value)
            value = round_step(value * 1.5)
        return tuple(found)


def round_step(least: float) -> float:
    """The next larger of 1, 2, 5, 10, 20 ... Errors: a ValueError unless ``least`` is above 0."""
    if not (math.isfinite(least) and least > 0.0):
        raise ValueError(f"a step has to be above 0; {least:g} was given")
    decade = 10.0 ** math.floor(math.log10(least))
    return next(step * decade for step in _STEPS if least <= step * decade * (1 + 1e-9))


def axis_from_zero(
    values: Sequence[float], *, start_px: float, end_px: float, most: int = 5
) -> Axis:
    """An axis from 0 to the first round value that no value passes."""
    largest = max(values)
    step = round_step(largest / max(1, most - 1)) if largest > 0.0 else 1.0
    high = step * max(1, math.ceil(largest / step - 1e-9))
    return Axis(low=0.0, high=high, start_px=start_px, end_px=end_px)


def number_text(value: float) -> str:
    """A value of a label: no needless digits, no exponent, a real minus sign."""
    text = f"{abs(value):.10f}".rstrip("0").rstrip(".") if abs(value) < 1e9 else f"{abs(value):g}"
    return f"{MINUS}{text}" if value < 0.0 and text != "0" else text


def figures_text(value: float, *, figures: int = 2) -> str:
    """A value rounded to figures that count, at least to the whole number: 0.85, 1.8, 38, 142."""
    if value == 0.0:
        return "0"
    exact = float(f"{value:.{figures - 1}e}")
    decimals = max(0, figures - 1 - math.floor(math.log10(abs(exact))))
    text = f"{abs(value if decimals == 0 else exact):.{decimals}f}"
    return f"{MINUS}{text}" if value < 0.0 else text
