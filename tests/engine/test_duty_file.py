"""Oil sheet, duty and conditions of an engine file: read, with what [duty] says for all of them."""

from __future__ import annotations

import pytest
from tests.engine.running_made_up import FIRST_LINE, check, only_fault, read

from oilwedge.engine.running import Condition
from oilwedge.engine.supplies import OilSheet

SHEET = """[oil]
grade = "5W-30"
[oil.data_sheet]
viscosity_40c = "61 mm2/s"
viscosity_100c = "10.6 cSt"
"""
FLAT = """[duty]
speed = "6200 rpm"
idle_speed = "800 rpm"
peak_pressure = "60 bar"
oil_pressure = "3 bar"
oil_temperature = "95 C"
"""


def test_a_data_sheet_is_read() -> None:
    more = 'density_15c = "0.852 g/cm3"\nhths_150c = "3.1 mPa s"\n'
    assert read(SHEET + more).oil.data_sheet == OilSheet(
        viscosity_40c_m2_s=pytest.approx(61e-6),
        viscosity_100c_m2_s=pytest.approx(10.6e-6),
        density_15c_kg_m3=pytest.approx(852.0),
        high_shear_150c_pa_s=pytest.approx(3.1e-3),
    )
    bare = read(SHEET).oil.data_sheet
    assert bare is not None
    assert (bare.density_15c_kg_m3, bare.high_shear_150c_pa_s) == (None, None)
    assert read("").oil.data_sheet is None


def test_the_flat_keys_alone_make_one_condition() -> None:
    engine = read(FLAT)
    assert engine.duty.idle_speed_rpm == 800.0
    assert engine.running.conditions == (
        Condition(
            name="duty",
            speed_rpm=6200.0,
            peak_pressure_pa=pytest.approx(60e5),
            oil_pressure_pa=pytest.approx(3e5),
            oil_temperature_c=95.0,
        ),
    )
    assert read(FLAT.replace('speed = "6200 rpm"\n', "", 1)).running.conditions == ()


def test_conditions_take_from_duty_what_they_do_not_say() -> None:
    named = '[duty.conditions."hot idle"]\n[duty.conditions."full load"]\n'
    idle, full = read(FLAT + named).running.conditions
    assert (idle.name, full.name) == ("hot idle", "full load")
    assert (idle.speed_rpm, full.speed_rpm) == (800.0, 6200.0)
    # the peak pressure of [duty] is not that of idling
    assert (idle.peak_pressure_pa, full.peak_pressure_pa) == (None, pytest.approx(60e5))
    assert idle.oil_pressure_pa == full.oil_pressure_pa == pytest.approx(3e5)
    assert idle.oil_temperature_c == full.oil_temperature_c == 95.0


def test_what_a_condition_says_itself_goes_before_duty() -> None:
    own = """[duty.conditions."full load"]
speed = "3800 rpm"
mean_pressure = "12 bar"
inlet_pressure = "0.9 bar"
oil_pressure = "58 psi"
oil_temperature = "230 F"
[duty.conditions."top speed"]
pressure_trace = "top.csv"
"""
    full, top = read(FLAT + own).running.conditions
    assert full == Condition(
        name="full load",
        speed_rpm=3800.0,
        peak_pressure_pa=None,  # a mean pressure is given: two pressures would contradict
        mean_pressure_pa=pytest.approx(12e5),
        inlet_pressure_pa=pytest.approx(0.9e5),
        oil_pressure_pa=pytest.approx(58 * 6894.757, rel=1e-6),
        oil_temperature_c=pytest.approx(110.0),
    )
    assert (top.pressure_trace, top.peak_pressure_pa, top.speed_rpm) == ("top.csv", None, 6200.0)


@pytest.mark.parametrize(
    ("tables", "sentence"),
    [
        (
            SHEET.replace("10.6 cSt", "61 cSt"),
            "oil.data_sheet.viscosity_100c: given '61 cSt'; an oil is thinner at 100 °C than at 40",
        ),
        (
            SHEET.replace('viscosity_100c = "10.6 cSt"\n', ""),
            "oil.data_sheet.viscosity_100c: this key is missing",
        ),
        (
            SHEET.replace('viscosity_40c = "61 mm2/s"\n', ""),
            "oil.data_sheet.viscosity_40c: this key is missing",
        ),
        (
            SHEET + 'density_15c = "85.2 kg/m3"',
            "density_15c: given '85.2 kg/m3'; the density of an oil is between 700 and 1100 kg/m³",
        ),
        (SHEET + 'hths_150c = "3.1 mm2/s"', "hths_150c: given '3.1 mm2/s'; 'mm2/s' is a unit of"),
        (
            '[duty.conditions."full load"]\npeak_pressure = "60 bar"\nmean_pressure = "9 bar"',
            "conditions.full load.mean_pressure: given 'peak_pressure and mean_pressure'; the"
            " pressure in the cylinder is given in one way; leave mean_pressure out",
        ),
        (
            '[duty.conditions.x]\npeak_pressure = "60 bar"\nmean_pressure = "9 bar"\n'
            'pressure_trace = "a.csv"',
            "leave two of them out",
        ),
        (
            '[duty.conditions.x]\npressure_trace = "../a.csv"',
            "conditions.x.pressure_trace: given '../a.csv'; the name of a file beside the engine",
        ),
        ('[duty.conditions.x]\npressure_trace = ".."', "pressure_trace: given '..'; the name of"),
        (
            '[duty.conditions.x]\nspeed = "8 rpm"',
            "speed: given '8 rpm'; the speed of an engine is between 20 and 25000 rpm",
        ),
        (
            '[duty.conditions.x]\noil_temp = "90 C"',
            "oil_temp: given 'oil_temp'; this key is not known here; known are speed,",
        ),
        ('[duty.conditions." "]\nspeed = "900 rpm"', "a condition has a name of up to 60 signs"),
        ('[duty]\nspeed = "0 rpm"', "duty.speed: given '0 rpm'; the speed of an engine is between"),
        ('[duty]\npeak_pressure = "1 bar"', "duty.peak_pressure: given '1 bar'; a peak pressure"),
        ("[duty]\nconditions = 3", "duty.conditions: given '3'; a table with keys of its own"),
    ],
)
def test_what_cannot_be_is_one_sentence_with_its_place(tables: str, sentence: str) -> None:
    assert sentence in only_fault(tables)


def test_a_fault_of_a_condition_has_its_line() -> None:
    told = only_fault('[duty.conditions."hot idle"]\nspeed = "800 rpm"\noil_pressure = "1 km"')
    assert told.startswith(
        f"made_up.toml, line {FIRST_LINE + 2}, duty.conditions.hot idle.oil_pressure: "
    )


def test_a_name_as_long_as_is_taken() -> None:
    assert check(f'[duty.conditions."{"n" * 60}"]').faults == ()
    assert "up to 60 signs" in only_fault(f'[duty.conditions."{"n" * 61}"]')
