"""The crank in side view as a drawing: front at the left, throws up and down."""

import math
from collections.abc import Mapping
from dataclasses import dataclass, field

from oilwedge.report.crank_parts import (
    CrankDrawing,
    MainMark,
    RodMark,
    Stub,
    Throw,
    describe_crank,
    elements_in_order,
)
from oilwedge.report.state_sign import state_shape
from oilwedge.report.svg_text import svg_escape, svg_label, svg_picture

MAIN_PX = 26.0
ROD_PX = 26.0
WEB_PX = 7.0
GAP_PX = 2.0
RADIUS_PX = 26.0  # throw radius
STUB_PX = 17.0
BLOCK_PX = 11.0  # half height of a bearing block
SIGN_PX = 15.0
TEXT_PX = 10.0
SMALL_PX = 8.0
CHARACTER_PX = 6.0
NOSE_PX = 34.0
INK = 'stroke="currentColor"'
STEEL = 'class="steel" fill="#e9e7e2"'
GROUND = 'class="ground" fill="#ffffff"'


def bearing_key(mark: MainMark | RodMark) -> str:
    """Name a bearing for ``links``: "main 2", "rod 1a"."""
    return f"{'main' if isinstance(mark, MainMark) else 'rod'} {mark.label}"


def crank_svg(
    drawing: CrankDrawing, *, links: Mapping[str, str] | None = None, scale: float = 1.0
) -> str:
    """Draw the crank; each bearing carries the shape of its state.

    ``links`` makes bearings ways in: an address for a key as :func:`bearing_key` gives it.
    A bearing's whole column can be touched; at ``scale`` 2 it is at least 48 pixels wide.

    A throw stands at R cos(angle) above the centre line, so that 0 degrees is up; its
    angle is written under it.  Rod numbers stand at the ends of the stubs, main labels below.
    """
    top = RADIUS_PX + BLOCK_PX + STUB_PX + TEXT_PX + 6
    hangs = any(rod.stub is Stub.DOWN for throw in drawing.throws for rod in throw.rods)
    below = STUB_PX + TEXT_PX if hangs else 0.0
    picture = _Picture(
        centre_y=top, bottom=top + RADIUS_PX + BLOCK_PX + below + 15, links=links or {}
    )
    front_room = max(NOSE_PX, len(drawing.front_left) * CHARACTER_PX + 12)
    x = front_room
    body = picture.end(0, x, drawing.front_left)
    for element in elements_in_order(drawing):
        if isinstance(element, MainMark):
            width = max(MAIN_PX, len(element.label) * CHARACTER_PX)
            body += picture.main(element, x, width)
        else:
            width = picture.throw_width(element)
            body += picture.throw(element, x, width)
        x += width
    rear_room = max(NOSE_PX, len(drawing.rear_right) * CHARACTER_PX + 12)
    body += picture.flange(x, x + rear_room, drawing.rear_right)
    return svg_picture(
        width=x + rear_room,
        height=picture.bottom + 4,
        title="Crankshaft, side view",
        description=describe_crank(drawing),
        body=body,
        scale=scale,
        role="group" if links else "img",
    )


