"""The film's pressure at one moment, the bearing unrolled: angle round it across, its width down.

Grey by level, a line at each; where nothing is drawn the film is ruptured or at the pressure of the
surroundings.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from oilwedge.report.contour import level_lines
from oilwedge.report.document import Figure
from oilwedge.report.film_ink import (
    INK,
    TEXT_PX,
    WIDTH_PX,
    BearingWords,
    Point,
    Series,
    arrow_head,
    check_rising,
    check_series,
    disc,
    film_figure,
    film_svg,
    stroke,
    text_width,
)
from oilwedge.report.plot_axis import Axis, figures_text, number_text, round_step
from oilwedge.report.svg_text import svg_label
from oilwedge.report.text_canvas import TextCanvas

HEIGHT_PX = 252.0
LEFT_PX, RIGHT_PX, TOP_PX, BOTTOM_PX = 40.0, 12.0, 46.0, 166.0
MOST_LEVELS = 6
CAPTION = (
    "Pressure in the film at the moment when it is highest, the bearing unrolled and seen from the"
    " journal. Stronger: higher; a line at each level, in MPa above the surroundings. Blank: no"
    " pressure. Full disc: peak. Under it: where the load presses and where the film is thinnest."
)
GREY = 0.11  # a level's share of ink; levels lie on each other


@dataclass(frozen=True, slots=True, kw_only=True)
class PressureMap:
    """``pressures_mpa[i][j]`` at ``angles_deg[i]`` round the bearing and ``places_mm[j]`` along it.

    Angles rise and run once round at most, from where the sheet is cut (:func:`cut_opposite`);
    places run over the whole width from its front end. ``load_deg``: where the load presses;
    ``thinnest_deg``: where the film is thinnest, both round the bearing.
    """

    title: str
    crank_angle_deg: float
    angles_deg: Series
    places_mm: Series
    pressures_mpa: tuple[Series, ...]
    load_deg: float
    thinnest_deg: float
    words: BearingWords = BearingWords()

    def __post_init__(self) -> None:
        check_series("the angles of a pressure map", self.angles_deg)
        check_series("the places of a pressure map", self.places_mm)
        check_series("a pressure map", *self.pressures_mpa or ((),))
        check_rising("angles of a pressure map", self.angles_deg)
        check_rising("places of a pressure map", self.places_mm)
        if len(self.pressures_mpa) != len(self.angles_deg) or any(
            len(row) != len(self.places_mm) for row in self.pressures_mpa
        ):
            raise ValueError("a pressure map has one pressure for each angle and place")
        if self.angles_deg[-1] - self.angles_deg[0] > 360.0 + 1e-6:
            raise ValueError("a pressure map runs once round the bearing at most")
        if self.peak_mpa <= 0.0:
            raise ValueError("a pressure map needs a pressure above 0 somewhere")

    @property
    def peak_mpa(self) -> float:
        """The highest pressure on the map."""
        return max(max(row) for row in self.pressures_mpa)

    @property
    def peak_place(self) -> Point:
        """Angle (deg) and place (mm) of the highest pressure."""
        peak = self.peak_mpa
        i = next(n for n, row in enumerate(self.pressures_mpa) if peak in row)
        return self.angles_deg[i], self.places_mm[self.pressures_mpa[i].index(peak)]

    @property
    def levels_mpa(self) -> Series:
        """Round pressures at which a line is drawn."""
        step = round_step(self.peak_mpa / MOST_LEVELS)
        return tuple(step * n for n in range(1, MOST_LEVELS + 1) if step * n < self.peak_mpa)


def cut_opposite(angle_deg: float) -> float:
    """Where to cut the bearing so that this angle stands about the middle: a quarter turn's end."""
    return 90.0 * round(angle_deg / 90.0) - 180.0


def pressure_figure(drawn: PressureMap) -> Figure:
    """The drawing for paper, page and terminal."""
    return film_figure(
        svg=pressure_svg(drawn),
        caption=CAPTION,
        description=describe_pressure(drawn),
        lines=_text_lines(drawn),
    )


