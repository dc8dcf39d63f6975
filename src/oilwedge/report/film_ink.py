"""What the film's drawings share: strokes, labels that keep clear of each other, crank angles.

Angles round a bearing count from the first axis (up in the drawing: towards the small end of a rod,
or straight up) in the direction in which the journal turns, clockwise in the drawing.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

from oilwedge.report.document import Figure
from oilwedge.report.svg_text import svg_label, svg_picture

WIDTH_PX = 340.0  # a phone's width; two beside each other fill a sheet
TEXT_PX = 12.0
TITLE_PX = 13.5
INK = 'stroke="currentColor"'
DASHED = "6 3"
DOTTED = "1.5 3"
_SPACING_PX = 4.0  # of the boxes that keep labels off a line
_CHARACTER = 0.56  # mean advance of a letter over its size
_WAYS = ((1, 0), (-1, 0), (0, -1), (0, 1), (1, -1), (-1, -1), (1, 1), (-1, 1))

Point = tuple[float, float]
Series = tuple[float, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Firing:
    """A cylinder fires: the top dead centre of its firing, in degrees of the crank."""

    angle_deg: float
    cylinder: str


@dataclass(frozen=True, slots=True, kw_only=True)
class BearingWords:
    """What stands at the top and the bottom of a bearing: "rod" and "cap", "block" and "cap"."""

    top: str = "rod"
    bottom: str = "cap"


def check_series(what: str, *columns: Sequence[float]) -> None:
    """Refuse columns that are empty, of one point, of unlike length, or not finite."""
    lengths = {len(column) for column in columns}
    if min(lengths) < 2:
        raise ValueError(f"{what} needs two points at least; {min(lengths)} were given")
    if len(lengths) > 1:
        raise ValueError(f"{what}: columns of unlike length ({', '.join(map(str, lengths))})")
    if not all(math.isfinite(value) for column in columns for value in column):
        raise ValueError(f"{what}: every value has to be a finite number")


def check_rising(what: str, values: Sequence[float]) -> None:
    """Refuse values that do not rise."""
    if any(later <= earlier for earlier, later in pairwise(values)):
        raise ValueError(f"{what}: the values have to rise from one to the next")


def check_above_zero(what: str, value: float) -> None:
    """Refuse what is not a number above 0."""
    if not (math.isfinite(value) and value > 0.0):
        raise ValueError(f"{what} has to be above 0; {value:g} was given")


def interpolated(angle_deg: float, angles_deg: Series, values: Series) -> float:
    """A value at an angle of the cycle, straight between its neighbours; the cycle repeats."""
    span = angles_deg[-1] - angles_deg[0]
    angle = angles_deg[0] + (angle_deg - angles_deg[0]) % span
    for n in range(len(angles_deg) - 1):
        first, last = angles_deg[n], angles_deg[n + 1]
        if first <= angle <= last:
            return values[n] + (values[n + 1] - values[n]) * (angle - first) / (last - first)
    return values[-1]


def cycle_angle(angle_deg: float, angles_deg: Series) -> float:
    """The same angle within the cycle drawn."""
    span = angles_deg[-1] - angles_deg[0]
    return angles_deg[0] + (angle_deg - angles_deg[0]) % span


def at_round(centre: Point, radius_px: float, angle_deg: float) -> Point:
    """The place at an angle round the bearing: 0 is up, 90 right."""
    angle = math.radians(angle_deg)
    return centre[0] + radius_px * math.sin(angle), centre[1] - radius_px * math.cos(angle)


def stroke(points: Iterable[Point], *, width: float, dash: str = "", kind: str = "") -> str:
    """A line through points; ``kind`` names it for a page's own colours."""
    drawn = "M" + "L".join(f"{x:.2f} {y:.2f}" for x, y in points)
    dashes = f' stroke-dasharray="{dash}"' if dash else ""
    named = f' class="{kind}"' if kind else ""
    return (
        f'<path d="{drawn}"{named} fill="none" {INK} stroke-width="{width:g}"'
        f' stroke-linejoin="round"{dashes}/>'
    )


