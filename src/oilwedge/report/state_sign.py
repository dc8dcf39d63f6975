"""The signs of a verdict: a word, a shape, and for print nothing but black."""

from collections.abc import Iterable
from enum import Enum

from oilwedge.report.encoding import Encoding


class StateSign(Enum):
    """The state of one judged bearing or fit, as a shape.

    The shapes differ without colour.  ``words`` are those of a bearing
    clearance; a caller whose kind of fit has other words ("too small",
    "over its limit") passes its own beside the sign.
    """

    RIGHT = "right"
    RIGHT_CLOSE = "right_close"
    LOOSE = "loose"
    TOO_LOOSE = "too_loose"
    PAST_SERVICE = "past_service"
    TOO_TIGHT = "too_tight"
    CANNOT_TELL = "cannot_tell"
    READINGS_DISAGREE = "readings_disagree"
    NOT_MEASURED = "not_measured"
    NO_LIMITS = "no_limits"

    @property
    def words(self) -> str:
        """Plain words for the state of a bearing clearance."""
        return _WORDS[self]

    @property
    def glyph(self) -> str:
        """Unicode sign, one or two columns wide."""
        return _GLYPHS[self][0]

    @property
    def ascii_glyph(self) -> str:
        """ASCII sign, one or two columns wide."""
        return _GLYPHS[self][1]


_WORDS = {
    StateSign.RIGHT: "right",
    StateSign.RIGHT_CLOSE: "right, close to the limit",
    StateSign.LOOSE: "loose",
    StateSign.TOO_LOOSE: "too loose",
    StateSign.PAST_SERVICE: "past service limit",
    StateSign.TOO_TIGHT: "too tight",
    StateSign.CANNOT_TELL: "cannot tell",
    StateSign.READINGS_DISAGREE: "readings disagree",
    StateSign.NOT_MEASURED: "not measured",
    StateSign.NO_LIMITS: "no limits given",
}

_GLYPHS = {
    StateSign.RIGHT: ("●", "*"),
    StateSign.RIGHT_CLOSE: ("●│", "*|"),
    StateSign.LOOSE: ("◒", "u"),
    StateSign.TOO_LOOSE: ("⊘", "O/"),
    StateSign.PAST_SERVICE: ("⊖", "O-"),
    StateSign.TOO_TIGHT: ("►◄", "><"),
    StateSign.CANNOT_TELL: ("◌", "?"),
    StateSign.READINGS_DISAGREE: ("○○", "oo"),
    StateSign.NOT_MEASURED: ("·", "."),
    StateSign.NO_LIMITS: ("–", "-"),
}

GLYPH_COLUMNS = 2

# Each shape is drawn in a square from -8 to 8; INK and GROUND are put in later.
_GROUND_LINE = 'class="ground-line" stroke="GROUND"'
_DISC = '<circle cx="0" cy="0" r="5.5" fill="INK"/>'
_RING = (
    '<circle cx="0" cy="0" r="5.5" class="ground" fill="GROUND" stroke="INK" stroke-width="1.2"/>'
)
_SHAPES = {
    StateSign.RIGHT: _DISC,
    StateSign.RIGHT_CLOSE: (
        '<circle cx="-1.2" cy="0" r="5.5" fill="INK"/>'
        '<path d="M6.7 -5.5V5.5" stroke="INK" stroke-width="1.4"/>'
    ),
    StateSign.LOOSE: f'{_RING}<path d="M-5.5 0A5.5 5.5 0 0 0 5.5 0Z" fill="INK"/>',
    StateSign.TOO_LOOSE: f'{_DISC}<path d="M-6.2 6.2L6.2 -6.2" {_GROUND_LINE} stroke-width="3.6"/>'
    '<path d="M-6.2 6.2L6.2 -6.2" stroke="INK" stroke-width="1.6"/>',
    StateSign.PAST_SERVICE: f'{_DISC}<path d="M-8 0H8" {_GROUND_LINE} stroke-width="4"/>'
    '<path d="M-8 0H8" stroke="INK" stroke-width="1.8"/>',
    StateSign.TOO_TIGHT: '<path d="M-7.5 -5L-0.7 0L-7.5 5ZM7.5 -5L0.7 0L7.5 5Z" fill="INK"/>',
    StateSign.CANNOT_TELL: (
        '<circle cx="0" cy="0" r="5.4" fill="none" stroke="INK" stroke-width="1.5"'
        ' stroke-dasharray="2.4 1.84"/>'
    ),
    StateSign.READINGS_DISAGREE: (
        '<circle cx="-2.6" cy="1.4" r="4.2" fill="none" stroke="INK" stroke-width="1.3"/>'
        '<circle cx="2.6" cy="-1.4" r="4.2" fill="none" stroke="INK" stroke-width="1.3"/>'
    ),
    StateSign.NOT_MEASURED: '<circle cx="0" cy="0" r="1.5" fill="INK"/>',
    StateSign.NO_LIMITS: '<path d="M-4 0H4" stroke="INK" stroke-width="1.4"/>',
}


def state_glyph(state: StateSign, *, encoding: Encoding) -> str:
    """Give the sign for a terminal, padded to two columns."""
    glyph = state.glyph if encoding is Encoding.UNICODE else state.ascii_glyph
    return glyph.ljust(GLYPH_COLUMNS)


def state_shape(
    state: StateSign,
    *,
    centre_x: float,
    centre_y: float,
    size: float,
    ink: str = "currentColor",
    ground: str = "#ffffff",
) -> str:
    """Give the shape as an SVG group to be set into another drawing."""
    shape = _SHAPES[state].replace("INK", ink).replace("GROUND", ground)
    scale = size / 16
    return (
        f'<g class="{state_class(state)}"'
        f' transform="translate({centre_x:.2f} {centre_y:.2f}) scale({scale:.4f})">{shape}</g>'
    )


def state_class(state: StateSign) -> str:
    """Give the class that colours a state on a page; it stands on shapes and words alike."""
    return "state-" + state.value.replace("_", "-")


def state_svg(
    state: StateSign, size: float = 16.0, *, ink: str = "currentColor", ground: str = "#ffffff"
) -> str:
    """Give the shape as a whole SVG picture of ``size`` by ``size`` pixels."""
    shape = state_shape(
        state, centre_x=size / 2, centre_y=size / 2, size=size, ink=ink, ground=ground
    )
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{size:g}" height="{size:g}"'
        f' viewBox="0 0 {size:g} {size:g}" role="img">'
        f"<title>{state.words}</title><desc>Sign for the state: {state.words}.</desc>{shape}</svg>"
    )


def states_in_order(states: Iterable[StateSign]) -> tuple[StateSign, ...]:
    """Give each state once, in the order of the enumeration, for a legend."""
    present = set(states)
    return tuple(state for state in StateSign if state in present)
