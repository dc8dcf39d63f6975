"""One bearing over one cycle: its own temperature, its oil, its clearance when hot."""

from __future__ import annotations

import math

import numpy as np
import pytest

from oilwedge.errors import InputError, OutOfRangeError
from oilwedge.film.bearing import Bearing, Groove
from oilwedge.film.cycle_film import solve_cycle
from oilwedge.film.heat_balance import solve_warm
from oilwedge.film.hot_clearance import HotFit
from oilwedge.film.load_history import LoadHistory
from oilwedge.film.orbit import solve_orbit
from oilwedge.film.path_groove import GroovePlace, PathGroove
from oilwedge.film.roughness import Regime

from .cycle_made_up import ANGLE, CLEARANCE, NEWTONIAN, OIL, SPEED, loaded, made_up

ALUMINIUM = HotFit(
    journal_expansion_per_k=12e-6,
    housing_expansion_per_k=21e-6,
    shell_expansion_per_k=12e-6,
    shell_wall_m=1.5e-3,
    journal_over_oil_k=10.0,
    housing_over_oil_k=-5.0,
)


def test_the_fresh_oil_carries_away_what_friction_gives() -> None:
    found = solve_cycle(case=made_up(), oil=OIL, cold_clearance_m=CLEARANCE)
    t = found.film_temperature_c
    heat = OIL.density_kg_m3(t) * OIL.specific_heat_j_kg_k(t)
    carried = heat * found.oil_flow_m3_s * (found.outlet_temperature_c - 100.0)
    assert found.converged
    assert carried == pytest.approx(found.mean_friction_power_w, rel=0.003)
    assert t == pytest.approx(0.5 * (100.0 + found.outlet_temperature_c))
    assert t > 103.0
    assert abs(found.heat.residual_k) <= 0.01
    assert found.heat.steps < 10


def test_the_path_is_that_of_its_own_viscosity_at_the_mean_shear_rate() -> None:
    found = solve_cycle(case=made_up(), oil=OIL, cold_clearance_m=CLEARANCE)
    span = ANGLE[-1] - ANGLE[0]
    spin = np.trapezoid(loaded().journal_speed_rad_s, ANGLE) / span
    rate = spin * 0.024 / (CLEARANCE / 2.0)
    assert found.shear_rate_per_s == pytest.approx(rate)
    eta = OIL.dynamic_viscosity_pa_s(found.film_temperature_c, shear_rate_per_s=rate)
    assert found.viscosity_pa_s == pytest.approx(eta)
    assert eta < 0.97 * OIL.dynamic_viscosity_pa_s(found.film_temperature_c)
    same = solve_orbit(
        history=loaded(),
        diameter_m=0.048,
        width_m=0.019,
        diametral_clearance_m=CLEARANCE,
        viscosity_pa_s=eta,
    )
    assert found.minimum_film_m == pytest.approx(same.minimum_film_m, rel=1e-6)
    assert found.side_flow_m3_s == pytest.approx(same.mean_side_flow_m3_s, rel=1e-6)
    assert found.hot_clearance_m == found.cold_clearance_m == CLEARANCE


