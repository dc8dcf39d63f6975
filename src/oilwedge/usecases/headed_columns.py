"""A table whose headings carry their units, "name [unit]", in: CSV bytes to columns in SI units."""

from __future__ import annotations

import csv
import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from oilwedge.errors import Fault, InputError, LineWord, ReadingsError, Where, did_you_mean
from oilwedge.unit_table import Dimension
from oilwedge.units import find_unit, parse_number
from oilwedge.usecases.importing.tables import decoded

LARGEST_BYTES: Final = 5_000_000
"""More than any table of one cycle needs."""

_HEADING = re.compile(r"(?P<name>[^\[\]]*)\[(?P<unit>[^\[\]]*)\]")


@dataclass(frozen=True, kw_only=True, slots=True)
class Headings:
    """What a table may hold: its name in sentences, its columns, and a sentence that lists them.

    Case, and spaces or underscores, do not matter in a heading.
    """

    table: str
    columns: Mapping[str, Dimension]
    needed: str


def read_columns(data: bytes, *, file: str, headings: Headings) -> dict[str, NDArray[np.float64]]:
    """The columns of a CSV file's bytes in SI units, as many as are there, by their names.

    ``file`` is its name in sentences. Comma, semicolon or tab part the columns; rows that hold
    nothing are passed over. Errors: a :class:`ReadingsError` with file, row and column for what is
    no such table; that a column is missing is for the caller to say.
    """
    if len(data) > LARGEST_BYTES:
        raise _fault(Where(file=file), "", f"{headings.table} is at most 5 MB large")
    rows = _rows(decoded(data, file=file), file=file)
    if not rows:
        raise _fault(Where(file=file), "", "the file is empty", headings.needed)
    number, head = rows[0]
    where = Where(file=file, line=number, unit=LineWord.ROW)
    columns: dict[str, NDArray[np.float64]] = {}
    for place, cell in enumerate(head):
        name, factor = _heading(cell, where, headings)
        if name in columns:
            raise _fault(where, cell.strip(), "this column is there twice", headings.needed)
        values = [_value(row, place, name, line, file) for line, row in rows[1:]]
        columns[name] = np.array(values, dtype=np.float64) * factor
    return columns


def _rows(text: str, *, file: str) -> list[tuple[int, list[str]]]:
    """Rows that hold something, with their numbers."""
    lines = text.splitlines()
    first = next((line for line in lines if line.strip()), "")
    separator = max(";,\t", key=first.count)
    try:
        table = list(csv.reader(lines, delimiter=separator, strict=True))
    except csv.Error as error:
        raise _fault(
            Where(file=file), "", f"the table cannot be split into cells ({error})"
        ) from None
    return [(i, row) for i, row in enumerate(table, start=1) if any(c.strip() for c in row)]


def _plain(name: str) -> str:
    return " ".join(name.replace("_", " ").casefold().split())


def _heading(cell: str, where: Where, headings: Headings) -> tuple[str, float]:
    """Name of a column, and the factor of its unit."""
    match = _HEADING.fullmatch(cell.strip())
    known = {_plain(name): name for name in headings.columns}
    name = known.get(_plain(match["name"] if match else cell))
    if name is None:
        given = _plain(match["name"] if match else cell)
        action = did_you_mean(given=given, allowed=known)
        allowed = "this column is not known"
        raise _fault(where, cell.strip(), allowed, action or headings.needed)
    if match is None:
        allowed = "the unit is missing: it stands in brackets after the name"
        raise _fault(where, cell.strip(), allowed, headings.needed)
    try:
        return name, float(find_unit(text=match["unit"], dimension=headings.columns[name]).factor)
    except InputError as error:
        raise ReadingsError(*(fault.at(where) for fault in error.faults)) from None


def _value(row: list[str], place: int, name: str, number: int, file: str) -> float:
    where = Where(file=file, line=number, column=name, unit=LineWord.ROW)
    if place >= len(row) or not row[place].strip():
        raise _fault(where, "", "a value is missing", "fill it in or leave the row out")
    try:
        return float(parse_number(row[place]))
    except InputError as error:
        raise ReadingsError(*(fault.at(where) for fault in error.faults)) from None


def _fault(where: Where, given: str, allowed: str, action: str = "") -> ReadingsError:
    return ReadingsError(Fault(where=where, given=given, allowed=allowed, action=action))
