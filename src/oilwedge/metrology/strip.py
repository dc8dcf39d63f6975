"""The flattened strip: from its width, or the mark it was held against, to a clearance.

Volume conservation without flow along the shaft: the section of the thread keeps its area, so
width × clearance is constant along one strip::

    w·h = π d²/4,    u(h)/h = √((2 u(d)/d)² + (u(w)/w)²)

with w the width and d the diameter of the thread before. The wrapper's own bars calibrate the
constant; between two bars h is linear in 1/w. Some thread does flow along the shaft, which makes
w smaller: the strip reads high, never low. That is not corrected; a one-sided allowance stands in
the budget. A strip sees one line at the cap and no ovality. Expect U of 5 to 10 µm.

The widest place is the least clearance; widths that differ along the journal show taper.
The allowances below are common practice, no source.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass
from functools import lru_cache

from oilwedge.errors import Fault, OutOfRangeError
from oilwedge.metrology.instrument import Strip
from oilwedge.metrology.reading import Bound
from oilwedge.uncertainty.quantity import ErrorSource, Quantity, SourceKind

_RECTANGULAR = math.sqrt(3.0)
WIDTH_LIMIT_M = 0.1e-3
"""A width is read off a printed scale to ± this."""
BATCH_LIMIT = 0.10
"""One batch's w·h is within ± this share of the wrapper's (thread diameter ± 5 %)."""
AXIAL_FLOW_LIMIT = 0.05
"""A strip reads high by 0 to this share."""

_SLACK_M = 1e-9
_AXIAL_FLOW = ErrorSource(
    key="strip:axial flow",
    kind=SourceKind.STRIP,
    words="thread that flowed along the shaft: the strip reads high",
)


@dataclass(frozen=True, kw_only=True, slots=True)
class StripClearance:
    """A diametral clearance, or what is known of it on one side.

    ``value`` is None where only the bound ``limit_m`` is known. ``sentence`` says why, and
    ``thread_m`` is the clearance that the thread's diameter alone would give, as a cross-check.
    """

    value: Quantity | None
    bound: Bound = Bound.NONE
    limit_m: float | None = None
    sentence: str = ""
    thread_m: float | None = None


def thread_clearance(*, filament_diameter_m: float, width_m: float) -> float:
    """h = π d²/(4 w) in metres, from a thread of diameter d flattened to the width w."""
    return math.pi * filament_diameter_m**2 / (4.0 * width_m)


def thread_relative_uncertainty(*, diameter_relative: float, width_relative: float) -> float:
    """u(h)/h = √((2 u(d)/d)² + (u(w)/w)²)."""
    return math.hypot(2.0 * diameter_relative, width_relative)


def clearance_from_width(
    *, strip: Strip, width_m: float, reading: str, width_limit_m: float = WIDTH_LIMIT_M
) -> StripClearance:
    """Clearance from a measured width by the wrapper's bars, else by the thread's diameter.

    Wider than the widest bar: at most that bar's clearance; narrower than the narrowest: at least
    its. OutOfRangeError for a width that is not above 0, or a strip that carries neither widths
    nor a diameter. ``reading`` names the reading: its width error is its own.
    """
    if not width_m > 0.0:
        raise OutOfRangeError(
            Fault(
                given=f"a width of {width_m * 1e3:g} mm",
                allowed="a flattened strip has a width above 0",
                action="say 'not flattened' if the thread is as round as before",
            )
        )
    thread = None
    if strip.filament_diameter_m is not None:
        thread = thread_clearance(filament_diameter_m=strip.filament_diameter_m, width_m=width_m)
    nominal, interpolation = _nominal(strip, width_m, thread)
    low_m, high_m = _calibrated_range(strip)
    # A width on the bar itself may miss its clearance by a rounding error.
    if not low_m - _SLACK_M <= nominal <= high_m + _SLACK_M:
        below = nominal < low_m
        return _bounded(strip, low_m if below else high_m, below=below, thread=thread)
    parts = {
        _reading_source(reading): nominal * width_limit_m / width_m / _RECTANGULAR,
        **_shared(strip, nominal),
    }
    if interpolation:
        parts[_interpolation_source(strip.key)] = interpolation / _RECTANGULAR
    return StripClearance(value=Quantity(nominal, parts), thread_m=thread)


def clearance_from_mark(*, strip: Strip, mark_m: float, reading: str) -> StripClearance:
    """Clearance from the mark that the strip was held against (or a value between two marks).

    Rectangular, ± half the gap to the neighbouring marks, the wider one; at the ends of the
    wrapper the one gap there is counts for both sides. Outside the marks: one-sided.
    """
    marks = _marks(strip)
    if mark_m < marks[0] - _SLACK_M:
        return _bounded(strip, marks[0], below=True, thread=None)
    if mark_m > marks[-1] + _SLACK_M:
        return _bounded(strip, marks[-1], below=False, thread=None)
    gaps = [
        high - low
        for low, high in itertools.pairwise(marks)
        if low - _SLACK_M <= mark_m <= high + _SLACK_M
    ]
    half = 0.5 * max(gaps, default=strip.high_m - strip.low_m)
    parts = {_reading_source(reading): half / _RECTANGULAR, **_shared(strip, mark_m)}
    return StripClearance(value=Quantity(mark_m, parts))


def _shared(strip: Strip, clearance_m: float) -> dict[ErrorSource, float]:
    """What all strips of the batch, and all strips at all, have in common."""
    return {
        _batch_source(strip.key): clearance_m * BATCH_LIMIT / _RECTANGULAR,
        # Anywhere between 0 and −a alike: its root mean square about 0 is a/√3.
        _AXIAL_FLOW: -clearance_m * AXIAL_FLOW_LIMIT / _RECTANGULAR,
    }


@lru_cache(maxsize=256)
def _width_bars(strip: Strip) -> tuple[tuple[float, float], ...]:
    """(width, clearance) from the widest bar to the narrowest; empty without widths."""
    bars = sorted(
        ((bar.width_m, bar.clearance_m) for bar in strip.bars if bar.width_m is not None),
        reverse=True,
    )
    clearances = [clearance for _, clearance in bars]
    if clearances != sorted(set(clearances)) or len({w for w, _ in bars}) != len(bars):
        raise OutOfRangeError(
            Fault(
                given=f"the bars of {strip.title}",
                allowed="a wider bar stands for a smaller clearance",
                action="compare widths and clearances with the wrapper",
            )
        )
    return tuple(bars)


def _nominal(strip: Strip, width_m: float, thread: float | None) -> tuple[float, float]:
    """h, and half of what the constants w·h of the bars about it disagree by.

    Linear in 1/w between two bars and by the nearer bar's constant beyond them, which serves to
    see that it is beyond. Without bars, by the thread.
    """
    bars = _width_bars(strip)
    if not bars:
        if thread is None:
            raise OutOfRangeError(
                Fault(
                    given=f"a width for {strip.title}",
                    allowed="a width needs bars with widths or the diameter of the thread",
                    action="compare the strip with the wrapper's marks and give the clearance",
                )
            )
        return thread, 0.0
    for (wide, low), (narrow, high) in itertools.pairwise(bars):
        if narrow <= width_m <= wide:
            share = (1.0 / width_m - 1.0 / wide) / (1.0 / narrow - 1.0 / wide)
            disagreement = abs(wide * low - narrow * high) / width_m
            return low + share * (high - low), 0.5 * disagreement
    width, clearance = bars[0] if width_m > bars[0][0] else bars[-1]
    return width * clearance / width_m, 0.0


def _calibrated_range(strip: Strip) -> tuple[float, float]:
    """From bar to bar where there are two; else what the strip is made for."""
    bars = _width_bars(strip)
    return (bars[0][1], bars[-1][1]) if len(bars) > 1 else (strip.low_m, strip.high_m)


@lru_cache(maxsize=256)
def _marks(strip: Strip) -> tuple[float, ...]:
    found = {bar.clearance_m for bar in strip.bars}
    return tuple(sorted(found)) if found else (strip.low_m, strip.high_m)


def _bounded(strip: Strip, limit_m: float, *, below: bool, thread: float | None) -> StripClearance:
    bar, side = (
        ("wider than the widest", "at most")
        if below
        else (
            "narrower than the narrowest",
            "at least",
        )
    )
    return StripClearance(
        value=None,
        bound=Bound.AT_MOST if below else Bound.AT_LEAST,
        limit_m=limit_m,
        sentence=(
            f"The strip is {bar} that {strip.title} is made for: the clearance is {side} "
            f"{limit_m * 1e3:.3f} mm, and this strip cannot say how much."
        ),
        thread_m=thread,
    )


def _batch_source(key: str) -> ErrorSource:
    return ErrorSource(
        key=f"strip:{key}:batch", kind=SourceKind.STRIP, words=f"batch of strip {key}"
    )


@lru_cache(maxsize=256)
def _interpolation_source(key: str) -> ErrorSource:
    return ErrorSource(
        key=f"strip:{key}:interpolation",
        kind=SourceKind.READING,
        words=f"bars of strip {key} that do not agree on one section",
    )


def _reading_source(reading: str) -> ErrorSource:
    return ErrorSource(
        key=f"strip reading:{reading}",
        kind=SourceKind.READING,
        words="width of the strip, read by eye",
    )