def test_a_steady_load_warms_the_film_as_the_steady_heat_balance_does() -> None:
    """Without a groove the paths know no groove at the largest gap: flow and friction hardly do."""
    steady = LoadHistory(
        angle_rad=ANGLE,
        force_x_n=np.full(ANGLE.size, 6000.0),
        force_y_n=np.zeros(ANGLE.size),
        journal_speed_rad_s=np.full(ANGLE.size, SPEED),
        turning_speed_rad_s=SPEED,
    )
    case = made_up(history=steady, without_gas=steady, groove=PathGroove.NONE, hole_diameter_m=0.0)
    found = solve_cycle(case=case, oil=NEWTONIAN, cold_clearance_m=CLEARANCE)
    bearing = Bearing(
        diameter_m=0.048, width_m=0.019, diametral_clearance_m=CLEARANCE, groove=Groove.AXIAL
    )
    warm = solve_warm(
        bearing=bearing,
        oil=NEWTONIAN,
        supply_temperature_c=100.0,
        speed_rad_s=SPEED,
        load_n=6000.0,
    )
    # the steady route counts all oil that enters at the groove as fresh, ours what leaves the ends
    assert warm.film.side_flow_m3_s == pytest.approx(found.side_flow_m3_s, rel=0.02)
    assert warm.film.eccentricity_ratio == pytest.approx(
        1.0 - found.minimum_film_m / (CLEARANCE / 2.0), abs=0.01
    )
    assert warm.film_temperature_c == pytest.approx(found.film_temperature_c, abs=0.7)


def test_heat_opens_an_aluminium_bearing_and_closes_the_circle_with_the_path() -> None:
    found = solve_cycle(case=made_up(hot_fit=ALUMINIUM), oil=OIL, cold_clearance_m=CLEARANCE)
    # bore 51 mm x 21e-6 x 75 K - walls 3 mm x 12e-6 x 75 K - journal 48 mm x 12e-6 x 90 K
    assert found.hot_clearance_m - CLEARANCE == pytest.approx(25.785e-6, abs=1e-9)
    assert 2.0 * found.orbit.radial_clearance_m == found.hot_clearance_m


def test_a_bearing_that_closes_when_hot_says_that_it_would_seize() -> None:
    iron = HotFit(
        journal_expansion_per_k=12e-6,
        housing_expansion_per_k=11e-6,
        shell_expansion_per_k=12e-6,
        shell_wall_m=1.5e-3,
        journal_over_oil_k=20.0,
        housing_over_oil_k=-20.0,
    )
    with pytest.raises(InputError, match="would seize"):
        solve_cycle(case=made_up(hot_fit=iron), oil=OIL, cold_clearance_m=20e-6)


def test_a_full_groove_carries_on_two_lands_and_takes_in_half_their_side_flow() -> None:
    case = made_up(groove=PathGroove.FULL, groove_width_m=3e-3, hole_diameter_m=0.0)
    found = solve_cycle(case=case, oil=OIL, cold_clearance_m=CLEARANCE)
    lands = solve_orbit(
        history=loaded(),
        diameter_m=0.048,
        width_m=0.019,
        diametral_clearance_m=CLEARANCE,
        viscosity_pa_s=found.viscosity_pa_s,
        groove_width_m=3e-3,
    )
    assert found.minimum_film_m == pytest.approx(lands.minimum_film_m, rel=1e-6)
    assert found.side_flow_m3_s == pytest.approx(0.5 * lands.mean_side_flow_m3_s, rel=1e-6)
    squares = lands.eccentricity_x**2 + lands.eccentricity_y**2
    mean = np.trapezoid(squares, lands.angle_rad) / (4.0 * np.pi)
    gap = (CLEARANCE / 2.0) ** 3 * (1.0 + 1.5 * mean)
    through = math.pi * 0.048 * gap * 3e5 / (6.0 * found.viscosity_pa_s * 8e-3)
    assert found.feed_flow_m3_s == pytest.approx(through, rel=1e-6)
    assert found.oil_flow_m3_s == pytest.approx(found.side_flow_m3_s + found.feed_flow_m3_s)


def test_a_half_groove_stands_in_the_bearing_where_it_is() -> None:
    """Under the gas load it costs film; above it, next to none."""
    films = {}
    for place in (0.0, math.pi):
        case = made_up(
            groove=PathGroove.HALF, groove_width_m=4e-3, hole_diameter_m=0.0, groove_rad=place
        )
        found = solve_cycle(case=case, oil=OIL, cold_clearance_m=CLEARANCE)
        own = solve_orbit(
            history=loaded(),
            diameter_m=0.048,
            width_m=0.019,
            diametral_clearance_m=CLEARANCE,
            viscosity_pa_s=found.viscosity_pa_s,
            groove=GroovePlace(kind=PathGroove.HALF, width_m=4e-3, angle_rad=place),
        )
        assert found.minimum_film_m == pytest.approx(own.minimum_film_m, rel=1e-6)
        films[place] = found.minimum_film_m
    assert films[math.pi] != pytest.approx(films[0.0], rel=0.1)


