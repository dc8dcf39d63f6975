"""A table of bearing loads over the crank angle, in: CSV text to a load history."""

from __future__ import annotations

import csv
import re
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from oilwedge.errors import Fault, InputError, LineWord, ReadingsError, Where, did_you_mean
from oilwedge.film.load_history import LoadHistory, close_history
from oilwedge.unit_table import Dimension, Unit
from oilwedge.units import find_unit, parse_number

Array = NDArray[np.float64]

_LARGEST_BYTES = 5_000_000
_COLUMNS = {
    "angle": Dimension.ANGLE,
    "fx": Dimension.FORCE,
    "fy": Dimension.FORCE,
    "journal_speed": Dimension.SPEED,
}
_NEEDED = ("angle", "fx", "fy")
_HEAD = re.compile(r"\s*(?P<name>[^\[\]]*?)\s*\[(?P<unit>[^\[\]]*)\]\s*")


def read_load_table(*, path: Path, speed_rad_s: float) -> LoadHistory:
    """The load history that a CSV file holds.

    Columns ``angle [deg]``, ``fx [N]``, ``fy [N]`` and, where wanted, ``journal_speed [rpm]``, in
    any order, other units in the brackets: the force on the journal in axes fixed to the bearing,
    over one or two turns. speed_rad_s: of the crank, and of the journal relative to the bearing
    where the table does not say otherwise; the journal turns from x towards y.
    Errors: an :class:`InputError` with file, row and column; OSError where it cannot be read.
    """
    name = path.name
    rows = _rows(path)
    heads = _heads(rows[0], name)
    columns: dict[str, list[float]] = {head: [] for head in heads}
    for number, row in enumerate(rows[1:], start=2):
        if not any(cell.strip() for cell in row):
            continue
        for head, (place, unit) in heads.items():
            columns[head].append(_number(row, place, unit, name, number, head))
    arrays = {head: np.array(column, dtype=np.float64) for head, column in columns.items()}
    spin = arrays.get("journal_speed", np.full(arrays["angle"].size, speed_rad_s))
    try:
        return close_history(
            angle_rad=arrays["angle"],
            force_x_n=arrays["fx"],
            force_y_n=arrays["fy"],
            journal_speed_rad_s=spin,
            turning_speed_rad_s=speed_rad_s,
        )
    except InputError as error:
        raise ReadingsError(*(fault.at(Where(file=name)) for fault in error.faults)) from error


def _rows(path: Path) -> list[list[str]]:
    content = path.read_bytes()
    if len(content) > _LARGEST_BYTES:
        raise _fault(path.name, given="", allowed="a load table is at most 5 MB large")
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = content.decode("latin-1")
    lines = text.splitlines()
    if not lines or "\0" in text:
        raise _fault(
            path.name,
            given="",
            allowed="a CSV table is needed, with the columns angle [deg], fx [N], fy [N]",
        )
    mark = max(";\t,", key=lines[0].count)
    try:
        return list(csv.reader(lines, delimiter=mark))
    except csv.Error as error:
        raise _fault(path.name, given="", allowed=f"this is no CSV table ({error})") from error


def _heads(cells: list[str], name: str) -> dict[str, tuple[int, Unit]]:
    """Place and unit of each column."""
    heads: dict[str, tuple[int, Unit]] = {}
    for place, cell in enumerate(cells):
        match = _HEAD.fullmatch(cell)
        head = (match["name"] if match else cell).strip().casefold().replace(" ", "_")
        where = Where(file=name, line=1, unit=LineWord.ROW)
        if head not in _COLUMNS or head in heads:
            twice = "is there twice" if head in heads else "is not known"
            raise ReadingsError(
                Fault(
                    where=where,
                    given=cell.strip(),
                    allowed=f"this column {twice}; allowed are angle [deg], fx [N], fy [N] and"
                    " journal_speed [rpm]",
                    action=did_you_mean(given=head, allowed=_COLUMNS),
                )
            )
        if match is None:
            raise ReadingsError(
                Fault(
                    where=where,
                    given=cell.strip(),
                    allowed="the unit is missing in the heading",
                    action="write it in brackets, as in angle [deg] or fx [N]",
                )
            )
        try:
            heads[head] = place, find_unit(text=match["unit"], dimension=_COLUMNS[head])
        except InputError as error:
            raise error.at(where) from error
    missing = [head for head in _NEEDED if head not in heads]
    if missing:
        raise _fault(
            name,
            given=", ".join(cell.strip() for cell in cells),
            allowed=f"the column {missing[0]} is missing; needed are angle [deg], fx [N] and"
            " fy [N]",
        )
    return heads


def _number(row: list[str], place: int, unit: Unit, name: str, number: int, head: str) -> float:
    where = Where(file=name, line=number, column=head, unit=LineWord.ROW)
    if place >= len(row) or not row[place].strip():
        raise ReadingsError(
            Fault(where=where, given="", allowed="a value is missing", action="fill it in")
        )
    try:
        value = parse_number(row[place])
    except InputError as error:
        raise error.at(where) from error
    return float(value) * float(unit.factor)


def _fault(name: str, *, given: str, allowed: str) -> ReadingsError:
    return ReadingsError(Fault(where=Where(file=name), given=given, allowed=allowed))
