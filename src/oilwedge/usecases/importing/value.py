"""A cell with a value: a number with its unit, a deviation, a bound, the width of a strip."""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal

from oilwedge.errors import Fault, UnitError
from oilwedge.metrology.instrument import Strip
from oilwedge.metrology.reading import Bound
from oilwedge.units import Dimension, Parsed, parse_quantity

_PLAIN = re.compile(r"\d{1,4}\.\d{1,6}")
_SIGNS = frozenset("+-−–")
_FINER = frozenset({("mm", "µm"), ("in", "thou")})  # a deviation may be written in the finer unit
_DATE = re.compile(r"\d{4}-\d\d-\d\d\b.*|\d\d?[./]\d\d?[./](\d\d){1,2}|\d\d?:\d\d(:\d\d)?")
_BOUND = re.compile(
    r"(?P<sign><=|>=|=<|=>|<|>|≤|≥|at most|at least|less than|more than|under|over|up to)\s*",
    re.IGNORECASE,
)
_AT_MOST = {"<", "<=", "=<", "≤", "at most", "less than", "under", "up to"}
_WIDTH = re.compile(r"(?:width|w)\s*[:=]?\s*(?P<front>.*)|(?P<back>.*\S)\s*wide", re.IGNORECASE)
_WIDER = re.compile(r"(it is |is )?wider than (the |its )?(widest|largest|last) (bar|mark)")
_NOT_FLAT = re.compile(
    r"(it is |is )?(not|un)[ -]?(flattened|squeezed|touched)( at all)?"
    r"|narrower than (the |its )?(narrowest|smallest|first) (bar|mark)"
)


@dataclass(frozen=True, kw_only=True, slots=True)
class TypedValue:
    """What was typed: a length, whether it has a sign, what it bounds, whether it is a width."""

    quantity: Parsed
    signed: bool = False
    bound: Bound = Bound.NONE
    width: bool = False


def read_value(text: str, *, unit: str | None, strip: Strip | None = None) -> TypedValue:
    """The value that a cell says; ``unit`` is the one given elsewhere (canonical name).

    Raises UnitError, without a place, for text that says no length, that has no unit at all, or
    whose own unit is not the one given elsewhere.
    """
    if unit is not None and _PLAIN.fullmatch(text):
        return TypedValue(quantity=parse_quantity(text, dimension=_LENGTH, default_unit=unit))
    typed = text.strip()
    words = " ".join(typed.casefold().split())
    if _WIDER.fullmatch(words) or _NOT_FLAT.fullmatch(words):
        return _strip_words(typed, wider=bool(_WIDER.fullmatch(words)), strip=strip)
    bound, rest = _split_bound(typed)
    width = _WIDTH.fullmatch(rest)
    if width is not None:
        rest = (width["front"] or width["back"] or "").strip()
        if bound is not Bound.NONE:
            raise _error(
                typed, "a width is one number", "for a bound give the clearance, such as <0.025 mm"
            )
    quantity = _quantity(rest, typed=typed, unit=unit)
    signed = rest[:1] in _SIGNS
    if signed and bound is not Bound.NONE:
        raise _error(typed, "a bound has no sign", "write the size or clearance itself")
    return TypedValue(quantity=quantity, signed=signed, bound=bound, width=width is not None)


_LENGTH = Dimension.LENGTH


def _quantity(rest: str, *, typed: str, unit: str | None) -> Parsed:
    if _DATE.fullmatch(rest):
        raise _error(
            typed,
            "this is a date or a time, no length",
            "a spreadsheet may have made it from a number: set the cell to text and type it again",
        )
    if rest[:1] == "#":
        raise _error(typed, "the spreadsheet could not calculate this cell", "mend its formula")
    try:
        quantity = parse_quantity(rest, dimension=_LENGTH, default_unit=unit)
    except UnitError as error:
        first = error.faults[0]
        if not rest:
            raise _error(typed, "there is no value", "type one, or delete the row") from None
        raise UnitError(Fault(given=typed, allowed=first.allowed, action=first.action)) from None
    deviation = rest[:1] in _SIGNS and (unit, quantity.unit) in _FINER
    if unit is not None and quantity.unit != unit and not deviation:
        raise _error(
            typed,
            f"the cell says {quantity.unit} and the table says {unit}",
            "leave one of the two units out",
        )
    return Parsed(
        value_si=quantity.value_si, text=typed, unit=quantity.unit, decimal=quantity.decimal
    )


def _split_bound(typed: str) -> tuple[Bound, str]:
    match = _BOUND.match(typed)
    if match is None:
        return Bound.NONE, typed
    bound = Bound.AT_MOST if match["sign"].lower() in _AT_MOST else Bound.AT_LEAST
    return bound, typed[match.end() :].strip()


def _strip_words(typed: str, *, wider: bool, strip: Strip | None) -> TypedValue:
    """Wider than its widest bar: the clearance is at most that bar's; not flattened: at least
    the largest that the strip can show."""
    if strip is None:
        raise _error(
            typed,
            "these words need a strip whose range is known",
            "name a strip of the shop as the instrument, or write <0.025 mm or >0.10 mm",
        )
    clearances = [bar.clearance_m for bar in strip.bars] or [strip.low_m, strip.high_m]
    value_m = min(clearances) if wider else max(*clearances, strip.high_m)
    decimal = Decimal(repr(round(value_m * 1000.0, 9)))
    return TypedValue(
        quantity=Parsed(value_si=value_m, text=typed, unit="mm", decimal=decimal),
        bound=Bound.AT_MOST if wider else Bound.AT_LEAST,
    )


def _error(given: str, allowed: str, action: str) -> UnitError:
    return UnitError(Fault(given=given, allowed=allowed, action=action))
