"""The record of a job as rows of a table that can be read in again."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from decimal import Decimal

from oilwedge.errors import UnitError
from oilwedge.job.entry import Entry, Event, EventKind
from oilwedge.metrology.instrument import Strip
from oilwedge.metrology.reading import Bound, Reading, ReadingForm
from oilwedge.shop.model import Shop
from oilwedge.units import to_unit
from oilwedge.usecases.importing.value import read_value

__all__ = ["HEADER", "table_rows"]

# The names under which a table is read; "as typed" means nothing then, and is for people.
HEADER = (
    "event", "feature", "number", "place", "direction", "value", "unit", "instrument", "person",
    "time", "part temperature", "instrument temperature", "fitting", "setting", "id", "replaces",
    "note", "as typed",
)  # fmt: skip
_SAME_REL, _SAME_ABS_M = 1e-9, 1e-12


def table_rows(
    entries: Iterable[Entry], *, shop: Shop, people: Mapping[str, str]
) -> tuple[tuple[str, ...], ...]:
    """One row of text for each entry that a table can hold, in order of the record.

    The value stands as it was typed where that says it all; where only the last digits were
    typed, or a deviation from a size that the table does not hold, it is written out. ``people``
    gives the name for what stands in the record. Events that the record makes itself (engine
    file, photo, closed) are left out.
    """
    rows = []
    for entry in entries:
        if isinstance(entry, Reading):
            rows.append(_reading(entry, shop=shop, people=people))
        elif entry.kind.may_stand_in_a_table:
            rows.append(_event(entry, people=people))
    return tuple(rows)


def _reading(reading: Reading, *, shop: Shop, people: Mapping[str, str]) -> tuple[str, ...]:
    value = value_text(reading, strip=shop.strips.get(reading.instrument))
    return (
        "",
        reading.feature,
        str(reading.number),
        reading.place,
        reading.direction,
        value,
        reading.unit,
        reading.instrument,
        people.get(reading.person, reading.person),
        reading.time.isoformat() if reading.time is not None else "",
        _number(reading.part_temperature_c),
        _number(reading.instrument_temperature_c),
        str(reading.fitting),
        reading.setting,
        reading.id,
        reading.replaces,
        reading.note,
        "" if value == reading.text else reading.text,
    )


def _event(event: Event, *, people: Mapping[str, str]) -> tuple[str, ...]:
    is_check = event.kind is EventKind.ZERO_CHECK
    return (
        event.kind.value,
        "" if is_check else event.subject,
        "" if event.number is None else str(event.number),
        "",
        "",
        event.value,
        "",
        (event.instrument or event.subject) if is_check else event.instrument,
        people.get(event.person, event.person),
        event.time.isoformat() if event.time is not None else "",
        "",
        "",
        "",
        "",
        event.id,
        "",
        event.note,
        "",
    )


def value_text(reading: Reading, *, strip: Strip | None) -> str:
    """The value as a table says it: as typed, or written out where that would say another one."""
    if _says_the_same(reading, strip=strip):
        return reading.text
    number = Decimal(repr(round(to_unit(value_si=reading.value_m, unit=reading.unit), 9)))
    plain = f"{number:f}"
    if reading.bound is not Bound.NONE:
        return f"{'<' if reading.bound is Bound.AT_MOST else '>'}{plain}"
    if reading.form is ReadingForm.WIDTH:
        return f"width {plain}"
    if reading.form is ReadingForm.DEVIATION and not plain.startswith("-"):
        return f"+{plain}"
    return plain


def _says_the_same(reading: Reading, *, strip: Strip | None) -> bool:
    try:
        typed = read_value(reading.text, unit=reading.unit or None, strip=strip)
    except UnitError:
        return False
    form_fits = typed.width == (reading.form is ReadingForm.WIDTH) and (
        reading.form is not ReadingForm.DEVIATION or typed.signed
    )
    same = math.isclose(
        typed.quantity.value_si, reading.value_m, rel_tol=_SAME_REL, abs_tol=_SAME_ABS_M
    )
    return form_fits and same and typed.bound is reading.bound


def _number(value: float | None) -> str:
    return "" if value is None else f"{Decimal(repr(value)):f}"
