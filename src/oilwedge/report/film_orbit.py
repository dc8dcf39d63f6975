"""The path of a journal's centre in its clearance circle, to scale, seen from the engine's front.

The first axis points up (a big end: towards the small end; a main: straight up), the second one to
the right, so that the journal turns clockwise. The clearance is drawn some thousand times too
large; where the path touches the circle, journal and shell would touch.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

from oilwedge.report.document import Figure
from oilwedge.report.film_ink import (
    DASHED,
    TEXT_PX,
    WIDTH_PX,
    BearingWords,
    Firing,
    LabelPlaces,
    Point,
    Series,
    arc,
    arrow_head,
    at_round,
    check_above_zero,
    check_rising,
    check_series,
    cycle_angle,
    disc,
    film_figure,
    film_svg,
    firing_mark,
    firing_words,
    interpolated,
    stroke,
    text_width,
    turning_arrow,
)
from oilwedge.report.plot_axis import figures_text, number_text, round_step
from oilwedge.report.svg_text import svg_label
from oilwedge.report.text_canvas import TextCanvas

CENTRE: Point = (WIDTH_PX / 2.0, 175.0)
CIRCLE_PX = 112.0  # of the larger clearance
SHELL_PX = 9.0
HEIGHT_PX = 352.0
LABEL_STEP_DEG = 90
WIDEST_BESIDE = 1.4  # times the clearance measured: the most that is drawn to the same scale


@dataclass(frozen=True, slots=True, kw_only=True)
class JournalPath:
    """One path: crank angles (deg, rising) and eccentricity ratios along the two axes.

    ``radial_clearance_um``: half the diametral one, hot.
    """

    angles_deg: Series
    x: Series
    y: Series
    radial_clearance_um: float

    def __post_init__(self) -> None:
        check_series("a journal's path", self.angles_deg, self.x, self.y)
        check_rising("crank angles of a journal's path", self.angles_deg)
        check_above_zero("the radial clearance", self.radial_clearance_um)
        if any(math.hypot(*place) >= 1.0 for place in zip(self.x, self.y, strict=True)):
            raise ValueError("a journal's path stays inside its clearance: below 1")

    @property
    def films_um(self) -> Series:
        """The smallest film at each angle."""
        pairs = zip(self.x, self.y, strict=True)
        return tuple(self.radial_clearance_um * (1.0 - math.hypot(*place)) for place in pairs)

    @property
    def least(self) -> int:
        """The index of the thinnest film."""
        films = self.films_um
        return films.index(min(films))


@dataclass(frozen=True, slots=True, kw_only=True)
class OrbitDrawing:
    """What is drawn: the path as measured, another one to compare, and the bearing round them.

    ``split_deg``: where the shells meet, counted round the bearing. ``groove_deg``: an oil groove
    from one angle to another (0 to 360: all round). ``hole_deg``: an oil hole. ``chosen_film_um``:
    under this film the path is drawn thick.
    """

    title: str
    path: JournalPath
    compared: JournalPath | None = None
    compared_words: str = "mid-limit"
    chosen_film_um: float | None = None
    firings: tuple[Firing, ...] = ()
    words: BearingWords = BearingWords()
    split_deg: float = 90.0
    groove_deg: tuple[float, float] | None = None
    hole_deg: float | None = None

    @property
    def drawn_beside(self) -> JournalPath | None:
        """The path to compare, unless its clearance would leave the measured one too small."""
        if self.compared is None:
            return None
        most = WIDEST_BESIDE * self.path.radial_clearance_um
        return self.compared if self.compared.radial_clearance_um <= most else None


def orbit_figure(drawing: OrbitDrawing) -> Figure:
    """The drawing for paper, page and terminal."""
    return film_figure(
        svg=orbit_svg(drawing),
        caption=_caption(drawing),
        description=describe_orbit(drawing),
        lines=_text_lines(drawing),
    )


def orbit_svg(drawing: OrbitDrawing) -> str:
    """Draw it."""
    plan = _Plan.of(drawing)
    body = _bearing(drawing, plan) + _circles(drawing, plan)
    if drawing.drawn_beside is not None:
        body += stroke(plan.places(drawing.drawn_beside), width=1.0, dash=DASHED, kind="compared")
    body += _path(drawing, plan) + _marks(drawing, plan) + _foot(drawing, plan)
    return film_svg(
        title=drawing.title, description=describe_orbit(drawing), body=body, height_px=HEIGHT_PX
    )


def describe_orbit(drawing: OrbitDrawing) -> str:
    """Say the numbers of the drawing in words."""
    path = drawing.path
    said = (
        f"Path of the journal's centre in a clearance circle of"
        f" {figures_text(path.radial_clearance_um)} µm radius; the journal turns clockwise."
        f" {_least_words(path)}."
    )
    if drawing.compared is not None:
        least = min(drawing.compared.films_um)
        said += f" {drawing.compared_words.capitalize()}: {figures_text(least)} µm."
    if drawing.firings:
        said += f" {firing_words(drawing.firings)}"
    return said


def _least_words(path: JournalPath) -> str:
    n = path.least
    place = math.degrees(math.atan2(path.y[n], path.x[n])) % 360.0
    return (
        f"Least film {figures_text(path.films_um[n])} µm at crank angle"
        f" {path.angles_deg[n]:.0f}°, {place:.0f}° round the bearing"
    )


def _caption(drawing: OrbitDrawing) -> str:
    said = (
        "The bearing stands still and the journal turns clockwise: seen from the engine's front, or"
        " from its rear where the crank turns anticlockwise. Numbers on the path are crank angles"
        " in degrees; full disc: least film, with a heavy tick on the shell where it is."
    )
    if drawing.chosen_film_um is not None:
        said += f" Thick: film below {number_text(drawing.chosen_film_um)} µm."
    if drawing.drawn_beside is not None:
        said += f" Dashed: {drawing.compared_words}, in its own clearance circle."
    elif drawing.compared is not None:
        said += f" The clearance at {drawing.compared_words} is too wide to be drawn beside it."
    return said + (" Diamond: firing." if drawing.firings else "")


@dataclass(frozen=True, slots=True, kw_only=True)
class _Plan:
    """Pixels a micrometre, the same for both paths."""

    px_per_um: float

    @classmethod
    def of(cls, drawing: OrbitDrawing) -> _Plan:
        radii = [drawing.path.radial_clearance_um]
        if drawing.drawn_beside is not None:
            radii.append(drawing.drawn_beside.radial_clearance_um)
        return cls(px_per_um=CIRCLE_PX / max(radii))

    def radius(self, path: JournalPath) -> float:
        return path.radial_clearance_um * self.px_per_um

    def places(self, path: JournalPath) -> list[Point]:
        return [self.place(path, x, y) for x, y in zip(path.x, path.y, strict=True)]

    def place(self, path: JournalPath, x: float, y: float) -> Point:
        radius = self.radius(path)
        return CENTRE[0] + y * radius, CENTRE[1] - x * radius

    def at(self, path: JournalPath, angle_deg: float) -> Point:
        x = interpolated(angle_deg, path.angles_deg, path.x)
        y = interpolated(angle_deg, path.angles_deg, path.y)
        return self.place(path, x, y)


def _bearing(drawing: OrbitDrawing, plan: _Plan) -> str:
    """The shells from the clearance measured outwards, with their split, groove and hole."""
    inside = plan.radius(drawing.path)
    outside = CIRCLE_PX + SHELL_PX
    body = (
        f'<circle cx="{CENTRE[0]:g}" cy="{CENTRE[1]:g}" r="{outside:g}" class="shell"'
        f' fill="#d2cec6" stroke="currentColor" stroke-width="1"/>'
        f'<circle cx="{CENTRE[0]:g}" cy="{CENTRE[1]:g}" r="{inside:.2f}" class="ground"'
        f' fill="#ffffff" stroke="none"/>'
    )
    if drawing.groove_deg is not None:
        body += _cut(arc(CENTRE, inside + 2.5, *drawing.groove_deg), width=5.0, kind="groove")
    if drawing.hole_deg is not None:
        ends = (inside - 1.0, outside + 1.0)
        body += _cut(
            [at_round(CENTRE, radius, drawing.hole_deg) for radius in ends], width=6.0, kind="hole"
        )
    for split in (drawing.split_deg, drawing.split_deg + 180.0):
        ends = (inside, outside + 5.0)
        body += stroke([at_round(CENTRE, radius, split) for radius in ends], width=1.4)
    return body + _round_it(drawing)


def _round_it(drawing: OrbitDrawing) -> str:
    """Which way the journal turns, and what the sides of the bearing are."""
    middle = CIRCLE_PX + SHELL_PX / 2.0
    body = turning_arrow(CENTRE, middle + 16.0)
    turns = at_round(CENTRE, middle + 26.0, 42.0)
    body += svg_label(x=turns[0], y=turns[1], size=TEXT_PX, anchor="start", text="turns")
    for x, y, anchor, text in (
        (CENTRE[0], CENTRE[1] - middle - 10.0, "middle", f"{drawing.words.top} 0°"),
        (CENTRE[0], CENTRE[1] + middle + 18.0, "middle", f"{drawing.words.bottom} 180°"),
        (CENTRE[0] + middle + 12.0, CENTRE[1] + 4.0, "start", "90°"),
        (CENTRE[0] - middle - 12.0, CENTRE[1] + 4.0, "end", "270°"),
    ):
        body += svg_label(x=x, y=y, size=TEXT_PX, anchor=anchor, text=text)
    return body


def _cut(points: list[Point], *, width: float, kind: str) -> str:
    """A stretch of shell taken away, in the colour of the ground."""
    drawn = "M" + "L".join(f"{x:.2f} {y:.2f}" for x, y in points)
    return (
        f'<path d="{drawn}" class="ground-line {kind}" fill="none" stroke="#ffffff"'
        f' stroke-width="{width:g}"/>'
    )


def _circles(drawing: OrbitDrawing, plan: _Plan) -> str:
    """The clearance circles, and a cross at the bearing's centre."""
    x, y = CENTRE
    body = stroke([(x - 4, y), (x + 4, y)], width=0.6) + stroke([(x, y - 4), (x, y + 4)], width=0.6)
    paths = [(drawing.path, "", "clearance")]
    if drawing.drawn_beside is not None:
        paths.append((drawing.drawn_beside, f' stroke-dasharray="{DASHED}"', "compared-clearance"))
    for path, dash, kind in paths:
        body += (
            f'<circle cx="{x:g}" cy="{y:g}" r="{plan.radius(path):.2f}" class="{kind}" fill="none"'
            f' stroke="currentColor" stroke-width="{0.7 if dash else 1.2:g}"{dash}/>'
        )
    return body


