"""Crank train and bearings of an engine file: what is read, and every sentence for what cannot be.

All figures are invented. Factors of units: exact definitions, as in tests/test_units.py.
"""

from __future__ import annotations

import pytest
from tests.engine.running_made_up import FIRST_LINE, check, only_fault, read

from oilwedge.engine.running import BearingData, CrankTrainData, Groove

TRAIN = """[crank_train]
stroke = "75.5 mm"
rod_length = "5 in"
pin_offset = "-0.5 mm"
compression_ratio = 10
piston_set = "310 g"
pin = "3 oz"
rod = "0.5 kg"
rod_big_end = "360 g"
rod_small_end = "140 g"
"""
PLACES = """main_places = ["0 mm", "90 mm", "180 mm", "270 mm", "360 mm"]
throw_places = ["45 mm", "135 mm", "225 mm", "315 mm"]
"""


def test_lengths_and_masses_are_read_in_si() -> None:
    train = read(TRAIN).running.crank_train
    assert train.stroke_m == pytest.approx(0.0755)
    assert train.rod_length_m == pytest.approx(0.127)
    assert train.pin_offset_m == pytest.approx(-0.0005)
    assert train.compression_ratio == 10.0
    masses = (train.piston_set_kg, train.pin_kg, train.rod_kg)
    assert masses == pytest.approx((0.310, 3 * 0.45359237 / 16, 0.5))
    assert (train.rod_big_end_kg, train.rod_small_end_kg) == pytest.approx((0.36, 0.14))


def test_the_bore_is_that_of_the_cylinders_unless_it_is_given() -> None:
    assert read(TRAIN).running.crank_train.bore_m == pytest.approx(0.08201)
    assert read(TRAIN + 'bore = "81 mm"').running.crank_train.bore_m == pytest.approx(0.081)


def test_nothing_is_filled_in_that_the_file_does_not_say() -> None:
    running = read("").running
    assert running.crank_train == CrankTrainData(bore_m=running.crank_train.bore_m)
    assert running.bearings == {}
    assert running.bearing("rod") == BearingData()
    assert running.conditions == ()
    assert running.condition("full load") is None


def test_balance_and_places_are_read() -> None:
    train = read(
        TRAIN
        + PLACES
        + 'rod_places = ["46 mm", "135 mm", "225 mm", "315 mm"]\n'
        + 'throw_unbalance = "1 oz in"\nfiring_intervals = ["180 deg", "180 deg", "180 deg",'
        + ' "180 deg"]\ncounterweights = [{ throw = 1, unbalance = "12 kg mm" },'
        + ' { throw = 4, unbalance = "1500 g cm", angle = "170 deg", place = "300 mm" }]\n'
    ).running.crank_train
    assert train.throw_unbalance_kg_m == pytest.approx(0.45359237 / 16 * 0.0254)
    assert train.main_places_m == pytest.approx((0, 0.09, 0.18, 0.27, 0.36))
    assert train.throw_places_m == pytest.approx((0.045, 0.135, 0.225, 0.315))
    assert train.rod_places_m[0] == pytest.approx(0.046)
    assert train.firing_intervals_deg == (180.0,) * 4
    plain, placed = train.counterweights
    assert (plain.throw, plain.angle_deg, plain.place_m) == (1, None, None)
    assert plain.unbalance_kg_m == pytest.approx(0.012)
    assert (placed.throw, placed.angle_deg, placed.place_m) == (4, 170.0, pytest.approx(0.3))
    assert placed.unbalance_kg_m == pytest.approx(0.015)
    assert read(TRAIN + 'bobweight = "2 lb"').running.crank_train.bobweight_kg == pytest.approx(
        0.90718474
    )


