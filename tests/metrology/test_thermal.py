from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from oilwedge.errors import OutOfRangeError
from oilwedge.metrology.thermal import (
    Coefficient,
    Workshop,
    clearance_to_reference,
    reference_factor,
    to_reference,
)
from oilwedge.uncertainty.quantity import Quantity, exact

STEEL = Coefficient(key="steel", per_k=11.5e-6)
GAUGE_STEEL = Coefficient(key="gauge steel", per_k=11.5e-6, limit_per_k=2e-6)
ALUMINIUM = Coefficient(key="aluminium", per_k=21.5e-6)


def corrected(
    material: Coefficient, part_c: float | None, instrument_c: float | None, label: str = "part"
) -> Quantity:
    return to_reference(
        value=exact(0.05),
        part_temperature_c=part_c,
        instrument_temperature_c=instrument_c,
        part_expansion=material,
        instrument_expansion=GAUGE_STEEL,
        label=label,
    )


def parts_um(quantity: Quantity) -> dict[str, float]:
    return {s.key: c * 1e6 for s, c in quantity.contributions.items()}


@given(part_c=st.floats(-20, 60), instrument_c=st.floats(-20, 60), alpha=st.floats(5e-6, 25e-6))
def test_the_exact_form_is_the_first_order_one_to_second_order(
    part_c: float, instrument_c: float, alpha: float
) -> None:
    factor = reference_factor(
        part_temperature_c=part_c,
        instrument_temperature_c=instrument_c,
        part_expansion_per_k=alpha,
        instrument_expansion_per_k=11.5e-6,
    )
    first_order = 1.0 + 11.5e-6 * (instrument_c - 20.0) - alpha * (part_c - 20.0)
    assert factor == pytest.approx(first_order, abs=2.5e-6)


def test_a_warm_part_is_smaller_at_20_degrees_than_it_reads() -> None:
    assert corrected(STEEL, 30.0, 20.0).value == pytest.approx(0.05 - 0.05 * 11.5e-5, abs=1e-8)


def test_a_warm_instrument_reads_too_small() -> None:
    assert corrected(STEEL, 20.0, 30.0).value == pytest.approx(0.05 + 0.05 * 11.5e-5, abs=1e-8)


def test_unknown_temperatures_correct_nothing_and_cost_uncertainty() -> None:
    quantity = corrected(ALUMINIUM, None, None)
    assert quantity.value == 0.05
    assert parts_um(quantity) == pytest.approx(
        {
            "temperature:room": 0.05e6 * (11.5e-6 - 21.5e-6) * 5 / 3**0.5,
            "temperature:part:part": -0.05e6 * 21.5e-6 * 1 / 3**0.5,
        }
    )


def test_the_room_cancels_for_steel_measured_with_steel() -> None:
    assert set(parts_um(corrected(STEEL, None, None))) == {"temperature:part:part"}


def test_the_room_is_one_error_for_all_and_the_part_is_not() -> None:
    difference = corrected(ALUMINIUM, None, None, "bore") - corrected(ALUMINIUM, None, None, "pin")
    assert set(parts_um(difference)) == {"temperature:part:bore", "temperature:part:pin"}


def test_one_temperature_stands_for_both() -> None:
    assert corrected(ALUMINIUM, 30.0, None).value == pytest.approx(
        corrected(ALUMINIUM, 30.0, 30.0).value
    )
    assert "temperature:part:part" in parts_um(corrected(ALUMINIUM, 30.0, None))
    assert "temperature:part:part" not in parts_um(corrected(ALUMINIUM, 30.0, 30.0))


def test_a_thermometer_is_believed_to_half_a_kelvin() -> None:
    parts = parts_um(corrected(ALUMINIUM, 30.0, 30.0))
    assert parts["temperature:thermometer"] == pytest.approx(0.05e6 * -10e-6 * 0.5 / 3**0.5)


def test_the_coefficient_is_one_error_for_all_parts_of_a_material() -> None:
    one, two = corrected(ALUMINIUM, 30.0, 30.0, "a"), corrected(ALUMINIUM, 30.0, 30.0, "b")
    assert parts_um(one)["expansion:aluminium"] == pytest.approx(-0.05e6 * 10 * 1e-6 / 3**0.5)
    assert parts_um(one - two) == {}


def test_a_clearance_read_directly_is_corrected_by_both_parts() -> None:
    at_20 = clearance_to_reference(
        clearance=exact(40e-6),
        diameter_m=0.05,
        housing_expansion=ALUMINIUM,
        journal_expansion=STEEL,
        housing_temperature_c=30.0,
        journal_temperature_c=25.0,
    )
    opened_m = 0.05 * (21.5e-6 * 10 - 11.5e-6 * 5)
    assert at_20.value == pytest.approx(40e-6 - opened_m, abs=2e-9)


def test_a_clearance_with_no_temperatures_is_uncertain_by_the_room() -> None:
    at_20 = clearance_to_reference(
        clearance=exact(40e-6),
        diameter_m=0.05,
        housing_expansion=ALUMINIUM,
        journal_expansion=STEEL,
        housing_temperature_c=None,
        journal_temperature_c=None,
        workshop=Workshop(room_limit_k=10.0),
    )
    assert at_20.value == 40e-6
    assert abs(parts_um(at_20)["temperature:room"]) == pytest.approx(0.05e6 * 10e-6 * 10 / 3**0.5)


@pytest.mark.parametrize("temperature_c", [-40.0, 180.0])
def test_a_temperature_that_no_bench_has_is_refused(temperature_c: float) -> None:
    with pytest.raises(OutOfRangeError, match="measured between -20 and 100 °C"):
        corrected(STEEL, temperature_c, 20.0)
