"""Differences from a reference as dots on a line, one line for each place.

A strip plot: the reference is the line in the middle; a full disc agrees with it, an open diamond
differs by more than the uncertainty, and an arrow at the edge lies farther out than is drawn.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from oilwedge.report.svg_text import svg_escape, svg_label, svg_picture

WIDTH_PX = 320.0
LABEL_PX = 92.0
EDGE_PX = 12.0  # room for an arrow at either end
ROW_PX = 28.0
SCALE_PX = 16.0
DOT_PX = 2.4
LEVELS = (0.0, -5.0, 5.0, -10.0, 10.0)  # dots that would lie on each other are put beside the line
TEXT_PX = 11.0
MINUS = "\N{MINUS SIGN}"
INK = 'stroke="currentColor"'


@dataclass(frozen=True, slots=True, kw_only=True)
class StripPoint:
    """One bench at one place: its difference in the unit of the plot."""

    name: str
    difference: float
    differs: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class StripRow:
    """One place: ``allowed`` is how far the reference itself may be off (0: not drawn)."""

    label: str
    points: tuple[StripPoint, ...]
    allowed: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class StripPlot:
    """All places of a set on one scale that reaches from -span to +span."""

    title: str
    rows: tuple[StripRow, ...]
    span: float
    unit: str

    def __post_init__(self) -> None:
        if not (math.isfinite(self.span) and self.span > 0):
            raise ValueError(f"a scale cannot reach to {self.span}")


def round_span(largest: float) -> float:
    """The next larger of 1, 2, 5, 10, 20 ...; 1 for nothing at all."""
    if not largest > 0:
        return 1.0
    decade = 10.0 ** math.floor(math.log10(largest))
    return next(step * decade for step in (1, 2, 5, 10) if largest <= step * decade * (1 + 1e-9))


def strip_plot_svg(plot: StripPlot) -> str:
    """Draw the plot; with presentation attributes only, so that a strict policy lets it be."""
    bottom = ROW_PX * len(plot.rows)
    body = "".join(_row(plot, row, ROW_PX * (n + 0.5)) for n, row in enumerate(plot.rows))
    body += f'<path d="M{_x(plot, 0):.2f} 0V{bottom:.2f}" {INK} stroke-width="1.2"/>'
    for value, anchor in ((-plot.span, "start"), (plot.span, "end")):
        x = LABEL_PX if anchor == "start" else WIDTH_PX
        text = f"{MINUS if value < 0 else '+'}{plot.span:g} {plot.unit}"
        body += svg_label(x=x, y=bottom + 12, size=TEXT_PX, anchor=anchor, text=text)
    body += svg_label(x=_x(plot, 0), y=bottom + 12, size=TEXT_PX, anchor="middle", text="0")
    return svg_picture(
        width=WIDTH_PX,
        height=bottom + SCALE_PX,
        title=plot.title,
        description=describe_strip(plot),
        body=body,
    )


def describe_strip(plot: StripPlot) -> str:
    """Say in words what the plot shows, place by place."""
    return " ".join(_words(row, unit=plot.unit) for row in plot.rows)


def _words(row: StripRow, *, unit: str) -> str:
    label = row.label or "The set"
    if not row.points:
        return f"{label}: nothing to compare."
    values = [one.difference for one in row.points]
    beyond = [one.name for one in row.points if one.differs]
    read = "1 reads" if len(values) == 1 else f"{len(values)} read"
    differ = f"{', '.join(beyond)} beyond the uncertainty" if beyond else "all agree"
    return f"{label}: {read} {min(values):+g} to {max(values):+g} {unit}; {differ}."


def _x(plot: StripPlot, value: float) -> float:
    half = (WIDTH_PX - LABEL_PX) / 2
    return LABEL_PX + half + (half - EDGE_PX) * value / plot.span


def _row(plot: StripPlot, row: StripRow, y: float) -> str:
    drawn = svg_label(x=0, y=y + 3.5, size=TEXT_PX, anchor="start", text=row.label)
    if row.allowed > 0:
        low, high = (_x(plot, side * min(row.allowed, plot.span)) for side in (-1, 1))
        drawn += (
            f'<rect class="inside" x="{low:.2f}" y="{y - ROW_PX / 2 + 2:.2f}"'
            f' width="{high - low:.2f}" height="{ROW_PX - 4:.2f}" fill="none"/>'
        )
    drawn += f'<path d="M{LABEL_PX:.2f} {y:.2f}H{WIDTH_PX:.2f}" {INK} stroke-width="0.4"/>'
    return drawn + "".join(_point(plot, one, y + up) for one, up in _spread(plot, row.points))


def _spread(plot: StripPlot, points: Sequence[StripPoint]) -> list[tuple[StripPoint, float]]:
    """The dots from left to right, each on the first level that has room for it."""
    ends = dict.fromkeys(LEVELS, -math.inf)
    placed = []
    for one in sorted(points, key=lambda point: (point.difference, point.name)):
        x = _x(plot, max(-plot.span, min(plot.span, one.difference)))
        free = [level for level in LEVELS if x - ends[level] >= 2 * DOT_PX]
        level = free[0] if free else min(LEVELS, key=lambda name: ends[name])
        ends[level] = x
        placed.append((one, level))
    return placed


def _point(plot: StripPlot, point: StripPoint, y: float) -> str:
    said = f"<title>{svg_escape(f'{point.name}: {point.difference:+g} {plot.unit}')}</title>"
    if abs(point.difference) > plot.span:
        side = 1 if point.difference > 0 else -1
        x, back = _x(plot, side * plot.span) + side * (EDGE_PX - 1), -7 * side
        return (
            f'<path d="M{x:.2f} {y:.2f}l{back} -4v8z" class="differs" fill="currentColor"'
            f">{said}</path>"
        )
    x = _x(plot, point.difference)
    if point.differs:
        size = DOT_PX + 1.8
        return (
            f'<path d="M{x:.2f} {y - size:.2f}l{size} {size}l{-size} {size}l{-size} {-size}z"'
            f' class="ground" fill="#ffffff" {INK} stroke-width="1.6">{said}</path>'
        )
    return f'<circle cx="{x:.2f}" cy="{y:.2f}" r="{DOT_PX}" fill="currentColor">{said}</circle>'
