"""Words that a learner touches: two sentences each, and a drawing where one helps."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from enum import Enum

from oilwedge.report.form_drawings import FormWord, form_svg
from oilwedge.report.window_sign import Bound, WindowMark, WindowSign
from oilwedge.report.window_svg import window_svg


class Term(Enum):
    """A word with an explanation; the value is the word as pages say it."""

    UNCERTAINTY = "U"
    SAFETY_MARGIN = "safety margin"
    CHANCE = "chance it is inside"
    WINDOW = "window"
    BUILD_LIMITS = "build limits"
    SERVICE_LIMIT = "service limit"
    CLOSE = "close to the limit"
    CANNOT_TELL = "cannot tell"
    READINGS_DISAGREE = "readings disagree"
    CLEARANCE = "clearance"
    TAPER = "taper"
    BARREL = "barrel"
    HOURGLASS = "hourglass"
    OUT_OF_ROUND = "out-of-round"
    SQUARE_TO_SPLIT = "square to the split"
    CROWN = "crown"
    CRUSH = "crush"
    DEVIATION = "deviation"
    UNDERSIZE = "undersize"
    TURN = "turn of the thimble"
    STRIP = "strip"
    END_FLOAT = "end float"
    RUN_OUT = "run-out"
    ZERO_CHECK = "zero check"
    SET_IN = "set in"
    REFIT = "refit"
    REPEATABILITY = "repeatability"
    CONDITION = "condition"


@dataclass(frozen=True, kw_only=True, slots=True)
class Explanation:
    """A word explained: two sentences, and a drawing as SVG (empty where none helps)."""

    term: Term
    sentences: str
    drawing_svg: str = ""

    @property
    def title(self) -> str:
        """The word itself."""
        return self.term.value


_TEXTS: Mapping[Term, str] = {
    Term.UNCERTAINTY: (
        "U says how far the value could be off: 0.038 ± 0.006 mm means that the true one lies"
        " between 0.032 and 0.044 mm in 95 of 100 such measurements. A better instrument or more"
        " refits make it smaller; more digits do not."
    ),
    Term.SAFETY_MARGIN: (
        "With the safety margin a fit is called right or wrong only where the value clears the"
        " limit by enough to be 95 % sure. In between the answer is cannot tell."
    ),
    Term.CHANCE: (
        "The share of the bell round the value that lies between the limits. A value exactly on a"
        " limit has one chance in two."
    ),
    Term.WINDOW: (
        "The bracketed stretch is the build window, the heavy tick the service limit, the dot the"
        " value and the line through it its U. Whoever has read one window reads all of them."
    ),
    Term.BUILD_LIMITS: (
        "What the maker allows for an engine that is assembled, from the least to the most. New"
        " and machined parts have to lie inside."
    ),
    Term.SERVICE_LIMIT: (
        "How far wear may go before a part has to be changed. It holds for re-used parts only: a"
        " new part that needs it is a wrong part."
    ),
    Term.CLOSE: (
        "The value is inside, and a limit lies within its U. It may be outside in truth; the chance"
        " of that stands beside it."
    ),
    Term.CANNOT_TELL: (
        "The measurement does not decide, and saying right or wrong would be a guess. What would"
        " decide it stands beside the verdict."
    ),
    Term.READINGS_DISAGREE: (
        "Two ways of measuring the same thing differ by more than their uncertainty allows, so at"
        " least one is wrong. Nothing is averaged; the cause is looked for first."
    ),
    Term.CLEARANCE: (
        "What is left between bore and shaft: the bore's diameter less the shaft's. It is diametral"
        " everywhere here; the gap on one side is half of it."
    ),
    Term.CROWN: (
        "The middle of a shell, square to the split, where it is thickest. Its wall is read there,"
        " beside any groove."
    ),
    Term.CRUSH: (
        "A shell stands a little proud of its housing, and the cap squeezes it tight; the trade"
        " also says nip. It changes the bore, so a bore is measured with shells in and caps at"
        " full torque."
    ),
    Term.DEVIATION: (
        "A size told as its distance from nominal: −0.012 at 47.980 mm is 47.968 mm. It needs its"
        " sign."
    ),
    Term.UNDERSIZE: (
        "A journal that was ground is smaller by a step of the trade, such as 0.25 mm, and its"
        " shells are thicker to match. Shells of one step never run on a journal of another."
    ),
    Term.TURN: (
        "One turn of a micrometer's thimble is 0.50 mm or 0.025 in. A turn misread looks exactly"
        " like an undersize, so it is asked about before anything is judged."
    ),
    Term.STRIP: (
        "A soft thread that is flattened between journal and shell; the wider it is pressed, the"
        " smaller the clearance. Nothing is turned while it is in, and every trace comes off"
        " before the oil goes on."
    ),
    Term.END_FLOAT: (
        "How far the crank moves along its axis between its thrust faces; end play means the same."
        " A dial on its end shows it while it is levered to and fro."
    ),
    Term.RUN_OUT: (
        "How far a dial swings while the crank turns. The bend is half of the swing, so it matters"
        " which of the two a limit speaks of."
    ),
    Term.ZERO_CHECK: (
        "Closing an instrument on its zero, or on its setting piece, before and after. One that"
        " fails puts every reading since its last good check in doubt."
    ),
    Term.SET_IN: (
        "A bore gauge is set in a micrometer or a ring and takes over its error. Where the same"
        " micrometer reads the journal, that error cancels in the clearance."
    ),
    Term.REFIT: (
        "Take it off, clean it, put it back and tighten it anew. Only then does a second reading"
        " say anything about dirt and seating."
    ),
    Term.REPEATABILITY: (
        "How much readings of the same place scatter when nothing is changed. It shrinks with"
        " repeats; what an instrument has wrong always does not."
    ),
    Term.CONDITION: ("Whether a part is new, machined or re-used. It decides which limits hold."),
}

_FORMS: Mapping[Term, FormWord] = {
    Term.TAPER: FormWord.TAPER,
    Term.BARREL: FormWord.BARREL,
    Term.HOURGLASS: FormWord.HOURGLASS,
    Term.OUT_OF_ROUND: FormWord.OUT_OF_ROUND,
    Term.SQUARE_TO_SPLIT: FormWord.SQUARE_TO_SPLIT,
    Term.CROWN: FormWord.SQUARE_TO_SPLIT,
}


def _window(value: float, half_width: float) -> str:
    """A window from 0.020 to 0.050 with a service limit at 0.060, and one value in it."""
    mark = WindowMark(value=value, half_width=half_width, bound=Bound.VALUE)
    sign = WindowSign(low=0.020, high=0.050, service_high=0.060, marks=(mark,))
    return window_svg(sign, width_px=300.0)


_WINDOWS: Mapping[Term, Callable[[], str]] = {
    Term.UNCERTAINTY: lambda: _window(0.035, 0.006),
    Term.WINDOW: lambda: _window(0.035, 0.004),
    Term.SAFETY_MARGIN: lambda: _window(0.042, 0.005),
    Term.CHANCE: lambda: _window(0.048, 0.006),
    Term.CLOSE: lambda: _window(0.048, 0.006),
    Term.BUILD_LIMITS: lambda: _window(0.030, 0.003),
    Term.SERVICE_LIMIT: lambda: _window(0.055, 0.003),
    Term.CANNOT_TELL: lambda: _window(0.050, 0.012),
}


def explain_term(term: Term) -> Explanation:
    """A word in two sentences, with its drawing."""
    form = _FORMS.get(term)
    text = _TEXTS.get(term) or (form.explanation if form is not None else "")
    if form is not None:
        return Explanation(term=term, sentences=text, drawing_svg=form_svg(form))
    draw = _WINDOWS.get(term)
    return Explanation(term=term, sentences=text, drawing_svg=draw() if draw else "")