def rule(points: Iterable[Point]) -> str:
    """A line of the scale: pale, so that what is drawn stands out in black and white too."""
    drawn = "M" + "L".join(f"{x:.2f} {y:.2f}" for x, y in points)
    return f'<path d="{drawn}" fill="none" {INK} stroke-width="0.7" stroke-opacity="0.3"/>'


def arc(centre: Point, radius_px: float, from_deg: float, to_deg: float) -> list[Point]:
    """Points on a circle from one angle clockwise to another."""
    count = max(2, round(abs(to_deg - from_deg) / 4.0))
    return [
        at_round(centre, radius_px, from_deg + (to_deg - from_deg) * n / count)
        for n in range(count + 1)
    ]


def arrow_head(tip: Point, back: Point, *, size: float = 6.0) -> str:
    """A filled head at ``tip`` that comes from ``back``."""
    length = math.hypot(tip[0] - back[0], tip[1] - back[1]) or 1.0
    ux, uy = (tip[0] - back[0]) / length, (tip[1] - back[1]) / length
    x, y = tip[0] - ux * size, tip[1] - uy * size
    half = 0.45 * size
    return (
        f'<path d="M{tip[0]:.2f} {tip[1]:.2f}L{x - uy * half:.2f} {y + ux * half:.2f}'
        f'L{x + uy * half:.2f} {y - ux * half:.2f}z" fill="currentColor"/>'
    )


def turning_arrow(
    centre: Point, radius_px: float, *, from_deg: float = 28.0, to_deg: float = 62.0
) -> str:
    """The direction in which the journal turns, outside its bearing."""
    points = arc(centre, radius_px, from_deg, to_deg)
    tip = at_round(centre, radius_px, to_deg + 3.0)
    return stroke(points, width=1.6) + arrow_head(tip, points[-2], size=8.0)


def disc(place: Point, *, radius: float = 3.6, kind: str = "") -> str:
    """A full disc: a measured or least value."""
    named = f' class="{kind}"' if kind else ""
    return (
        f'<circle cx="{place[0]:.2f}" cy="{place[1]:.2f}" r="{radius:g}"{named}'
        ' fill="currentColor"/>'
    )


def ring(place: Point, *, radius: float = 3.6, kind: str = "") -> str:
    """An open ring: what something is compared with."""
    named = " ".join(["ground", *([kind] if kind else [])])
    return (
        f'<circle cx="{place[0]:.2f}" cy="{place[1]:.2f}" r="{radius:g}" class="{named}"'
        f' fill="#ffffff" {INK} stroke-width="1.4"/>'
    )


def firing_mark(place: Point, *, size: float = 4.6) -> str:
    """A full diamond: a cylinder fires here."""
    x, y = place
    return (
        f'<path class="firing" d="M{x:.2f} {y - size:.2f}L{x + size:.2f} {y:.2f}'
        f'L{x:.2f} {y + size:.2f}L{x - size:.2f} {y:.2f}z" fill="currentColor"/>'
    )


def text_width(text: str, size: float = TEXT_PX) -> float:
    """About how wide a line of text is."""
    return len(text) * size * _CHARACTER


def shortened(text: str, *, room_px: float, size: float = TEXT_PX) -> str:
    """The text, cut with an ellipsis where it would not fit."""
    most = max(1, int(room_px / (size * _CHARACTER)))
    return text if len(text) <= most else text[: most - 1].rstrip() + "…"


def film_svg(*, title: str, description: str, body: str, height_px: float) -> str:
    """A drawing of a phone's width: ground, its name at the top, and the body.

    With presentation attributes only, so that a strict policy lets it be.
    """
    ground = f'<rect class="ground" width="{WIDTH_PX:g}" height="{height_px:g}" fill="#ffffff"/>'
    return svg_picture(
        width=WIDTH_PX,
        height=height_px,
        title=title,
        description=description,
        body=ground + title_label(title) + body,
    )


