"""One table for all orbits: exact similarity, measured interpolation, no reaching out."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from oilwedge.errors import OutOfRangeError
from oilwedge.film.bearing_case import case_orbit
from oilwedge.film.orbit import Orbit
from oilwedge.film.orbit_family import OrbitFamily, family_orbit, log_reach_of, solve_family

from .cycle_made_up import CLEARANCE, loaded, made_up

MU = 0.008
MIDDLE = float(log_reach_of(hot_clearance_m=CLEARANCE, viscosity_pa_s=MU, mass_scale=1.0))


@pytest.fixture(scope="module")
def family() -> OrbitFamily:
    return solve_family(
        case=made_up(), log_reach=(MIDDLE - 1.0, MIDDLE + 1.0), gas_shares=(0.8, 1.2)
    )


def orbit(*, clearance: float, viscosity: float, gas: float = 1.0, mass: float = 1.0) -> Orbit:
    return case_orbit(
        case=made_up(),
        history=loaded(gas=gas, mass=mass),
        hot_clearance_m=clearance,
        viscosity_pa_s=viscosity,
    )


def test_the_group_is_load_times_radial_clearance_squared_over_viscosity() -> None:
    reach = log_reach_of(hot_clearance_m=40e-6, viscosity_pa_s=0.01, mass_scale=1.5)
    assert math.exp(float(reach)) == pytest.approx(1.5 * (20e-6) ** 2 / 0.01)


def test_twice_the_clearance_and_four_times_the_viscosity_is_the_same_path() -> None:
    one = orbit(clearance=CLEARANCE, viscosity=MU)
    other = orbit(clearance=2.0 * CLEARANCE, viscosity=4.0 * MU)
    assert other.eccentricity_x == pytest.approx(one.eccentricity_x, abs=1e-9)
    assert other.eccentricity_y == pytest.approx(one.eccentricity_y, abs=1e-9)
    assert other.minimum_film_m == pytest.approx(2.0 * one.minimum_film_m, rel=1e-8)
    assert other.mean_friction_power_w == pytest.approx(2.0 * one.mean_friction_power_w, rel=1e-8)
    assert other.mean_side_flow_m3_s == pytest.approx(2.0 * one.mean_side_flow_m3_s, rel=1e-8)
    assert other.peak_pressure_pa == pytest.approx(one.peak_pressure_pa, rel=1e-8)


@settings(max_examples=15, deadline=None)
@given(
    wider=st.floats(0.6, 1.5),
    thicker=st.floats(0.7, 1.4),
    gas=st.floats(0.9, 1.1),
    mass=st.floats(0.95, 1.05),
)
def test_the_table_answers_as_an_orbit_of_its_own(
    family: OrbitFamily, wider: float, thicker: float, gas: float, mass: float
) -> None:
    clearance, viscosity = CLEARANCE * wider, MU * thicker
    reach = log_reach_of(hot_clearance_m=clearance, viscosity_pa_s=viscosity, mass_scale=mass)
    assume(family.holds(log_reach=np.atleast_1d(reach), gas_share=np.array([gas / mass])).all())
    direct = orbit(clearance=clearance, viscosity=viscosity, gas=gas, mass=mass)
    found = family.evaluate(
        hot_clearance_m=np.array([clearance]),
        viscosity_pa_s=np.array([viscosity]),
        gas_scale=np.array([gas]),
        mass_scale=np.array([mass]),
    )
    assert found.minimum_film_m[0] == pytest.approx(direct.minimum_film_m, rel=5e-4)
    assert found.friction_power_w[0] == pytest.approx(direct.mean_friction_power_w, rel=2e-4)
    assert found.side_flow_m3_s[0] == pytest.approx(direct.mean_side_flow_m3_s, rel=5e-4)
    assert found.peak_pressure_pa[0] == pytest.approx(direct.peak_pressure_pa, rel=2e-3)
    squares = direct.eccentricity_x**2 + direct.eccentricity_y**2
    mean = np.trapezoid(squares, direct.angle_rad) / (4.0 * np.pi)
    assert found.gap_number[0] == pytest.approx(1.0 + 1.5 * mean, rel=5e-4)


def test_the_record_holds_the_error_that_a_new_comparison_finds(family: OrbitFamily) -> None:
    assert family.error is not None
    assert family.error.orbits == 8
    assert 0.0 < family.error.minimum_film < 5e-4
    assert 0.0 < family.error.friction_power < 2e-4
    assert 0.0 < family.error.side_flow < 5e-4
    assert 0.0 < family.error.peak_pressure < 2e-3


def test_a_few_dozen_orbits_are_enough(family: OrbitFamily) -> None:
    assert family.orbits == family.log_reach.size * family.gas_shares.size <= 60


def test_a_coarser_table_is_worse_and_says_so(family: OrbitFamily) -> None:
    coarse = solve_family(
        case=made_up(),
        log_reach=(MIDDLE - 1.0, MIDDLE + 1.0),
        gas_shares=(0.8, 1.2),
        log_step=0.7,
    )
    assert coarse.error is not None
    assert family.error is not None
    assert coarse.error.friction_power > 3.0 * family.error.friction_power


def test_at_a_node_the_table_is_the_orbit(family: OrbitFamily) -> None:
    reach, share = family.log_reach[2], family.gas_shares[1]
    direct = family_orbit(case=family.case, log_reach=float(reach), gas_share=float(share))
    room = family.rooms_at(log_reach=np.array([reach]), gas_share=np.array([share]))
    assert room[0] == pytest.approx(
        1.0 - np.hypot(direct.eccentricity_x, direct.eccentricity_y).max(), rel=1e-9
    )


def test_at_every_node_the_thinnest_place_and_the_largest_pressure_of_the_cycle_count() -> None:
    """With weak gas the masses press hardest, with full gas the gas: the place changes."""
    family = solve_family(
        case=made_up(), log_reach=(MIDDLE - 0.3, MIDDLE + 0.3), gas_shares=(0.2, 1.0), checks=0
    )
    peaks = set()
    for reach in family.log_reach:
        for share in family.gas_shares:
            direct = family_orbit(case=family.case, log_reach=float(reach), gas_share=float(share))
            clearance = np.array([2.0 * direct.radial_clearance_m])
            found = family.evaluate(
                hot_clearance_m=clearance,
                viscosity_pa_s=0.25 * clearance**2 / np.exp(reach),
                gas_scale=np.array([share]),
                mass_scale=np.ones(1),
            )
            assert found.minimum_film_m[0] == pytest.approx(direct.films_m.min(), rel=1e-6)
            assert found.peak_pressure_pa[0] == pytest.approx(direct.peak_pressure_pa, rel=1e-6)
            peaks.add(round(math.degrees(direct.peak_pressure_angle_rad) / 60.0))
    assert len(peaks) > 1


@pytest.mark.parametrize(("further", "share"), [(1.2, 1.0), (-1.2, 1.0), (0.0, 1.3), (0.0, 0.7)])
def test_outside_its_table_a_family_refuses(
    family: OrbitFamily, further: float, share: float
) -> None:
    reach, gas = np.array([MIDDLE, MIDDLE + further]), np.array([1.0, share])
    assert family.holds(log_reach=reach, gas_share=gas).tolist() == [True, False]
    with pytest.raises(OutOfRangeError, match="these orbits hold from"):
        family.means_at(log_reach=reach, gas_share=gas)
    with pytest.raises(OutOfRangeError, match="these orbits hold from"):
        family.rooms_at(log_reach=reach, gas_share=gas)


def test_the_table_ends_where_the_film_gets_too_thin() -> None:
    family = solve_family(
        case=made_up(), log_reach=(MIDDLE, MIDDLE + 7.0), gas_shares=(0.9, 1.1), checks=0
    )
    assert family.log_reach[0] == pytest.approx(MIDDLE, abs=1e-6)
    assert family.log_reach[-1] < MIDDLE + 6.5
    last = family.rooms_at(log_reach=family.log_reach[-1:], gas_share=np.array([1.1]))[0]
    assert 0.002 <= last < 0.003
    assert family.error is None


def test_loads_that_no_film_carries_make_no_table() -> None:
    with pytest.raises(OutOfRangeError, match="load is above what the film carries"):
        solve_family(case=made_up(), log_reach=(MIDDLE + 8.0, MIDDLE + 9.0), gas_shares=(0.9, 1.1))


def test_a_bearing_without_a_map_says_so_and_not_that_the_load_is_too_high() -> None:
    with pytest.raises(OutOfRangeError, match="the mobility map holds for widths"):
        solve_family(
            case=made_up(width_m=0.1), log_reach=(MIDDLE, MIDDLE + 1.0), gas_shares=(0.9, 1.1)
        )
