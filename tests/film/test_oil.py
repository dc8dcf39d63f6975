"""One oil by its data sheet."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from oilwedge.errors import InputError, OutOfRangeError
from oilwedge.film.oil import Oil, Reach, oil_from_points
from oilwedge.film.viscosity_line import ViscosityPoint


def oil(
    *,
    nu40: float = 68e-6,
    nu100: float = 11.5e-6,
    density: float = 860.0,
    high_shear: float | None = None,
    alpha: float | None = None,
) -> Oil:
    """An invented oil, like a 5W-30."""
    return Oil(
        name="invented",
        density_kg_m3_at_15c=density,
        nu40_m2_s=nu40,
        nu100_m2_s=nu100,
        high_shear_150c_pa_s=high_shear,
        pressure_coefficient_per_pa=alpha,
    )


def test_density_falls_by_hand() -> None:
    # 860 · (1 - 0.00065 · 85) = 812.485
    assert oil().density_kg_m3(100.0) == pytest.approx(812.485)
    assert oil().density_kg_m3(15.0) == 860.0


def test_dynamic_is_density_times_kinematic() -> None:
    assert oil().dynamic_viscosity_pa_s(100.0) == pytest.approx(11.5e-6 * 812.485)
    assert oil().kinematic_viscosity_m2_s(100.0) == pytest.approx(11.5e-6)


# Engine oil, unused, kJ/(kg K): READ on a table of liquids (amesweb.info, after Sonntag and others)
@pytest.mark.parametrize(("temperature_c", "printed"), [(20, 1.88), (60, 2.05), (100, 2.22)])
def test_specific_heat_is_within_three_per_cent_of_tabulated_engine_oil(
    temperature_c: float, printed: float
) -> None:
    found = oil(density=885.0).specific_heat_j_kg_k(temperature_c)
    assert found == pytest.approx(printed * 1e3, rel=0.035)


def test_heat_by_volume_is_that_of_the_bearing_standard() -> None:
    # ISO 7902: ρc = 1.8e6 J/(m³ K) as a mean (RECALLED)
    found = oil().density_kg_m3(90.0) * oil().specific_heat_j_kg_k(90.0)
    assert found == pytest.approx(1.8e6, rel=0.05)


def test_specific_heat_by_hand() -> None:
    # Cragoe in its own units: 176 °F, s = 860/999: (0.388 + 0.00045·176)/√s = 0.50354 cal/(g K)
    assert oil().specific_heat_j_kg_k(80.0) == pytest.approx(0.50354 * 4186.8, rel=5e-4)


def test_the_high_shear_value_comes_back() -> None:
    thin = oil(high_shear=3.1e-3)
    assert thin.dynamic_viscosity_pa_s(150.0, shear_rate_per_s=1e6) == pytest.approx(3.1e-3)
    assert thin.dynamic_viscosity_pa_s(150.0) > 3.1e-3


def test_without_the_high_shear_value_shear_does_nothing() -> None:
    assert oil().dynamic_viscosity_pa_s(90.0, shear_rate_per_s=1e7) == pytest.approx(
        oil().dynamic_viscosity_pa_s(90.0)
    )


def test_pressure_thickens_where_the_coefficient_is_known() -> None:
    ambient = oil().dynamic_viscosity_pa_s(100.0)
    assert oil().dynamic_viscosity_pa_s(100.0, pressure_pa=5e7) == pytest.approx(ambient)
    pressed = oil(alpha=1.4e-8).dynamic_viscosity_pa_s(100.0, pressure_pa=5e7)
    assert 1.7 < pressed / ambient < np.exp(0.7)


def test_arrays_give_what_single_values_give() -> None:
    one = oil(high_shear=3.1e-3, alpha=1.4e-8)
    warm, rates = np.asarray([60.0, 90.0, 130.0]), np.asarray([0.0, 1e5, 1e6])
    many = one.dynamic_viscosities_pa_s(warm, shear_rate_per_s=rates, pressure_pa=1e7)
    singly = [
        one.dynamic_viscosity_pa_s(float(t), shear_rate_per_s=float(g), pressure_pa=1e7)
        for t, g in zip(warm, rates, strict=True)
    ]
    assert many == pytest.approx(singly)


def test_what_is_not_measured_is_said_to_be_extrapolated() -> None:
    assert oil().reach(40.0) is Reach.MEASURED
    assert oil().reach(100.0) is Reach.MEASURED
    assert oil().reach(110.0) is Reach.EXTRAPOLATED
    assert oil().reach(20.0) is Reach.EXTRAPOLATED


@given(first=st.floats(20.0, 55.0), second=st.floats(70.0, 120.0), density_c=st.floats(10.0, 60.0))
def test_any_two_points_of_an_oil_give_that_oil(
    first: float, second: float, density_c: float
) -> None:
    whole = oil()
    again = oil_from_points(
        name="again",
        first=ViscosityPoint(
            temperature_c=second, kinematic_m2_s=whole.kinematic_viscosity_m2_s(second)
        ),
        second=ViscosityPoint(
            temperature_c=first, kinematic_m2_s=whole.kinematic_viscosity_m2_s(first)
        ),
        density_kg_m3=whole.density_kg_m3(density_c),
        density_temperature_c=density_c,
    )
    assert again.nu40_m2_s == pytest.approx(whole.nu40_m2_s, rel=1e-9)
    assert again.nu100_m2_s == pytest.approx(whole.nu100_m2_s, rel=1e-9)
    assert again.density_kg_m3_at_15c == pytest.approx(860.0)
    assert again.measured_c == (first, second)


@pytest.mark.parametrize("temperature_c", [-41.0, 201.0, float("nan")])
def test_a_temperature_outside_the_laws_is_refused(temperature_c: float) -> None:
    with pytest.raises(OutOfRangeError, match="from -40 °C to 200 °C"):
        oil().dynamic_viscosity_pa_s(temperature_c)
    with pytest.raises(OutOfRangeError, match="from -40 °C to 200 °C"):
        oil().density_kg_m3(temperature_c)


@pytest.mark.parametrize("density", [0.87, 8700.0, float("nan"), -860.0])
def test_a_density_in_the_wrong_unit_is_refused(density: float) -> None:
    with pytest.raises(OutOfRangeError, match="look at its unit"):
        oil(density=density)


def test_an_oil_that_does_not_thin_with_warmth_is_refused() -> None:
    with pytest.raises(InputError, match="an oil gets thinner as it gets warmer"):
        oil(nu40=10e-6, nu100=12e-6)


def test_a_shear_rate_under_zero_is_refused() -> None:
    with pytest.raises(InputError, match="a shear rate is 0 1/s or more"):
        oil().dynamic_viscosity_pa_s(90.0, shear_rate_per_s=-1.0)


def test_the_index_is_that_of_the_two_values() -> None:
    worked = oil(nu40=73.30e-6, nu100=8.86e-6)  # ASTM D2270's example
    assert round(worked.viscosity_index()) == 92
