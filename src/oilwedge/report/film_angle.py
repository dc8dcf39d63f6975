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
    check_above_zero,
    check_rising,
    check_series,
    cycle_angle,
    disc,
    film_figure,
    film_svg,
    firing_mark,
    firing_words,
    rule,
    stroke,
)
from oilwedge.report.plot_axis import Axis, LogAxis, axis_from_zero, figures_text, number_text
from oilwedge.report.svg_text import svg_label
from oilwedge.report.text_canvas import COLUMNS, TextCanvas

HEIGHT_PX = 340.0
LEFT_PX, RIGHT_PX = 40.0, 12.0
NAME_PX = 36.0  # of the film axis, clear of the diamonds
FILM_TOP_PX, FILM_BOTTOM_PX = 62.0, 180.0
LOAD_TOP_PX, LOAD_BOTTOM_PX = 212.0, 302.0


@dataclass(frozen=True, slots=True, kw_only=True)
class FilmLine:
    """The smallest film (µm) at each crank angle (deg, rising)."""

    angles_deg: Series
    films_um: Series

    def __post_init__(self) -> None:
        check_series("a line of film thickness", self.angles_deg, self.films_um)
        check_rising("crank angles of a film", self.angles_deg)
        check_above_zero("the thinnest film of a line", min(self.films_um))

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
    return film_figure(
        svg=angle_svg(chart),
        caption=_caption(chart),
        description=describe_angle(chart),
        lines=_text_lines(chart),
    )


def angle_svg(chart: AngleChart) -> str:
    """Draw it."""
    frame = _Frame.around(chart)
    body = _rules(frame) + _firing(chart, frame)
    if chart.compared is not None:
        places = zip(chart.compared.angles_deg, chart.compared.films_um, strict=True)
        points = [(frame.angle.at(deg), frame.film.at(um)) for deg, um in places]
        body += stroke(points, width=1.0, dash=DASHED, kind="compared")
    if chart.chosen_film_um is not None:
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
    return film_svg(
        title=chart.title, description=describe_angle(chart), body=body, height_px=HEIGHT_PX
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
    said = (
        "Smallest film at each crank angle (above, equal ratios drawn equally high) and the size of"
        " the load (below)."
    )
    if chart.compared is not None:
        said += f" Dashed: {chart.compared_words}."
    if chart.chosen_film_um is not None:
        said += f" Dotted: film of {number_text(chart.chosen_film_um)} µm."
    return said + (" Diamonds: firing, with the cylinder." if chart.firings else "")


@dataclass(frozen=True, slots=True, kw_only=True)
class _Frame:
    """The three axes: crank angle across, film (in equal ratios) and load up."""

    angle: Axis
    film: LogAxis
    load: Axis

    @classmethod
    def around(cls, chart: AngleChart) -> _Frame:
        angles = chart.film.angles_deg
        films = [*chart.film.films_um, *(chart.compared.films_um if chart.compared else ())]
        if chart.chosen_film_um is not None:
            films.append(chart.chosen_film_um)
        right = WIDTH_PX - RIGHT_PX
        return cls(
            angle=Axis(low=angles[0], high=angles[-1], start_px=LEFT_PX, end_px=right),
            film=LogAxis.around(films, start_px=FILM_BOTTOM_PX, end_px=FILM_TOP_PX),
            load=axis_from_zero(chart.loads_kn, start_px=LOAD_BOTTOM_PX, end_px=LOAD_TOP_PX),
        )

    @property
    def angle_step(self) -> int:
        """Degrees between two rules: a quarter turn, or more where a cycle is very long."""
        return 90 * max(1, math.ceil((self.angle.high - self.angle.low) / 720.0 - 1e-9))


def _rules(frame: _Frame) -> str:
    body = ""
    right = WIDTH_PX - RIGHT_PX
    for ticks, name, name_px in (
        ([(frame.film.at(um), number_text(um)) for um in frame.film.ticks()], "film, µm", NAME_PX),
        (
            [(frame.load.at(kn), text) for kn, text in frame.load.labelled(most=5)],
            "load, kN",
            LOAD_TOP_PX - 9.0,
        ),
    ):
        for y, text in ticks:
            body += rule([(LEFT_PX, y), (right, y)])
            body += svg_label(x=LEFT_PX - 5, y=y + 4, size=TEXT_PX, anchor="end", text=text)
        body += svg_label(x=4, y=name_px, size=TEXT_PX, anchor="start", text=name)
    step = frame.angle_step
    first = math.ceil(frame.angle.low / step - 1e-9)
    last = math.floor(frame.angle.high / step + 1e-9)
    for n in range(first, last + 1):
        x = frame.angle.at(step * n)
        for top, bottom in ((FILM_TOP_PX, FILM_BOTTOM_PX), (LOAD_TOP_PX, LOAD_BOTTOM_PX)):
            body += rule([(x, top), (x, bottom)])
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
        for top, bottom in ((FILM_TOP_PX - 3, FILM_BOTTOM_PX), (LOAD_TOP_PX, LOAD_BOTTOM_PX)):
            body += stroke([(x, top), (x, bottom)], width=0.9, dash="3 2")
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
    whole = Axis(low=angles[0], high=angles[-1], start_px=0.0, end_px=1.0)
    heights = [
        (um_px - FILM_TOP_PX) / (FILM_BOTTOM_PX - FILM_TOP_PX)
        for um_px in map(frame.film.at, chart.film.films_um)
    ]
    film = _plot(chart, [(whole.at(a), y) for a, y in zip(angles, heights, strict=True)], 10)
    film.put(whole.at(angles[chart.film.least]), heights[chart.film.least], "o")
    share = Axis(low=0.0, high=frame.load.high, start_px=1.0, end_px=0.0)
    pairs = zip(angles, chart.loads_kn, strict=True)
    load = _plot(chart, [(whole.at(a), share.at(kn)) for a, kn in pairs], 6)
    lines = [f"{chart.title}: film, µm (in equal ratios)"]
    ends_um = figures_text(frame.film.high), number_text(frame.film.low)
    lines += film.lines(margin=_margin(*ends_um, 10))
    lines += ["load, kN", *load.lines(margin=_margin(number_text(frame.load.high), "0", 6))]
    ends = f"{angles[0]:.0f}", f"{angles[-1]:.0f}"
    lines.append(
        f"{'':7}{ends[0]}{'crank angle, deg'.center(COLUMNS - sum(map(len, ends)))}{ends[1]}"
    )
    key = f"o least film {figures_text(min(chart.film.films_um))} µm"
    return (*lines, key + ("   * fires" if chart.firings else ""))


def _plot(chart: AngleChart, places: list[tuple[float, float]], rows: int) -> TextCanvas:
    """A line, and a star on top where a cylinder fires."""
    canvas = TextCanvas(columns=COLUMNS, rows=rows)
    canvas.line(places, "+")
    angles = chart.film.angles_deg
    for one in chart.firings:
        at = cycle_angle(one.angle_deg, angles)
        canvas.put((at - angles[0]) / (angles[-1] - angles[0]), 0.0, "*")
    return canvas


def _margin(top: str, bottom: str, rows: int) -> list[str]:
    return [text.rjust(5) for text in (top, *[""] * (rows - 2), bottom)]
