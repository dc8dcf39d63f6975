"""The window sign: build window, service limit, value and its uncertainty.

Every judged number stands over the same drawing, true to scale.  The numbers
are unit-free floats; the caller takes care that all of one sign share a unit.
"""

import math
from dataclasses import dataclass
from enum import Enum


class Bound(Enum):
    """What a mark says: a value, or only that the true value lies to one side."""

    VALUE = "value"
    AT_LEAST = "at least"
    AT_MOST = "at most"


@dataclass(frozen=True, slots=True, kw_only=True)
class WindowMark:
    """One way of measuring, drawn on a line of its own.

    ``half_width`` is the expanded uncertainty (None: no whisker; infinity:
    the whisker runs out of the drawing).  With a one-sided bound ``value``
    is that bound and an open-ended arrow is drawn away from it.
    """

    label: str = ""
    value: float
    half_width: float | None = None
    bound: Bound = Bound.VALUE

    def __post_init__(self) -> None:
        if not math.isfinite(self.value):
            raise ValueError(f"mark {self.label!r}: value {self.value} cannot be drawn")
        if self.half_width is not None and not self.half_width >= 0:
            raise ValueError(f"mark {self.label!r}: half width {self.half_width} is below zero")


@dataclass(frozen=True, slots=True, kw_only=True)
class WindowSign:
    """Limits and marks of one fit.  A missing limit leaves its side open.

    ``drawn_low`` and ``drawn_high`` fix the range of the drawing; without
    them it follows from the limits, so that the build window stands at the
    same place in every sign.
    """

    low: float | None = None
    high: float | None = None
    service_low: float | None = None
    service_high: float | None = None
    marks: tuple[WindowMark, ...] = ()
    description: str = ""
    drawn_low: float | None = None
    drawn_high: float | None = None

    def __post_init__(self) -> None:
        for name in ("low", "high", "service_low", "service_high", "drawn_low", "drawn_high"):
            limit = getattr(self, name)
            if limit is not None and not math.isfinite(limit):
                raise ValueError(f"{name}: {limit} cannot be drawn; give a number or None")
        _refuse_reversed("low", self.low, "high", self.high)
        _refuse_reversed("drawn_low", self.drawn_low, "drawn_high", self.drawn_high)
        if self.drawn_low is not None and self.drawn_low == self.drawn_high:
            raise ValueError("drawn_low and drawn_high are equal; the drawing has no width")


def _refuse_reversed(low_name: str, low: float | None, high_name: str, high: float | None) -> None:
    if low is not None and high is not None and low > high:
        raise ValueError(f"{low_name} {low} is above {high_name} {high}; swap them")


def describe_window(sign: WindowSign) -> str:
    """Say in words what the drawing shows, for a reader who does not see it."""
    if sign.description:
        return sign.description
    if not sign.marks:
        return "Build window without a value."
    words = []
    for mark in sign.marks:
        bound = "" if mark.bound is Bound.VALUE else f"{mark.bound.value} the drawn bound, "
        name = f"{mark.label}: " if mark.label else ""
        words.append(f"{name}{bound}{_place_words(sign, mark.value)}")
    return "; ".join(words).capitalize() + "."


def _place_words(sign: WindowSign, value: float) -> str:
    if sign.service_high is not None and value > sign.service_high:
        return "beyond the service limit"
    if sign.service_low is not None and value < sign.service_low:
        return "beyond the service limit"
    if sign.high is not None and value > sign.high:
        return "above the build window"
    if sign.low is not None and value < sign.low:
        return "below the build window"
    if sign.low is None and sign.high is None:
        return "no build limits"
    return "inside the build window"
