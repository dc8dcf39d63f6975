"""The steady film: laws of scale, symmetry of units, the balance of load and of oil."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from oilwedge.errors import OutOfRangeError
from oilwedge.film.bearing import Bearing, Groove, Rupture
from oilwedge.film.film_grid import FilmGrid
from oilwedge.film.steady import SteadyFilm, solve_at_eccentricity, solve_steady

COARSE = FilmGrid(around=64, across=16)
BEARING = Bearing(diameter_m=0.05, width_m=0.025, diametral_clearance_m=50e-6)
FED = Bearing(
    diameter_m=0.05,
    width_m=0.025,
    diametral_clearance_m=50e-6,
    groove=Groove.CIRCUMFERENTIAL,
    groove_width_m=0.003,
    supply_pressure_pa=3e5,
)


def solve(
    bearing: Bearing = BEARING,
    *,
    viscosity: float = 0.01,
    speed: float = 300.0,
    load: float = 4000.0,
    rupture: Rupture = Rupture.REYNOLDS,
) -> SteadyFilm:
    return solve_steady(
        bearing=bearing,
        viscosity_pa_s=viscosity,
        speed_rad_s=speed,
        load_n=load,
        rupture=rupture,
        grid=COARSE,
    )


@given(
    width_ratio=st.floats(0.1, 2.0),
    e=st.floats(0.01, 0.99),
    rupture=st.sampled_from(Rupture),
)
@settings(max_examples=30, deadline=None)
def test_friction_obeys_the_identity_of_the_handbooks(
    width_ratio: float, e: float, rupture: Rupture
) -> None:
    """(R/C) f = 2π² S/√(1 − ε²) + (ε/2) sin φ, recalled and derived again."""
    bearing = Bearing(diameter_m=0.05, width_m=0.05 * width_ratio, diametral_clearance_m=50e-6)
    film = solve_at_eccentricity(
        bearing=bearing,
        viscosity_pa_s=0.01,
        speed_rad_s=300.0,
        eccentricity_ratio=e,
        rupture=rupture,
        grid=COARSE,
    )
    f = film.friction_moment_n_m / film.load_n / bearing.radial_clearance_m
    couette = 2.0 * math.pi**2 * film.sommerfeld_number / math.sqrt(1.0 - e**2)
    assert f == pytest.approx(couette + 0.5 * e * math.sin(film.attitude_angle_rad), rel=1e-9)
    assert film.film_fraction_friction_moment_n_m < film.friction_moment_n_m
    assert np.all(film.pressure_pa >= 0.0)
    assert np.all((film.film_fraction > 0.0) & (film.film_fraction <= 1.0))
    assert film.side_flow_m3_s == pytest.approx(film.fresh_flow_m3_s, rel=1e-6)
    assert abs(film.convergence.mass_error) < 1e-6


@given(
    size=st.floats(0.2, 5.0),
    viscosity=st.floats(0.1, 10.0),
    speed=st.floats(0.1, 10.0),
    clearance=st.floats(0.5, 2.0),
)
@settings(max_examples=20, deadline=None)
def test_what_keeps_the_sommerfeld_number_keeps_the_film(
    size: float, viscosity: float, speed: float, clearance: float
) -> None:
    base = solve()
    bearing = Bearing(
        diameter_m=0.05 * size,
        width_m=0.025 * size,
        diametral_clearance_m=50e-6 * size * clearance,
    )
    load = 4000.0 * size**2 * viscosity * speed / clearance**2
    scaled = solve(bearing, viscosity=0.01 * viscosity, speed=300.0 * speed, load=load)
    assert scaled.sommerfeld_number == pytest.approx(base.sommerfeld_number, rel=1e-9)
    assert scaled.eccentricity_ratio == pytest.approx(base.eccentricity_ratio, rel=1e-6)
    assert scaled.attitude_angle_rad == pytest.approx(base.attitude_angle_rad, rel=1e-6)
    pressures = scaled.peak_pressure_pa / base.peak_pressure_pa
    assert pressures == pytest.approx(viscosity * speed / clearance**2, rel=1e-6)
    powers = scaled.friction_power_w / base.friction_power_w
    assert powers == pytest.approx(viscosity * speed**2 * size**3 / clearance, rel=1e-6)
    flows = scaled.side_flow_m3_s / base.side_flow_m3_s
    assert flows == pytest.approx(speed * size**3 * clearance, rel=1e-6)


@given(load=st.floats(50.0, 50_000.0), factor=st.floats(1.01, 3.0))
@settings(max_examples=20, deadline=None)
def test_more_load_means_less_film(load: float, factor: float) -> None:
    light, heavy = solve(load=load), solve(load=load * factor)
    assert heavy.minimum_film_m < light.minimum_film_m
    assert heavy.attitude_angle_rad < light.attitude_angle_rad
    assert heavy.peak_pressure_pa > light.peak_pressure_pa


@pytest.mark.parametrize("rupture", list(Rupture))
@pytest.mark.parametrize("load", [20.0, 4000.0, 400_000.0])
@pytest.mark.parametrize("bearing", [BEARING, FED], ids=["axial", "circumferential"])
def test_the_film_found_carries_the_load(bearing: Bearing, load: float, rupture: Rupture) -> None:
    film = solve(bearing, load=load, rupture=rupture)
    assert abs(film.convergence.load_error) < 1e-7
    again = solve_at_eccentricity(
        bearing=bearing,
        viscosity_pa_s=0.01,
        speed_rad_s=300.0,
        eccentricity_ratio=film.eccentricity_ratio,
        rupture=rupture,
        grid=COARSE,
    )
    assert again.load_n == pytest.approx(load, rel=1e-6)
    expected = bearing.radial_clearance_m * (1.0 - film.eccentricity_ratio)
    assert film.minimum_film_m == pytest.approx(expected, rel=1e-12)


def test_the_force_and_the_friction_of_the_pressure_map_are_those_given() -> None:
    """Summed again from the map with the trapezoid rule over both halves."""
    film = solve_steady(bearing=BEARING, viscosity_pa_s=0.01, speed_rad_s=300.0, load_n=4000.0)
    edge = 0.5 * BEARING.width_m
    places = np.concatenate([film.place_m, [edge]])
    pressure = np.concatenate([film.pressure_pa, np.zeros((film.angle_rad.size, 1))], axis=1)
    line = 2.0 * np.trapezoid(pressure, places, axis=1)
    turn = np.exp(1j * film.angle_rad)
    force = BEARING.radius_m * np.trapezoid(line * turn, film.angle_rad)
    assert abs(force) == pytest.approx(4000.0, rel=2e-3)
    # the force lies the attitude angle before the thinnest place, at π
    assert np.angle(force) == pytest.approx(math.pi - film.attitude_angle_rad, abs=2e-3)
    h = BEARING.radial_clearance_m * (1.0 + film.eccentricity_ratio * np.cos(film.angle_rad))
    couette = (
        0.01 * 300.0 * BEARING.radius_m**3 * BEARING.width_m * np.trapezoid(1.0 / h, film.angle_rad)
    )
    slope = np.gradient(line, film.angle_rad)
    wedge = 0.5 * BEARING.radius_m * np.trapezoid(h * slope, film.angle_rad)
    assert film.friction_moment_n_m == pytest.approx(couette + wedge, rel=2e-3)


def test_the_oil_of_a_circumferential_groove_follows_its_closed_form() -> None:
    """π D C³ p (1 + 1.5 ε²)/(6 η a) from two lands of width a, where no wedge pumps (derived)."""
    film = solve(
        Bearing(
            diameter_m=0.05,
            width_m=0.023,
            diametral_clearance_m=50e-6,
            groove=Groove.CIRCUMFERENTIAL,
            groove_width_m=0.003,
            supply_pressure_pa=5e6,
        ),
        speed=1.0,
        load=40.0,
        rupture=Rupture.MASS_CONSERVING,
    )
    e, c, a = film.eccentricity_ratio, 25e-6, 0.01
    expected = math.pi * 0.05 * c**3 * 5e6 * (1.0 + 1.5 * e**2) / (6.0 * 0.01 * a)
    assert film.groove_flow_m3_s == pytest.approx(expected, rel=0.01)
    assert film.side_flow_m3_s == pytest.approx(expected, rel=0.01)


@pytest.mark.parametrize("supply", [1e5, 5e5, 2e6])
def test_oil_is_conserved_where_the_film_forms_again(supply: float) -> None:
    for groove in (Groove.AXIAL, Groove.CIRCUMFERENTIAL):
        bearing = Bearing(
            diameter_m=0.05,
            width_m=0.025,
            diametral_clearance_m=50e-6,
            groove=groove,
            supply_pressure_pa=supply,
        )
        film = solve_at_eccentricity(
            bearing=bearing,
            viscosity_pa_s=0.01,
            speed_rad_s=300.0,
            eccentricity_ratio=0.8,
            rupture=Rupture.MASS_CONSERVING,
            grid=COARSE,
        )
        assert abs(film.convergence.mass_error) < 1e-6
        assert np.all(film.pressure_pa[film.film_fraction < 1.0] == 0.0)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"viscosity": 0.0}, "the viscosity has to be more than 0"),
        ({"speed": 0.0}, "the speed has to be more than 0"),
        ({"load": -1.0}, "the load has to be more than 0"),
        ({"load": 1e12}, "which no film carries"),
        ({"load": 1e-7}, "already pushes harder"),
    ],
)
def test_bad_input_gets_one_sentence(change: dict[str, float], words: str) -> None:
    with pytest.raises(OutOfRangeError) as caught:
        solve(**change)  # type: ignore[arg-type]
    assert words in str(caught.value)
    assert "\n" not in str(caught.value)


@pytest.mark.parametrize("groove", [Groove.NONE, Groove.CIRCUMFERENTIAL])
def test_a_bearing_that_would_run_dry_is_refused(groove: Groove) -> None:
    bearing = Bearing(diameter_m=0.05, width_m=0.025, diametral_clearance_m=50e-6, groove=groove)
    with pytest.raises(OutOfRangeError, match="runs dry"):
        solve(bearing, rupture=Rupture.MASS_CONSERVING)
    assert solve(bearing).eccentricity_ratio < 1.0  # the Reynolds condition asks for no oil
