"""Where to read: the part with its places along it, its directions round it, one of them marked.

One picture serves a whole set. Every place is a group of class ``spot`` with ``data-place``, every
direction one with ``data-direction``; what is read now has the class ``here`` besides, so that a
page moves the mark without asking for another picture. On paper the others are pale.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import Enum

from oilwedge.report.svg_text import svg_escape, svg_label, svg_picture

HEIGHT_PX = 168.0
SIDE_PX = 200.0
END_PX = 148.0
TEXT_PX = 15.0
_Y = 74.0  # the axis
_HALF = 40.0  # half height of the part
_REACH = 58.0  # of the places left and right of the middle
_RADIUS = 44.0
_STEEL = 'class="steel" fill="#e9e7e2" stroke="currentColor" stroke-width="1.4"'
_SHELL = 'class="shell" fill="#bdb9b0" stroke="currentColor" stroke-width="1"'
_GROUND = 'class="ground" fill="#ffffff" stroke="currentColor" stroke-width="1.2"'
_SPLIT = (
    'fill="none" stroke="currentColor" stroke-width="1.4" stroke-dasharray="8 3 2 3"'
    ' class="split-line"'
)


class PlaceShape(Enum):
    """What is read: over a shaft, in a bore, through a wall, a gap, a height, a flattened strip."""

    OUTSIDE = "outside"
    INSIDE = "inside"
    WALL = "wall"
    GAP = "gap"
    HEIGHT = "height"
    STRIP = "strip"


@dataclass(frozen=True, kw_only=True, slots=True)
class Place:
    """A place along the part: -1 at its front (or top, or left) end, +1 at the other."""

    name: str
    position: float


@dataclass(frozen=True, kw_only=True, slots=True)
class Direction:
    """A direction round the part, in degrees from straight up, clockwise."""

    name: str
    angle_deg: float


@dataclass(frozen=True, kw_only=True, slots=True)
class PlaceDrawing:
    """The part to draw, and what of it is read now (names; empty for none)."""

    shape: PlaceShape
    places: tuple[Place, ...] = ()
    directions: tuple[Direction, ...] = ()
    here_place: str = ""
    here_direction: str = ""
    title: str = ""

    @property
    def split(self) -> bool:
        """Whether a split is shown: a bore or shell that is read square to it."""
        round_it = self.shape in (PlaceShape.INSIDE, PlaceShape.WALL, PlaceShape.STRIP)
        return round_it and any(one.name == "square" for one in self.directions)


def place_svg(drawing: PlaceDrawing) -> str:
    """The picture: the part from the side with its places, from its end with its directions."""
    side = _side(drawing)
    width = SIDE_PX
    if drawing.directions:
        side += f'<g transform="translate({SIDE_PX:g} 0)">{_end(drawing)}</g>'
        width += END_PX
    return svg_picture(
        width=width,
        height=HEIGHT_PX,
        title=drawing.title or "Where to read",
        description=describe_places(drawing),
        body=side,
    )


def describe_places(drawing: PlaceDrawing) -> str:
    """The picture in words, for who does not see it; not where the mark is, which moves."""
    parts = [_WORDS[drawing.shape]]
    if drawing.places:
        parts.append("Places along it: " + ", ".join(one.name for one in drawing.places) + ".")
    if drawing.directions:
        names = ", ".join(one.name for one in drawing.directions)
        parts.append(f"Seen from its end, directions: {names}.")
    if drawing.split:
        parts.append("Square means straight across the split, at the crown of the shells.")
    return " ".join(parts)


_WORDS = {
    PlaceShape.OUTSIDE: "A shaft from the side, measured over its diameter.",
    PlaceShape.INSIDE: "A bore cut open from the side, measured across its inside.",
    PlaceShape.WALL: "A shell from the side, measured through its wall.",
    PlaceShape.GAP: "Two faces with a gap between them, which is what is measured.",
    PlaceShape.HEIGHT: "Two faces side by side, one a little higher; the step is measured.",
    PlaceShape.STRIP: "A shaft in its bearing from the side, with strips flattened along it.",
}


def _spot(*, place: str = "", direction: str = "", here: bool, body: str) -> str:
    name = "data-place" if not direction else "data-direction"
    kind = "spot here" if here else "spot"
    pale = "" if here else ' opacity="0.3"'
    return f'<g class="{kind}" {name}="{svg_escape(place or direction)}"{pale}>{body}</g>'


def _arrow(x0: float, y0: float, x1: float, y1: float) -> str:
    """A line with a head at both ends."""
    length = math.hypot(x1 - x0, y1 - y0) or 1.0
    ux, uy = (x1 - x0) / length, (y1 - y0) / length
    path = f"M{x0:.1f} {y0:.1f}L{x1:.1f} {y1:.1f}"
    for x, y, way in ((x0, y0, 1.0), (x1, y1, -1.0)):
        back_x, back_y = x + way * 9 * ux, y + way * 9 * uy
        path += f"M{back_x - 5 * uy:.1f} {back_y + 5 * ux:.1f}L{x:.1f} {y:.1f}"
        path += f"L{back_x + 5 * uy:.1f} {back_y - 5 * ux:.1f}"
    return (
        f'<path d="{path}" fill="none" stroke="currentColor" stroke-width="2.6"'
        ' stroke-linecap="round" stroke-linejoin="round"/>'
    )


def _box(x: float, y: float, width: float, height: float, fill: str, *, round_px: float = 0) -> str:
    corner = f' rx="{round_px:g}"' if round_px else ""
    return f'<rect x="{x:g}" y="{y:g}" width="{width:g}" height="{height:g}"{corner} {fill}/>'


def _side(drawing: PlaceDrawing) -> str:
    x = SIDE_PX / 2
    body = _part(drawing.shape, x)
    places = drawing.places or (Place(name="", position=0.0),)
    several = len(drawing.places) > 0
    for place in places:
        at = x + place.position * (_REACH - 12)
        mark = _mark(drawing.shape, at)
        if several:
            anchor = "middle"
            mark += svg_label(x=at, y=HEIGHT_PX - 8, size=TEXT_PX, anchor=anchor, text=place.name)
        here = not several or place.name == drawing.here_place
        body += _spot(place=place.name, here=here, body=mark)
    return body


def _part(shape: PlaceShape, x: float) -> str:
    left, width = x - _REACH, 2 * _REACH
    if shape is PlaceShape.OUTSIDE:
        webs = "".join(
            _box(at, _Y - 62, 16, 124, _STEEL, round_px=4) for at in (left - 16, left + width)
        )
        return webs + _box(left, _Y - _HALF, width, 2 * _HALF, _STEEL)
    if shape is PlaceShape.INSIDE:
        walls = "".join(_box(left, at, width, 22, _STEEL) for at in (_Y - _HALF - 22, _Y + _HALF))
        return walls + _box(left, _Y - _HALF, width, 2 * _HALF, _GROUND)
    if shape is PlaceShape.WALL:
        return _box(left, _Y - 14, width, 28, _SHELL)
    if shape is PlaceShape.GAP:
        return _box(left, _Y - 60, width, 46, _STEEL) + _box(left, _Y + 14, width, 46, _STEEL)
    if shape is PlaceShape.HEIGHT:
        return _box(left, _Y - 8, width / 2, 60, _STEEL) + _box(x, _Y - 30, width / 2, 82, _STEEL)
    cap = _box(left, _Y - 62, width, 34, _STEEL) + _box(left, _Y - 28, width, 8, _SHELL)
    return cap + _box(left - 16, _Y - 12, width + 32, 66, _STEEL)


def _mark(shape: PlaceShape, at: float) -> str:
    if shape is PlaceShape.WALL:
        return _arrow(at, _Y - 34, at, _Y - 14) + _arrow(at, _Y + 34, at, _Y + 14)
    if shape is PlaceShape.GAP:
        return _arrow(at, _Y - 14, at, _Y + 14)
    if shape is PlaceShape.HEIGHT:
        return _arrow(at, _Y - 30, at, _Y - 8)
    if shape is PlaceShape.STRIP:
        return (
            f'<path d="M{at - 9:g} {_Y - 16:g}H{at + 9:g}" stroke="currentColor"'
            ' stroke-width="6" stroke-linecap="round"/>'
        )
    return _arrow(at, _Y - _HALF, at, _Y + _HALF)


def _end(drawing: PlaceDrawing) -> str:
    x = END_PX / 2
    inside = drawing.shape is not PlaceShape.OUTSIDE
    body = ""
    if inside:
        body += f'<circle cx="{x:g}" cy="{_Y:g}" r="{_RADIUS + 14:g}" {_STEEL}/>'
        if drawing.split:
            body += f'<circle cx="{x:g}" cy="{_Y:g}" r="{_RADIUS + 6:g}" {_SHELL}/>'
    fill = _GROUND if inside else _STEEL
    body += f'<circle cx="{x:g}" cy="{_Y:g}" r="{_RADIUS:g}" {fill}/>'
    if drawing.split:
        outer = x - 4
        body += f'<path d="M{x - outer:g} {_Y:g}H{x + outer:g}" {_SPLIT}/>'
        body += svg_label(x=x, y=HEIGHT_PX - 24, size=TEXT_PX, anchor="middle", text="- - split")
    for one in drawing.directions:
        turn = math.radians(one.angle_deg)
        dx, dy = _RADIUS * math.sin(turn), _RADIUS * math.cos(turn)
        arrow = _arrow(x - dx, _Y + dy, x + dx, _Y - dy)
        here = one.name == drawing.here_direction
        shown = "" if here else ' visibility="hidden"'
        label = svg_label(x=x, y=HEIGHT_PX - 8, size=TEXT_PX, anchor="middle", text=one.name)
        label = f'<g class="spot-name"{shown}>{label}</g>'
        body += _spot(direction=one.name, here=here, body=arrow + label)
    return body