def _path(drawing: OrbitDrawing, plan: _Plan) -> str:
    """The path, its thin stretches thick, and heads that show which way it runs."""
    path = drawing.path
    places = plan.places(path)
    body = stroke(places, width=1.6, kind="path")
    for stretch in _thin_stretches(path, drawing.chosen_film_um):
        body += stroke([places[n] for n in stretch], width=4.2, kind="thin")
    lengths = [math.dist(first, last) for first, last in pairwise(places)]
    for share in (0.2, 0.53, 0.87):
        run, n = 0.0, 0
        while n < len(lengths) - 1 and run + lengths[n] < share * sum(lengths):
            run += lengths[n]
            n += 1
        if lengths[n] > 0.0:
            body += arrow_head(places[n + 1], places[n], size=8.0)
    return body


def _thin_stretches(path: JournalPath, chosen_um: float | None) -> list[list[int]]:
    stretches: list[list[int]] = []
    if chosen_um is None:
        return stretches
    for n, film in enumerate(path.films_um):
        if film >= chosen_um:
            continue
        if stretches and stretches[-1][-1] == n - 1:
            stretches[-1].append(n)
        else:
            stretches.append([n])
    return [one for one in stretches if len(one) > 1]


def _marks(drawing: OrbitDrawing, plan: _Plan) -> str:
    """Crank angles along the path, firing, and the least film with its place on the shell."""
    path = drawing.path
    labels = LabelPlaces(
        left=CENTRE[0] - CIRCLE_PX, top=CENTRE[1] - CIRCLE_PX,
        right=CENTRE[0] + CIRCLE_PX, bottom=CENTRE[1] + CIRCLE_PX,
    )  # fmt: skip
    places = plan.places(path)
    least = places[path.least]
    labels.keep_clear_of(places)
    for x, y in arc(CENTRE, CIRCLE_PX + SHELL_PX / 2.0, 0.0, 360.0):
        labels.keep_clear(x - 5.0, y - 5.0, x + 5.0, y + 5.0)
    if drawing.drawn_beside is not None:
        labels.keep_clear_of(plan.places(drawing.drawn_beside))
    body = ""
    for one in drawing.firings:
        place = plan.at(path, one.angle_deg)
        labels.keep_clear(place[0] - 5, place[1] - 5, place[0] + 5, place[1] + 5)
        body += firing_mark(place)
        body += labels.beside(place, f"fires {one.cylinder}")
    first = math.ceil(path.angles_deg[0] / LABEL_STEP_DEG - 1e-9)
    last = math.ceil(path.angles_deg[-1] / LABEL_STEP_DEG - 1e-9)
    for angle in sorted(
        (LABEL_STEP_DEG * n for n in range(first, last)), key=lambda deg: deg % 180 != 0
    ):
        place = plan.at(path, angle)
        body += disc(place, radius=2.0, kind="crank-angle") + labels.beside(
            place, str(angle), distance=4.0
        )
    direction = math.degrees(math.atan2(path.y[path.least], path.x[path.least]))
    ends = [
        at_round(CENTRE, radius, direction)
        for radius in (plan.radius(path), plan.radius(path) + SHELL_PX)
    ]
    return body + disc(least, kind="least") + stroke(ends, width=4.0, kind="least-place")


