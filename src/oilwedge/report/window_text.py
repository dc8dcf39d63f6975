"""The window sign as text: one line for each mark."""

import math
from dataclasses import dataclass

from oilwedge.report.encoding import Encoding, encode_text
from oilwedge.report.window_scale import Scale, window_scale
from oilwedge.report.window_sign import Bound, WindowMark, WindowSign

LEAST_COLUMNS = 9


@dataclass(frozen=True, slots=True, kw_only=True)
class _Glyphs:
    outside: str
    inside: str
    low: str
    high: str
    service: str
    dot: str
    body: str
    left_end: str
    right_end: str
    left_arrow: str
    right_arrow: str


_GLYPHS = {
    Encoding.UNICODE: _Glyphs(
        outside="·",
        inside="─",
        low="[",
        high="]",
        service="▌",
        dot="●",
        body="━",
        left_end="┣",
        right_end="┫",
        left_arrow="◄",
        right_arrow="►",
    ),
    Encoding.ASCII: _Glyphs(
        outside=".",
        inside="-",
        low="[",
        high="]",
        service="#",
        dot="o",
        body="=",
        left_end="|",
        right_end="|",
        left_arrow="<",
        right_arrow=">",
    ),
}


def window_text(
    sign: WindowSign, *, width: int = 36, encoding: Encoding = Encoding.UNICODE
) -> tuple[str, ...]:
    """Draw one line of ``width`` columns for each mark (one line where there is none).

    Off the drawn range the dot stands at the edge beside an arrow.  A one-sided bound
    is an arrow without a dot.  The label of a mark follows its line after a space.
    Limits off the drawn range are not drawn.
    """
    if width < LEAST_COLUMNS:
        raise ValueError(f"a window needs {LEAST_COLUMNS} columns; {width} were given")
    drawing = _Drawing(sign=sign, scale=window_scale(sign), width=width, glyphs=_GLYPHS[encoding])
    if not sign.marks:
        return ("".join(drawing.limits()),)
    lines = []
    for mark in sign.marks:
        label = f" {encode_text(mark.label, encoding=encoding)}" if mark.label else ""
        lines.append("".join(drawing.lane(mark)) + label)
    return tuple(lines)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Drawing:
    """The outermost column on each side is kept for arrows."""

    sign: WindowSign
    scale: Scale
    width: int
    glyphs: _Glyphs

    def column(self, value: float) -> int:
        fraction = min(1.0, max(0.0, self.scale.fraction(value)))
        return 1 + math.floor(fraction * (self.width - 3) + 0.5)

    def is_drawn(self, value: float | None) -> bool:
        return value is not None and 0 <= self.scale.fraction(value) <= 1

    def limits(self) -> list[str]:
        sign, glyphs = self.sign, self.glyphs
        if sign.low is None and sign.high is None:
            cells = [" "] * self.width
        else:
            first = 0 if sign.low is None else self.column(sign.low)
            last = self.width - 1 if sign.high is None else self.column(sign.high)
            cells = [
                glyphs.inside if first <= column <= last else glyphs.outside
                for column in range(self.width)
            ]
        for service, step, limit in (
            (sign.service_low, -1, sign.low),
            (sign.service_high, 1, sign.high),
        ):
            if service is not None and self.is_drawn(service):
                column = self.column(service)
                # One column may hold both; the service limit then steps outward.
                shared = limit is not None and column == self.column(limit)
                cells[column + step if shared else column] = glyphs.service
        return self.with_brackets(cells)

    def with_brackets(self, cells: list[str]) -> list[str]:
        sign = self.sign
        if sign.low is not None and self.is_drawn(sign.low):
            cells[self.column(sign.low)] = self.glyphs.low
        if sign.high is not None and self.is_drawn(sign.high):
            column = self.column(sign.high)
            shared = sign.low is not None and column == self.column(sign.low)
            cells[column + 1 if shared else column] = self.glyphs.high
        return cells

    def lane(self, mark: WindowMark) -> list[str]:
        limits = self.limits()
        cells = list(limits)
        start, end = _extent(mark)
        first, last = self.column(start), self.column(end)
        if last > first or mark.bound is not Bound.VALUE:
            for column in range(first, last + 1):
                cells[column] = self.glyphs.body
            cells[first] = self.glyphs.left_end
            cells[last] = self.glyphs.right_end
        self.keep_limits(cells, limits)
        if mark.bound is Bound.VALUE:
            cells[self.column(mark.value)] = self.glyphs.dot
        if self.scale.fraction(start) < 0:
            cells[0] = self.glyphs.left_arrow
            cells[1] = self.glyphs.body if cells[1] == self.glyphs.left_end else cells[1]
        if self.scale.fraction(end) > 1:
            cells[-1] = self.glyphs.right_arrow
            cells[-2] = self.glyphs.body if cells[-2] == self.glyphs.right_end else cells[-2]
        return cells

    def keep_limits(self, cells: list[str], limits: list[str]) -> None:
        glyphs = self.glyphs
        for column, glyph in enumerate(limits):
            if glyph in (glyphs.low, glyphs.high, glyphs.service):
                cells[column] = glyph


def _extent(mark: WindowMark) -> tuple[float, float]:
    if mark.bound is Bound.AT_LEAST:
        return mark.value, math.inf
    if mark.bound is Bound.AT_MOST:
        return -math.inf, mark.value
    half_width = mark.half_width or 0.0
    return mark.value - half_width, mark.value + half_width
