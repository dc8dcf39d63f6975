"""A pressure trace from a table: units in brackets, and one sentence for what is wrong."""

from __future__ import annotations

import math

import numpy as np
import pytest

from oilwedge.errors import ReadingsError
from oilwedge.film.gas_pressure import PressureTrace, Strokes
from oilwedge.usecases.duty_trace import read_pressure_trace

DEGREES = range(-360, 361, 5)


def bar(degrees: float) -> float:
    """Invented: 1 bar, and 50 bar more 10° after firing top dead centre."""
    return 1.0 + 50.0 * math.exp(-8.0 * math.radians(degrees - 10.0) ** 2)


def read(text: str, *, strokes: Strokes = Strokes.FOUR) -> PressureTrace:
    return read_pressure_trace(text.encode(), file="trace.csv", strokes=strokes)


def table(head: str = "angle [deg],pressure [bar]", *, row: str = "{0},{1}") -> str:
    return "\n".join([head, *(row.format(d, bar(d)) for d in DEGREES)])


def test_a_table_in_degrees_and_bar_is_taken() -> None:
    found = read(table())
    assert found.peak_pressure_pa == pytest.approx(51e5)
    assert math.degrees(found.peak_angle_rad) == pytest.approx(10.0)
    assert len(found.angle_rad) == 144  # the last point repeats the first


@pytest.mark.parametrize(
    ("text", "peak_pa"),
    [
        (table("pressure [bar];angle [°]", row="{1};{0}"), 51e5),
        (table("Angle [deg]\tPressure [MPa]", row="{0}\t{1}"), 51e6),
        (table("angle [deg],gauge pressure [bar]"), 51e5 + 101_325.0),
        ("\n" + table().replace("\n-360", "\n\n-360"), 51e5),
    ],
)
def test_other_separators_units_and_gauge_pressures_are_taken(text: str, peak_pa: float) -> None:
    assert read(text).peak_pressure_pa == pytest.approx(peak_pa)


def test_angles_may_be_in_radians() -> None:
    rows = [f"{math.radians(d)!r},{bar(d)!r}" for d in DEGREES]
    found = read("\n".join(["angle [rad],pressure [bar]", *rows]))
    np.testing.assert_allclose(found.at(math.radians(10.0)), 51e5)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "trace.csv: the file is empty"),
        (
            table("angle,pressure [bar]"),
            "trace.csv, row 1: given 'angle'; the unit is missing: it stands in",
        ),
        (table("angle [deg],pressure [kg]"), "trace.csv, row 1.*kg"),
        (table("angle [deg],presure [bar]"), "did you mean 'pressure'"),
        (table("angle [deg],angle [deg]"), "a trace has the columns"),
        (table().replace("0,1.", "0,x1.", 1), "trace.csv, row 2, column pressure"),
        (table() + "\n400", "row 147, column pressure: a value is missing"),
        ("angle [deg],pressure [bar]\n0,50\n90,5\n180,1\n", "trace.csv: given 'no point between"),
        (table("angle [deg],pressure [bar]") + "\n365,1", "trace.csv: .*one cycle only"),
        ('angle [deg],pressure [bar]\n"0,1', "cannot be split into cells"),
    ],
)
def test_what_is_wrong_is_told_with_its_place(text: str, words: str) -> None:
    with pytest.raises(ReadingsError, match=words):
        read(text)


def test_a_file_that_is_too_large_is_refused_unread() -> None:
    with pytest.raises(ReadingsError, match="5 MB"):
        read_pressure_trace(b"0" * 5_000_001, file="trace.csv", strokes=Strokes.FOUR)