def _box(x: float, y: float, width: float, height: float, fill: str) -> str:
    return (
        f'<rect x="{x:.2f}" y="{y:.2f}" width="{width:.2f}" height="{height:.2f}" {fill}'
        f' {INK} stroke-width="0.7"/>'
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Picture:
    centre_y: float
    bottom: float
    links: Mapping[str, str] = field(default_factory=dict)

    def way_in(self, mark: MainMark | RodMark, x: float, width: float, body: str) -> str:
        """Make a bearing a link, its whole column the place to touch."""
        address = self.links.get(bearing_key(mark), "")
        if not address:
            return body
        words = svg_escape(f"{bearing_key(mark)}: {mark.state.words}".capitalize())
        return (
            f'<a class="bearing" href="{svg_escape(address)}" aria-label="{words}">'
            f"<title>{words}</title>"
            f'<rect class="touch" x="{x:.2f}" y="1" width="{width:.2f}"'
            f' height="{self.bottom + 2:.2f}" rx="2" fill="none" pointer-events="all"/>{body}</a>'
        )

    def end(self, left: float, right: float, words: str) -> str:
        """The nose of the crank, with an arrow that points to the front."""
        y = self.centre_y
        return (
            _box(right - 16, y - 5, 16, 10, STEEL)
            + f'<path d="M{left + 2:.2f} {y + 20:.2f}l7 -3.5v7zm7 0H{right - 4:.2f}" {INK}'
            ' fill="currentColor" stroke-width="0.8"/>'
            + svg_label(x=left + 2, y=y + 35, size=TEXT_PX, anchor="start", text=words)
        )

    def flange(self, left: float, right: float, words: str) -> str:
        y = self.centre_y
        return (
            _box(left, y - 7, 6, 14, STEEL)
            + _box(left + 6, y - 15, 7, 30, STEEL)
            + svg_label(x=right - 2, y=y + 35, size=TEXT_PX, anchor="end", text=words)
        )

    def main(self, main: MainMark, x: float, width: float) -> str:
        y, middle = self.centre_y, x + width / 2
        block = (
            _box(x + GAP_PX, y - BLOCK_PX, width - 2 * GAP_PX, 2 * BLOCK_PX, GROUND)
            + state_shape(main.state, centre_x=middle, centre_y=y, size=SIGN_PX)
            + svg_label(x=middle, y=self.bottom, size=TEXT_PX, anchor="middle", text=main.label)
        )
        return _box(x, y - 6, width, 12, STEEL) + self.way_in(main, x, width, block)

    def throw_width(self, throw: Throw) -> float:
        return 2 * WEB_PX + max(1, len(throw.rods)) * self.rod_width(throw)

    def rod_width(self, throw: Throw) -> float:
        longest = max((len(rod.label) for rod in throw.rods), default=0)
        return max(ROD_PX, longest * CHARACTER_PX + 4)

    def throw(self, throw: Throw, x: float, width: float) -> str:
        pin_y = self.centre_y - RADIUS_PX * math.cos(math.radians(throw.angle_deg))
        web_top = min(self.centre_y, pin_y) - 8
        web_height = abs(self.centre_y - pin_y) + 16
        body = _box(x + WEB_PX, pin_y - 5, width - 2 * WEB_PX, 10, STEEL)
        for web_x in (x, x + width - WEB_PX):
            body += _box(web_x, web_top, WEB_PX, web_height, STEEL)
        rod_width = (width - 2 * WEB_PX) / max(1, len(throw.rods))
        for number, rod in enumerate(throw.rods):
            body += self.rod(rod, x + WEB_PX + number * rod_width, rod_width, pin_y)
        angle = f"{throw.angle_deg % 360:g}°"
        return body + svg_label(
            x=x + width / 2, y=self.bottom, size=SMALL_PX, anchor="middle", text=angle
        )

    def rod(self, rod: RodMark, x: float, width: float, pin_y: float) -> str:
        middle = x + width / 2
        up = -1.0 if rod.stub is Stub.UP else 1.0
        end_y = pin_y + up * (BLOCK_PX + STUB_PX)
        text_y = end_y - 3 if rod.stub is Stub.UP else end_y + TEXT_PX
        near = pin_y + up * BLOCK_PX
        stub = (
            f'<path d="M{middle - 4.5:.2f} {near:.2f}L{middle - 2.5:.2f} {end_y:.2f}'
            f'H{middle + 2.5:.2f}L{middle + 4.5:.2f} {near:.2f}Z" {GROUND} {INK}'
            ' stroke-width="0.7"/>'
        )
        block = (
            f'<rect x="{x + GAP_PX:.2f}" y="{pin_y - BLOCK_PX:.2f}"'
            f' width="{width - 2 * GAP_PX:.2f}" height="{2 * BLOCK_PX:.2f}" rx="4"'
            f' {GROUND} {INK} stroke-width="0.7"/>'
        )
        whole = (
            stub
            + block
            + state_shape(rod.state, centre_x=middle, centre_y=pin_y, size=SIGN_PX)
            + svg_label(x=middle, y=text_y, size=TEXT_PX, anchor="middle", text=rod.label)
        )
        return self.way_in(rod, x, width, whole)
