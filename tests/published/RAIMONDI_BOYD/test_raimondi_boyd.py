"""The tables of the full bearing, fed at the largest gap, row by row; film found by its load."""

import math
import tomllib
from pathlib import Path

import pytest

from oilwedge.film.bearing import Bearing, Rupture
from oilwedge.film.steady import SteadyFilm, solve_at_eccentricity, solve_steady

pytestmark = pytest.mark.published
VALUES = tomllib.loads(Path(__file__).with_name("source.toml").read_text("utf-8"))["values"]
ROWS = [pytest.param(*row, id=f"{row[0]}-{row[1]}") for row in VALUES["rows"]]
VISCOSITY, REV_S = 0.012, 40.0
SPEED = 2.0 * math.pi * REV_S


def bearing_of(width_ratio: float) -> Bearing:
    return Bearing(diameter_m=0.06, width_m=0.06 * width_ratio, diametral_clearance_m=60e-6)


def flow_number(flow_m3_s: float, bearing: Bearing) -> float:
    unit = bearing.radius_m * bearing.radial_clearance_m * REV_S * bearing.width_m
    return flow_m3_s / unit


def friction_number(moment_n_m: float, film: SteadyFilm) -> float:
    return moment_n_m / film.load_n / film.bearing.radial_clearance_m


@pytest.mark.parametrize("rupture", list(Rupture))
@pytest.mark.parametrize(
    ("width_ratio", "e", "s", "s_c", "phi", "phi_c", "f", "f_c", "q", "qs_q", "p_pmax"), ROWS
)
def test_a_row_of_the_table_is_met(
    width_ratio: float,
    e: float,
    s: float,
    s_c: float,
    phi: float,
    phi_c: float,
    f: float,
    f_c: float,
    q: float,
    qs_q: float,
    p_pmax: float,
    rupture: Rupture,
) -> None:
    film = solve_at_eccentricity(
        bearing=bearing_of(width_ratio),
        viscosity_pa_s=VISCOSITY,
        speed_rad_s=SPEED,
        eccentricity_ratio=e,
        rupture=rupture,
    )
    bearing, nearly_touching = film.bearing, e > 0.95
    p = film.load_n / (bearing.width_m * bearing.diameter_m)
    slender = bearing.radius_m / bearing.radial_clearance_m
    found_s = slender**2 * VISCOSITY * REV_S / p
    assert film.sommerfeld_number == pytest.approx(found_s, rel=1e-12)
    assert found_s == pytest.approx(s, rel=0.035 if nearly_touching else 0.02)
    assert found_s == pytest.approx(s_c, rel=0.002)
    attitude = math.degrees(film.attitude_angle_rad)
    assert attitude == pytest.approx(phi, abs=1.0)
    assert attitude == pytest.approx(phi_c, abs=0.1)
    friction = friction_number(film.friction_moment_n_m, film)
    assert friction == pytest.approx(f, rel=0.035 if nearly_touching else 0.015)
    assert friction == pytest.approx(f_c, rel=0.002)
    assert friction == pytest.approx(film.friction_coefficient * slender, rel=1e-12)
    assert flow_number(film.groove_flow_m3_s, bearing) == pytest.approx(q, rel=0.01)
    assert film.side_flow_m3_s / film.groove_flow_m3_s == pytest.approx(qs_q, abs=0.005)
    assert p / film.peak_pressure_pa == pytest.approx(p_pmax, rel=0.065)


@pytest.mark.parametrize(("e", "f"), VALUES["film_fraction_friction"])
def test_shear_by_film_fraction_is_as_computed_elsewhere(e: float, f: float) -> None:
    film = solve_at_eccentricity(
        bearing=bearing_of(1.0), viscosity_pa_s=VISCOSITY, speed_rad_s=SPEED, eccentricity_ratio=e
    )
    found = friction_number(film.film_fraction_friction_moment_n_m, film)
    # three printed digits, and a film fraction of first order in the step (720) there
    assert found == pytest.approx(f, rel=0.01)


def test_the_handbook_example_of_the_same_school_is_met() -> None:
    """Shigley, example 12-1 to 12-4, S = 0.135, L/D = 1: recalled chart readings, computed here."""
    psi = 0.0015 / 0.75
    load_n, radius_m, rev_s = 500 * 4.4482216, 0.75 * 0.0254, 30.0
    film = solve_steady(
        bearing=Bearing(
            diameter_m=2 * radius_m, width_m=1.5 * 0.0254, diametral_clearance_m=2 * psi * radius_m
        ),
        viscosity_pa_s=4 * 6.894757e-3,
        speed_rad_s=2 * math.pi * rev_s,
        load_n=load_n,
    )
    assert film.sommerfeld_number == pytest.approx(0.135, rel=1e-3)
    assert film.eccentricity_ratio == pytest.approx(0.572, abs=0.001)
    assert math.degrees(film.attitude_angle_rad) == pytest.approx(52.3, abs=0.1)
    assert film.friction_coefficient / psi == pytest.approx(3.48, rel=0.002)
    assert film.friction_moment_n_m / 0.1129848 == pytest.approx(2.62, rel=0.01)  # lbf in
    assert film.groove_flow_m3_s / 0.0254**3 == pytest.approx(0.217, rel=0.01)  # in³/s
    assert film.side_flow_m3_s / film.groove_flow_m3_s == pytest.approx(0.657, abs=0.002)
    assert film.peak_pressure_pa / 6894.757 == pytest.approx(529, rel=0.02)  # psi, from a chart
    assert math.degrees(film.peak_pressure_angle_rad) == pytest.approx(18.5, abs=1.5)
