"""Drawings that explain the words of form: taper, barrel, hourglass, out-of-round, the split.

Shapes are exaggerated a thousandfold or so; the dashed line is the true cylinder or circle.
Black ink only, so that they print and stay legible in the sun.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from enum import Enum

from oilwedge.report.document import Figure
from oilwedge.report.svg_text import svg_label, svg_picture

WIDTH_PX = 240.0
HEIGHT_PX = 150.0
TEXT_PX = 11.0
_MIDDLE_X = WIDTH_PX / 2
_MIDDLE_Y = 70.0
_LEFT_X, _RIGHT_X = 48.0, 192.0
_STEEL = 'class="steel" fill="#e9e7e2" stroke="currentColor" stroke-width="1.4"'
_DASHED = 'fill="none" stroke="currentColor" stroke-width="0.8" stroke-dasharray="5 3"'
_LINE = 'stroke="currentColor" stroke-width="1.2" fill="none"'


class FormWord(Enum):
    """A word of form; the value is the word as it is said."""

    TAPER = "taper"
    BARREL = "barrel"
    HOURGLASS = "hourglass"
    OUT_OF_ROUND = "out of round"
    SQUARE_TO_SPLIT = "square to the split"

    @property
    def explanation(self) -> str:
        """Two sentences for a learner."""
        return _EXPLANATIONS[self]

    @property
    def seen_by(self) -> str:
        """Which readings show it."""
        return _SEEN_BY[self]


_EXPLANATIONS: Mapping[FormWord, str] = {
    FormWord.TAPER: (
        "Taper: one end is thicker than the other. The clearance then differs from front to rear, "
        "and the tight end decides."
    ),
    FormWord.BARREL: (
        "Barrel: the middle is thicker than both ends. The film is thinnest in the middle."
    ),
    FormWord.HOURGLASS: (
        "Hourglass: the middle is thinner than both ends. The ends carry the load alone."
    ),
    FormWord.OUT_OF_ROUND: (
        "Out of round: two directions at the same place differ. Here it is read as a difference of "
        "diameters; a shape with three corners looks round to a micrometer."
    ),
    FormWord.SQUARE_TO_SPLIT: (
        "Square to the split: across the joint of rod and cap, at the crown of the shells. Shells "
        "are thinner towards the split on purpose, so a reading there says nothing about wear."
    ),
}

_SEEN_BY: Mapping[FormWord, str] = {
    FormWord.TAPER: "front against rear",
    FormWord.BARREL: "middle against both ends",
    FormWord.HOURGLASS: "middle against both ends",
    FormWord.OUT_OF_ROUND: "two directions, same place",
    FormWord.SQUARE_TO_SPLIT: "one direction, at the crown",
}

_DESCRIPTIONS: Mapping[FormWord, str] = {
    FormWord.TAPER: (
        "A journal from the side, its front end thicker than its rear end; a dashed outline shows "
        "the true cylinder, arrows the two diameters to compare."
    ),
    FormWord.BARREL: (
        "A journal from the side whose middle bulges over a dashed true cylinder; arrows show the "
        "diameters at the front, in the middle and at the rear."
    ),
    FormWord.HOURGLASS: (
        "A journal from the side whose middle is drawn in under a dashed true cylinder; arrows "
        "show the diameters at the front, in the middle and at the rear."
    ),
    FormWord.OUT_OF_ROUND: (
        "A journal from its end, an oval over a dashed true circle; two arrows at right angles "
        "show a larger and a smaller diameter."
    ),
    FormWord.SQUARE_TO_SPLIT: (
        "A rod's big end with its cap from the side: the joint runs left and right, the two shells "
        "thin out towards it, and an arrow straight up and down shows where to read."
    ),
}


def form_svg(word: FormWord) -> str:
    """The drawing of one word as a whole SVG picture."""
    return svg_picture(
        width=WIDTH_PX,
        height=HEIGHT_PX,
        title=word.value.capitalize(),
        description=_DESCRIPTIONS[word],
        body=_BODIES[word](),
    )


def form_figure(word: FormWord) -> Figure:
    """The drawing with its explanation, for a document."""
    return Figure(
        svg=form_svg(word),
        caption=word.explanation,
        alternative_text=_DESCRIPTIONS[word],
    )


def form_row_figure(words: Sequence[FormWord]) -> Figure:
    """Several drawings side by side, each under its word, with their explanations below."""
    head = 22.0
    body = "".join(
        svg_label(
            x=(index + 0.5) * WIDTH_PX,
            y=14,
            size=TEXT_PX + 2,
            anchor="middle",
            text=word.value.capitalize(),
        )
        + f'<g transform="translate({index * WIDTH_PX:g} {head:g})">{_BODIES[word]()}</g>'
        for index, word in enumerate(words)
    )
    described = " ".join(f"{word.value.capitalize()}: {_DESCRIPTIONS[word]}" for word in words)
    return Figure(
        svg=svg_picture(
            width=WIDTH_PX * len(words),
            height=HEIGHT_PX + head,
            title=", ".join(word.value for word in words).capitalize(),
            description=described,
            body=body,
        ),
        caption="\n".join(word.explanation for word in words),
        alternative_text=described,
    )


def _journal(front: float, middle: float, rear: float) -> str:
    """A journal from the side with these half heights, over its true cylinder of 36."""
    y, x0, x1 = _MIDDLE_Y, _LEFT_X, _RIGHT_X
    control = 2 * middle - (front + rear) / 2  # the curve passes through the middle height
    outline = (
        f"M{x0:g} {y - front:g}Q{_MIDDLE_X:g} {y - control:g} {x1:g} {y - rear:g}"
        f"V{y + rear:g}Q{_MIDDLE_X:g} {y + control:g} {x0:g} {y + front:g}Z"
    )
    webs = "".join(
        f'<rect x="{x:g}" y="{y - 56:g}" width="14" height="112" rx="4" {_STEEL}/>'
        for x in (x0 - 14, x1)
    )
    true = f'<rect x="{x0:g}" y="{y - 36:g}" width="{x1 - x0:g}" height="72" {_DASHED}/>'
    return f'{webs}<path d="{outline}" {_STEEL}/>{true}'


def _arrow(x0: float, y0: float, x1: float, y1: float) -> str:
    """A double arrow, upright or level."""
    if x0 == x1:
        heads = f"M{x0 - 4:g} {y0 + 7:g}L{x0:g} {y0:g}L{x0 + 4:g} {y0 + 7:g}" + (
            f"M{x1 - 4:g} {y1 - 7:g}L{x1:g} {y1:g}L{x1 + 4:g} {y1 - 7:g}"
        )
    else:
        heads = f"M{x0 + 7:g} {y0 - 4:g}L{x0:g} {y0:g}L{x0 + 7:g} {y0 + 4:g}" + (
            f"M{x1 - 7:g} {y1 - 4:g}L{x1:g} {y1:g}L{x1 - 7:g} {y1 + 4:g}"
        )
    return f'<path d="M{x0:g} {y0:g}L{x1:g} {y1:g}{heads}" {_LINE}/>'


def _words(x: float, y: float, text: str) -> str:
    return svg_label(x=x, y=y, size=TEXT_PX, anchor="middle", text=text)


def _upright(x: float, half: float, label: str) -> str:
    return _arrow(x, _MIDDLE_Y - half, x, _MIDDLE_Y + half) + _words(x, HEIGHT_PX - 6, label)


def _taper() -> str:
    return _journal(44, 36, 28) + _upright(66, 42, "front") + _upright(174, 30, "rear")


def _barrel() -> str:
    ends = _upright(60, 32.9, "front") + _upright(180, 32.9, "rear")
    return _journal(28, 44, 28) + ends + _upright(_MIDDLE_X, 44, "middle")


def _hourglass() -> str:
    ends = _upright(60, 39.1, "front") + _upright(180, 39.1, "rear")
    return _journal(44, 28, 44) + ends + _upright(_MIDDLE_X, 28, "middle")


def _out_of_round() -> str:
    x, y = _MIDDLE_X, _MIDDLE_Y
    return (
        f'<ellipse cx="{x:g}" cy="{y:g}" rx="62" ry="46" {_STEEL}/>'
        f'<circle cx="{x:g}" cy="{y:g}" r="54" {_DASHED}/>'
        + _arrow(x - 62, y, x + 62, y)
        + _arrow(x, y - 46, x, y + 46)
        + _words(x + 96, y + 4, "across")
        + _words(x, HEIGHT_PX - 6, "along")
    )


def _square_to_split() -> str:
    """Housing of radius 50, its shells thinning from 11 at the crown to 5 at the split."""
    x, y = _MIDDLE_X, _MIDDLE_Y
    return (
        f'<path d="M{x - 24:g} 2L{x - 58:g} 30V110Q{x - 58:g} 128 {x - 40:g} 128H{x + 40:g}'
        f'Q{x + 58:g} 128 {x + 58:g} 110V30L{x + 24:g} 2Z" {_STEEL}/>'
        f'<circle cx="{x:g}" cy="{y:g}" r="50" class="shell" fill="#bdb9b0" stroke="currentColor"'
        ' stroke-width="1.4"/>'
        f'<ellipse cx="{x:g}" cy="{y:g}" rx="46" ry="39" class="ground" fill="#ffffff"'
        ' stroke="currentColor" stroke-width="1.4"/>'
        f'<path d="M{x - 80:g} {y:g}H{x - 46:g}M{x + 46:g} {y:g}H{x + 80:g}" stroke="currentColor"'
        ' stroke-width="1.6" stroke-dasharray="8 3 2 3"/>'
        + _arrow(x, y - 39, x, y + 39)
        + _words(x - 98, y + 4, "split")
        + _words(x + 98, y + 4, "split")
        + _words(x, HEIGHT_PX - 6, "read up and down only")
    )


_BODIES: Mapping[FormWord, Callable[[], str]] = {
    FormWord.TAPER: _taper,
    FormWord.BARREL: _barrel,
    FormWord.HOURGLASS: _hourglass,
    FormWord.OUT_OF_ROUND: _out_of_round,
    FormWord.SQUARE_TO_SPLIT: _square_to_split,
}
