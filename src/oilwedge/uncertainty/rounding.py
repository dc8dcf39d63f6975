"""Digits cut by the uncertainty."""

from __future__ import annotations

import math
from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_HALF_UP, Context, Decimal

_CONTEXT = Context(prec=60)
_NEGLIGIBLE = Decimal("0.01")


@dataclass(frozen=True, slots=True, kw_only=True)
class Rounded:
    """A value and its uncertainty as text with the same number of decimals, without unit."""

    value_text: str
    uncertainty_text: str
    decimals: int


def round_up_uncertainty(uncertainty: float, *, significant: int = 2) -> Decimal:
    """The uncertainty with this many significant digits: to the nearest, or up.

    GUM 7.2.6 gives no more than two digits and rounds up rather than down, 10.47 to 11, save
    where common sense has it otherwise, 28.05 to 28. The rule here: to the nearest where that
    understates by no more than 1 %, else up. ValueError for a negative or infinite one.
    """
    exact = _finite_not_negative(uncertainty)
    if exact == 0:
        return Decimal(0)
    return _cut(exact, significant - 1 - exact.adjusted())


def format_with_uncertainty(
    *, value: float, uncertainty: float, unit_factor: float, maximum_decimals: int
) -> Rounded:
    """Value and uncertainty in a unit, the digits cut where the uncertainty makes them idle.

    ``unit_factor`` is the size of the unit in SI (0.001 for mm, 0.0254 for inch). The
    uncertainty gets two significant digits, less where that asks for more than
    ``maximum_decimals``; the value the same decimals. 38.2 µm with 5.9 µm, in mm to three
    decimals: 0.038 and 0.006. Halves go away from zero.

    >>> cut = format_with_uncertainty(
    ...     value=38.2e-6, uncertainty=5.9e-6, unit_factor=0.001, maximum_decimals=3
    ... )
    >>> cut.value_text, cut.uncertainty_text
    ('0.038', '0.006')
    """
    if not math.isfinite(value):
        raise ValueError(f"a finite value is needed to print it, and {value!r} was given")
    factor = Decimal(repr(float(unit_factor)))
    number = _CONTEXT.divide(Decimal(repr(float(value))), factor)
    spread = _CONTEXT.divide(_finite_not_negative(uncertainty), factor)
    places = maximum_decimals
    if spread:
        places = min(places, 1 - spread.adjusted())
        places = min(places, 1 - _cut(spread, places).adjusted())  # 0.0996 turns into 0.10
    return Rounded(
        value_text=_text(number.quantize(_step(places), ROUND_HALF_UP, _CONTEXT)),
        uncertainty_text=_text(_cut(spread, places)),
        decimals=max(0, places),
    )


def _cut(exact: Decimal, places: int) -> Decimal:
    nearest = exact.quantize(_step(places), ROUND_HALF_UP, _CONTEXT)
    if exact - nearest <= _NEGLIGIBLE * exact:
        return nearest
    return exact.quantize(_step(places), ROUND_CEILING, _CONTEXT)


def _step(places: int) -> Decimal:
    return Decimal(1).scaleb(-places)


def _text(number: Decimal) -> str:
    return f"{abs(number) if number == 0 else number:f}"


def _finite_not_negative(uncertainty: float) -> Decimal:
    if not (math.isfinite(uncertainty) and uncertainty >= 0.0):
        raise ValueError(f"an uncertainty is finite and not negative, {uncertainty!r} given")
    return Decimal(repr(float(uncertainty)))
