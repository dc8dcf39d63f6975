"""The film's own temperature: the balance closes, and turns the right way."""

from __future__ import annotations

import math

import pytest

from oilwedge.errors import OutOfRangeError
from oilwedge.film.bearing import Bearing, Groove
from oilwedge.film.heat_balance import WarmFilm, solve_warm
from oilwedge.film.oil import Oil
from oilwedge.film.steady import solve_steady

OIL = Oil(name="invented", density_kg_m3_at_15c=870.0, nu40_m2_s=70e-6, nu100_m2_s=11e-6)


def warm(
    *,
    clearance: float = 60e-6,
    supply: float = 80.0,
    speed: float = 300.0,
    groove: Groove = Groove.AXIAL,
) -> WarmFilm:
    bearing = Bearing(diameter_m=0.05, width_m=0.02, diametral_clearance_m=clearance, groove=groove)
    return solve_warm(
        bearing=bearing, oil=OIL, supply_temperature_c=supply, speed_rad_s=speed, load_n=4000.0
    )


def test_the_fresh_oil_carries_away_what_friction_gives() -> None:
    found = warm()
    t = found.film_temperature_c
    heat = OIL.density_kg_m3(t) * OIL.specific_heat_j_kg_k(t)
    carried = heat * found.film.fresh_flow_m3_s * (found.outlet_temperature_c - 80.0)
    assert carried == pytest.approx(found.film.friction_power_w, rel=0.003)
    assert t == pytest.approx(0.5 * (80.0 + found.outlet_temperature_c))
    assert abs(found.residual_k) <= 0.01
    assert found.viscosity_pa_s == pytest.approx(OIL.dynamic_viscosity_pa_s(t))


def test_the_film_is_the_isothermal_one_at_that_viscosity() -> None:
    found = warm()
    same = solve_steady(
        bearing=found.film.bearing,
        viscosity_pa_s=found.viscosity_pa_s,
        speed_rad_s=300.0,
        load_n=4000.0,
    )
    assert found.film.eccentricity_ratio == pytest.approx(same.eccentricity_ratio, rel=1e-6)


def test_speed_and_a_tight_fit_warm_the_film() -> None:
    usual = warm()
    assert warm(speed=500.0).film_temperature_c > usual.film_temperature_c + 1.0
    assert warm(clearance=40e-6).film_temperature_c > usual.film_temperature_c + 1.0
    assert warm(supply=90.0).film_temperature_c > usual.film_temperature_c + 5.0


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"supply": 199.9, "speed": 900.0, "clearance": 20e-6}, "hotter than 200 °C"),
        ({"supply": 210.0}, "200"),
        ({"supply": math.nan}, ""),
        ({"groove": Groove.NONE}, "no fresh oil"),
    ],
)
def test_what_has_no_balance_gets_one_sentence(change: dict[str, object], words: str) -> None:
    with pytest.raises(OutOfRangeError) as caught:
        warm(**change)  # type: ignore[arg-type]
    assert words in str(caught.value)
    assert "\n" not in str(caught.value)
