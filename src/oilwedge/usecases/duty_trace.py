"""A measured pressure trace from a table: columns "angle [deg]" and "pressure [bar]".

The angle counts from top dead centre of firing, the pressure is absolute; "gauge pressure [bar]"
in place of it is taken with the pressure of the air, 1.01325 bar, added. Any unit of angle and
pressure stands in the brackets. Comma, semicolon or tab part the columns.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from oilwedge.errors import Fault, InputError, ReadingsError, Where
from oilwedge.film.gas_pressure import PressureTrace, Strokes, pressure_trace
from oilwedge.unit_table import Dimension
from oilwedge.usecases.headed_columns import LARGEST_BYTES, Headings, read_columns

__all__ = ["AIR_PRESSURE_PA", "LARGEST_BYTES", "read_pressure_trace"]

AIR_PRESSURE_PA: Final = 101_325.0
"""What a gauge pressure is short of: the standard atmosphere."""

_ANGLE, _PRESSURE, _GAUGE = "angle", "pressure", "gauge pressure"
_HEADINGS: Final = Headings(
    table="a pressure trace",
    columns={
        _ANGLE: Dimension.ANGLE,
        _PRESSURE: Dimension.PRESSURE,
        _GAUGE: Dimension.PRESSURE,
    },
    needed="a trace has the columns angle [deg] and pressure [bar], or gauge pressure [bar]",
)


def read_pressure_trace(data: bytes, *, file: str, strokes: Strokes) -> PressureTrace:
    """The trace in a CSV file's bytes; ``file`` is its name in sentences.

    ReadingsError, with file, row and column, for what is no such table or no whole cycle.
    """
    where = Where(file=file)
    columns = read_columns(data, file=file, headings=_HEADINGS)
    if sorted(columns) not in ([_ANGLE, _PRESSURE], [_ANGLE, _GAUGE]):
        raise ReadingsError(Fault(where=where, given=", ".join(columns), allowed=_HEADINGS.needed))
    try:
        return pressure_trace(
            angle_rad=columns[_ANGLE], pressure_pa=_absolute(columns), strokes=strokes
        )
    except InputError as error:
        raise ReadingsError(*(fault.at(where) for fault in error.faults)) from None


def _absolute(columns: dict[str, NDArray[np.float64]]) -> NDArray[np.float64]:
    if _GAUGE in columns:
        return columns[_GAUGE] + AIR_PRESSURE_PA
    return columns[_PRESSURE]
