"""The header of a table of readings: which column is which, and the units written in it."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from difflib import get_close_matches
from enum import Enum

from oilwedge.errors import Fault, LineWord, ReadingsError, UnitError, Where
from oilwedge.units import Dimension, find_unit
from oilwedge.usecases.importing.names import plain


class Column(Enum):
    """A column that means something; the value is its name in a table."""

    __hash__ = object.__hash__  # members are looked up for every cell; Enum's own is slower

    EVENT = "event"
    FEATURE = "feature"
    NUMBER = "number"
    PLACE = "place"
    DIRECTION = "direction"
    VALUE = "value"
    UNIT = "unit"
    INSTRUMENT = "instrument"
    PERSON = "person"
    TIME = "time"
    TEMPERATURE = "temperature"
    PART_TEMPERATURE = "part temperature"
    INSTRUMENT_TEMPERATURE = "instrument temperature"
    FITTING = "fitting"
    REFIT = "refit"
    REPEAT = "repeat"
    SETTING = "setting"
    ID = "id"
    REPLACES = "replaces"
    NOTE = "note"
    FAULT = "fault"


_SYNONYMS: Mapping[Column, tuple[str, ...]] = {
    Column.EVENT: ("events", "what happened"),
    Column.FEATURE: ("part", "subject", "what", "item"),
    Column.NUMBER: ("no", "nr", "num", "#"),
    Column.PLACE: ("position", "location", "where"),
    Column.DIRECTION: ("angle", "orientation"),
    Column.VALUE: ("reading", "measurement", "measured", "measured value", "size"),
    Column.UNIT: ("units",),
    Column.INSTRUMENT: ("gauge", "gage", "measured with", "strip"),
    Column.PERSON: ("who", "name", "operator", "measured by"),
    Column.TIME: ("date", "datetime", "date time", "when", "timestamp"),
    Column.TEMPERATURE: ("temp", "room temperature"),
    Column.PART_TEMPERATURE: ("part temp",),
    Column.INSTRUMENT_TEMPERATURE: ("instrument temp", "gauge temperature"),
    Column.FITTING: (),
    Column.REFIT: ("refitted",),
    Column.REPEAT: ("rep", "repeats", "series"),
    Column.SETTING: ("zeroing",),
    Column.ID: ("reading id",),
    Column.REPLACES: ("corrects",),
    Column.NOTE: ("notes", "remark", "remarks", "comment", "comments"),
    Column.FAULT: (),
}
_NAMES: Mapping[str, Column] = {
    plain(name) or name: column
    for column, synonyms in _SYNONYMS.items()
    for name in (column.value, *synonyms)
}
_DIMENSIONS: Mapping[Column, Dimension] = {
    Column.VALUE: Dimension.LENGTH,
    Column.TEMPERATURE: Dimension.TEMPERATURE,
    Column.PART_TEMPERATURE: Dimension.TEMPERATURE,
    Column.INSTRUMENT_TEMPERATURE: Dimension.TEMPERATURE,
}
_BRACKETS = re.compile(r"(.*?)\s*[\[(]\s*([^\[\]()]*?)\s*[\])]\s*")
MAXIMUM_COLUMNS = 200


@dataclass(frozen=True, kw_only=True, slots=True)
class Columns:
    """Where each column is; ``units`` are canonical names; ``ignored`` mean nothing here."""

    index: Mapping[Column, int]
    header: tuple[str, ...] = ()
    units: Mapping[Column, str] = field(default_factory=dict)
    ignored: tuple[str, ...] = ()

    def at(self, column: Column) -> int:
        """Index of a column; -1 when the table has none."""
        return self.index.get(column, -1)

    def name(self, column: Column) -> str:
        """The column as the table writes it."""
        return self.header[self.index[column]].strip() if column in self.index else column.value


def recognised(header: Sequence[str]) -> int:
    """How many columns of a header mean something; to find header and separator."""
    return sum(_split_unit(cell)[0] is not None for cell in header[:MAXIMUM_COLUMNS])


def read_header(header: Sequence[str], *, file: str, row: int) -> Columns:
    """The columns of a header; raises :class:`ReadingsError` with all that is wrong with it."""
    where = Where(file=file, line=row, unit=LineWord.ROW)
    faults: list[Fault] = []
    index: dict[Column, int] = {}
    units: dict[Column, str] = {}
    ignored: list[str] = []
    for i, cell in enumerate(header):
        column, unit_text = _split_unit(cell)
        if column is None:
            if name := cell.strip():
                if near := get_close_matches(plain(name), _NAMES, n=1, cutoff=0.8):
                    faults.append(_nearly(name, near[0], where))
                else:
                    ignored.append(name)
            continue
        if column in index:
            faults.append(_twice(column, header[index[column]], cell, where))
        index[column] = i
        if unit_text:
            try:
                found = find_unit(text=unit_text, dimension=_DIMENSIONS[column])
                units[column] = found.name
            except UnitError as error:
                faults += error.at(where).faults
    faults += _missing(index, where)
    if faults:
        raise ReadingsError(*faults)
    return Columns(index=index, header=tuple(header), units=units, ignored=tuple(ignored))


def _missing(index: Mapping[Column, int], where: Where) -> list[Fault]:
    if Column.EVENT in index:
        return []
    return [
        Fault(
            where=where,
            given="",
            allowed=f"there is no column '{column.value}'",
            action="the first row names the columns, at least feature, number and value [mm]",
        )
        for column in (Column.FEATURE, Column.VALUE)
        if column not in index
    ]


def _split_unit(cell: str) -> tuple[Column | None, str]:
    """The column that a header cell names and the unit written with it."""
    column = _NAMES.get(plain(cell) or cell.strip())
    if column is not None:
        return column, ""
    match = _BRACKETS.fullmatch(cell)
    if match is not None:
        column = _NAMES.get(plain(match[1]))
        return (column, match[2]) if column in _DIMENSIONS or not match[2] else (None, "")
    words = plain(cell).split(" ")
    for length in (1, 2):
        column = _NAMES.get(" ".join(words[:-length]))
        if column is None or column not in _DIMENSIONS:
            continue
        if _is_unit(" ".join(words[-length:]), _DIMENSIONS[column]):
            return column, " ".join(words[-length:])
    return None, ""


def _is_unit(text: str, dimension: Dimension) -> bool:
    try:
        find_unit(text=text, dimension=dimension)
    except UnitError:
        return False
    return True


def _twice(column: Column, first: str, second: str, where: Where) -> Fault:
    names = f"'{first.strip()}' and '{second.strip()}'"
    return Fault(
        where=where,
        given="",
        allowed=f"two columns are the {column.value}: {names}",
        action="delete or rename one of them",
    )


def _nearly(name: str, near: str, where: Where) -> Fault:
    """A column that is nearly known is asked back: ignoring it could lose a whole column."""
    question = f"did you mean '{near}'?"
    return Fault(
        where=where, given=name, allowed="this is no column that is known", action=question
    )
