"""The journal's path in a bearing whose groove or hole stands in it; invented loads."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from oilwedge.errors import InputError, OutOfRangeError
from oilwedge.film.load_history import LoadHistory
from oilwedge.film.orbit import Orbit, Width, is_compiled, solve_orbit
from oilwedge.film.path_groove import NO_GROOVE, GroovePlace, PathGroove

from .plain_ring import force_of_film

Array = NDArray[np.float64]

DIAMETER, WIDTH, CLEARANCE, VISCOSITY, SPEED = 0.05, 0.022, 50e-6, 0.01, 100.0 * math.pi
OPENING = 0.005
ANGLE = np.linspace(0.0, 4.0 * np.pi, 289)


def loaded(force: Array, *, turned: float = 0.0) -> LoadHistory:
    """The loads (complex, x + iy), turned by an angle."""
    turned_force = force * np.exp(1j * turned)
    turned_force[-1] = turned_force[0]
    return LoadHistory(
        angle_rad=ANGLE,
        force_x_n=np.asarray(turned_force.real, dtype=np.float64),
        force_y_n=np.asarray(turned_force.imag, dtype=np.float64),
        journal_speed_rad_s=np.full(ANGLE.size, SPEED),
        turning_speed_rad_s=SPEED,
    )


def steady(force: float, place: float) -> LoadHistory:
    return loaded(np.full(ANGLE.size, force * np.exp(1j * place)))


def varied() -> Array:
    shot = np.exp(-(((ANGLE - 6.8) / 0.35) ** 2))
    return np.asarray(3000.0 * np.exp(1j * ANGLE) - 9000.0 * shot + 600j * np.sin(2.0 * ANGLE))


def solved(history: LoadHistory, groove: GroovePlace = NO_GROOVE, **more: Any) -> Orbit:
    return solve_orbit(
        history=history,
        diameter_m=DIAMETER,
        width_m=WIDTH,
        diametral_clearance_m=CLEARANCE,
        viscosity_pa_s=VISCOSITY,
        groove=groove,
        **more,
    )


def half(place: float, width: float = OPENING) -> GroovePlace:
    return GroovePlace(kind=PathGroove.HALF, width_m=width, angle_rad=place)


def hole(place: float) -> GroovePlace:
    return GroovePlace(kind=PathGroove.HOLE, width_m=OPENING, angle_rad=place)


def carried(orbit: Orbit, node: int, velocity: Array, groove: GroovePlace) -> Array:
    """The force [N] of a film by the outside route, turned back into the bearing's axes."""
    back = np.exp(-1j * groove.angle_rad)
    ecc = complex(orbit.eccentricity_x[node], orbit.eccentricity_y[node]) * back
    rate = complex(velocity[0], velocity[1]) * back
    found = force_of_film(
        kind=groove.kind,
        share=OPENING / WIDTH,
        width=WIDTH / DIAMETER,
        ecc=np.array([ecc.real, ecc.imag]),
        velocity=np.array([rate.real, rate.imag]),
        spin=SPEED,
    )
    size = VISCOSITY * (DIAMETER / CLEARANCE) ** 2 * WIDTH * DIAMETER / 2.0
    force = size * complex(found[0], found[1]) / back
    return np.array([force.real, force.imag])


@pytest.mark.parametrize("place", [0.0, 1.0, 2.2, -1.0])
@pytest.mark.parametrize("kind", [half, hole])
def test_a_steady_load_stands_where_the_film_with_its_wedge_term_carries_it(
    place: float, kind: Any
) -> None:
    groove = kind(place)
    orbit = solved(steady(2500.0, 0.4), groove)
    assert orbit.converged
    assert np.ptp(orbit.eccentricity_x) < 1e-3
    force = carried(orbit, -1, np.zeros(2), groove)
    wanted = 2500.0 * np.array([math.cos(0.4), math.sin(0.4)])
    assert math.dist(force, wanted) < 0.025 * 2500.0


@pytest.mark.parametrize("groove", [half(0.7), hole(2.9)], ids=["half", "hole"])
def test_all_along_a_path_the_film_with_its_wedge_term_carries_the_load(
    groove: GroovePlace,
) -> None:
    history = loaded(varied())
    orbit = solved(history, groove)
    assert orbit.converged
    place = orbit.eccentricity_x + 1j * orbit.eccentricity_y
    rate = np.gradient(place, orbit.angle_rad) * SPEED
    for node in range(20, orbit.angle_rad.size - 1, 70):
        force = carried(orbit, node, np.array([rate[node].real, rate[node].imag]), groove)
        at = orbit.angle_rad[node]
        wanted = np.array(
            [
                np.interp(at, ANGLE, history.force_x_n),
                np.interp(at, ANGLE, history.force_y_n),
            ]
        )
        # the ring's grid, and the rate from steps of a degree, which tells where the load is small
        allowed = 0.04 * max(float(np.hypot(*wanted)), 1500.0)
        assert math.dist(force, wanted) < allowed, math.degrees(at)


