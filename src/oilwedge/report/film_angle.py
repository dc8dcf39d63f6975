"""Film thickness over crank angle; under it, on the same scale of angle, the load that makes it."""

from __future__ import annotations

import math
from dataclasses import dataclass

from oilwedge.report.document import Figure
from oilwedge.report.film_ink import (
    DASHED,
    DOTTED,
    TEXT_PX,
    WIDTH_PX,
    Firing,
    LabelPlaces,
    Series,
    check_rising,
    check_series,
    cycle_angle,
    disc,
    firing_mark,
    firing_words,
    stroke,
    title_label,
)
from oilwedge.report.plot_axis import Axis, axis_from_zero, figures_text, number_text
from oilwedge.report.svg_text import svg_label, svg_picture
from oilwedge.report.text_canvas import COLUMNS, TextCanvas

HEIGHT_PX = 340.0
LEFT_PX, RIGHT_PX = 40.0, 12.0
NAME_PX = 36.0  # of the film axis, clear of the diamonds
FILM_TOP_PX, FILM_BOTTOM_PX = 62.0, 180.0
LOAD_TOP_PX, LOAD_BOTTOM_PX = 212.0, 302.0
_HAIR = 0.4


@dataclass(frozen=True, slots=True, kw_only=True)
class FilmLine:
    """The smallest film (µm) at each crank angle (deg, rising)."""

    angles_deg: Series
    films_um: Series

    def __post_init__(self) -> None:
        check_series("a line of film thickness", self.angles_deg, self.films_um)
        check_rising("crank angles of a film", self.angles_deg)
        if min(self.films_um) < 0.0:
            raise ValueError("a film is not thinner than nothing")

    @property
    def least(self) -> int:
        """The index of the thinnest film."""
        return self.films_um.index(min(self.films_um))


@dataclass(frozen=True, slots=True, kw_only=True)
class AngleChart:
    """The film as measured, one to compare, and the load (kN) at the angles of the film."""

    title: str
    film: FilmLine
    loads_kn: Series
    compared: FilmLine | None = None
    compared_words: str = "mid-limit"
    chosen_film_um: float | None = None
    firings: tuple[Firing, ...] = ()

    def __post_init__(self) -> None:
        check_series("film and load over crank angle", self.film.angles_deg, self.loads_kn)
        if min(self.loads_kn) < 0.0:
            raise ValueError("the size of a load is at least 0")


def angle_figure(chart: AngleChart) -> Figure:
    """The drawing for paper, page and terminal."""
    lines = "\n".join(_text_lines(chart))
    return Figure(
        svg=angle_svg(chart),
        caption=_caption(chart),
        alternative_text=describe_angle(chart),
        text=lines,
        ascii_text=lines,
    )


def angle_svg(chart: AngleChart) -> str:
    """Draw it; with presentation attributes only, so that a strict policy lets it be."""
    frame = _Frame.around(chart)
    body = f'<rect class="ground" width="{WIDTH_PX:g}" height="{HEIGHT_PX:g}" fill="#ffffff"/>'
    body += title_label(chart.title) + _rules(frame) + _firing(chart, frame)
    if chart.compared is not None:
        places = zip(chart.compared.angles_deg, chart.compared.films_um, strict=True)
        points = [(frame.angle.at(deg), frame.film.at(um)) for deg, um in places]
        body += stroke(points, width=1.0, dash=DASHED, kind="compared")
    if chart.chosen_film_um is not None and chart.chosen_film_um <= frame.film.high:
        y = frame.film.at(chart.chosen_film_um)
        ends = [(LEFT_PX, y), (WIDTH_PX - RIGHT_PX, y)]
        body += stroke(ends, width=1.2, dash=DOTTED, kind="chosen-film")
    film = zip(chart.film.angles_deg, chart.film.films_um, strict=True)
    body += stroke(
        [(frame.angle.at(deg), frame.film.at(um)) for deg, um in film], width=1.8, kind="film"
    )
    load = zip(chart.film.angles_deg, chart.loads_kn, strict=True)
    body += stroke(
        [(frame.angle.at(deg), frame.load.at(kn)) for deg, kn in load], width=1.4, kind="load"
    )
    body += _least(chart, frame)
    return svg_picture(
        width=WIDTH_PX,
        height=HEIGHT_PX,
        title=chart.title,
        description=describe_angle(chart),
        body=body,
    )


def describe_angle(chart: AngleChart) -> str:
    """Say the numbers of the drawing in words."""
    film, n = chart.film, chart.film.least
    largest = chart.loads_kn.index(max(chart.loads_kn))
    said = (
        f"Least film {figures_text(film.films_um[n])} µm at crank angle {film.angles_deg[n]:.0f}°;"
        f" largest load {figures_text(chart.loads_kn[largest])} kN at"
        f" {film.angles_deg[largest]:.0f}°."
    )
    if chart.compared is not None:
        least = min(chart.compared.films_um)
        said += f" {chart.compared_words.capitalize()}: {figures_text(least)} µm."
    return f"{said} {firing_words(chart.firings)}".strip()


def _caption(chart: AngleChart) -> str:
    said = "Smallest film at each crank angle (above) and the size of the load (below)."
    if chart.compared is not None:
        said += f" Dashed: {chart.compared_words}."
    if chart.chosen_film_um is not None:
        said += f" Dotted: film of {number_text(chart.chosen_film_um)} µm."
    return said + (" Diamonds: firing, with the cylinder." if chart.firings else "")