def film_figure(*, svg: str, caption: str, description: str, lines: Iterable[str]) -> Figure:
    """The drawing for paper, page and terminal, where the same lines of ASCII serve everywhere."""
    text = "\n".join(lines)
    return Figure(
        svg=svg, caption=caption, alternative_text=description, text=text, ascii_text=text
    )


def title_label(text: str, *, width_px: float = WIDTH_PX) -> str:
    """The drawing's name at its top."""
    fitting = shortened(text, room_px=width_px - 8.0, size=TITLE_PX)
    return svg_label(x=4, y=17, size=TITLE_PX, anchor="start", text=fitting)


def label_on_ground(*, x: float, y: float, anchor: str, text: str) -> str:
    """A label with the ground under it, where lines would strike it through."""
    width = text_width(text)
    label = svg_label(x=x, y=y, size=TEXT_PX, anchor=anchor, text=text)
    left = x - {"start": 0.0, "middle": width / 2.0, "end": width}[anchor]
    return (
        f'<rect x="{left:.2f}" y="{y - 0.8 * TEXT_PX:.2f}" width="{width:.2f}" height="{TEXT_PX:g}"'
        f' class="ground" fill="#ffffff"/>{label}'
    )


def firing_words(firings: Sequence[Firing]) -> str:
    """Who fires when, in words; empty for nobody."""
    if not firings:
        return ""
    said = ", ".join(f"cylinder {one.cylinder} at {one.angle_deg:.0f}°" for one in firings)
    return f"Fires: {said}."


Box = tuple[float, float, float, float]  # left, top, right, bottom


@dataclass(slots=True)
class LabelPlaces:
    """Labels set beside points so that they keep clear of each other and stay in the frame.

    Lines are kept clear of where that is possible. A label that finds no room is left out: the
    words under the drawing say it too.
    """

    left: float
    top: float
    right: float
    bottom: float
    taken: list[Box] = field(default_factory=list)
    lines: list[Box] = field(default_factory=list)

    def keep_clear(self, left: float, top: float, right: float, bottom: float) -> None:
        """Let no label stand here."""
        self.taken.append((left, top, right, bottom))

    def keep_clear_of(self, line: Sequence[Point]) -> None:
        """Let no label stand on a line, between its points neither, if there is another place."""
        last = (math.inf, math.inf)
        for (x0, y0), (x1, y1) in pairwise(line):
            parts = 1 + int(math.hypot(x1 - x0, y1 - y0) / _SPACING_PX)
            for n in range(parts):
                x, y = x0 + (x1 - x0) * n / parts, y0 + (y1 - y0) * n / parts
                if math.hypot(x - last[0], y - last[1]) >= _SPACING_PX:
                    last = x, y
                    self.lines.append((x - 1.5, y - 1.5, x + 1.5, y + 1.5))

    def beside(self, place: Point, text: str, *, distance: float = 7.0) -> str:
        """The label at the first side of the point that has room; empty where none has."""
        width, height = text_width(text), TEXT_PX
        for others in ([*self.taken, *self.lines], self.taken):
            for away in (distance, 2.0 * distance):
                for across, down in _WAYS:
                    x = place[0] + across * (away + width / 2.0)
                    y = place[1] + down * (away + height / 2.0)
                    box = (x - width / 2.0, y - height / 2.0, x + width / 2.0, y + height / 2.0)
                    if self._is_free(box, others):
                        self.taken.append(box)
                        return svg_label(
                            x=x, y=y + 0.35 * TEXT_PX, size=TEXT_PX, anchor="middle", text=text
                        )
        return ""

    def _is_free(self, box: Box, others: Iterable[Box]) -> bool:
        left, top, right, bottom = box
        if left < self.left or top < self.top or right > self.right or bottom > self.bottom:
            return False
        return all(
            right <= other[0] or left >= other[2] or bottom <= other[1] or top >= other[3]
            for other in others
        )