def test_bearings_are_read() -> None:
    found = read(
        """[bearings.rod]
width = "18 mm"
groove = "hole"
hole_diameter = "5 mm"
groove_angle = "-30 deg"
bore_relief = "12 µm"
journal_roughness = "0.1 µm"
shell_roughness = "0.4 µm"
housing_material = "forged steel"
journal_over_oil = "18 °F"
housing_over_oil = "-5 K"
[bearings.main]
groove = "half"
groove_width = "0.16 in"
"""
    ).running
    rod, main = found.bearing("rod"), found.bearing("main")
    assert rod == BearingData(
        width_m=pytest.approx(0.018),
        groove=Groove.HOLE,
        hole_diameter_m=pytest.approx(0.005),
        groove_angle_deg=-30.0,
        bore_relief_m=pytest.approx(12e-6),
        journal_roughness_m=pytest.approx(0.1e-6),
        shell_roughness_m=pytest.approx(0.4e-6),
        housing_material="forged steel",
        journal_temperature_over_oil_k=pytest.approx(10.0),
        housing_temperature_over_oil_k=-5.0,
    )
    assert main.groove is Groove.HALF
    assert main.groove_width_m == pytest.approx(0.16 * 0.0254)
    assert main.width_m is None
    assert main.housing_material == "aluminium"  # of the main housing's own feature


@pytest.mark.parametrize(
    ("tables", "sentence"),
    [
        (
            TRAIN.replace('"140 g"', '"130 g"'),
            "crank_train.rod: given '0.5 kg'; big end 360 g and small end 130 g make 490 g, and"
            " they have to add up to the whole rod within 1 %",
        ),
        (
            TRAIN.replace('"5 in"', '"37 mm"'),
            "crank_train.rod_length: given '37 mm'; a rod is longer",
        ),
        (
            TRAIN.replace('"75.5 mm"', '"755 mm"').replace('"5 in"', '"900 mm"'),
            "crank_train.stroke: given '755 mm'; a stroke is between 0.3 and 4 times the bore, here"
            " 82.01 mm",
        ),
        (
            TRAIN.replace("ratio = 10", "ratio = 100"),
            "compression_ratio: given '100'; a number less",
        ),
        (TRAIN.replace('"310 g"', '"310"'), "piston_set: given '310'; the unit is missing; a mass"),
        (
            TRAIN.replace('"310 g"', '"310 mm"'),
            "piston_set: given '310 mm'; 'mm' is a unit of length",
        ),
        (
            TRAIN.replace("piston_set", "piston_mass"),
            "crank_train.piston_mass: given 'piston_mass'",
        ),
        (
            TRAIN + 'bobweight = "1 kg"\nthrow_unbalance = "9 kg mm"',
            "crank_train.bobweight: given '1 kg'; the crank's balance is given in one way",
        ),
        (
            TRAIN + 'counterweights = [{ throw = 5, unbalance = "9 kg mm" }]',
            "counterweights[1].throw: given '5'; the crank has 4 throws",
        ),
        (
            TRAIN + "counterweights = [{ throw = 1 }]",
            "counterweights[1].unbalance: this key is missing",
        ),
        (
            TRAIN + 'counterweights = [{ throw = 1, unbalance = "9 kg mm", place = "9 mm" }]',
            "counterweights[1].place: given '9 mm'; a place counts along the crank",
        ),
        (
            TRAIN + PLACES.replace('"360 mm"', '"36 mm"'),
            "crank_train.main_places: given '[0 mm, 90 mm, 180 mm, 270 mm, 36 mm]'; they rise",
        ),
        (
            TRAIN + PLACES.replace(', "315 mm"', ""),
            "crank_train.throw_places: given '[45 mm, 135 mm, 225 mm]'; there are 4 throws",
        ),
        (
            TRAIN + PLACES.replace('"315 mm"', '"3150 mm"'),
            "crank_train.throw_places: given '3150 mm'; it lies far outside",
        ),
        (
            TRAIN + PLACES.splitlines()[0],
            "main_places: given '[0 mm, 90 mm, 180 mm, 270 mm, 360 mm]'",
        ),
        (
            TRAIN + 'firing_intervals = ["180 deg", "180 deg", "180 deg", "90 deg"]',
            "firing_intervals: given '[180 deg, 180 deg, 180 deg, 90 deg]'; they are not negative"
            " and add up to one cycle, 720 deg",
        ),
        (
            TRAIN + 'firing_intervals = ["360 deg", "360 deg"]',
            "there is one interval to each of the 4 firings",
        ),
        (
            '[bearings.rod]\nwidth = "180 mm"',
            "bearings.rod.width: given '180 mm'; a shell is between a tenth and twice as wide",
        ),
        ('[bearings.rod]\nwidth = "4 mm"', "bearings.rod.width: given '4 mm'; a shell is between"),
        (
            '[bearings.main]\nwidth = "20 mm"\ngroove = "half"\ngroove_width = "17 mm"',
            "bearings.main.groove_width: given '17 mm'; it leaves next to nothing of the shell's",
        ),
        (
            '[bearings.main]\ngroove = "none"\ngroove_width = "3 mm"',
            "groove_width: given '3 mm'; it goes with groove = 'half' or 'full'",
        ),
        (
            '[bearings.main]\ngroove = "half"\nhole_diameter = "3 mm"',
            "hole_diameter: given '3 mm'; it goes with groove = 'hole'",
        ),
        (
            '[bearings.main]\ngroove = "full"\ngroove_angle = "30 deg"',
            "groove_angle: given '30 deg'; it goes with groove = 'half' or 'hole'",
        ),
        ('[bearings.main]\ngroove = "whole"', "groove: given 'whole'; allowed are 'none', 'half'"),
        (
            '[bearings.cam]\nwidth = "20 mm"',
            "bearings.cam: given 'cam'; this key is not known here",
        ),
        (
            '[bearings.main]\nhousing_material = "aluminum foil"',
            "bearings.main.housing_material: given 'aluminum foil'; a material is one of",
        ),
    ],
)
def test_what_cannot_be_is_one_sentence_with_its_place(tables: str, sentence: str) -> None:
    assert sentence in only_fault(tables)