@dataclass(frozen=True, slots=True, kw_only=True)
class _Frame:
    """The three axes: crank angle across, film and load up."""

    angle: Axis
    film: Axis
    load: Axis

    @classmethod
    def around(cls, chart: AngleChart) -> _Frame:
        angles = chart.film.angles_deg
        films = [*chart.film.films_um, *(chart.compared.films_um if chart.compared else ())]
        right = WIDTH_PX - RIGHT_PX
        return cls(
            angle=Axis(low=angles[0], high=angles[-1], start_px=LEFT_PX, end_px=right),
            film=axis_from_zero(films, start_px=FILM_BOTTOM_PX, end_px=FILM_TOP_PX),
            load=axis_from_zero(chart.loads_kn, start_px=LOAD_BOTTOM_PX, end_px=LOAD_TOP_PX),
        )

    @property
    def angle_step(self) -> int:
        """Degrees between two rules: a quarter turn, or more where a cycle is very long."""
        return 90 * max(1, math.ceil((self.angle.high - self.angle.low) / 720.0 - 1e-9))


def _rules(frame: _Frame) -> str:
    body = ""
    right = WIDTH_PX - RIGHT_PX
    load_name_px = LOAD_TOP_PX - 9.0
    for axis, name, name_px in (
        (frame.film, "film, µm", NAME_PX),
        (frame.load, "load, kN", load_name_px),
    ):
        for value, text in axis.labelled(most=5):
            y = axis.at(value)
            body += stroke([(LEFT_PX, y), (right, y)], width=_HAIR)
            body += svg_label(x=LEFT_PX - 5, y=y + 4, size=TEXT_PX, anchor="end", text=text)
        body += svg_label(x=4, y=name_px, size=TEXT_PX, anchor="start", text=name)
    step = frame.angle_step
    first = math.ceil(frame.angle.low / step - 1e-9)
    last = math.floor(frame.angle.high / step + 1e-9)
    for n in range(first, last + 1):
        x = frame.angle.at(step * n)
        for top, bottom in ((FILM_TOP_PX, FILM_BOTTOM_PX), (LOAD_TOP_PX, LOAD_BOTTOM_PX)):
            body += stroke([(x, top), (x, bottom)], width=_HAIR)
        if n % 2 == 0:
            body += svg_label(
                x=x, y=LOAD_BOTTOM_PX + 15, size=TEXT_PX, anchor="middle", text=str(step * n)
            )
    return body + svg_label(
        x=right, y=HEIGHT_PX - 7, size=TEXT_PX, anchor="end", text="crank angle, degrees"
    )


def _firing(chart: AngleChart, frame: _Frame) -> str:
    """A diamond over the film for each cylinder that fires, and a line through both plots."""
    body = ""
    labels = LabelPlaces(left=0.0, top=40.0, right=WIDTH_PX, bottom=FILM_TOP_PX)
    for one in chart.firings:
        x = frame.angle.at(cycle_angle(one.angle_deg, chart.film.angles_deg))
        body += stroke([(x, FILM_TOP_PX - 3), (x, LOAD_BOTTOM_PX)], width=0.9, dash="3 2")
        body += firing_mark((x, FILM_TOP_PX - 8))
        labels.keep_clear(x - 5, FILM_TOP_PX - 13, x + 5, FILM_TOP_PX - 3)
    for one in chart.firings:
        x = frame.angle.at(cycle_angle(one.angle_deg, chart.film.angles_deg))
        body += labels.beside((x, FILM_TOP_PX - 8), one.cylinder)
    return body


def _least(chart: AngleChart, frame: _Frame) -> str:
    film, n = chart.film, chart.film.least
    place = frame.angle.at(film.angles_deg[n]), frame.film.at(film.films_um[n])
    text = f"least {figures_text(film.films_um[n])} µm at {film.angles_deg[n]:.0f}°"
    x = WIDTH_PX / 2.0
    y = FILM_BOTTOM_PX + 19.0
    key = disc((x, y - 4.0)) + svg_label(x=x + 8, y=y, size=TEXT_PX, anchor="start", text=text)
    return disc(place, kind="least") + key


def _text_lines(chart: AngleChart) -> tuple[str, ...]:
    """Both lines as characters: o where the film is least, * where a cylinder fires."""
    frame = _Frame.around(chart)
    angles = chart.film.angles_deg
    lines = [f"{chart.title}: film, µm"]
    for axis, values, rows in (
        (frame.film, chart.film.films_um, 10),
        (frame.load, chart.loads_kn, 6),
    ):
        canvas = TextCanvas(columns=COLUMNS, rows=rows)
        whole = Axis(low=angles[0], high=angles[-1], start_px=0.0, end_px=1.0)
        share = Axis(low=axis.low, high=axis.high, start_px=1.0, end_px=0.0)
        places = [(whole.at(a), share.at(v)) for a, v in zip(angles, values, strict=True)]
        canvas.line(places, "+")
        for one in chart.firings:
            canvas.put(whole.at(cycle_angle(one.angle_deg, angles)), 0.0, "*")
        if axis is frame.film:
            canvas.put(*places[chart.film.least], "o")
        margin = [number_text(axis.high), *[""] * (rows - 2), "0"]
        lines += canvas.lines(margin=[text.rjust(5) for text in margin])
        if axis is frame.film:
            lines.append("load, kN")
    ends = f"{angles[0]:.0f}", f"{angles[-1]:.0f}"
    lines.append(
        f"{'':7}{ends[0]}{'crank angle, deg'.center(COLUMNS - sum(map(len, ends)))}{ends[1]}"
    )
    key = f"o least film {figures_text(min(chart.film.films_um))} µm"
    return (*lines, key + ("   * fires" if chart.firings else ""))
