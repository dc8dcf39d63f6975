"""What a person typed at the bench, resolved to a value before it is taken.

The rules, in this order (tests/data/resolving.json holds them as cases; the script in the browser
runs the same file, so that a page without a network shows the same value):

1. A number with a decimal sign or a unit, a fraction, a bound, a width and the words of a strip
   are taken as typed. With a sign, a size that has a nominal is a deviation from it.
2. Whole digits with a sign, in mm or in, at a size with a nominal: a deviation that counts in the
   finest digit ("-12" in mm is -0.012 mm). In µm and thou they are what they say.
3. Whole digits without a sign that cannot be the value itself: its last digits. The value is the
   one nearest to nominal that ends in them; it has to be nearest by far (within a third of the
   step to the next such value), or more digits are asked for.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from enum import Enum

from oilwedge.errors import Fault, InputError
from oilwedge.metrology.reading import Bound, ReadingForm
from oilwedge.units import UNITS, Parsed
from oilwedge.usecases.importing.plausible import DEVIATION_SHARE, doubt, form_of
from oilwedge.usecases.importing.value import TypedValue
from oilwedge.usecases.measuring.situation import (
    USUAL_FINEST,
    Situation,
    decimals_of,
    in_metres,
)
from oilwedge.usecases.taking.line import read_line, read_typed

_COUNTED_UNITS = ("mm", "in")  # a signed whole number of these cannot be a deviation in itself
_LARGE_UNIT: Mapping[str, str] = {"mm": "mm", "in": "in", "µm": "mm", "thou": "in"}
_DIGITS = re.compile(r"(?P<sign>[+\-−–]?)\s*(?P<digits>[0-9]{1,9})")
_MINUS = "−"


class How(Enum):
    """How typed text became a value."""

    AS_TYPED = "as typed"
    DEVIATION = "deviation from nominal"
    LAST_DIGITS = "last digits"


class AskBack(InputError):  # noqa: N818 - it asks, it is no error
    """A value that cannot be, and was not confirmed: the person is asked, nothing is wrong yet."""


class SignNeeded(InputError):  # noqa: N818
    """A gauge that was zeroed reads either way, and the text has no sign."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Resolved:
    """What typed text means.

    ``text`` as typed; ``value_m`` as a reading keeps it (a deviation is itself, not the size);
    ``shown`` is what a page says before the value is taken. ``alternatives`` are other things
    that the text could mean. ``doubt`` asks back, in one sentence, about a value that cannot be;
    empty for one that can.
    """

    text: str
    value_m: float
    form: ReadingForm
    bound: Bound
    unit: str
    shown: str
    how: How
    alternatives: tuple[str, ...] = ()
    doubt: str = ""


def resolve(typed: str, *, unit: str, situation: Situation) -> Resolved:
    """What ``typed`` means where ``unit`` is the remembered one ("" for none).

    Raises :class:`SignNeeded` for a zeroed gauge without a sign, and InputError for text that says
    no length or could be two sizes. A value that cannot be is resolved, with its ``doubt``.
    """
    text = read_line(typed).text
    if not text:
        raise InputError(Fault(given="", allowed="there is no value", action="type one"))
    bare = _DIGITS.fullmatch(text)
    if bare is not None and unit in USUAL_FINEST and situation.feature.positive:
        found = _from_digits(bare, typed=typed, unit=unit, situation=situation)
        if found is not None:
            return found
    return _as_typed(text, typed=typed, unit=unit, situation=situation)


def _as_typed(text: str, *, typed: str, unit: str, situation: Situation) -> Resolved:
    value = read_typed(text, unit=unit, strip=situation.strip)
    exact = value.bound is Bound.NONE and not value.width
    if situation.zeroed and exact and not value.signed and value.quantity.decimal != 0:
        raise SignNeeded(
            Fault(
                given=text,
                allowed=f"{situation.label}: the gauge was zeroed and can read either way",
                action="put + in front for larger than zero, - for smaller",
            )
        )
    form = form_of(value, feature=situation.feature)
    how = How.DEVIATION if form is ReadingForm.DEVIATION else How.AS_TYPED
    return _resolved(value, typed=typed, form=form, how=how, situation=situation)


def _from_digits(
    bare: re.Match[str], *, typed: str, unit: str, situation: Situation
) -> Resolved | None:
    """Whole digits at a size: counted from nominal, the last ones of it, or None for neither."""
    nominal = situation.nominal_in(unit)
    if nominal is None:
        return None
    finest = situation.finest[unit]
    if bare["sign"]:
        return _counted(bare, nominal=nominal, typed=typed, unit=unit, situation=situation)
    plain = Decimal(bare["digits"])
    if situation.bands[ReadingForm.ABSOLUTE].holds(in_metres(plain, unit)):
        return _plain_digits(
            bare["digits"], nominal=nominal, typed=typed, unit=unit, situation=situation
        )
    near, far = _ending_in(bare["digits"], nominal=nominal, finest=finest)
    if not situation.bands[ReadingForm.ABSOLUTE].holds(in_metres(near, unit)):
        return None
    if not _nearest_by_far(near, nominal=nominal, digits=bare["digits"], finest=finest):
        shown = " or ".join(f"{one} {unit}" for one in sorted((near, far)))
        raise InputError(
            Fault(
                given=bare["digits"],
                allowed=f"{situation.label}: this could be {shown}",
                action="type more digits",
            )
        )
    return _resolved(
        _value(near, typed=typed, unit=unit),
        typed=typed,
        form=ReadingForm.ABSOLUTE,
        how=How.LAST_DIGITS,
        situation=situation,
    )


