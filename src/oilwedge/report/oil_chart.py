"""Viscosity against temperature on the axes of ASTM D341, on which an oil is a straight line.

Across: log10 of the temperature in kelvin. Up: log10 log10 (ν + 0.7), ν in mm²/s. A band is drawn
as the ground between its thin and its thick edge; the numbers stand in a table under the chart.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from oilwedge.report.svg_text import svg_label, svg_picture

WIDTH_PX, PLOT_HEIGHT_PX = 640.0, 360.0
LEFT_PX, RIGHT_PX, TOP_PX = 64.0, 16.0, 34.0
AXIS_PX = 34.0  # under the plot: temperatures and the name of the axis
ROW_PX = 18.0
TEXT_PX = 11.0
RULED_VISCOSITIES = (
    1.5, 2.0, 3.0, 4.0, 5.0, 7.0, 10.0, 15.0, 20.0, 30.0, 50.0, 100.0, 200.0, 500.0, 1000.0, 2000.0,
    5000.0, 10_000.0, 100_000.0, 1_000_000.0,
)  # fmt: skip
STEP_C = 20
LEAST_GAP_PX = 11.0
INK = 'stroke="currentColor"'


@dataclass(frozen=True, slots=True, kw_only=True)
class ChartPoint:
    """Lowest and highest kinematic viscosity, mm²/s, at one temperature, °C."""

    temperature_c: float
    low_mm2_s: float
    high_mm2_s: float


@dataclass(frozen=True, slots=True, kw_only=True)
class OilChart:
    """One oil or band: ``points`` draw it, ``table`` is set in numbers, ``measured`` are dots."""

    title: str
    points: tuple[ChartPoint, ...]
    table: tuple[ChartPoint, ...]
    measured: tuple[ChartPoint, ...] = ()

    def __post_init__(self) -> None:
        if len(self.points) < 2:
            raise ValueError("a chart of an oil needs two points")
        if any(not 0.3 < point.low_mm2_s <= point.high_mm2_s for point in self.points):
            raise ValueError("a viscosity under 0.3 mm²/s has no place on these axes")


def oil_chart_svg(chart: OilChart) -> str:
    """Draw the chart; with presentation attributes only, so that a strict policy lets it be."""
    frame = _Frame.around(chart)
    height = frame.bottom + AXIS_PX + ROW_PX * 2.6
    body = f'<rect class="ground" width="{WIDTH_PX:g}" height="{height:g}" fill="#ffffff"/>'
    body += svg_label(x=LEFT_PX, y=18, size=14, anchor="start", text=chart.title)
    body += _rules(frame) + _oil(chart, frame) + _table(chart, frame)
    return svg_picture(
        width=WIDTH_PX, height=height, title=chart.title, description=describe_oil(chart), body=body
    )


def describe_oil(chart: OilChart) -> str:
    """Say the numbers of the table in words."""
    said = "; ".join(f"{one.temperature_c:g} °C {_range(one)}" for one in chart.table)
    return f"Kinematic viscosity in mm²/s against temperature: {said}."


def _range(point: ChartPoint) -> str:
    low, high = three_digits(point.low_mm2_s), three_digits(point.high_mm2_s)
    return low if low == high else f"{low} to {high}"


def three_digits(value: float) -> str:
    """Three figures that count, without an exponent: 1230, 12.3, 1.23."""
    if value == 0.0:
        return "0"
    exact = float(f"{value:.2e}")
    return f"{exact:.{max(0, 2 - math.floor(math.log10(abs(exact))))}f}"


def _across(temperature_c: float) -> float:
    return math.log10(temperature_c + 273.15)


def _up(mm2_s: float) -> float:
    return math.log10(math.log10(mm2_s + 0.7))


@dataclass(frozen=True, slots=True, kw_only=True)
class _Frame:
    """The plot: from coldest to hottest, from thinnest to thickest, on the scaled axes."""

    cold_c: float
    hot_c: float
    thin_mm2_s: float
    thick_mm2_s: float

    @classmethod
    def around(cls, chart: OilChart) -> _Frame:
        low = min(point.low_mm2_s for point in chart.points)
        high = max(point.high_mm2_s for point in chart.points)
        return cls(
            cold_c=min(point.temperature_c for point in chart.points),
            hot_c=max(point.temperature_c for point in chart.points),
            thin_mm2_s=max((v for v in RULED_VISCOSITIES if v <= low), default=low),
            thick_mm2_s=min((v for v in RULED_VISCOSITIES if v >= high), default=high),
        )

    @property
    def bottom(self) -> float:
        return TOP_PX + PLOT_HEIGHT_PX

    def x(self, temperature_c: float) -> float:
        cold, hot = _across(self.cold_c), _across(self.hot_c)
        return LEFT_PX + (WIDTH_PX - LEFT_PX - RIGHT_PX) * (_across(temperature_c) - cold) / (
            hot - cold
        )

    def y(self, mm2_s: float) -> float:
        thin, thick = _up(self.thin_mm2_s), _up(self.thick_mm2_s)
        return self.bottom - PLOT_HEIGHT_PX * (_up(mm2_s) - thin) / (thick - thin)


def _rules(frame: _Frame) -> str:
    drawn, last = "", math.inf
    right = WIDTH_PX - RIGHT_PX
    for value in RULED_VISCOSITIES:
        if not frame.thin_mm2_s <= value <= frame.thick_mm2_s:
            continue
        y = frame.y(value)
        drawn += f'<path d="M{LEFT_PX:g} {y:.2f}H{right:g}" {INK} stroke-width="0.4"/>'
        if last - y >= LEAST_GAP_PX:
            drawn += svg_label(
                x=LEFT_PX - 5, y=y + 3.5, size=TEXT_PX, anchor="end", text=f"{value:.7g}"
            )
            last = y
    first = math.ceil(frame.cold_c / STEP_C) * STEP_C
    for temperature_c in range(first, math.floor(frame.hot_c) + 1, STEP_C):
        x = frame.x(temperature_c)
        drawn += f'<path d="M{x:.2f} {TOP_PX:g}V{frame.bottom:g}" {INK} stroke-width="0.4"/>'
        drawn += svg_label(
            x=x, y=frame.bottom + 14, size=TEXT_PX, anchor="middle", text=f"{temperature_c}"
        )
    drawn += svg_label(
        x=right, y=frame.bottom + 28, size=TEXT_PX, anchor="end", text="temperature, °C"
    )
    return drawn + svg_label(x=4, y=TOP_PX - 6, size=TEXT_PX, anchor="start", text="mm²/s")


def _oil(chart: OilChart, frame: _Frame) -> str:
    thick = [(frame.x(one.temperature_c), frame.y(one.high_mm2_s)) for one in chart.points]
    thin = [(frame.x(one.temperature_c), frame.y(one.low_mm2_s)) for one in chart.points]
    drawn = ""
    if any(one.low_mm2_s != one.high_mm2_s for one in chart.points):
        drawn += (
            f'<path d="{_path([*thick, *reversed(thin)])}z" fill="currentColor"'
            ' fill-opacity="0.12"/>'
        )
    drawn += f'<path d="{_path(thick)}" fill="none" {INK} stroke-width="1.6"/>'
    drawn += f'<path d="{_path(thin)}" fill="none" {INK} stroke-width="1.6"/>'
    for one in chart.measured:
        x, y = frame.x(one.temperature_c), frame.y(one.high_mm2_s)
        drawn += f'<circle cx="{x:.2f}" cy="{y:.2f}" r="4" fill="currentColor"/>'
    return drawn


def _path(points: list[tuple[float, float]]) -> str:
    return "M" + "L".join(f"{x:.2f} {y:.2f}" for x, y in points)


def _table(chart: OilChart, frame: _Frame) -> str:
    """Temperatures over viscosities; the numbers of the chart."""
    top = frame.bottom + AXIS_PX + ROW_PX
    drawn = svg_label(x=4, y=top, size=TEXT_PX, anchor="start", text="°C")
    drawn += svg_label(x=4, y=top + ROW_PX, size=TEXT_PX, anchor="start", text="mm²/s")
    step = (WIDTH_PX - LEFT_PX - RIGHT_PX) / max(1, len(chart.table))
    for number, one in enumerate(chart.table):
        x = LEFT_PX + step * (number + 0.5)
        drawn += svg_label(x=x, y=top, size=TEXT_PX, anchor="middle", text=f"{one.temperature_c:g}")
        drawn += svg_label(x=x, y=top + ROW_PX, size=TEXT_PX, anchor="middle", text=_range(one))
    return drawn
