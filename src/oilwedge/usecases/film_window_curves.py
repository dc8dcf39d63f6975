"""What is found out about film against clearance: plain values, one curve an oil and condition."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from oilwedge.usecases.clearance_range import ClearanceRange, shared_range

__all__ = ["ConditionWindow", "FilmWindow", "KindWindow", "MeasuredClearance", "WindowCurve"]


@dataclass(frozen=True, kw_only=True, slots=True)
class WindowCurve:
    """One oil in one bearing at one condition, over cold diametral clearance (m, rising).

    Smallest film of the cycle (m), mean film temperature (°C), mean friction power (W) and oil flow
    (m³/s) at each clearance; None where there is no answer, and ``no_answer`` says why.
    ``kept``: the clearances that keep the film asked for.
    """

    oil_name: str
    clearances_m: tuple[float, ...]
    minimum_films_m: tuple[float | None, ...]
    temperatures_c: tuple[float | None, ...]
    friction_powers_w: tuple[float | None, ...]
    flows_m3_s: tuple[float | None, ...]
    kept: ClearanceRange | None
    no_answer: str = ""

    def at(self, clearance_m: float, values: Sequence[float | None]) -> float | None:
        """One of the curve's columns at a clearance, straight between two points; else None."""
        for n in range(len(self.clearances_m) - 1):
            low_m, high_m = self.clearances_m[n : n + 2]
            first, last = values[n : n + 2]
            if low_m <= clearance_m <= high_m and first is not None and last is not None:
                return first + (last - first) * (clearance_m - low_m) / (high_m - low_m)
        return None


@dataclass(frozen=True, kw_only=True, slots=True)
class ConditionWindow:
    """One condition of the duty; the bearing whose load leaves the least film stands for all."""

    name: str
    speed_rpm: float
    bearing_title: str
    curves: tuple[WindowCurve, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class MeasuredClearance:
    """One bearing as measured: its mean clearance and how far that could be off, m."""

    title: str
    clearance_m: float
    half_width_m: float


@dataclass(frozen=True, kw_only=True, slots=True)
class KindWindow:
    """All bearings of one kind: limits of the engine file (m), what was measured, conditions."""

    fit_key: str
    title: str
    low_m: float | None
    high_m: float | None
    service_m: float | None
    measured: tuple[MeasuredClearance, ...]
    conditions: tuple[ConditionWindow, ...]

    @property
    def oil_names(self) -> tuple[str, ...]:
        """The oils in the order they were asked for."""
        return tuple(curve.oil_name for curve in self.conditions[0].curves)

    def kept_everywhere(self, oil_name: str) -> ClearanceRange | None:
        """The clearances that keep the film with this oil at every condition."""
        return shared_range(
            curve.kept
            for condition in self.conditions
            for curve in condition.curves
            if curve.oil_name == oil_name
        )

    @property
    def mid_limit_m(self) -> float | None:
        """The middle between the build limits; None where one is missing."""
        if self.low_m is None or self.high_m is None:
            return None
        return 0.5 * (self.low_m + self.high_m)


@dataclass(frozen=True, kw_only=True, slots=True)
class FilmWindow:
    """An engine's bearings of both kinds. ``film_m``: the film that is to be kept, m.

    ``assumptions``: every rule of thumb that was used; ``notes``: what a reader has to know.
    """

    engine_name: str
    film_m: float
    film_from: str
    kinds: tuple[KindWindow, ...]
    assumptions: tuple[str, ...]
    notes: tuple[str, ...] = ()
