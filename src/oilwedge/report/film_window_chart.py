"""Smallest film against clearance, one line an oil, over the window that the maker allows.

Under the axis stands the sign of every judged number: brackets for the build limits, a heavy tick
for the service limit, a dot with its whisker for the clearance as measured.
"""

from __future__ import annotations

from dataclasses import dataclass

from oilwedge.report.document import Figure
from oilwedge.report.film_ink import (
    DOTTED,
    TEXT_PX,
    WIDTH_PX,
    Point,
    Series,
    check_above_zero,
    check_rising,
    check_series,
    disc,
    film_figure,
    film_svg,
    rule,
    shortened,
    stroke,
    text_width,
)
from oilwedge.report.plot_axis import Axis, axis_from_zero, figures_text, number_text
from oilwedge.report.svg_text import svg_escape, svg_label
from oilwedge.report.text_canvas import COLUMNS, TextCanvas

HEIGHT_PX = 320.0
LEFT_PX, RIGHT_PX, TOP_PX, BOTTOM_PX = 40.0, 14.0, 46.0, 216.0
SIGN_PX = 252.0  # the middle of the window sign
DASHES = ("", "7 3", "2 2.4", "9 3 2 3", "12 4")
CAPTION = (
    "Smallest film of the cycle against the clearance measured cold (diametral), a line for each"
    " oil. Brackets: build limits; heavy tick: service limit; dot, whisker and grey stretch: as"
    " measured, with what it could be off by; dotted line: the film to keep. It compares clearances"
    " and oils; it does not overrule the maker's limits."
)
LETTERS = "abcdefghijklmnopqrstuvwxyz"


