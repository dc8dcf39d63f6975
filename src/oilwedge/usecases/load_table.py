"""A table of bearing loads over the crank angle, in: CSV text to a load history."""

from __future__ import annotations

from pathlib import Path
from typing import Final

import numpy as np

from oilwedge.errors import Fault, InputError, ReadingsError, Where
from oilwedge.film.load_history import LoadHistory, close_history
from oilwedge.unit_table import Dimension
from oilwedge.usecases.headed_columns import Headings, read_columns

_NEEDED: Final = ("angle", "fx", "fy")
_HEADINGS: Final = Headings(
    table="a load table",
    columns={
        "angle": Dimension.ANGLE,
        "fx": Dimension.FORCE,
        "fy": Dimension.FORCE,
        "journal_speed": Dimension.SPEED,
    },
    needed="a load table has the columns angle [deg], fx [N], fy [N] and, if it varies,"
    " journal_speed [rpm]",
)


def read_load_table(*, path: Path, speed_rad_s: float) -> LoadHistory:
    """The load history that a CSV file holds.

    Columns ``angle [deg]``, ``fx [N]``, ``fy [N]`` and, where wanted, ``journal_speed [rpm]``, in
    any order, other units in the brackets: the force on the journal in axes fixed to the bearing,
    over one or two turns. speed_rad_s: of the crank, and of the journal relative to the bearing
    where the table does not say otherwise; the journal turns from x towards y.
    Errors: an :class:`InputError` with file, row and column; OSError where it cannot be read.
    """
    where = Where(file=path.name)
    columns = read_columns(path.read_bytes(), file=path.name, headings=_HEADINGS)
    missing = [name for name in _NEEDED if name not in columns]
    if missing:
        allowed = f"the column {missing[0]} is missing"
        raise ReadingsError(
            Fault(where=where, given=", ".join(columns), allowed=allowed, action=_HEADINGS.needed)
        )
    spin = columns.get("journal_speed", np.full(columns["angle"].size, speed_rad_s))
    try:
        return close_history(
            angle_rad=columns["angle"],
            force_x_n=columns["fx"],
            force_y_n=columns["fy"],
            journal_speed_rad_s=spin,
            turning_speed_rad_s=speed_rad_s,
        )
    except InputError as error:
        raise ReadingsError(*(fault.at(where) for fault in error.faults)) from error
