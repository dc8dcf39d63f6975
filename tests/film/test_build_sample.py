"""Quasi-random builds: the same for a seed, spread as they should be."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from oilwedge.errors import InputError
from oilwedge.film.bearing_case import mean_shear_rate_per_s
from oilwedge.film.build_sample import (
    FACTORS,
    BuildBearing,
    BuildInputs,
    Factor,
    Spread,
    inputs_of,
    sobol_points,
)
from oilwedge.film.oil_band import OilBand, band_of_grade, band_of_oil
from oilwedge.tables.oil_grades import find_grade

from .cycle_made_up import CLEARANCE, OIL, made_up, measured

EVERYONE = np.arange(4096)
WARM = np.full(4096, 110.0)
SPREAD = Spread(viscosity=0.04, supply_temperature_k=6.0, gas_pressure=0.03, mass=0.02)


def drawn(oil: OilBand) -> BuildInputs:
    points = sobol_points(dimensions=5, count=4096, seed=2)
    return inputs_of(bearing=measured(), oil=oil, spread=SPREAD, points=points)


def test_a_seed_gives_the_same_points_and_another_one_others() -> None:
    one = sobol_points(dimensions=3, count=100, seed=7)
    assert np.array_equal(one, sobol_points(dimensions=3, count=100, seed=7))
    assert not np.array_equal(one, sobol_points(dimensions=3, count=100, seed=8))
    assert np.array_equal(one[:50], sobol_points(dimensions=3, count=50, seed=7))


def test_points_fill_the_cube_evenly_and_never_touch_its_edge() -> None:
    points = sobol_points(dimensions=4, count=1024, seed=3)
    assert points.shape == (1024, 4)
    assert points.min() > 0.0
    assert points.max() < 1.0
    for column in points.T:  # one in each of 1024 cells: what a Sobol point set is
        assert np.array_equal(np.sort((column * 1024).astype(int)), np.arange(1024))


def test_each_factor_spreads_as_it_should_and_alone() -> None:
    inputs = drawn(band_of_oil(OIL))
    for values, mean, spread in (
        (inputs.cold_clearance_m, CLEARANCE, 3e-6),
        (inputs.supply_temperature_c, 100.0, 6.0),
        (inputs.gas_scale, 1.0, 0.03),
        (inputs.mass_scale, 1.0, 0.02),
        (inputs.oil.scale, 1.0, 0.04),
    ):
        assert values.mean() == pytest.approx(mean, rel=1e-3)
        assert values.std() == pytest.approx(spread, rel=0.01)
    table = np.corrcoef([inputs.cold_clearance_m, inputs.gas_scale, inputs.mass_scale])
    assert np.abs(table - np.eye(3)).max() < 0.02


def test_the_columns_are_the_factors_in_their_order() -> None:
    for number, factor in enumerate(FACTORS):
        points = np.full((1, 5), 0.5)
        points[0, number] = 0.9
        inputs = inputs_of(bearing=measured(), oil=band_of_oil(OIL), spread=SPREAD, points=points)
        moved = {
            Factor.CLEARANCE: inputs.cold_clearance_m[0] > CLEARANCE + 1e-7,
            Factor.VISCOSITY: inputs.oil.scale[0] > 1.01,
            Factor.SUPPLY_TEMPERATURE: inputs.supply_temperature_c[0] > 101.0,
            Factor.GAS_PRESSURE: inputs.gas_scale[0] > 1.01,
            Factor.MASS: inputs.mass_scale[0] > 1.01,
        }
        assert [f for f, there in moved.items() if there] == [factor]


def test_a_point_at_84_percent_lies_one_standard_uncertainty_above() -> None:
    """Φ(1) = 0.841345, the table of the normal distribution in any handbook (RECALLED)."""
    points = np.full((1, 5), 0.841345)
    inputs = inputs_of(bearing=measured(), oil=band_of_oil(OIL), spread=SPREAD, points=points)
    for values, above in (
        (inputs.cold_clearance_m, CLEARANCE + 3e-6),
        (inputs.supply_temperature_c, 106.0),
        (inputs.gas_scale, 1.03),
        (inputs.mass_scale, 1.02),
        (inputs.oil.scale, 1.04),
    ):
        assert values[0] == pytest.approx(above, rel=1e-6)


def test_a_measured_oil_is_not_spread_as_a_grade_is() -> None:
    """A data sheet that leaves two oils open: the thinner, times its uncertainty, none between."""
    thicker = replace(OIL, nu40_m2_s=120e-6, nu100_m2_s=18e-6, high_shear_150c_pa_s=4.5e-3)
    both = OilBand(name="invented", oils=(OIL, thicker), measured=True)
    inputs = drawn(both)
    rate = np.full(4096, 1e6)
    eta = inputs.oil.viscosity_pa_s(WARM, shear_rate_per_s=rate, places=EVERYONE)
    exact = OIL.dynamic_viscosity_pa_s(110.0, shear_rate_per_s=1e6)
    assert eta == pytest.approx(exact * inputs.oil.scale)
    assert not inputs.oil.thick_share.any()
    grade = drawn(replace(both, measured=False))
    assert (grade.oil.scale == 1.0).all()
    assert grade.oil.thick_share.std() == pytest.approx(12.0**-0.5, rel=1e-3)  # even on 0 to 1


def test_a_known_oil_spreads_by_its_uncertainty() -> None:
    inputs = drawn(band_of_oil(OIL))
    rate = np.full(4096, 1e6)
    eta = inputs.oil.viscosity_pa_s(WARM, shear_rate_per_s=rate, places=EVERYONE)
    exact = OIL.dynamic_viscosity_pa_s(110.0, shear_rate_per_s=1e6)
    assert eta == pytest.approx(exact * inputs.oil.scale)
    heat = inputs.oil.heat_j_m3_k(WARM, places=EVERYONE)
    one = OIL.density_kg_m3(110.0) * OIL.specific_heat_j_kg_k(110.0)
    assert heat == pytest.approx(one)


def test_a_grade_spreads_evenly_between_the_ends_of_its_band() -> None:
    band = band_of_grade(find_grade("10W-40"))
    inputs = drawn(band)
    rate = float(mean_shear_rate_per_s(case=made_up(), hot_clearance_m=CLEARANCE))
    supply = np.full(4096, 100.0)
    eta = inputs.oil.viscosity_pa_s(supply, shear_rate_per_s=np.full(4096, rate), places=EVERYONE)
    ends = band.dynamic_viscosity_pa_s(100.0, shear_rate_per_s=rate)
    assert eta.min() == pytest.approx(ends.low, rel=1e-3)
    assert eta.max() == pytest.approx(ends.high, rel=1e-3)
    assert np.median(np.log(eta)) == pytest.approx(np.log([ends.low, ends.high]).mean(), rel=1e-3)
    places = np.array([5, 9])
    some = inputs.oil.viscosity_pa_s(supply[:2], shear_rate_per_s=np.full(2, rate), places=places)
    assert some == pytest.approx(eta[places])
    heats = inputs.oil.heat_j_m3_k(supply, places=EVERYONE)
    both = [
        o.density_kg_m3(100.0) * o.specific_heat_j_kg_k(100.0)
        for o in (inputs.oil.thin, inputs.oil.thick)
    ]
    share = inputs.oil.thick_share
    assert heats == pytest.approx(both[0] * (1.0 - share) + both[1] * share)


@pytest.mark.parametrize(
    ("changed", "sentence"),
    [
        ({"viscosity": -0.1}, "uncertainty of the viscosity lies between 0 and 0.2"),
        ({"gas_pressure": 0.3}, "uncertainty of the gas pressure lies between 0 and 0.2"),
        ({"mass": float("nan")}, "uncertainty of the masses"),
        ({"supply_temperature_k": 41.0}, "between 0 and 40 K"),
    ],
)
def test_a_spread_that_is_none_is_refused(changed: dict[str, float], sentence: str) -> None:
    with pytest.raises(InputError, match=sentence):
        Spread(**changed)


def test_a_bearing_needs_a_clearance_and_its_uncertainty() -> None:
    with pytest.raises(InputError, match="clearance of a bearing that turns is above 0"):
        BuildBearing(case=made_up(), cold_clearance_m=0.0, clearance_u_m=1e-6)
    with pytest.raises(InputError, match="uncertainty of a clearance is 0 or more"):
        BuildBearing(case=made_up(), cold_clearance_m=40e-6, clearance_u_m=-1e-6)