def _foot(drawing: OrbitDrawing, plan: _Plan) -> str:
    """The least film in words, and a bar that tells the scale."""
    path = drawing.path
    y = HEIGHT_PX - 10.0
    n = path.least
    words = f"least film {figures_text(path.films_um[n])} µm at {path.angles_deg[n]:.0f}°"
    body = disc((10.0, y - 4.0)) + svg_label(x=18, y=y, size=TEXT_PX, anchor="start", text=words)
    bar = round_step(0.18 * CIRCLE_PX / plan.px_per_um)
    right = WIDTH_PX - 6.0 - text_width(f"{number_text(bar)} µm") - 5.0
    left = right - bar * plan.px_per_um
    body += stroke([(left, y - 7), (left, y - 1)], width=1.2)
    body += stroke([(left, y - 4), (right, y - 4)], width=1.2, kind="scale-bar")
    body += stroke([(right, y - 7), (right, y - 1)], width=1.2)
    return body + svg_label(
        x=WIDTH_PX - 6, y=y, size=TEXT_PX, anchor="end", text=f"{number_text(bar)} µm"
    )


def _text_lines(drawing: OrbitDrawing) -> tuple[str, ...]:
    """The path as characters: o where the film is least, * where a cylinder fires."""
    path, canvas = drawing.path, TextCanvas(columns=47, rows=23)

    def place(x: float, y: float) -> tuple[float, float]:
        return (1.0 + y) / 2.0, (1.0 - x) / 2.0

    circle = [math.radians(angle) for angle in range(0, 361, 3)]
    canvas.line([place(math.cos(angle), math.sin(angle)) for angle in circle], ".")
    canvas.line([place(x, y) for x, y in zip(path.x, path.y, strict=True)], "+")
    for one in drawing.firings:
        angle = cycle_angle(one.angle_deg, path.angles_deg)
        x = interpolated(angle, path.angles_deg, path.x)
        canvas.put(*place(x, interpolated(angle, path.angles_deg, path.y)), "*")
    canvas.put(*place(path.x[path.least], path.y[path.least]), "o")
    head = f"{drawing.title}; {drawing.words.top} above, {drawing.words.bottom} below"
    key = f"o least film {figures_text(path.films_um[path.least])} µm" + (
        "   * fires" if drawing.firings else ""
    )
    return (head, *canvas.lines(), key)