def test_a_load_away_from_the_half_groove_is_that_of_a_plain_bearing() -> None:
    plain = solved(steady(8000.0, 0.0))
    away = solved(steady(8000.0, 0.0), half(math.pi + 0.4))
    assert away.minimum_film_m == pytest.approx(plain.minimum_film_m, rel=0.02)
    assert away.peak_pressure_pa == pytest.approx(plain.peak_pressure_pa, rel=0.02)


def test_a_load_into_the_half_groove_is_that_of_two_lands() -> None:
    full = GroovePlace(kind=PathGroove.FULL, width_m=OPENING)
    lands = solved(steady(8000.0, 0.0), full)
    into = solved(steady(8000.0, 0.0), half(0.4))
    assert into.minimum_film_m == pytest.approx(lands.minimum_film_m, rel=0.02)
    assert into.peak_pressure_pa == pytest.approx(lands.peak_pressure_pa, rel=0.03)
    by_width = solved(steady(8000.0, 0.0), groove_width_m=OPENING)
    assert by_width.minimum_film_m == lands.minimum_film_m


@pytest.mark.parametrize("kind", [half, hole])
def test_bearing_and_loads_turned_together_keep_the_path(kind: Any) -> None:
    one = solved(loaded(varied()), kind(0.5))
    other = solved(loaded(varied(), turned=1.3), kind(1.8))
    assert other.minimum_film_m == pytest.approx(one.minimum_film_m, rel=1e-3)
    place = (one.eccentricity_x + 1j * one.eccentricity_y) * np.exp(1.3j)
    assert np.abs(other.eccentricity_x + 1j * other.eccentricity_y - place).max() < 1e-3


def test_a_small_hole_does_less_than_a_groove_and_both_only_thin_the_film() -> None:
    load = steady(8000.0, 0.0)
    plain, holed, grooved = (
        solved(load, groove).minimum_film_m for groove in (NO_GROOVE, hole(0.45), half(0.45))
    )
    assert grooved < holed < plain


def test_what_is_open_is_not_sheared() -> None:
    idle = steady(1.0, 0.0)
    shear = VISCOSITY * SPEED**2 * (DIAMETER / 2.0) ** 3 / (CLEARANCE / 2.0) * 2.0 * math.pi
    for groove, sheared in (
        (NO_GROOVE, WIDTH),
        (half(0.0), WIDTH - 0.5 * OPENING),
        (GroovePlace(kind=PathGroove.FULL, width_m=OPENING), WIDTH - OPENING),
        (hole(0.0), WIDTH - OPENING**2 / 4.0 / DIAMETER),  # pi d²/4 over the circumference pi D
    ):
        power = solved(idle, groove).mean_friction_power_w
        assert power == pytest.approx(shear * sheared, rel=1e-3)


def test_the_shear_under_a_half_groove_is_that_of_its_angles() -> None:
    load, groove = steady(8000.0, 0.0), half(1.2)
    orbit = solved(load, groove)
    x, y = orbit.eccentricity_x[-1], orbit.eccentricity_y[-1]
    theta = 1.2 + np.linspace(-0.5 * np.pi, 0.5 * np.pi, 20001)
    gap = 1.0 - x * np.cos(theta) - y * np.sin(theta)
    ring = WIDTH * 2.0 * np.pi / math.sqrt(1.0 - x * x - y * y)
    sheared = ring - OPENING * float(np.trapezoid(1.0 / gap, theta))
    shear = VISCOSITY * SPEED**2 * (DIAMETER / 2.0) ** 3 / (CLEARANCE / 2.0) * sheared
    # a steady load does its work on half the whirl it hinders: F ω e C/2 across the load
    work = 8000.0 * 0.5 * SPEED * y * CLEARANCE / 2.0
    assert orbit.friction_powers_w[-1] == pytest.approx(shear + work, rel=2e-3)


def test_kernels_tell_that_they_are_there() -> None:
    solved(steady(1000.0, 0.0), half(0.0))
    assert is_compiled(kind=PathGroove.HALF)


@pytest.mark.parametrize(
    ("groove", "more", "error", "said"),
    [
        (half(0.0, 0.001), {}, OutOfRangeError, "10 to 40 % of the width"),
        (half(0.0, 0.03), {}, InputError, "narrower than the bearing"),
        (half(0.0), {"width": Width.SHORT}, InputError, "finite bearings"),
        (half(0.0), {"groove_width_m": 0.004}, InputError, "one groove"),
    ],
)
def test_a_groove_that_no_map_holds_is_refused(
    groove: GroovePlace, more: dict[str, Any], error: type[Exception], said: str
) -> None:
    with pytest.raises(error, match=said):
        solved(steady(1000.0, 0.0), groove, **more)