def pressure_svg(drawn: PressureMap) -> str:
    """Draw it."""
    plan = _Plan.of(drawn)
    body = _levels(drawn, plan) + _frame(drawn, plan)
    body += _pointers(drawn, plan)
    return film_svg(
        title=drawn.title, description=describe_pressure(drawn), body=body, height_px=HEIGHT_PX
    )


def describe_pressure(drawn: PressureMap) -> str:
    """Say the numbers of the drawing in words."""
    angle, place = drawn.peak_place
    return (
        f"At crank angle {drawn.crank_angle_deg:.0f}° the highest pressure is"
        f" {figures_text(drawn.peak_mpa)} MPa, {angle % 360.0:.0f}° round the bearing,"
        f" {place:.1f} mm from its front end; the load presses at {drawn.load_deg % 360.0:.0f}°,"
        f" the film is thinnest at {drawn.thinnest_deg % 360.0:.0f}°."
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Plan:
    """Once round the bearing across, the width down (front end above): seen from the journal."""

    angle: Axis
    place: Axis

    @classmethod
    def of(cls, drawn: PressureMap) -> _Plan:
        first = drawn.angles_deg[0]
        right = WIDTH_PX - RIGHT_PX
        return cls(
            angle=Axis(low=first, high=first + 360.0, start_px=LEFT_PX, end_px=right),
            place=Axis(
                low=drawn.places_mm[0],
                high=drawn.places_mm[-1],
                start_px=TOP_PX,
                end_px=BOTTOM_PX,
            ),
        )

    def at(self, point: Point) -> Point:
        return self.angle.at(point[0]), self.place.at(point[1])

    def round_at(self, angle_deg: float) -> float:
        """The place across of an angle that may be counted from another turn."""
        return self.angle.at(self.angle.low + (angle_deg - self.angle.low) % 360.0)


def _padded(drawn: PressureMap) -> tuple[list[float], list[float], list[list[float]]]:
    """The field with a rim of nothing, so that every level line closes."""
    xs = [drawn.angles_deg[0], *drawn.angles_deg, drawn.angles_deg[-1]]
    ys = [drawn.places_mm[0], *drawn.places_mm, drawn.places_mm[-1]]
    rim = [0.0] * len(ys)
    return xs, ys, [rim, *([0.0, *row, 0.0] for row in drawn.pressures_mpa), rim]


def _levels(drawn: PressureMap, plan: _Plan) -> str:
    xs, ys, field = _padded(drawn)
    body, lines = "", ""
    for level in (min(drawn.levels_mpa) * 0.02, *drawn.levels_mpa):
        found = level_lines(xs, ys, field, level=level)
        outline = "".join(
            "M" + "L".join(f"{x:.1f} {y:.1f}" for x, y in map(plan.at, line)) + "z"
            for line in found
        )
        if outline:
            body += (
                f'<path d="{outline}" class="level" fill="currentColor" fill-opacity="{GREY:g}"'
                ' fill-rule="evenodd"/>'
            )
            lines += f'<path d="{outline}" fill="none" {INK} stroke-width="0.6"/>'
    return body + lines + disc(plan.at(drawn.peak_place), kind="peak")


def _frame(drawn: PressureMap, plan: _Plan) -> str:
    right = WIDTH_PX - RIGHT_PX
    body = (
        f'<rect x="{LEFT_PX:g}" y="{TOP_PX:g}" width="{right - LEFT_PX:g}"'
        f' height="{BOTTOM_PX - TOP_PX:g}" fill="none" {INK} stroke-width="0.8"/>'
    )
    for value in plan.place.ticks(most=5):
        y = plan.place.at(value)
        body += stroke([(LEFT_PX - 4, y), (LEFT_PX, y)], width=0.8)
        body += svg_label(
            x=LEFT_PX - 7, y=y + 4, size=TEXT_PX, anchor="end", text=number_text(value)
        )
    body += svg_label(x=4, y=TOP_PX - 9, size=TEXT_PX, anchor="start", text="mm from front")
    levels = drawn.levels_mpa
    step = f"peak {figures_text(drawn.peak_mpa)} MPa"
    if levels:
        step += f", a line each {number_text(levels[0])}"
    body += svg_label(x=right, y=TOP_PX - 9, size=TEXT_PX, anchor="end", text=step)
    first = math.ceil(plan.angle.low / 90.0 - 1e-9)
    for n in range(first, math.floor(plan.angle.high / 90.0 + 1e-9) + 1):
        x = plan.angle.at(90.0 * n)
        body += stroke([(x, BOTTOM_PX), (x, BOTTOM_PX + 4)], width=0.8)
        name = {0: f" {drawn.words.top}", 180: f" {drawn.words.bottom}"}.get(90 * n % 360, "")
        text = f"{90 * n % 360}°{name}"
        half = text_width(text) / 2.0
        middle = max(4.0 + half, min(WIDTH_PX - 4.0 - half, x))
        body += svg_label(x=middle, y=BOTTOM_PX + 17, size=TEXT_PX, anchor="middle", text=text)
    y = HEIGHT_PX - 11.0
    body += stroke([(LEFT_PX, y), (LEFT_PX + 44, y)], width=1.6)
    body += arrow_head((LEFT_PX + 52, y), (LEFT_PX, y), size=8.0)
    return body + svg_label(
        x=LEFT_PX + 58, y=y + 4, size=TEXT_PX, anchor="start", text="journal turns, once round"
    )


def _pointers(drawn: PressureMap, plan: _Plan) -> str:
    """Where the load presses and where the film is thinnest, on a line under the map."""
    body = ""
    y = BOTTOM_PX + 30.0
    both = [("load", drawn.load_deg), ("thinnest", drawn.thinnest_deg)]
    places = [(text, plan.round_at(angle)) for text, angle in both]
    (left, left_x), (right, right_x) = sorted(places, key=lambda one: one[1])
    for text, x, anchor, shift in ((left, left_x, "end", -6.0), (right, right_x, "start", 6.0)):
        inside = LEFT_PX + 60.0 < x < WIDTH_PX - 70.0
        if not inside:
            anchor, shift = ("start", 6.0) if x < WIDTH_PX / 2 else ("end", -6.0)
        head = arrow_head((x, y - 1), (x, y + 12), size=10.0)
        body += f'<g class="{text}">{head}</g>'
        body += svg_label(x=x + shift, y=y + 9, size=TEXT_PX, anchor=anchor, text=text)
    return body


def _text_lines(drawn: PressureMap) -> tuple[str, ...]:
    """The map as tenths of its peak, 1 to 9, the front end above; P is the peak."""
    columns, rows = 60, 9
    canvas = TextCanvas(columns=columns, rows=rows)
    plan = _Plan.of(drawn)
    first, last = drawn.places_mm[0], drawn.places_mm[-1]
    for column in range(columns):
        angle = plan.angle.low + 360.0 * column / (columns - 1)
        if angle > drawn.angles_deg[-1] + 1e-9:
            break
        i = min(range(len(drawn.angles_deg)), key=lambda n: abs(drawn.angles_deg[n] - angle))
        for row in range(rows):
            place = first + (last - first) * (row + 0.5) / rows
            j = min(range(len(drawn.places_mm)), key=lambda n: abs(drawn.places_mm[n] - place))
            tenth = min(9, int(10.0 * drawn.pressures_mpa[i][j] / drawn.peak_mpa))
            canvas.put(column / (columns - 1), row / (rows - 1), str(tenth) if tenth else ".")
    angle, place = drawn.peak_place
    canvas.put((angle - plan.angle.low) / 360.0, (place - first) / (last - first), "P")
    cut = 5.0 * round(plan.angle.low / 5.0)  # the first cell lies a little past the cut
    start, middle = f"{cut % 360.0:.0f}", f"{(cut + 180.0) % 360.0:.0f}"
    turns = f"{start}{middle.center(columns - 2 * len(start))}{start}"
    return (
        f"{drawn.title}; pressure in tenths of {figures_text(drawn.peak_mpa)} MPa",
        *canvas.lines(),
        turns,
        "degrees round the bearing; P: peak",
    )
