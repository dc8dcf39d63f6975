"""A row that says what happened: its cells as events."""

from __future__ import annotations

import datetime
from dataclasses import dataclass, replace

from oilwedge.engine.model import Engine
from oilwedge.errors import Fault, InputError
from oilwedge.job.entry import Event, EventKind
from oilwedge.usecases.importing.columns import Column
from oilwedge.usecases.importing.names import Names, SubjectSort, numbers_of
from oilwedge.usecases.importing.part_words import (
    read_check,
    read_condition,
    read_kind,
    read_step,
    read_work,
)

_WITHOUT_SUBJECT = frozenset(
    {EventKind.NOTE, EventKind.SIGNED, EventKind.CONFIRMED, EventKind.DECISION}
)
_OF_FEATURES = frozenset({EventKind.SIZE, EventKind.CONFIRMED, EventKind.SKIPPED})


class CellError(Exception):
    """A cell that cannot be read: the column, and the error without a place."""

    def __init__(self, column: Column, error: InputError) -> None:
        super().__init__(str(error))
        self.column = column
        self.error = error


@dataclass(frozen=True, kw_only=True, slots=True)
class EventCells:
    """The cells of an event row, as typed."""

    id: str
    event: str
    subject: str = ""
    number: str = ""
    value: str = ""
    instrument: str = ""
    person: str = ""
    time: datetime.datetime | None = None
    note: str = ""
    origin: str = ""


def read_events(cells: EventCells, *, engine: Engine, names: Names) -> tuple[Event, ...]:
    """The events of one row: one, or one for each number of a range.

    Raises :class:`CellError` for the first cell that cannot be read.
    """
    try:
        kind = read_kind(cells.event)
    except InputError as error:
        raise CellError(Column.EVENT, error) from None
    instrument = _instrument(cells, kind, names)
    if kind is EventKind.ZERO_CHECK:
        subject, numbers = instrument, None
    else:
        subject, numbers = _subject(cells, kind, engine=engine, names=names)
    event = _with_value(cells, kind, subject=subject, instrument=instrument, engine=engine)
    if numbers is None or len(numbers) == 1:
        return (replace(event, number=None if numbers is None else numbers[0]),)
    return tuple(replace(event, number=number, id=f"{event.id}/{number}") for number in numbers)


def _instrument(cells: EventCells, kind: EventKind, names: Names) -> str:
    text = cells.instrument
    if not text and kind is EventKind.ZERO_CHECK:
        text = cells.subject
        if not text:
            fault = Fault(given="", allowed="a zero check names the instrument that was checked")
            raise CellError(Column.INSTRUMENT, InputError(fault))
    try:
        return names.instrument(text) if text else ""
    except InputError as error:
        raise CellError(Column.INSTRUMENT, error) from None


def _subject(
    cells: EventCells, kind: EventKind, *, engine: Engine, names: Names
) -> tuple[str, tuple[int, ...] | None]:
    if not cells.subject:
        if kind in _WITHOUT_SUBJECT:
            return "", None
        fault = Fault(
            given="", allowed=f"'{kind.value}' needs the part or feature that it is about"
        )
        raise CellError(Column.FEATURE, InputError(fault))
    try:
        first = SubjectSort.FEATURE if kind in _OF_FEATURES else SubjectSort.PART
        key, own = names.subject(cells.subject, first=first)
    except InputError as error:
        raise CellError(Column.FEATURE, error) from None
    feature = engine.features.get(key)
    try:
        count = feature.count if feature is not None else _count_of_part(key, engine)
        text = cells.number or ("" if own is None else str(own))
        title = feature.title if feature is not None else engine.part_titles.get(key, key)
        numbers = numbers_of(text, title=title, count=count)
    except InputError as error:
        raise CellError(Column.NUMBER, error) from None
    if own is not None and numbers is not None and numbers != (own,):
        fault = Fault(
            given=cells.number, allowed=f"the feature cell says {own}", action="make both the same"
        )
        raise CellError(Column.NUMBER, InputError(fault))
    return key, numbers


def _count_of_part(key: str, engine: Engine) -> int:
    return max([f.count for f in engine.features.values() if key in f.parts], default=1)


def undersize_factor_of(key: str, engine: Engine) -> float:
    """Of a feature its own; of a part the first one that is not 0 among its features."""
    feature = engine.features.get(key)
    if feature is not None:
        return feature.undersize_factor
    factors = [f.undersize_factor for f in engine.features.values() if key in f.parts]
    return next((factor for factor in factors if factor), 0.0)


def _with_value(
    cells: EventCells, kind: EventKind, *, subject: str, instrument: str, engine: Engine
) -> Event:
    value, step_m, work = cells.value, None, None
    try:
        if kind is EventKind.CONDITION:
            value = read_condition(value).value
        elif kind is EventKind.ZERO_CHECK:
            value = read_check(value)
        elif kind is EventKind.SIZE:
            step_m = read_step(value, undersize_factor=undersize_factor_of(subject, engine))
        elif kind is EventKind.WORK:
            factor = undersize_factor_of(subject, engine)
            work, step_m = read_work(value, undersize_factor=factor)
    except InputError as error:
        raise CellError(Column.VALUE, error) from None
    return Event(
        id=cells.id,
        kind=kind,
        subject=subject,
        value=value,
        step_m=step_m,
        work=work,
        instrument=instrument,
        person=cells.person,
        time=cells.time,
        note=cells.note,
        origin=cells.origin,
    )
