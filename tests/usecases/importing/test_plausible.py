"""Which values cannot be, and which slip is named."""

from collections.abc import Callable
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from oilwedge.engine.model import Engine
from oilwedge.metrology.reading import Bound, Reading, ReadingForm
from oilwedge.shop.model import DEFAULT_SHOP
from oilwedge.units import Dimension, parse_quantity
from oilwedge.usecases.importing import BadRows, Imported, read_table
from oilwedge.usecases.importing.plausible import Band, slip

Take = Callable[[str | bytes], Imported]


def of(take: Take, feature: str, value: str, instrument: str = "") -> Imported:
    cell = f'"{value}"'
    return take(f"feature,number,value,instrument\n{feature},1,{cell},{instrument}\n")


@pytest.mark.parametrize(
    ("feature", "value", "words"),
    [
        (
            "rod journal",
            "1.889 mm",
            "rod journal 1: 1.889 mm cannot be; its nominal is 47.98 mm;"
            " did you mean inches (47.98 mm)?",
        ),
        ("rod journal", "47.97 in", "did you mean millimetres (47.97 mm)?"),
        ("rod journal", "47972 mm", "did you mean a decimal point that is missing (47.97 mm)?"),
        ("rod journal", "479.72 mm", "did you mean 47.972 mm, the decimal point slipped"),
        ("rod journal", "4.7972 mm", "did you mean 47.972 mm, the decimal point slipped"),
        ("rod journal", "0.972 mm", "47.972 mm, or a deviation, which needs its sign"),
        ("rod journal", "1889 mm", "did you mean thousandths (47.98 mm)?"),
        ("rod journal", "44.1 mm", "measure it again; if it stands, confirm it"),
        ("rod journal", "-47.97 mm", "cannot be"),
        ("rod journal", "0 mm", "cannot be"),
        ("cylinder bore", "3.19 mm", "did you mean inches (81.03 mm)?"),
        ("rod upper wall", "0.0585 mm", "did you mean inches (1.4859 mm)?"),
        ("crank end float", "0.004 mm", "did you mean inches (0.1016 mm)?"),
        ("crank end float", "12 mm", "cannot be; its largest limit is 0.3 mm"),
        ("crank end float", "-0.1 mm", "write it without the sign"),
        ("main journal", "-55 um in", "no unit"),
    ],
)
def test_an_impossible_value_is_told_with_its_slip(
    take: Take, feature: str, value: str, words: str
) -> None:
    imported = of(take, feature, value)
    assert not imported.entries
    assert words in imported.faults[0].sentence()


@pytest.mark.parametrize(
    ("feature", "value"),
    [
        ("rod journal", "46.48 mm"),  # 1.5 mm undersize
        ("rod journal", "47.48 mm"),  # a turn of the thimble: asked for later
        ("rod journal", "47.345 mm"),  # a turn of an inch thimble
        ("rod upper wall", "2.237 mm"),  # shell for 1.5 mm undersize
        ("cylinder bore", "82.5 mm"),
        ("crank end float", "0.9 mm"),
        ("rod gauge", "-0.02 mm"),
        ("rod gauge", "0.002 mm"),
        ("piston height", "-0.35 mm"),
        ("rod strip", "0.13 mm"),
    ],
)
def test_whatever_a_real_part_could_show_passes(take: Take, feature: str, value: str) -> None:
    assert not of(take, feature, value).faults