def test_a_groove_outside_its_map_is_told() -> None:
    case = made_up(groove=PathGroove.HALF, groove_width_m=1e-3, hole_diameter_m=0.0)
    with pytest.raises(OutOfRangeError, match="groove"):
        solve_cycle(case=case, oil=OIL, cold_clearance_m=CLEARANCE)


@pytest.mark.parametrize(("change", "by"), [("supply_pressure_pa", 6e5), ("hole_diameter_m", 9e-3)])
def test_more_oil_cools_the_film(change: str, by: float) -> None:
    plain = solve_cycle(case=made_up(), oil=OIL, cold_clearance_m=CLEARANCE)
    more = solve_cycle(case=made_up(**{change: by}), oil=OIL, cold_clearance_m=CLEARANCE)
    assert more.film_temperature_c < plain.film_temperature_c
    assert more.minimum_film_m > plain.minimum_film_m


def test_roughness_names_the_regime_and_without_it_none_is_named() -> None:
    plain = solve_cycle(case=made_up(), oil=OIL, cold_clearance_m=CLEARANCE)
    assert plain.film_ratio is None
    assert plain.regime is None
    rough = made_up(roughness_m=plain.minimum_film_m / 2.0)
    found = solve_cycle(case=rough, oil=OIL, cold_clearance_m=CLEARANCE)
    assert found.film_ratio == pytest.approx(2.0)
    assert found.regime is Regime.MIXED


def test_the_share_below_is_that_of_the_chosen_film() -> None:
    plain = solve_cycle(case=made_up(), oil=OIL, cold_clearance_m=CLEARANCE)
    chosen = 2.0 * plain.minimum_film_m
    found = solve_cycle(case=made_up(chosen_film_m=chosen), oil=OIL, cold_clearance_m=CLEARANCE)
    assert 0.0 < found.share_below_chosen == plain.orbit.share_below(film_m=chosen) < 1.0


def test_a_film_hotter_than_any_oil_stands_is_refused() -> None:
    fast = made_up(supply_temperature_c=185.0, supply_pressure_pa=0.0)
    with pytest.raises(OutOfRangeError, match="hotter than 200 °C"):
        solve_cycle(case=fast, oil=NEWTONIAN, cold_clearance_m=15e-6)


@pytest.mark.parametrize(
    ("changed", "sentence"),
    [
        ({"diameter_m": 0.0}, "the diameter has to be more than 0"),
        ({"width_m": -1.0}, "the width has to be more than 0"),
        ({"chosen_film_m": 0.0}, "the film to compare with has to be more than 0"),
        ({"supply_pressure_pa": -1.0}, "counts from the surroundings"),
        ({"hole_diameter_m": 18e-3}, "leave lands on both sides"),
    ],
)
def test_what_no_bearing_can_be_is_refused(changed: dict[str, float], sentence: str) -> None:
    with pytest.raises(InputError, match=sentence):
        made_up(**changed)


def test_loads_with_and_without_gas_need_the_same_angles() -> None:
    coarse = np.linspace(0.0, 4.0 * np.pi, 145)
    other = LoadHistory(
        angle_rad=coarse,
        force_x_n=np.full(145, 1.0),
        force_y_n=np.zeros(145),
        journal_speed_rad_s=np.full(145, SPEED),
        turning_speed_rad_s=SPEED,
    )
    with pytest.raises(InputError, match="both hold the same angles"):
        made_up(without_gas=other)
