"""What an oil is like, by grade and by data sheet."""

from __future__ import annotations

import pytest

from oilwedge.errors import InputError
from oilwedge.film.oil import Reach
from oilwedge.usecases.oil_query import (
    BAND_NOTE,
    DENSITY_NOTE,
    SHEAR_NOTE,
    USUAL_TEMPERATURES_C,
    OilAnswer,
    ask_oil,
)

# Invented values, like those of a 5W-30.
SHEET = ("40C=68 mm2/s", "100C=11.5 mm2/s", "15C=860 kg/m3", "HTHS=3.1 mPa.s")


def ask(grade: str = "", *sheet: str, at: tuple[str, ...] = ()) -> OilAnswer:
    return ask_oil(grade=grade, data_sheet=sheet, at=at, shear_rate_per_s=1e6)


def test_a_grade_alone_is_a_band_and_says_so() -> None:
    answer = ask("5W-30", at=("100C",))
    assert not answer.band.measured
    (row,) = answer.rows
    assert row.kinematic_m2_s.low == pytest.approx(9.3e-6)
    assert row.kinematic_m2_s.high == pytest.approx(12.5e-6)
    assert row.fast_pa_s.low < row.dynamic_pa_s.low
    assert answer.notes == (BAND_NOTE,)


def test_a_data_sheet_is_one_value() -> None:
    answer = ask("", *SHEET, at=("100C", "150C"))
    first, last = answer.rows
    assert first.kinematic_m2_s.low == first.kinematic_m2_s.high == pytest.approx(11.5e-6)
    assert last.fast_pa_s.low == pytest.approx(3.1e-3)
    assert first.reach is Reach.MEASURED
    assert last.reach is Reach.EXTRAPOLATED
    assert answer.notes == (
        "Rows with * are extrapolated: the viscosity is known between 40 and 100 °C, and the rest"
        " follows the law of ASTM D341.",
    )


def test_without_temperatures_there_is_a_table() -> None:
    answer = ask("", *SHEET)
    assert tuple(row.temperature_c for row in answer.rows) == USUAL_TEMPERATURES_C


def test_what_the_sheet_leaves_out_is_said() -> None:
    answer = ask("", *SHEET[:2], at=("60C",))
    assert answer.notes == (DENSITY_NOTE, SHEAR_NOTE)
    (row,) = answer.rows
    assert row.kinematic_m2_s.low == row.kinematic_m2_s.high
    assert row.dynamic_pa_s.high / row.dynamic_pa_s.low == pytest.approx(890 / 840)


def test_a_sheet_that_keeps_its_grade_brings_no_note() -> None:
    assert ask("5W-30", *SHEET, at=("60C",)).notes == ()


@pytest.mark.parametrize(
    ("grade", "words"),
    [
        ("5W-40", "gives 11.5 mm²/s at 100 °C; 5W-40 asks for 12.5 to 16.3"),
        ("ISO VG 46", "gives 68 mm²/s at 40 °C; ISO VG 46 asks for 41.4 to 50.6"),
        ("25W", "gives 11.5"),
        ("5W-40", "gives 3.1 mPa s in fast shear at 150 °C; 5W-40 asks for 3.5 or more"),
    ],
)
def test_a_sheet_that_does_not_keep_its_grade_is_told(grade: str, words: str) -> None:
    notes = " ".join(ask(grade, *SHEET, at=("60C",)).notes)
    assert (words in notes) is (grade != "25W")  # 25W has no upper limit and is kept


def test_nothing_to_go_by_is_told() -> None:
    with pytest.raises(InputError, match="A grade, the values of a data sheet, or both"):
        ask("  ")


@pytest.mark.parametrize("rate", [-1.0, float("nan"), float("inf")])
def test_a_shear_rate_that_cannot_be_is_refused(rate: float) -> None:
    with pytest.raises(InputError, match="a shear rate is 0 1/s or more"):
        ask_oil(grade="5W-30", data_sheet=(), at=(), shear_rate_per_s=rate)
