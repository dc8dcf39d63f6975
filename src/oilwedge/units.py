"""What people type, turned into SI values by exact factors, and back.

Inside the package every value is an SI float whose name says its unit; this module is the edge.
The units themselves stand in :mod:`oilwedge.unit_table`.
"""

from __future__ import annotations

import math
import re
import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Context, Decimal
from fractions import Fraction
from functools import lru_cache

from oilwedge.errors import Fault, UnitError, did_you_mean
from oilwedge.unit_table import ALL_UNITS, UNITS, Dimension, Unit

__all__ = [
    "UNITS",
    "Dimension",
    "Parsed",
    "Unit",
    "find_unit",
    "format_length",
    "format_number",
    "parse_number",
    "parse_quantity",
    "to_unit",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Parsed:
    """A quantity as it was typed and what it means.

    ``value_si`` is in the SI unit of the dimension (rad/s for a speed of rotation, kelvin for
    temperatures); ``text`` as typed, without blanks round it; ``unit`` the canonical name;
    ``decimal`` the number in that unit.
    """

    value_si: float
    text: str
    unit: str
    decimal: Decimal


def _squeeze(text: str) -> str:
    """One spelling for the many of one unit: no blanks, dots or raised signs, "u" for micro."""
    text = text.replace("″", '"').replace("”", '"').replace("º", "°").replace(" per ", "/")
    text = unicodedata.normalize("NFKC", text).replace("μ", "u").replace("′′", '"')
    text = re.sub(r"(?<=[A-Za-z])-(?=[A-Za-z])", "", text)  # ft-lb, but not 1e-6
    return re.sub(r"[\s·⋅*.^]+", "", text)


def _index() -> tuple[dict[tuple[Dimension, str], Unit], dict[tuple[Dimension, str], Unit]]:
    exact: dict[tuple[Dimension, str], Unit] = {}
    folded: dict[tuple[Dimension, str], Unit] = {}
    for unit in ALL_UNITS:
        for text in (unit.name, *unit.aliases):
            key = (unit.dimension, _squeeze(text))
            if exact.setdefault(key, unit) is not unit:
                raise AssertionError(f"two units are written {text!r}")
            # MPa in small letters would be a thousandth of a pascal: there the case counts
            if unit.name != "MPa":
                folded.setdefault((unit.dimension, key[1].casefold()), unit)
    return exact, folded


_EXACT, _FOLDED = _index()


def find_unit(*, text: str, dimension: Dimension) -> Unit:
    """The unit of this dimension that ``text`` names; UnitError when there is none."""
    unit = _lookup(text, dimension)
    if unit is None:
        raise UnitError(_unknown_unit(given=text, unit_text=text, dimension=dimension))
    return unit


@lru_cache(maxsize=512)
def _lookup(text: str, dimension: Dimension) -> Unit | None:
    key = _squeeze(text)
    return _EXACT.get((dimension, key)) or _FOLDED.get((dimension, key.casefold()))


def _examples(dimension: Dimension) -> str:
    names = [unit.name.removeprefix("Δ") for unit in ALL_UNITS if unit.dimension is dimension]
    return ", ".join(names[:-1]) + f" or {names[-1]}"


def _unknown_unit(*, given: str, unit_text: str, dimension: Dimension) -> Fault:
    others = {unit.dimension for unit in ALL_UNITS if _lookup(unit_text, unit.dimension)}
    wanted = f"here a {dimension.value} is needed, in {_examples(dimension)}"
    if others:
        words = " or ".join(sorted(other.value for other in others))
        return Fault(given=given, allowed=f"'{unit_text}' is a unit of {words}, and {wanted}")
    names = (
        text
        for unit in ALL_UNITS
        if unit.dimension is dimension
        for text in (unit.name, *unit.aliases)
    )
    return Fault(
        given=given,
        allowed=f"'{unit_text}' is no unit that is known; {wanted}",
        action=did_you_mean(given=unit_text, allowed=names),
    )


_PLAIN = re.compile(r"[+-]?[0-9]{1,15}(?:\.[0-9]{1,15})?")
_NUMBER = re.compile(
    r"(?P<sign>[+-]?)\s*(?:"
    r"(?:(?P<whole>[0-9]+)\s+)?(?P<over>[0-9]+)\s*/\s*(?P<under>[0-9]+)"
    r"|(?P<decimal>(?:[0-9]+(?:[.,][0-9]*)?|[.,][0-9]+)(?:[eE][+-]?[0-9]+)?)"
    r")"
)
_LONGEST = 100
_EXACT_CONTEXT = Context(prec=60)
_LARGEST_EXPONENT = 30


def parse_number(text: str) -> Decimal:
    """The number that ``text`` is: "47.97", "47,97", ".0015", "−12", "1 1/2", "½", "1.2e-5".

    A comma is a decimal comma. No thousands separator is guessed: "1,234.5" is an error.
    Raises UnitError (without a place) for anything else.
    """
    if _PLAIN.fullmatch(text):
        return Decimal(text)
    number, rest = _split(text, text)
    if rest:
        raise UnitError(Fault(given=text.strip(), allowed="a number alone is needed, without unit"))
    return number


def parse_quantity(text: str, *, dimension: Dimension, default_unit: str | None = None) -> Parsed:
    """The quantity that ``text`` says: "47.97 mm", '1.8892"', "38 µm", "-12 um", "1,5 thou".

    Without a unit in the text ``default_unit`` holds; without that one too, a UnitError is
    raised (a ratio needs none). The error carries no place: add it with ``error.at(where)``.

    >>> parse_quantity("1,5 thou", dimension=Dimension.LENGTH).value_si
    3.81e-05
    """
    if default_unit is not None and _PLAIN.fullmatch(text):
        return _parsed(text, Decimal(text), _named(default_unit, dimension))
    number, unit_text = _split(text, text)
    typed = text.strip()
    if unit_text:
        found = _lookup(unit_text, dimension)
        if found is None:
            raise UnitError(_unknown_unit(given=typed, unit_text=unit_text, dimension=dimension))
        return _parsed(typed, number, found)
    if default_unit is None:
        if dimension is not Dimension.RATIO:
            raise UnitError(
                Fault(
                    given=typed,
                    allowed=f"the unit is missing; a {dimension.value} is needed, "
                    f"in {_examples(dimension)}",
                )
            )
        default_unit = "1"
    return _parsed(typed, number, _named(default_unit, dimension))


def _named(unit: str, dimension: Dimension) -> Unit:
    return _lookup(unit, dimension) or find_unit(text=unit, dimension=dimension)


def _parsed(typed: str, number: Decimal, unit: Unit) -> Parsed:
    factor, offset = _decimal_factor(unit.name)
    if factor is not None:
        value_si = float(_EXACT_CONTEXT.fma(number, factor, offset))
    else:
        value_si = float(Fraction(number) * unit.factor + unit.offset)
    if unit.dimension is Dimension.TEMPERATURE and value_si < 0.0:
        raise UnitError(Fault(given=typed, allowed="a temperature cannot be under -273.15 °C"))
    return Parsed(value_si=value_si, text=typed, unit=unit.name, decimal=number)


@lru_cache(maxsize=256)
def _decimal_factor(name: str) -> tuple[Decimal | None, Decimal]:
    """Factor and offset as decimals where the factor ends as a decimal; else no factor."""
    unit = UNITS[name]
    factor = _as_decimal(unit.factor)
    return (factor, _as_decimal(unit.offset) or Decimal(0)) if factor else (None, Decimal(0))


def _as_decimal(value: Fraction) -> Decimal | None:
    quotient = _EXACT_CONTEXT.divide(Decimal(value.numerator), Decimal(value.denominator))
    return quotient if Fraction(quotient) == value else None


def _split(text: str, given: str) -> tuple[Decimal, str]:
    """Number and unit text of ``text``, both cleaned."""
    if len(text) > _LONGEST:
        raise UnitError(
            Fault(given=f"{given[:20]}...", allowed=f"no more than {_LONGEST} characters are read")
        )
    cleaned = _clean(text)
    if not cleaned:
        raise UnitError(Fault(given="", allowed="nothing was given where a number is needed"))
    match = _NUMBER.match(cleaned)
    if match is None:
        raise UnitError(_not_a_number(given))
    rest = cleaned[match.end() :].strip()
    if rest[:1] in {".", ","} or (rest[:1].isdigit() and not rest.startswith("1")):
        raise UnitError(_not_a_number(given))
    return _decimal(match, given), rest


def _clean(text: str) -> str:
    """Plain minus signs and blanks; the sign of a vulgar fraction as " 1/2"."""
    if text.isascii():
        return text.strip()
    pieces: list[str] = []
    for sign in text:
        if unicodedata.decomposition(sign).startswith("<fraction>"):
            pieces.append(" " + unicodedata.normalize("NFKC", sign).replace("⁄", "/") + " ")
        elif sign in "−–‒﹣－":
            pieces.append("-")
        elif sign.isspace():
            pieces.append(" ")
        else:
            pieces.append(sign)
    return "".join(pieces).strip()


def _decimal(match: re.Match[str], given: str) -> Decimal:
    sign = -1 if match["sign"] == "-" else 1
    if match["decimal"] is not None:
        number = Decimal(match["decimal"].replace(",", "."))
        if number and abs(number.adjusted()) > _LARGEST_EXPONENT:
            raise UnitError(Fault(given=given.strip(), allowed="the number is out of all measure"))
        return number.copy_negate() if sign < 0 else number
    under = int(match["under"])
    if under == 0:
        raise UnitError(Fault(given=given.strip(), allowed="a fraction cannot be divided by 0"))
    over = sign * (int(match["whole"] or 0) * under + int(match["over"]))
    return Decimal(over) / Decimal(under)


def _not_a_number(given: str) -> Fault:
    return Fault(
        given=given.strip(),
        allowed="a number is needed, such as 47.97, 47,97 or 1 1/2",
        action="write it without thousands separators",
    )


def to_unit(*, value_si: float, unit: str) -> float:
    """``value_si`` as a number of ``unit`` (canonical name, or any spelling that fits only one).

    number = (SI value - offset) / factor, rounded once. UnitError for a name that is unknown.
    """
    found = _any_unit(unit)
    if not math.isfinite(value_si):
        return value_si
    return float((Fraction(value_si) - found.offset) / found.factor)


@lru_cache(maxsize=512)
def _any_unit(text: str) -> Unit:
    if text in UNITS:
        return UNITS[text]
    for dimension in Dimension:
        found = _lookup(text, dimension)
        if found is not None:
            return found
    names: Iterable[str] = UNITS
    raise UnitError(
        Fault(
            given=text,
            allowed="this is no unit that is known",
            action=did_you_mean(given=text, allowed=names),
        )
    )


def format_number(*, value: float, decimals: int) -> str:
    """``value`` with this many decimals, halves away from zero, never "-0.00".

    The shortest decimal that stands for the float is what is rounded: 0.0385 gives 0.039.
    """
    if not math.isfinite(value):
        raise ValueError(f"a finite value is needed to print it, and {value!r} was given")
    return _rounded(Decimal(repr(float(value))), decimals)


def format_length(*, value_m: float, unit: str, decimals: int) -> str:
    """A length in metres as text with its unit: ``format_length(value_m=3.81e-05, unit="mm",
    decimals=3)`` is "0.038 mm". Halves go away from zero.
    """
    if not math.isfinite(value_m):
        raise ValueError(f"a finite length is needed to print it, and {value_m!r} was given")
    found = find_unit(text=unit, dimension=Dimension.LENGTH)
    exact = Fraction(Decimal(repr(float(value_m)))) / found.factor
    number = _EXACT_CONTEXT.divide(Decimal(exact.numerator), Decimal(exact.denominator))
    return f"{_rounded(number, decimals)} {found.name}"


def _rounded(number: Decimal, decimals: int) -> str:
    rounded = number.quantize(
        Decimal(1).scaleb(-decimals), rounding=ROUND_HALF_UP, context=Context(prec=400)
    )
    return f"{abs(rounded) if rounded == 0 else rounded:f}"
