"""The lines of a data sheet as typed."""

from __future__ import annotations

import pytest

from oilwedge.errors import InputError
from oilwedge.usecases.oil_data_sheet import read_data_sheet, read_temperature_c

TWO = ("40C=68 mm2/s", "100C=10.5 cSt")


@pytest.mark.parametrize(
    ("text", "celsius"), [("110C", 110.0), ("110", 110.0), ("230 F", 110.0), ("383.15 K", 110.0)]
)
def test_a_temperature_is_read_in_any_unit(text: str, celsius: float) -> None:
    assert read_temperature_c(text) == pytest.approx(celsius, abs=1e-8)


def test_lines_may_stand_apart_or_together() -> None:
    apart = read_data_sheet([*TWO, "15C=870 kg/m3", "HTHS=3.5 mPa.s"])
    together = read_data_sheet(["40C=68 mm2/s; 100C=10.5 cSt, 15 C = 0.87 g/cm3; 150C=3,5 cP"])
    assert apart == together
    assert apart.first.temperature_c == 40.0
    assert apart.first.kinematic_m2_s == pytest.approx(68e-6)
    assert apart.second.kinematic_m2_s == pytest.approx(10.5e-6)
    assert apart.density_kg_m3 == pytest.approx(870.0)
    assert apart.high_shear_150c_pa_s == pytest.approx(3.5e-3)


def test_a_density_without_temperature_counts_at_15_degrees() -> None:
    sheet = read_data_sheet([*TWO, "density=0.87 g/cm3"])
    assert sheet.density_temperature_c == 15.0
    warm = read_data_sheet([*TWO, "25C=865 kg/m3"])
    assert warm.density_temperature_c == 25.0


def test_density_and_fast_shear_may_be_missing() -> None:
    sheet = read_data_sheet(TWO)
    assert sheet.density_kg_m3 is None
    assert sheet.high_shear_150c_pa_s is None


@pytest.mark.parametrize(
    ("lines", "words"),
    [
        (["40C=68 mm2/s"], "two kinematic viscosities at two temperatures are needed, and 1"),
        (["15C=870 kg/m3"], "and none can be found"),
        ([*TWO, "60C=30 cSt"], "and 3 can be found"),
        ([*TWO, "15C=870 kg/m3", "density=0.87 g/cm3"], "one density is enough"),
        ([*TWO, "HTHS=3.5 mPa.s", "150C=3.5 mPa.s"], "one value in fast shear is enough"),
        (["40C 68 mm2/s"], "an equals sign and a value with its unit"),
        (["40C=68"], "the unit is missing"),
        (["40C=68 mm"], "'mm' is a unit of length"),
        (["warm=68 mm2/s"], "a number is needed"),
        ([*TWO, "40C=60 mPa.s"], "only as HTHS, at 150 °C"),
        ([*TWO, "HTHS=3.5 cSt"], "here a dynamic viscosity is needed"),
    ],
)
def test_a_wrong_line_is_told_in_one_sentence(lines: list[str], words: str) -> None:
    with pytest.raises(InputError) as caught:
        read_data_sheet(lines)
    text = str(caught.value)
    assert text.startswith("data sheet: ")
    assert words in text
    assert "\n" not in text
