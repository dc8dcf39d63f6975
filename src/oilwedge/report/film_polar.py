"""The load on a bearing over the cycle as a polar diagram: its tip, from the bearing's centre.

Axes as in the journal's path: up is the first axis, right the second; the journal turns clockwise.
The load drawn is the one that presses the journal into its bearing.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from oilwedge.report.document import Figure
from oilwedge.report.film_ink import (
    TEXT_PX,
    WIDTH_PX,
    BearingWords,
    Firing,
    LabelPlaces,
    Point,
    Series,
    check_rising,
    check_series,
    cycle_angle,
    disc,
    film_figure,
    film_svg,
    firing_mark,
    firing_words,
    interpolated,
    label_on_ground,
    rule,
    stroke,
    text_width,
    turning_arrow,
)
from oilwedge.report.plot_axis import figures_text, number_text, round_step
from oilwedge.report.svg_text import svg_label
from oilwedge.report.text_canvas import TextCanvas

HEIGHT_PX = 352.0
CENTRE: Point = (WIDTH_PX / 2.0, 180.0)
RADIUS_PX = 118.0
LABEL_STEP_DEG = 90


@dataclass(frozen=True, slots=True, kw_only=True)
class PolarLoad:
    """Crank angles (deg, rising) and the load along the two axes (kN)."""

    title: str
    angles_deg: Series
    force_x_kn: Series
    force_y_kn: Series
    firings: tuple[Firing, ...] = ()
    words: BearingWords = BearingWords()

    def __post_init__(self) -> None:
        check_series("a polar load", self.angles_deg, self.force_x_kn, self.force_y_kn)
        check_rising("crank angles of a polar load", self.angles_deg)
        if max(self.sizes_kn) <= 0.0:
            raise ValueError("a polar load needs a load above 0 somewhere")

    @property
    def sizes_kn(self) -> Series:
        """The size of the load at each angle."""
        pairs = zip(self.force_x_kn, self.force_y_kn, strict=True)
        return tuple(math.hypot(x, y) for x, y in pairs)

    @property
    def largest(self) -> int:
        """The index of the largest load."""
        return self.sizes_kn.index(max(self.sizes_kn))


def polar_figure(load: PolarLoad) -> Figure:
    """The drawing for paper, page and terminal."""
    return film_figure(
        svg=polar_svg(load),
        caption=(
            "Load that presses the journal into its bearing, in axes of the bearing, seen so that"
            " the journal turns clockwise. Numbers on the line are crank angles in degrees;"
            " circles: size of the load; full disc: largest load."
            + (" Diamond: firing." if load.firings else "")
        ),
        description=describe_polar(load),
        lines=_text_lines(load),
    )


def polar_svg(load: PolarLoad) -> str:
    """Draw it."""
    body = _rings(load)
    places = [_place(load, x, y) for x, y in zip(load.force_x_kn, load.force_y_kn, strict=True)]
    body += stroke(places, width=1.6, kind="load")
    body += _marks(load, places)
    return film_svg(
        title=load.title, description=describe_polar(load), body=body, height_px=HEIGHT_PX
    )


def describe_polar(load: PolarLoad) -> str:
    """Say the numbers of the drawing in words."""
    n = load.largest
    place = math.degrees(math.atan2(load.force_y_kn[n], load.force_x_kn[n])) % 360.0
    said = (
        f"The largest load is {figures_text(load.sizes_kn[n])} kN at crank angle"
        f" {load.angles_deg[n]:.0f}°, {place:.0f}° round the bearing from its {load.words.top}"
        f" side; the smallest is {figures_text(min(load.sizes_kn))} kN."
    )
    return f"{said} {firing_words(load.firings)}".strip()


def _ring_step(load: PolarLoad) -> float:
    return round_step(max(load.sizes_kn) / 3.0)


def _reach(load: PolarLoad) -> float:
    """The largest load on the scale: that of the outermost circle."""
    step = _ring_step(load)
    return step * math.ceil(max(load.sizes_kn) / step - 1e-9)


def _place(load: PolarLoad, x: float, y: float) -> Point:
    scale = RADIUS_PX / _reach(load)
    return CENTRE[0] + y * scale, CENTRE[1] - x * scale


def _rings(load: PolarLoad) -> str:
    x, y = CENTRE
    step, reach = _ring_step(load), _reach(load)
    body = ""
    for n in range(1, round(reach / step) + 1):
        radius = RADIUS_PX * n * step / reach
        body += (
            f'<circle cx="{x:g}" cy="{y:g}" r="{radius:.2f}" class="round-load" fill="none"'
            ' stroke="currentColor" stroke-width="0.7" stroke-opacity="0.4"/>'
        )
    for ends in (
        [(x - RADIUS_PX, y), (x + RADIUS_PX, y)],
        [(x, y - RADIUS_PX), (x, y + RADIUS_PX)],
    ):
        body += rule(ends)
    for at_x, at_y, anchor, text in (
        (x, y - RADIUS_PX - 8.0, "middle", f"{load.words.top} 0°"),
        (x, y + RADIUS_PX + 17.0, "middle", f"{load.words.bottom} 180°"),
        (x + RADIUS_PX + 6.0, y + 4.0, "start", "90°"),
        (x - RADIUS_PX - 6.0, y + 4.0, "end", "270°"),
    ):
        body += svg_label(x=at_x, y=at_y, size=TEXT_PX, anchor=anchor, text=text)
    body += turning_arrow(CENTRE, RADIUS_PX + 12.0)
    return body + svg_label(x=x + 98, y=y - 98, size=TEXT_PX, anchor="start", text="turns")


def _marks(load: PolarLoad, places: list[Point]) -> str:
    labels = LabelPlaces(
        left=CENTRE[0] - RADIUS_PX, top=CENTRE[1] - RADIUS_PX,
        right=CENTRE[0] + RADIUS_PX, bottom=CENTRE[1] + RADIUS_PX,
    )  # fmt: skip
    labels.keep_clear_of(places)
    body = ""
    step, reach = _ring_step(load), _reach(load)
    for n in range(1, round(reach / step) + 1):
        place = CENTRE[0] - 0.71 * RADIUS_PX * n * step / reach, CENTRE[1]
        place = place[0], CENTRE[1] + 0.71 * RADIUS_PX * n * step / reach
        text = f"{number_text(n * step)}{' kN' if n * step >= reach - 1e-9 else ''}"
        half = text_width(text) / 2.0
        labels.keep_clear(place[0] - half, place[1] - 8, place[0] + half, place[1] + 8)
        body += label_on_ground(x=place[0], y=place[1] + 4, anchor="middle", text=text)
    for one in load.firings:
        place = _at(load, one.angle_deg)
        labels.keep_clear(place[0] - 5, place[1] - 5, place[0] + 5, place[1] + 5)
        body += firing_mark(place) + labels.beside(place, f"fires {one.cylinder}")
    first = math.ceil(load.angles_deg[0] / LABEL_STEP_DEG - 1e-9)
    last = math.ceil(load.angles_deg[-1] / LABEL_STEP_DEG - 1e-9)
    for angle in sorted(
        (LABEL_STEP_DEG * n for n in range(first, last)), key=lambda deg: deg % 180 != 0
    ):
        place = _at(load, angle)
        body += disc(place, radius=2.0, kind="crank-angle")
        body += labels.beside(place, str(angle), distance=4.0)
    largest = places[load.largest]
    words = f"largest {figures_text(max(load.sizes_kn))} kN at {load.angles_deg[load.largest]:.0f}°"
    body += disc(largest, kind="largest") + disc((10.0, HEIGHT_PX - 14.0))
    return body + svg_label(x=18, y=HEIGHT_PX - 10.0, size=TEXT_PX, anchor="start", text=words)


def _at(load: PolarLoad, angle_deg: float) -> Point:
    x = interpolated(angle_deg, load.angles_deg, load.force_x_kn)
    return _place(load, x, interpolated(angle_deg, load.angles_deg, load.force_y_kn))


def _text_lines(load: PolarLoad) -> tuple[str, ...]:
    """The diagram as characters: o the largest load, * where a cylinder fires."""
    canvas = TextCanvas(columns=47, rows=23)
    reach = max(load.sizes_kn)

    def place(x: float, y: float) -> tuple[float, float]:
        return (1.0 + y / reach) / 2.0, (1.0 - x / reach) / 2.0

    canvas.line([(0.0, 0.5), (1.0, 0.5)], ".")
    canvas.line([(0.5, 0.0), (0.5, 1.0)], ".")
    pairs = list(zip(load.force_x_kn, load.force_y_kn, strict=True))
    canvas.line([place(*pair) for pair in pairs], "+")
    for one in load.firings:
        angle = cycle_angle(one.angle_deg, load.angles_deg)
        x = interpolated(angle, load.angles_deg, load.force_x_kn)
        canvas.put(*place(x, interpolated(angle, load.angles_deg, load.force_y_kn)), "*")
    canvas.put(*place(*pairs[load.largest]), "o")
    head = f"{load.title}; {load.words.top} above, {load.words.bottom} below"
    key = f"o largest load {figures_text(reach)} kN" + ("   * fires" if load.firings else "")
    return (head, *canvas.lines(), key)
