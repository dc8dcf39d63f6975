"""The crank in side view as text of a few lines."""

import math
from dataclasses import dataclass, field

from oilwedge.report.crank_parts import (
    CrankDrawing,
    MainMark,
    RodMark,
    Stub,
    Throw,
    elements_in_order,
)
from oilwedge.report.encoding import Encoding, encode_text
from oilwedge.report.state_sign import GLYPH_COLUMNS, state_glyph

RADIUS_ROWS = 2
CENTRE_ROW = 3
LABEL_ROW = 7
ROWS = 8
LONGEST_LABEL = 8
# shaft, web, then the corners: up from the centre, down from the centre, pin above, pin below
_UNICODE_LINES = ("═", "│", "┘└", "┐┌", "┌┐", "└┘")
_ASCII_LINES = ("=", "|", "++", "++", "++", "++")


def crank_text(
    drawing: CrankDrawing, *, columns: int = 80, encoding: Encoding = Encoding.UNICODE
) -> tuple[str, ...]:
    """Draw the crank in lines of at most ``columns`` characters, front at the left.

    Main labels and throw angles stand in the bottom line, rod numbers beside their pins.
    A crank that is too long goes on in a second drawing below.  Throws are rounded to half
    a throw radius; the angles under them are exact.
    """
    pieces = [_piece(element, encoding) for element in elements_in_order(drawing)]
    front = _end_piece(encode_text(drawing.front_left, encoding=encoding), encoding, left=True)
    rear = _end_piece(encode_text(drawing.rear_right, encoding=encoding), encoding, left=False)
    strips: list[list[_Piece]] = [[]]
    for piece in [front, *pieces, rear]:
        used = sum(other.width for other in strips[-1])
        if strips[-1] and used + piece.width > columns:
            strips.append([])
        strips[-1].append(piece)
    lines: list[str] = []
    for strip in strips:
        rows = ["".join(piece.rows[row] for piece in strip).rstrip() for row in range(ROWS)]
        drawn = [number for number, row in enumerate(rows) if row]
        if lines:
            lines.append("")
        lines.extend(rows[drawn[0] : drawn[-1] + 1] if drawn else [])
    return tuple(lines)


@dataclass(slots=True)
class _Piece:
    width: int
    rows: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.rows = [" " * self.width for _ in range(ROWS)]

    def write(self, row: int, column: int, text: str) -> None:
        line = self.rows[row]
        self.rows[row] = (line[:column] + text + line[column + len(text) :])[: self.width]


def _short(label: str, encoding: Encoding) -> str:
    plain = encode_text(" ".join(label.split()), encoding=encoding)
    if len(plain) <= LONGEST_LABEL:
        return plain
    return plain[: LONGEST_LABEL - 1] + ("…" if encoding is Encoding.UNICODE else "~")


def _piece(element: MainMark | Throw, encoding: Encoding) -> _Piece:
    if isinstance(element, MainMark):
        return _main_piece(element, encoding)
    return _throw_piece(element, encoding)


def _main_piece(main: MainMark, encoding: Encoding) -> _Piece:
    label = _short(main.label, encoding)
    block = f"[{state_glyph(main.state, encoding=encoding)}]"
    piece = _Piece(width=max(len(block), len(label) + 1))
    shaft = (_UNICODE_LINES if encoding is Encoding.UNICODE else _ASCII_LINES)[0]
    piece.write(CENTRE_ROW, 0, _centred(block, piece.width, shaft))
    piece.write(LABEL_ROW, 0, label.center(piece.width))
    return piece


def _centred(text: str, width: int, fill: str) -> str:
    left = (width - len(text)) // 2
    return fill * left + text + fill * (width - len(text) - left)


def _throw_piece(throw: Throw, encoding: Encoding) -> _Piece:
    labels = [_short(rod.label, encoding) for rod in throw.rods]
    cell = max([GLYPH_COLUMNS, *(len(label) for label in labels)])
    angle = encode_text(f"{throw.angle_deg % 360:.4g}°", encoding=encoding)
    if encoding is Encoding.ASCII:
        angle = f"{throw.angle_deg % 360:.4g}"
    count = max(1, len(labels))
    piece = _Piece(width=max(2 + count * cell + (count - 1), len(angle) + 1))
    level = math.floor(RADIUS_ROWS * math.cos(math.radians(throw.angle_deg)) + 0.5)
    pin_row = CENTRE_ROW - level
    _draw_webs(piece, pin_row, encoding)
    for number, (rod, label) in enumerate(zip(throw.rods, labels, strict=True)):
        column = 1 + number * (cell + 1)
        _draw_rod(piece, rod, label.center(cell), pin_row, column, encoding)
    piece.write(LABEL_ROW, 0, angle.center(piece.width))
    return piece


def _draw_webs(piece: _Piece, pin_row: int, encoding: Encoding) -> None:
    lines = _UNICODE_LINES if encoding is Encoding.UNICODE else _ASCII_LINES
    shaft, web, from_up, from_down, pin_above, pin_below = lines
    last = piece.width - 1
    if pin_row == CENTRE_ROW:
        piece.write(CENTRE_ROW, 0, shaft)
        piece.write(CENTRE_ROW, last, shaft)
        return
    up = pin_row < CENTRE_ROW
    for row in range(min(pin_row, CENTRE_ROW), max(pin_row, CENTRE_ROW) + 1):
        left, right = web, web
        if row == CENTRE_ROW:
            corners = from_up if up else from_down
            left, right = corners[0], corners[1]
        elif row == pin_row:
            corners = pin_above if up else pin_below
            left, right = corners[0], corners[1]
        piece.write(row, 0, left)
        piece.write(row, last, right)


def _draw_rod(
    piece: _Piece, rod: RodMark, label: str, pin_row: int, column: int, encoding: Encoding
) -> None:
    glyph = state_glyph(rod.state, encoding=encoding)
    piece.write(pin_row, column + (len(label) - len(glyph)) // 2, glyph)
    piece.write(pin_row - 1 if rod.stub is Stub.UP else pin_row + 1, column, label)


def _end_piece(words: str, encoding: Encoding, *, left: bool) -> _Piece:
    shaft = (_UNICODE_LINES if encoding is Encoding.UNICODE else _ASCII_LINES)[0]
    words = _short(words, encoding)
    text = f"{words} {shaft * 2}" if left else f"{shaft * 2} {words}"
    piece = _Piece(width=len(text))
    piece.write(CENTRE_ROW, 0, text)
    return piece
