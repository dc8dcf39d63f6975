"""The strip plots of a class: for each set, how far each bench lies from the reference."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from django.utils.safestring import SafeString, mark_safe

from oilwedge.report.strip_plot import StripPlot, StripPoint, StripRow, round_span, strip_plot_svg
from oilwedge.usecases.class_comparison import SlotRow
from oilwedge.usecases.class_words import in_small_unit, small_unit
from oilwedge.web.classroom.compared import ClassState

FARTHEST = 4.0  # what lies beyond so many times the uncertainty is an arrow at the edge
SetKey = tuple[str, int]


@dataclass(frozen=True, kw_only=True, slots=True)
class SetStrip:
    """One set: its plot, and in numbers how many benches read it and how far they reach."""

    feature: str
    number: int
    title: str
    plot: SafeString
    benches: int
    differing: int
    low: float | None
    high: float | None
    unit: str

    @property
    def reach(self) -> str:
        """From the smallest difference to the largest."""
        if self.low is None or self.high is None:
            return ""
        if self.low == self.high:
            return f"{_signed(self.low)} {self.unit}"
        return f"{_signed(self.low)} to {_signed(self.high)} {self.unit}"


def _signed(value: float) -> str:
    return f"{value:+g}".replace("-", "\N{MINUS SIGN}") if value else "0"


def set_strips(
    state: ClassState, *, names: Mapping[int, str], unit: str, only: SetKey | None = None
) -> tuple[SetStrip, ...]:
    """The sets in planned order, all on one scale; ``only`` one of them."""
    rows = [row for row in state.comparison.slots if only in (None, (row.feature, row.number))]
    by_set: dict[SetKey, list[SlotRow]] = {}
    for row in rows:
        by_set.setdefault((row.feature, row.number), []).append(row)
    span = _span(rows, unit=unit)
    titles = _titles(state)
    order = [names.get(job_id, "") for job_id in state.order]
    return tuple(
        _strip(key, own, title=titles.get(key, key[0]), order=order, span=span, unit=unit)
        for key, own in by_set.items()
        if any(row.reference_m is not None or any(row.values) for row in own)
    )


def _titles(state: ClassState) -> dict[SetKey, str]:
    return {
        (one.feature, one.number): one.title
        for progress in state.compared.values()
        for one in progress.sets
    }


def _span(rows: Sequence[SlotRow], *, unit: str) -> float:
    """A scale for all: as far as the differences reach, but not to what is wholly wrong."""
    values = [one for row in rows for one in row.values if one is not None]
    far = max((abs(one.difference_m) for one in values if one.difference_m is not None), default=0)
    allowed = [
        math.hypot(one.expanded_m, row.reference_expanded_m or 0.0)
        for row in rows
        for one in row.values
        if one is not None
    ]
    least = max(allowed, default=0.0)
    return round_span(max(in_small_unit(min(far, FARTHEST * least), unit=unit), 1.0))


def _strip(
    key: SetKey,
    rows: Sequence[SlotRow],
    *,
    title: str,
    order: Sequence[str],
    span: float,
    unit: str,
) -> SetStrip:
    lines = tuple(_row(row, order=order, unit=unit) for row in rows)
    points = [point for line in lines for point in line.points]
    values = [point.difference for point in points]
    plot = StripPlot(
        title=f"{title}: difference of each bench", rows=lines, span=span, unit=small_unit(unit)
    )
    return SetStrip(
        feature=key[0],
        number=key[1],
        title=title,
        plot=mark_safe(strip_plot_svg(plot)),
        benches=len({n for row in rows for n, one in enumerate(row.values) if one is not None}),
        differing=len({point.name for point in points if point.differs}),
        low=min(values, default=None),
        high=max(values, default=None),
        unit=small_unit(unit),
    )


def place_words(row: SlotRow) -> str:
    """The place of a row: "front, across"; empty where a set has one place."""
    return ", ".join(word for word in (row.place, row.direction) if word)


def _row(row: SlotRow, *, order: Sequence[str], unit: str) -> StripRow:
    points = tuple(
        StripPoint(
            name=name,
            difference=in_small_unit(value.difference_m, unit=unit),
            differs=value.beyond,
        )
        for name, value in zip(order, row.values, strict=True)
        if value is not None and value.difference_m is not None
    )
    allowed = in_small_unit(row.reference_expanded_m or 0.0, unit=unit)
    return StripRow(label=place_words(row), points=points, allowed=allowed)