@pytest.mark.parametrize(
    ("feature", "value", "form", "bound", "value_m"),
    [
        ("rod journal", "-12 um", ReadingForm.DEVIATION, Bound.NONE, -12e-6),
        ("rod journal", "+0.3 thou", ReadingForm.DEVIATION, Bound.NONE, 7.62e-6),
        ("rod journal", "+47.97 mm", ReadingForm.ABSOLUTE, Bound.NONE, 0.04797),
        ("rod gauge", "+0.03 mm", ReadingForm.ABSOLUTE, Bound.NONE, 3e-5),
        ("rod strip", "width 1.45 mm", ReadingForm.WIDTH, Bound.NONE, 1.45e-3),
        ("rod strip", "1.45 mm wide", ReadingForm.WIDTH, Bound.NONE, 1.45e-3),
        ("rod strip", "<0.025 mm", ReadingForm.ABSOLUTE, Bound.AT_MOST, 2.5e-5),
        ("rod strip", "> 0.10 mm", ReadingForm.ABSOLUTE, Bound.AT_LEAST, 1e-4),
        ("rod strip", "at least 0.10 mm", ReadingForm.ABSOLUTE, Bound.AT_LEAST, 1e-4),
        ("rod strip", "wider than the widest bar", ReadingForm.ABSOLUTE, Bound.AT_MOST, 2.5e-5),
        ("rod strip", "Not flattened", ReadingForm.ABSOLUTE, Bound.AT_LEAST, 7.6e-5),
    ],
)
def test_what_kind_of_value_it_is(
    take: Take, feature: str, value: str, form: ReadingForm, bound: Bound, value_m: float
) -> None:
    instrument = "fine" if "strip" in feature else ""
    imported = of(take, feature, value, instrument)
    assert not imported.faults
    (reading,) = imported.entries
    assert isinstance(reading, Reading)
    assert (reading.form, reading.bound) == (form, bound)
    assert reading.value_m == pytest.approx(value_m, rel=1e-12)
    assert reading.text == value


@pytest.mark.parametrize(
    ("head", "cell", "unit", "words"),
    [
        ("value [mm]", "47.97 in", "", "the cell says in and the table says mm"),
        ("value [mm]", "47.97", "in", "the header of the values says mm"),
        ("value", "47.97 mm", "in", "the cell says mm and the table says in"),
        ("value", "47.97", "", "the unit is missing"),
        ("value", "47.97", "furlong", "'furlong' is no unit"),
        ("value [mm]", "2026-03-01", "", "this is a date"),
        ("value [mm]", "#DIV/0!", "", "could not calculate"),
        ("value [mm]", "", "", "there is no value"),
        ("value [mm]", "<-0.02", "", "a bound has no sign"),
        ("value [mm]", "<width 1.4", "", "a width is one number"),
        ("value [mm]", "not flattened", "", "name a strip of the shop"),
    ],
)
def test_units_that_contradict_and_cells_that_say_no_length(
    take: Take, head: str, cell: str, unit: str, words: str
) -> None:
    imported = take(f"feature,number,{head},unit\nrod journal,1,{cell},{unit}\n")
    assert words in imported.faults[0].sentence()


@given(thousandths=st.integers(47_000, 48_900), unit=st.sampled_from(["mm", "in"]))
def test_a_slip_of_unit_or_point_is_always_found(thousandths: int, unit: str) -> None:
    band = Band(low_m=0.04598, high_m=0.04998, centre_m=0.04798, words="")
    value = Decimal(thousandths) / 1000
    if unit == "in":
        text, words = f"{value / Decimal('25.4'):.5f} mm", "inches"
    else:
        text, words = f"{value * 10:.2f} mm", "the decimal point slipped"
    quantity = parse_quantity(text, dimension=Dimension.LENGTH)
    assert words in slip(quantity, band=band, form=ReadingForm.ABSOLUTE, unit="mm")


@pytest.mark.parametrize(("bore", "taken"), [("48.01 mm", True), ("45.00 mm", False)])
def test_a_bore_without_a_size_is_held_against_what_runs_in_it(
    bore: str, taken: bool, wren_single: Engine
) -> None:
    table = f"feature,number,value\nrod shell bore,1,{bore}\n".encode()
    found = read_table(table, engine=wren_single, shop=DEFAULT_SHOP, bad_rows=BadRows.KEEP_GOOD)
    assert bool(found.entries) is taken
    if not taken:
        assert "its rod journal has 47.98 mm" in found.faults[0].sentence()