def test_a_fault_has_its_line() -> None:
    told = only_fault(TRAIN.replace('"310 g"', '"310 t"'))
    assert told.startswith(f"made_up.toml, line {FIRST_LINE + 5}, crank_train.piston_set: ")


def test_ends_within_one_percent_are_taken() -> None:
    read(TRAIN.replace('"140 g"', '"135.1 g"'))
    read(TRAIN.replace('"140 g"', '"144.9 g"'))
    assert "add up" in only_fault(TRAIN.replace('"140 g"', '"145.1 g"'))


def test_a_rod_is_longer_than_throw_and_offset_together() -> None:
    tables = TRAIN.replace('"75.5 mm"', '"80 mm"').replace('"-0.5 mm"', '"-9 mm"')
    assert "offset together" in only_fault(tables.replace('"5 in"', '"49 mm"'))
    read(tables.replace('"5 in"', '"50 mm"'))


def test_a_shell_wider_than_its_journal_is_looked_at_again() -> None:
    assert check('[bearings.rod]\nwidth = "22 mm"').warnings == ()
    told = check('[bearings.rod]\nwidth = "22.5 mm"').warnings
    assert [
        "the shell is wider than the rod journal is long" in one.sentence() for one in told
    ] == [True]


def test_many_faults_are_told_in_one_go() -> None:
    tables = TRAIN.replace('"310 g"', '"310"').replace('"140 g"', '"1 g"') + PLACES[:40]
    assert check(tables.split("main_places")[0] + '[bearings.rod]\nwidth = "1 m"').faults[2:]


def test_two_mains_in_one_place_do_not_rise() -> None:
    assert "they rise" in only_fault(TRAIN + PLACES.replace('"180 mm"', '"90 mm"'))


def test_a_throw_hangs_out_by_no_more_than_the_mains_are_apart() -> None:
    """Mains 90 mm apart from 0 to 360 mm: -90 and 450 mm are taken, 1 mm more is not."""
    for first, last in (("-90 mm", "315 mm"), ("45 mm", "450 mm")):
        read(TRAIN + PLACES.replace('"45 mm"', f'"{first}"').replace('"315 mm"', f'"{last}"'))
    for old, new in (('"45 mm"', '"-91 mm"'), ('"315 mm"', '"451 mm"')):
        assert "it lies far outside" in only_fault(TRAIN + PLACES.replace(old, new))
