"""The window sign as a drawing in black on any ground."""

import math
from dataclasses import dataclass

from oilwedge.report.svg_text import svg_label, svg_picture
from oilwedge.report.window_scale import Scale, window_scale
from oilwedge.report.window_sign import Bound, WindowMark, WindowSign, describe_window

LANE_PX = 13.0
MARGIN_PX = 2.0
ARROW_ROOM_PX = 9.0
LABEL_SIZE_PX = 8.5
LABEL_CHARACTER_PX = 4.7
DOT_RADIUS_PX = 2.9
INK = 'stroke="currentColor"'


def label_room_px(sign: WindowSign, *, width_px: float) -> float:
    """Give the width that the labels of a sign want; at most two fifths of the drawing."""
    longest = max((len(mark.label) for mark in sign.marks), default=0)
    return min(longest * LABEL_CHARACTER_PX + 4 if longest else 0.0, 0.4 * width_px)


def window_svg(
    sign: WindowSign,
    *,
    width_px: float = 230.0,
    height_px: float | None = None,
    label_room: float | None = None,
) -> str:
    """Draw the sign; ``height_px`` None gives each mark a lane of 13 pixels.

    Presentation attributes only, ink is currentColor; widths are true to scale between the
    two arrow margins.  Labels stand right of the drawing, in ``label_room`` pixels; None
    takes what this sign wants, the same number in each sign keeps a column in line.
    """
    lanes = max(1, len(sign.marks))
    height = height_px if height_px is not None else lanes * LANE_PX + 2 * MARGIN_PX
    room = label_room_px(sign, width_px=width_px) if label_room is None else label_room
    drawing = _Drawing(
        sign=sign,
        scale=window_scale(sign),
        left=ARROW_ROOM_PX,
        right=width_px - room - ARROW_ROOM_PX,
        height=height,
    )
    step = (height - 2 * MARGIN_PX) / lanes
    body = ""
    for lane in range(lanes):
        body += drawing.axis(MARGIN_PX + step * (lane + 0.5))
    body += drawing.limits()
    for lane, mark in enumerate(sign.marks):
        centre = MARGIN_PX + step * (lane + 0.5)
        body += drawing.mark(mark, centre)
        if mark.label:
            text_y = centre + 0.35 * LABEL_SIZE_PX
            body += svg_label(
                x=drawing.right + ARROW_ROOM_PX + 3,
                y=text_y,
                size=LABEL_SIZE_PX,
                anchor="start",
                text=_shortened(mark.label, room),
            )
    return svg_picture(
        width=width_px,
        height=height,
        title="Window",
        description=describe_window(sign),
        body=body,
    )


def _shortened(label: str, room_px: float) -> str:
    most = max(1, int((room_px - 4) / LABEL_CHARACTER_PX + 1e-6))
    return label if len(label) <= most else label[: most - 1] + "…"


@dataclass(frozen=True, slots=True, kw_only=True)
class _Drawing:
    sign: WindowSign
    scale: Scale
    left: float
    right: float
    height: float

    def x(self, value: float) -> float:
        fraction = min(1.0, max(0.0, self.scale.fraction(value)))
        return self.left + fraction * (self.right - self.left)

    def is_drawn(self, value: float) -> bool:
        return 0 <= self.scale.fraction(value) <= 1

    def axis(self, y: float) -> str:
        """A hairline through the build window, dotted outside; none where no limits are."""
        sign = self.sign
        if sign.low is None and sign.high is None:
            return ""
        edge_left, edge_right = self.left - ARROW_ROOM_PX + 1, self.right + ARROW_ROOM_PX - 1
        first = edge_left if sign.low is None else self.x(sign.low)
        last = edge_right if sign.high is None else self.x(sign.high)
        line = f'<path d="M{first:.2f} {y:.2f}H{last:.2f}" {INK} stroke-width="0.5"/>'
        for start, end in ((edge_left, first), (last, edge_right)):
            if end > start:
                line += (
                    f'<path d="M{start:.2f} {y:.2f}H{end:.2f}" {INK} stroke-width="0.6"'
                    ' stroke-dasharray="0.6 2.4"/>'
                )
        return line

    def limits(self) -> str:
        sign, top, bottom = self.sign, MARGIN_PX, self.height - MARGIN_PX
        drawn = self.inside(top, bottom)
        for limit, serif in ((sign.low, 3.2), (sign.high, -3.2)):
            if limit is not None and self.is_drawn(limit):
                x = self.x(limit)
                drawn += (
                    f'<path d="M{x + serif:.2f} {top:.2f}H{x:.2f}V{bottom:.2f}H{x + serif:.2f}"'
                    f' fill="none" {INK} stroke-width="0.9"/>'
                )
        for service in (sign.service_low, sign.service_high):
            if service is not None and self.is_drawn(service):
                drawn += (
                    f'<path d="M{self.x(service):.2f} {top:.2f}V{bottom:.2f}" {INK}'
                    ' stroke-width="2.4"/>'
                )
        return drawn

    def inside(self, top: float, bottom: float) -> str:
        """The stretch between the build limits; paper leaves it blank, a page may tint it."""
        low, high = self.sign.low, self.sign.high
        first = self.left if low is None else self.x(low)
        last = self.right if high is None else self.x(high)
        if (low is None and high is None) or last <= first:
            return ""
        return (
            f'<rect class="inside" x="{first:.2f}" y="{top:.2f}" width="{last - first:.2f}"'
            f' height="{bottom - top:.2f}" fill="none"/>'
        )

    def mark(self, mark: WindowMark, y: float) -> str:
        half_width = mark.half_width or 0.0
        start = -math.inf if mark.bound is Bound.AT_MOST else mark.value
        end = math.inf if mark.bound is Bound.AT_LEAST else mark.value
        if mark.bound is Bound.VALUE:
            start, end = mark.value - half_width, mark.value + half_width
        drawn = self.whisker(start, end, y)
        if mark.bound is Bound.VALUE:
            drawn += (
                f'<circle cx="{self.x(mark.value):.2f}" cy="{y:.2f}" r="{DOT_RADIUS_PX}"'
                ' fill="currentColor"/>'
            )
        return drawn

    def whisker(self, start: float, end: float, y: float) -> str:
        """A line with a cap at each end that lies in the drawing, else an arrow head."""
        off_left, off_right = self.scale.fraction(start) < 0, self.scale.fraction(end) > 1
        first = self.left - ARROW_ROOM_PX + 4 if off_left else self.x(start)
        last = self.right + ARROW_ROOM_PX - 4 if off_right else self.x(end)
        drawn = ""
        if off_left and self.scale.fraction(end) < 0:
            last = self.left
        if off_right and self.scale.fraction(start) > 1:
            first = self.right
        if last > first:
            drawn += f'<path d="M{first:.2f} {y:.2f}H{last:.2f}" {INK} stroke-width="1.3"/>'
            for x, off in ((first, off_left), (last, off_right)):
                if not off:
                    drawn += f'<path d="M{x:.2f} {y - 3:.2f}v6" {INK} stroke-width="1.1"/>'
        if off_left:
            tip = self.left - ARROW_ROOM_PX + 0.5
            drawn += f'<path d="M{tip:.2f} {y:.2f}l5 -3v6z" fill="currentColor"/>'
        if off_right:
            tip = self.right + ARROW_ROOM_PX - 0.5
            drawn += f'<path d="M{tip:.2f} {y:.2f}l-5 -3v6z" fill="currentColor"/>'
        return drawn
