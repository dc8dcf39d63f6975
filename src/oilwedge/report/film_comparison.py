"""The smallest film of all bearings of an engine beside each other, on one scale from 0.

The habit of the window sign: a dot is the value, its whisker where it could lie; an open ring is
the same bearing in the middle of its limits.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from oilwedge.report.document import Figure
from oilwedge.report.film_ink import (
    DOTTED,
    TEXT_PX,
    WIDTH_PX,
    Point,
    disc,
    film_figure,
    film_svg,
    label_on_ground,
    ring,
    rule,
    shortened,
    stroke,
    text_width,
)
from oilwedge.report.plot_axis import Axis, axis_from_zero, figures_text, number_text
from oilwedge.report.svg_text import svg_label
from oilwedge.report.text_canvas import TextCanvas

LABEL_PX, VALUE_PX = 112.0, 34.0
TOP_PX, ROW_PX, FOOT_PX = 34.0, 24.0, 54.0
_TEXT_LABEL, _TEXT_COLUMNS = 18, 48


@dataclass(frozen=True, slots=True, kw_only=True)
class ComparedBearing:
    """One bearing: its smallest film (µm) as measured and at mid-limit, and the band it lies in.

    None: not measured, or no answer; ``note`` says why, in a few words. ``low_open``: the band
    goes on below its low end. ``stands``: whether the film is a figure to lean on.
    """

    name: str
    film_um: float | None
    low_um: float | None = None
    high_um: float | None = None
    mid_limit_um: float | None = None
    note: str = ""
    low_open: bool = False
    stands: bool = True

    def __post_init__(self) -> None:
        for value in (self.film_um, self.low_um, self.high_um, self.mid_limit_um):
            if value is not None and not (math.isfinite(value) and value >= 0.0):
                raise ValueError(f"{self.name}: a film is a number of at least 0")


@dataclass(frozen=True, slots=True, kw_only=True)
class FilmComparison:
    """All bearings of an engine in their order."""

    title: str
    bearings: tuple[ComparedBearing, ...]
    chosen_film_um: float | None = None

    def __post_init__(self) -> None:
        if not self.bearings:
            raise ValueError("a comparison needs one bearing at least")
        if not self.films_um:
            raise ValueError("a comparison needs the film of one bearing at least")

    @property
    def films_um(self) -> tuple[float, ...]:
        """Every value that has to find room on the scale."""
        given = [self.chosen_film_um]
        for one in self.bearings:
            given += [one.film_um, one.low_um, one.high_um, one.mid_limit_um]
        return tuple(value for value in given if value is not None)

    @property
    def thinnest(self) -> ComparedBearing | None:
        """The bearing with the least film as measured."""
        known = [one for one in self.bearings if one.film_um is not None]
        return min(known, key=lambda one: one.film_um or 0.0) if known else None


def comparison_figure(drawn: FilmComparison) -> Figure:
    """The drawing for paper, page and terminal."""
    return film_figure(
        svg=comparison_svg(drawn),
        caption=_caption(drawn),
        description=describe_comparison(drawn),
        lines=_text_lines(drawn),
    )


def comparison_svg(drawn: FilmComparison) -> str:
    """Draw it."""
    axis = _axis(drawn)
    bottom = TOP_PX + ROW_PX * len(drawn.bearings)
    height = bottom + FOOT_PX
    body = ""
    for value, text in axis.labelled(most=6):
        x = axis.at(value)
        body += rule([(x, TOP_PX), (x, bottom)])
        body += svg_label(x=x, y=bottom + 15, size=TEXT_PX, anchor="middle", text=text)
    if drawn.chosen_film_um is not None:
        x = axis.at(drawn.chosen_film_um)
        body += stroke([(x, TOP_PX), (x, bottom)], width=1.4, dash=DOTTED, kind="chosen-film")
    for n, one in enumerate(drawn.bearings):
        body += _row(one, TOP_PX + ROW_PX * (n + 0.5), axis)
    body += _key(drawn, height)
    body += svg_label(x=WIDTH_PX - 4, y=bottom + 15, size=TEXT_PX, anchor="end", text="µm")
    return film_svg(
        title=drawn.title, description=describe_comparison(drawn), body=body, height_px=height
    )


def describe_comparison(drawn: FilmComparison) -> str:
    """Say the numbers of the drawing in words, bearing by bearing."""
    return "Smallest film: " + " ".join(_words(one) for one in drawn.bearings)


def _words(one: ComparedBearing) -> str:
    if one.film_um is None:
        said = f"{one.name}: {one.note or 'not known'}"
    else:
        said = f"{one.name}: {figures_text(one.film_um)} µm"
        if one.low_um is not None and one.high_um is not None:
            under = "under " if one.low_open else ""
            said += f" ({under}{figures_text(one.low_um)} to {figures_text(one.high_um)})"
        if not one.stands:
            said += ", no figure to lean on"
    if one.mid_limit_um is not None:
        said += f", at mid-limit {figures_text(one.mid_limit_um)}"
    return f"{said}."


def _caption(drawn: FilmComparison) -> str:
    said = (
        "Smallest film of the cycle, bearing by bearing. Dot and whisker: as measured, with where"
        " 95 of 100 builds that could lie behind the readings would be. Ring: the same bearing with"
        " a clearance in the middle of its limits."
    )
    if any(not one.stands for one in drawn.bearings):
        said += " Cross: no figure to lean on, as the sentences say."
    if drawn.chosen_film_um is not None:
        said += f" Dotted: film of {number_text(drawn.chosen_film_um)} µm."
    return said + " It compares clearances and oils; it does not overrule the maker's limits."


def _axis(drawn: FilmComparison) -> Axis:
    return axis_from_zero(
        drawn.films_um, start_px=LABEL_PX, end_px=WIDTH_PX - VALUE_PX - 10.0, most=6
    )


def _row(one: ComparedBearing, y: float, axis: Axis) -> str:
    label = shortened(one.name, room_px=LABEL_PX - 8.0)
    body = svg_label(x=4, y=y + 4, size=TEXT_PX, anchor="start", text=label)
    body += rule([(axis.start_px, y), (axis.end_px, y)])
    if one.low_um is not None and one.high_um is not None:
        ends = axis.at(one.low_um), axis.at(one.high_um)
        body += stroke([(x, y) for x in ends], width=1.6, kind="whisker")
        for x in ends[1:] if one.low_open else ends:
            body += stroke([(x, y - 4), (x, y + 4)], width=1.2)
    if one.mid_limit_um is not None:
        body += ring((axis.at(one.mid_limit_um), y), radius=4.2, kind="mid-limit")
    if one.film_um is None:
        text = shortened(one.note or "not known", room_px=WIDTH_PX - LABEL_PX - 20.0)
        x = axis.start_px + 4.0
        if one.mid_limit_um is not None and axis.at(one.mid_limit_um) < x + text_width(text) + 8.0:
            x = axis.at(one.mid_limit_um) + 8.0
            text = shortened(text, room_px=WIDTH_PX - 4.0 - x)
        return body + label_on_ground(x=x, y=y + 4, anchor="start", text=text)
    place = (axis.at(one.film_um), y)
    body += disc(place, radius=3.4, kind="as-measured") if one.stands else _cross(place)
    text = f"{'' if one.stands else '? '}{figures_text(one.film_um)}"
    return body + svg_label(x=WIDTH_PX - 4, y=y + 4, size=TEXT_PX, anchor="end", text=text)


def _cross(place: Point) -> str:
    x, y = place
    return "".join(
        stroke([(x - 4.0, y - side), (x + 4.0, y + side)], width=1.8, kind="no-figure")
        for side in (4.0, -4.0)
    )


def _key(drawn: FilmComparison, height: float) -> str:
    y = height - 10.0
    body = disc((10.0, y - 4.0)) + svg_label(
        x=18, y=y, size=TEXT_PX, anchor="start", text="as measured"
    )
    if any(one.mid_limit_um is not None for one in drawn.bearings):
        body += ring((120.0, y - 4.0)) + svg_label(
            x=129, y=y, size=TEXT_PX, anchor="start", text="at mid-limit"
        )
    if any(not one.stands for one in drawn.bearings):
        body += _cross((236.0, y - 4.0)) + svg_label(
            x=245, y=y, size=TEXT_PX, anchor="start", text="no figure"
        )
    return body


def _text_lines(drawn: FilmComparison) -> tuple[str, ...]:
    """One line a bearing: o as measured, = its band, ( ) the middle of its limits."""
    scale = _axis(drawn)
    axis = Axis(low=0.0, high=scale.high, start_px=0.0, end_px=1.0)
    lines = [f"{drawn.title}: smallest film, µm"]
    for one in drawn.bearings:
        canvas = TextCanvas(columns=_TEXT_COLUMNS, rows=2)
        canvas.line([(0.0, 0.0), (1.0, 0.0)], ".")
        if one.low_um is not None and one.high_um is not None:
            canvas.line([(axis.at(one.low_um), 0.0), (axis.at(one.high_um), 0.0)], "=")
        if one.mid_limit_um is not None:
            canvas.put(axis.at(one.mid_limit_um), 0.0, "m")
        if one.film_um is not None:
            canvas.put(axis.at(one.film_um), 0.0, "o" if one.stands else "x")
        value = one.note if one.film_um is None else figures_text(one.film_um)
        name = one.name[:_TEXT_LABEL].ljust(_TEXT_LABEL)
        lines.append(f"{name}|{canvas.lines()[0].ljust(_TEXT_COLUMNS)}| {value}".rstrip())
    ends = "0", number_text(scale.high)
    lines.append(f"{'':{_TEXT_LABEL + 1}}{ends[0]}{ends[1]:>{_TEXT_COLUMNS - 1}}")
    lines.append("o as measured   = where it could lie   m at mid-limit")
    return tuple(lines)
