"""A warm aluminium block around a steel journal, in published coefficients."""

import tomllib
from pathlib import Path

import pytest

from oilwedge.metrology.thermal import (
    Coefficient,
    clearance_to_reference,
    reference_factor,
    to_reference,
)
from oilwedge.uncertainty.quantity import exact

pytestmark = pytest.mark.published
VALUES = tomllib.loads(Path(__file__).with_name("source.toml").read_text("utf-8"))["values"]
STEEL = Coefficient(key="steel", per_k=VALUES["steel_per_k"])
ALUMINIUM = Coefficient(key="aluminium", per_k=VALUES["aluminium_per_k"])


def test_an_aluminium_block_10_k_warm_opens_a_55_mm_main_by_6_to_7_um() -> None:
    at_20 = clearance_to_reference(
        clearance=exact(45e-6),
        diameter_m=55e-3,
        housing_expansion=ALUMINIUM,
        journal_expansion=STEEL,
        housing_temperature_c=30.0,
        journal_temperature_c=30.0,
    )
    opened_um = 45.0 - at_20.value * 1e6
    assert opened_um == pytest.approx(VALUES["main_55_mm_10_k_um"], abs=0.05)


def test_bore_and_journal_through_one_micrometer_show_the_same_opening() -> None:
    """The two ways agree: sizes corrected one by one, or the clearance corrected at once."""
    apart = [
        to_reference(
            value=exact(size_m),
            part_temperature_c=30.0,
            instrument_temperature_c=30.0,
            part_expansion=material,
            instrument_expansion=Coefficient(key="gauge steel", per_k=11.5e-6),
        ).value
        for size_m, material in ((55.045e-3, ALUMINIUM), (55.0e-3, STEEL))
    ]
    opened_um = 45.0 - (apart[0] - apart[1]) * 1e6
    assert opened_um == pytest.approx(VALUES["main_55_mm_10_k_um"], abs=0.06)


def test_a_60_mm_steel_journal_at_35_degrees_grows_by_10_4_um() -> None:
    factor = reference_factor(
        part_temperature_c=35.0,
        instrument_temperature_c=20.0,
        part_expansion_per_k=11.5e-6,
        instrument_expansion_per_k=11.5e-6,
    )
    grown_um = (1.0 - factor) * 60e3
    assert grown_um == pytest.approx(VALUES["journal_60_mm_at_35_um"], abs=0.06)


def test_steel_in_steel_hands_at_one_temperature_needs_no_correction() -> None:
    assert reference_factor(
        part_temperature_c=35.0,
        instrument_temperature_c=35.0,
        part_expansion_per_k=11.5e-6,
        instrument_expansion_per_k=11.5e-6,
    ) == pytest.approx(1.0, abs=1e-15)