def _plain_digits(
    digits: str, *, nominal: Decimal, typed: str, unit: str, situation: Situation
) -> Resolved:
    """Whole digits that can be the value itself; they may have been meant as its last ones."""
    finest = situation.finest[unit]
    near, _ = _ending_in(digits, nominal=nominal, finest=finest)
    plain = Decimal(digits)
    clear = _nearest_by_far(near, nominal=nominal, digits=digits, finest=finest)
    return _resolved(
        _value(plain, typed=typed, unit=unit),
        typed=typed,
        form=ReadingForm.ABSOLUTE,
        how=How.AS_TYPED,
        situation=situation,
        alternatives=(f"{near} {unit}",) if near != plain and clear else (),
    )


def _counted(
    bare: re.Match[str], *, nominal: Decimal, typed: str, unit: str, situation: Situation
) -> Resolved | None:
    """A sign and whole digits in mm or in: so many of the finest digit from nominal."""
    if unit not in _COUNTED_UNITS or not situation.deviations:
        return None
    sign = 1 if bare["sign"] == "+" else -1
    whole = sign * Decimal(bare["digits"])
    amount = whole * situation.finest[unit]
    if abs(amount) >= Decimal(str(DEVIATION_SHARE)) * nominal:
        return None
    other: tuple[str, ...] = ()
    if whole and situation.bands[ReadingForm.DEVIATION].holds(in_metres(whole, unit)):
        other = (_sum_text(whole, unit=unit, situation=situation),)
    return _resolved(
        _value(amount, typed=typed, unit=unit, signed=True),
        typed=typed,
        form=ReadingForm.DEVIATION,
        how=How.DEVIATION,
        situation=situation,
        alternatives=other,
    )


def _ending_in(digits: str, *, nominal: Decimal, finest: Decimal) -> tuple[Decimal, Decimal]:
    """The two positive numbers nearest to ``nominal`` whose last digits are these."""
    step = finest.scaleb(len(digits))
    ending = Decimal(digits) * finest
    lower = ending + (nominal - ending) // step * step
    if lower > nominal:  # Decimal // rounds towards zero
        lower -= step
    both = [one.quantize(finest) for one in (lower, lower + step)]
    if both[0] <= 0:
        both = [one + step for one in both]
    both.sort(key=lambda one: abs(one - nominal))
    return both[0], both[1]


def _nearest_by_far(near: Decimal, *, nominal: Decimal, digits: str, finest: Decimal) -> bool:
    """Whether a size worn by as much as the other one is off would be a surprise: twice as far."""
    return 3 * abs(near - nominal) <= finest.scaleb(len(digits))


def _resolved(
    value: TypedValue,
    *,
    typed: str,
    form: ReadingForm,
    how: How,
    situation: Situation,
    alternatives: tuple[str, ...] = (),
) -> Resolved:
    feature = situation.feature
    fault = doubt(
        value, band=situation.bands[form], form=form, label=situation.label, feature=feature
    )
    if fault is not None and form is ReadingForm.DEVIATION and feature.nominal_m is None:
        raise InputError(fault)  # no yes makes a size of it: there is nothing to count from
    return Resolved(
        text=typed,
        value_m=value.quantity.value_si,
        form=form,
        bound=value.bound,
        unit=value.quantity.unit,
        shown=_shown(value, form=form, situation=situation),
        how=how,
        alternatives=alternatives,
        doubt="" if fault is None else _asked(fault),
    )


def _asked(fault: Fault) -> str:
    """The question that a value which cannot be gives rise to, without the text as typed."""
    return Fault(given="", allowed=fault.allowed, action=fault.action).sentence()


def _shown(value: TypedValue, *, form: ReadingForm, situation: Situation) -> str:
    quantity = value.quantity
    number = f"{abs(quantity.decimal):f} {quantity.unit}"
    if value.bound is not Bound.NONE:
        return f"{value.bound.value} {number}"
    if form is ReadingForm.WIDTH:
        return f"{number} wide"
    if form is ReadingForm.DEVIATION:
        return _sum_text(quantity.decimal, unit=quantity.unit, situation=situation)
    signed = quantity.decimal != 0 and not situation.feature.positive and value.signed
    if quantity.decimal < 0:
        return f"{_MINUS}{number}"
    return f"+{number}" if signed else number


def _sum_text(amount: Decimal, *, unit: str, situation: Situation) -> str:
    """A deviation as the size that it means: "47.980 − 0.012 = 47.968 mm"."""
    large = _LARGE_UNIT.get(unit, "mm")
    factor = UNITS[unit].factor / UNITS[large].factor
    scaled = amount * Decimal(factor.numerator) / Decimal(factor.denominator)
    nominal = situation.nominal_in(large) or Decimal(0)
    decimals = max(decimals_of(nominal), min(decimals_of(scaled), 6))
    place = Decimal(1).scaleb(-decimals)
    start, part = nominal.quantize(place), scaled.quantize(place, rounding=ROUND_HALF_UP)
    sign = _MINUS if part < 0 else "+"
    return f"{start:f} {sign} {abs(part):f} = {start + part:f} {large}"


def _value(number: Decimal, *, typed: str, unit: str, signed: bool = False) -> TypedValue:
    quantity = Parsed(value_si=in_metres(number, unit), text=typed, unit=unit, decimal=number)
    return TypedValue(quantity=quantity, signed=signed)