@dataclass(frozen=True, slots=True, kw_only=True)
class OilLine:
    """One oil: the smallest film (µm) at each clearance; None where there is no answer."""

    name: str
    films_um: tuple[float | None, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasuredGap:
    """A bearing as measured: its clearance and how far that could be off (U).

    ``on_line``: whether the lines are its own, so that its film is a dot on them.
    """

    name: str
    clearance: float
    half_width: float
    on_line: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class WindowChart:
    """Clearances (rising) in ``unit``, ``decimals`` as they are printed; limits in the same unit.

    ``chosen_film_um``: the film that is to be kept.
    """

    title: str
    unit: str
    decimals: int
    clearances: Series
    oils: tuple[OilLine, ...]
    measured: tuple[MeasuredGap, ...] = ()
    low: float | None = None
    high: float | None = None
    service: float | None = None
    chosen_film_um: float | None = None

    def __post_init__(self) -> None:
        check_series("film against clearance", self.clearances)
        check_rising("clearances of a window chart", self.clearances)
        if not 1 <= len(self.oils) <= len(DASHES):
            raise ValueError(f"a window chart holds one to {len(DASHES)} oils")
        for oil in self.oils:
            if len(oil.films_um) != len(self.clearances):
                raise ValueError(f"{oil.name}: one film for each clearance is needed")
            found = tuple(film for film in oil.films_um if film is not None)
            check_series(f"the line of {oil.name}", found)
            check_above_zero(f"the film of {oil.name}", min(found))

    def text(self, value: float) -> str:
        """A clearance as it is printed, with its unit."""
        return f"{value:.{self.decimals}f} {self.unit}"


def window_figure(chart: WindowChart) -> Figure:
    """The drawing for paper, page and terminal."""
    return film_figure(
        svg=window_chart_svg(chart),
        caption=CAPTION,
        description=describe_window_chart(chart),
        lines=_text_lines(chart),
    )


def window_chart_svg(chart: WindowChart) -> str:
    """Draw it."""
    frame = _Frame.around(chart)
    body = _between_limits(chart, frame) + _rules(frame, chart)
    body += _measured_band(chart, frame)
    if chart.chosen_film_um is not None:
        y = frame.film.at(chart.chosen_film_um)
        ends = [(LEFT_PX, y), (WIDTH_PX - RIGHT_PX, y)]
        body += stroke(ends, width=1.4, dash=DOTTED, kind="chosen-film")
    for oil, dash in zip(chart.oils, DASHES, strict=False):
        for run in _runs(chart, oil):
            places = [(frame.gap.at(gap), frame.film.at(film)) for gap, film in run]
            body += stroke(places, width=1.8, dash=dash, kind="oil")
    body += _sign(chart, frame) + _key(chart)
    return film_svg(
        title=chart.title, description=describe_window_chart(chart), body=body, height_px=HEIGHT_PX
    )


def describe_window_chart(chart: WindowChart) -> str:
    """Say the numbers of the drawing in words."""
    first, last = chart.clearances[0], chart.clearances[-1]
    said = [f"Smallest film from {chart.text(first)} to {chart.text(last)} of clearance."]
    for oil in chart.oils:
        found = [film for film in oil.films_um if film is not None]
        said.append(f"{oil.name}: {figures_text(min(found))} to {figures_text(max(found))} µm.")
    for one in chart.measured:
        said.append(
            f"{one.name}: {chart.text(one.clearance)} ± {one.half_width:.{chart.decimals}f}."
        )
    if chart.low is not None and chart.high is not None:
        said.append(f"Build limits {chart.text(chart.low)} to {chart.text(chart.high)}.")
    return " ".join(said)


def film_at(chart: WindowChart, oil: OilLine, clearance: float) -> float | None:
    """The film of an oil at a clearance, straight between two points; None where none is known."""
    gaps = chart.clearances
    for n in range(len(gaps) - 1):
        first, last = oil.films_um[n], oil.films_um[n + 1]
        if gaps[n] <= clearance <= gaps[n + 1] and first is not None and last is not None:
            return first + (last - first) * (clearance - gaps[n]) / (gaps[n + 1] - gaps[n])
    return None


@dataclass(frozen=True, slots=True, kw_only=True)
class _Frame:
    gap: Axis
    film: Axis

    @classmethod
    def around(cls, chart: WindowChart) -> _Frame:
        films = [film for oil in chart.oils for film in oil.films_um if film is not None]
        if chart.chosen_film_um is not None:
            films.append(chart.chosen_film_um)
        return cls(
            gap=Axis(
                low=chart.clearances[0],
                high=chart.clearances[-1],
                start_px=LEFT_PX,
                end_px=WIDTH_PX - RIGHT_PX,
            ),
            film=axis_from_zero(films, start_px=BOTTOM_PX, end_px=TOP_PX),
        )

    def inside(self, value: float | None) -> bool:
        return value is not None and self.gap.low <= value <= self.gap.high


def _runs(chart: WindowChart, oil: OilLine) -> list[list[Point]]:
    """The line of an oil without the stretches that have no answer."""
    runs: list[list[Point]] = [[]]
    for gap, film in zip(chart.clearances, oil.films_um, strict=True):
        if film is None:
            runs.append([])
        else:
            runs[-1].append((gap, film))
    return [run for run in runs if len(run) > 1]


def _rules(frame: _Frame, chart: WindowChart) -> str:
    right = WIDTH_PX - RIGHT_PX
    body = ""
    for value, text in frame.film.labelled(most=6):
        y = frame.film.at(value)
        body += rule([(LEFT_PX, y), (right, y)])
        body += svg_label(x=LEFT_PX - 5, y=y + 4, size=TEXT_PX, anchor="end", text=text)
    most = 7 if text_width(f"{frame.gap.high:.{chart.decimals}f}") < 34.0 else 5
    for value, text in frame.gap.labelled(most=most):
        x = frame.gap.at(value)
        body += rule([(x, TOP_PX), (x, BOTTOM_PX)])
        body += svg_label(
            x=min(x, right - 6), y=BOTTOM_PX + 15, size=TEXT_PX, anchor="middle",
            text=text,
        )  # fmt: skip
    body += svg_label(x=4, y=TOP_PX - 9, size=TEXT_PX, anchor="start", text="smallest film, µm")
    return body + svg_label(
        x=right, y=SIGN_PX + 26, size=TEXT_PX, anchor="end", text=f"cold clearance, {chart.unit}"
    )


def _between_limits(chart: WindowChart, frame: _Frame) -> str:
    """The stretch between the build limits; paper leaves it blank, a page may tint it."""
    if chart.low is None and chart.high is None:
        return ""
    low = frame.gap.low if chart.low is None else max(chart.low, frame.gap.low)
    high = frame.gap.high if chart.high is None else min(chart.high, frame.gap.high)
    if high <= low:
        return ""
    x = frame.gap.at(low)
    return (
        f'<rect class="inside" x="{x:.2f}" y="{TOP_PX:g}" width="{frame.gap.at(high) - x:.2f}"'
        f' height="{BOTTOM_PX - TOP_PX:g}" fill="none"/>'
    )


def _measured_band(chart: WindowChart, frame: _Frame) -> str:
    body = ""
    for one in chart.measured:
        low = max(one.clearance - one.half_width, frame.gap.low)
        high = min(one.clearance + one.half_width, frame.gap.high)
        if high > low:
            x = frame.gap.at(low)
            body += (
                f'<rect class="measured-band" x="{x:.2f}" y="{TOP_PX:g}"'
                f' width="{frame.gap.at(high) - x:.2f}" height="{BOTTOM_PX - TOP_PX:g}"'
                ' fill="currentColor" fill-opacity="0.12"/>'
            )
        if one.on_line and frame.inside(one.clearance):
            x = frame.gap.at(one.clearance)
            for oil in chart.oils:
                film = film_at(chart, oil, one.clearance)
                if film is not None:
                    body += disc((x, frame.film.at(film)), radius=2.8, kind="on-line")
    return body


def _sign(chart: WindowChart, frame: _Frame) -> str:
    """The window sign on the scale of the chart: limits, and each bearing as measured."""
    top, bottom = SIGN_PX - 9.0, SIGN_PX + 9.0
    body = stroke([(LEFT_PX, SIGN_PX), (WIDTH_PX - RIGHT_PX, SIGN_PX)], width=0.6, dash="0.6 2.4")
    if chart.low is not None and chart.high is not None:
        ends = (max(chart.low, frame.gap.low), min(chart.high, frame.gap.high))
        if ends[0] < ends[1]:
            body += stroke([(frame.gap.at(end), SIGN_PX) for end in ends], width=0.7)
    for limit, serif, kind in ((chart.low, 4.0, "low"), (chart.high, -4.0, "high")):
        if limit is not None and frame.inside(limit):
            x = frame.gap.at(limit)
            places = [(x + serif, top), (x, top), (x, bottom), (x + serif, bottom)]
            body += stroke(places, width=1.2, kind=kind)
    if chart.service is not None and frame.inside(chart.service):
        x = frame.gap.at(chart.service)
        body += stroke([(x, top), (x, bottom)], width=3.0, kind="service")
    for one in chart.measured:
        body += _mark(one, chart, frame)
    return body


def _mark(one: MeasuredGap, chart: WindowChart, frame: _Frame) -> str:
    """Whisker and dot; an arrow at the edge for what lies off the chart."""
    low = max(frame.gap.low, min(frame.gap.high, one.clearance - one.half_width))
    high = max(frame.gap.low, min(frame.gap.high, one.clearance + one.half_width))
    said = f"{one.name}: {chart.text(one.clearance)} ± {one.half_width:.{chart.decimals}f}"
    body = f"<title>{svg_escape(said)}</title>"
    body += stroke([(frame.gap.at(low), SIGN_PX), (frame.gap.at(high), SIGN_PX)], width=1.6)
    if frame.inside(one.clearance):
        body += disc((frame.gap.at(one.clearance), SIGN_PX), radius=3.4, kind="measured")
        return f"<g>{body}</g>"
    side = 1.0 if one.clearance > frame.gap.high else -1.0
    x = frame.gap.end_px + 9.0 if side > 0 else frame.gap.start_px - 9.0
    head = f"M{x:.2f} {SIGN_PX:.2f}l{-8 * side:g} -4v8z"
    return f'<g>{body}<path d="{head}" class="measured-beyond" fill="currentColor"/></g>'


def _key(chart: WindowChart) -> str:
    """What the lines are, two beside each other."""
    body = ""
    room = (WIDTH_PX - 8.0) / 2.0
    for n, oil in enumerate(chart.oils):
        x, y = 4.0 + room * (n % 2), SIGN_PX + 44.0 + 16.0 * (n // 2)
        body += stroke([(x, y - 4), (x + 30, y - 4)], width=1.8, dash=DASHES[n])
        text = shortened(oil.name, room_px=room - 40.0)
        body += svg_label(x=x + 35, y=y, size=TEXT_PX, anchor="start", text=text)
    return body


def _text_lines(chart: WindowChart) -> tuple[str, ...]:
    """The lines as letters, the limits as brackets under them, what is measured as o."""
    frame = _Frame.around(chart)
    gap = Axis(low=frame.gap.low, high=frame.gap.high, start_px=0.0, end_px=1.0)
    film = Axis(low=0.0, high=frame.film.high, start_px=1.0, end_px=0.0)
    canvas = TextCanvas(columns=COLUMNS, rows=12)
    if chart.chosen_film_um is not None:
        y = film.at(chart.chosen_film_um)
        canvas.line([(0.0, y), (1.0, y)], ".")
    for oil, letter in zip(chart.oils, LETTERS, strict=False):
        for run in _runs(chart, oil):
            canvas.line([(gap.at(x), film.at(value)) for x, value in run], letter)
    sign = TextCanvas(columns=COLUMNS, rows=2)
    for value, character in (
        (chart.low, "["), (chart.high, "]"), (chart.service, "#"),
        *((one.clearance, "o") for one in chart.measured),
    ):  # fmt: skip
        if value is not None:
            sign.put(gap.at(value), 0.0, character)
    margin = [number_text(frame.film.high), *[""] * 10, "0"]
    ends = f"{frame.gap.low:.{chart.decimals}f}", f"{frame.gap.high:.{chart.decimals}f}"
    across = f"clearance, {chart.unit}".center(COLUMNS - sum(map(len, ends)))
    keys = "   ".join(
        f"{letter} {oil.name}" for oil, letter in zip(chart.oils, LETTERS, strict=False)
    )
    return (
        f"{chart.title}: smallest film, µm",
        *canvas.lines(margin=[text.rjust(5) for text in margin]),
        f"{'':7}{sign.lines()[0]}",
        f"{'':7}{ends[0]}{across}{ends[1]}",
        keys,
    )
