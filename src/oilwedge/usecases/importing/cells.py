"""Cells of a row that are neither names nor values: time, temperature, whole numbers, yes or no."""

from __future__ import annotations

import datetime
import re

from oilwedge.errors import Fault, InputError, UnitError
from oilwedge.units import Dimension, parse_quantity, to_unit

COLDEST_C = -20.0
WARMEST_C = 50.0
_YES = frozenset({"yes", "y", "true", "x", "1", "refit", "refitted", "r"})
_NO = frozenset({"", "no", "n", "false", "0", "-"})


def read_time(text: str) -> datetime.datetime:
    """A time after ISO 8601, with or without a zone; a date alone is its midnight."""
    bare = text.strip()
    try:
        if not re.match(r"\d{4}-?\d\d-?\d\d", bare):
            raise ValueError(bare)
        return datetime.datetime.fromisoformat(bare)
    except ValueError:
        raise InputError(
            Fault(
                given=bare,
                allowed="a time is written year first, such as 2026-03-01 14:05",
            )
        ) from None


def read_temperature_c(text: str, *, unit: str | None) -> float:
    """A temperature in degrees Celsius, from -20 to 50 °C; without a unit °C is meant."""
    bare = text.strip()
    try:
        quantity = parse_quantity(bare, dimension=Dimension.TEMPERATURE, default_unit=unit or "°C")
    except UnitError as error:
        first = error.faults[0]
        raise InputError(Fault(given=bare, allowed=first.allowed, action=first.action)) from None
    if unit is not None and quantity.unit != unit:
        raise InputError(
            Fault(
                given=bare,
                allowed=f"the cell says {quantity.unit} and the header says {unit}",
                action="leave one of the two units out",
            )
        )
    celsius = quantity.unit == "°C"
    value_c = float(quantity.decimal) if celsius else _celsius(quantity.value_si)
    if not COLDEST_C <= value_c <= WARMEST_C:
        as_f = (float(quantity.decimal) - 32.0) / 1.8
        likely = celsius and COLDEST_C <= as_f <= WARMEST_C
        raise InputError(
            Fault(
                given=bare,
                allowed="parts are measured between -20 and 50 °C",
                action=f"did you mean {quantity.decimal:f} °F ({as_f:.1f} °C)?" if likely else "",
            )
        )
    return value_c


def _celsius(value_k: float) -> float:
    return round(to_unit(value_si=value_k, unit="°C"), 6)


def read_count(text: str, *, what: str) -> int:
    """A whole number from 1 up; a spreadsheet may have written it "2.0"."""
    bare = text.strip()
    match = re.fullmatch(r"0*([1-9]\d{0,3})(?:[.,]0+)?", bare)
    if match is None:
        raise InputError(Fault(given=bare, allowed=f"a {what} is a whole number from 1 up"))
    return int(match[1])


def read_yes(text: str, *, what: str) -> bool:
    """Yes or no; empty is no."""
    word = text.strip().casefold()
    if word in _YES:
        return True
    if word in _NO:
        return False
    raise InputError(Fault(given=text.strip(), allowed=f"{what} is yes or no"))


def marks_refit(repeat: str) -> bool:
    """Whether a repeat cell says that the part or gauge was taken off and put back ("2 refit")."""
    return re.search(r"refit|\d\s*r$", repeat.casefold()) is not None
