"""A measured pressure trace from a table: columns "angle [deg]" and "pressure [bar]".

The angle counts from top dead centre of firing, the pressure is absolute; "gauge pressure [bar]"
in place of it is taken with the pressure of the air, 1.01325 bar, added. Any unit of angle and
pressure stands in the brackets. Comma, semicolon or tab part the columns.
"""

from __future__ import annotations

import csv
import re

import numpy as np
from numpy.typing import NDArray

from oilwedge.errors import Fault, InputError, LineWord, ReadingsError, Where, did_you_mean
from oilwedge.film.gas_pressure import PressureTrace, Strokes, pressure_trace
from oilwedge.units import Dimension, find_unit, parse_number
from oilwedge.usecases.importing.tables import decoded

__all__ = ["AIR_PRESSURE_PA", "LARGEST_BYTES", "read_pressure_trace"]

AIR_PRESSURE_PA = 101_325.0
"""What a gauge pressure is short of: the standard atmosphere."""

LARGEST_BYTES = 5_000_000
"""More than any trace needs."""

_ANGLE, _PRESSURE, _GAUGE = "angle", "pressure", "gauge pressure"
_DIMENSIONS = {
    _ANGLE: Dimension.ANGLE,
    _PRESSURE: Dimension.PRESSURE,
    _GAUGE: Dimension.PRESSURE,
}
_HEADER = re.compile(r"(?P<name>[^\[\]]*)\[(?P<unit>[^\[\]]*)\]")
_NEEDED = "a trace has the columns angle [deg] and pressure [bar], or gauge pressure [bar]"


def read_pressure_trace(data: bytes, *, file: str, strokes: Strokes) -> PressureTrace:
    """The trace in a CSV file's bytes; ``file`` is its name in sentences.

    ReadingsError, with file, row and column, for what is no such table or no whole cycle.
    """
    if len(data) > LARGEST_BYTES:
        raise _fault(Where(file=file), "", "a pressure trace is at most 5 MB large")
    rows = _rows(decoded(data, file=file), file=file)
    if not rows:
        raise _fault(Where(file=file), "", "the file is empty", _NEEDED)
    number, head = rows[0]
    where = Where(file=file, line=number, unit=LineWord.ROW)
    columns = [_column(cell, where) for cell in head]
    names = [name for name, _ in columns]
    if sorted(names) not in ([_ANGLE, _PRESSURE], [_ANGLE, _GAUGE]):
        raise _fault(where, ", ".join(cell.strip() for cell in head), _NEEDED)
    values = {
        name: np.array([_value(row, i, name, n, file) for n, row in rows[1:]])
        for i, (name, _) in enumerate(columns)
    }
    factors = dict(columns)
    angle = values[_ANGLE] * factors[_ANGLE]
    pressure = _absolute(values, factors)
    try:
        return pressure_trace(angle_rad=angle, pressure_pa=pressure, strokes=strokes)
    except InputError as error:
        raise ReadingsError(*(fault.at(Where(file=file)) for fault in error.faults)) from None


def _absolute(
    values: dict[str, NDArray[np.float64]], factors: dict[str, float]
) -> NDArray[np.float64]:
    if _GAUGE in values:
        return values[_GAUGE] * factors[_GAUGE] + AIR_PRESSURE_PA
    return values[_PRESSURE] * factors[_PRESSURE]


def _fault(where: Where, given: str, allowed: str, action: str = "") -> ReadingsError:
    return ReadingsError(Fault(where=where, given=given, allowed=allowed, action=action))


def _rows(text: str, *, file: str) -> list[tuple[int, list[str]]]:
    """Rows that hold something, with their numbers."""
    lines = text.splitlines()
    first = next((line for line in lines if line.strip()), "")
    separator = max(",;\t", key=first.count)
    try:
        table = list(csv.reader(lines, delimiter=separator, strict=True))
    except csv.Error as error:
        raise _fault(
            Where(file=file), "", f"the table cannot be split into cells ({error})"
        ) from None
    return [(i, row) for i, row in enumerate(table, start=1) if any(c.strip() for c in row)]


def _column(cell: str, where: Where) -> tuple[str, float]:
    """Name of a column, and the factor of its unit."""
    match = _HEADER.fullmatch(cell.strip())
    if match is None:
        raise _fault(where, cell.strip(), "the unit stands in brackets after the name", _NEEDED)
    name = " ".join(match["name"].replace("_", " ").casefold().split())
    if name not in _DIMENSIONS:
        action = did_you_mean(given=name, allowed=_DIMENSIONS)
        raise _fault(where, cell.strip(), "this column is not known", action or _NEEDED)
    try:
        return name, float(find_unit(text=match["unit"], dimension=_DIMENSIONS[name]).factor)
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
