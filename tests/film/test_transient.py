"""The journal's path by the whole film at every step."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from oilwedge.errors import InputError, OutOfRangeError
from oilwedge.film.bearing import Bearing, Groove, Rupture
from oilwedge.film.feed_place import Feed, FeedPlace
from oilwedge.film.film_shape import FilmShape
from oilwedge.film.load_history import LoadHistory
from oilwedge.film.orbit import solve_orbit
from oilwedge.film.shaped_turning import solve_turning
from oilwedge.film.steady import solve_steady
from oilwedge.film.transient import Ends, TransientOrbit, solve_transient
from oilwedge.film.transient_layout import RingGrid

Array = NDArray[np.float64]

DIAMETER, WIDTH, CLEARANCE, VISCOSITY, SPEED = 0.05, 0.025, 50e-6, 0.01, 100.0 * math.pi
COARSE = RingGrid(around=96, across=5)
TURN = np.linspace(0.0, 2.0 * np.pi, 73)
CYCLE = np.linspace(0.0, 4.0 * np.pi, 289)
SHARE_X = np.cos(CYCLE) - 3.0 * np.exp(-(((CYCLE - 6.8) / 0.35) ** 2))
SHARE_Y = np.sin(CYCLE) + 0.5 * np.sin(2.0 * CYCLE)
FLOODED = {"rupture": Rupture.MASS_CONSERVING, "ends": Ends.FLOODED}


def loaded(angle: Array, force_x: Array, force_y: Array, spin: float = SPEED) -> LoadHistory:
    force_x, force_y = force_x.copy(), force_y.copy()
    force_x[-1], force_y[-1] = force_x[0], force_y[0]
    return LoadHistory(
        angle_rad=angle,
        force_x_n=force_x,
        force_y_n=force_y,
        journal_speed_rad_s=np.full(angle.size, spin),
        turning_speed_rad_s=SPEED,
    )


def bearing(**changed: Any) -> Bearing:
    return Bearing(
        **{
            "diameter_m": DIAMETER,
            "width_m": WIDTH,
            "diametral_clearance_m": CLEARANCE,
            "groove": Groove.NONE,
            **changed,
        }
    )


GROOVED = bearing(groove=Groove.CIRCUMFERENTIAL, groove_width_m=0.003, supply_pressure_pa=4e5)


def solved(history: LoadHistory, **changed: Any) -> TransientOrbit:
    orbit = solve_transient(
        **{
            "history": history,
            "bearing": bearing(),
            "viscosity_pa_s": VISCOSITY,
            "grid": COARSE,
            **changed,
        }
    )
    assert orbit.converged
    return orbit


def steady(load: float) -> LoadHistory:
    return loaded(TURN, np.full(TURN.size, load), np.zeros(TURN.size))


def engine(size: float = 3000.0, *, turned: float = 0.0, mirrored: bool = False) -> LoadHistory:
    """Invented: masses that turn and one blow a cycle."""
    sense = -1.0 if mirrored else 1.0
    x = SHARE_X * math.cos(turned) - SHARE_Y * math.sin(turned)
    y = SHARE_Y * math.cos(turned) + SHARE_X * math.sin(turned)
    return loaded(CYCLE, size * x, sense * size * y, sense * SPEED)


@pytest.mark.parametrize("size", [600.0, 3000.0, 9000.0])
def test_the_mobility_method_finds_the_same_film_with_the_same_rupture(size: float) -> None:
    fast = solve_orbit(
        history=engine(size),
        diameter_m=DIAMETER,
        width_m=WIDTH,
        diametral_clearance_m=CLEARANCE,
        viscosity_pa_s=VISCOSITY,
    )
    orbit = solved(engine(size))
    assert orbit.minimum_film_m == pytest.approx(fast.minimum_film_m, rel=0.01)
    assert orbit.minimum_film_angle_rad == pytest.approx(fast.minimum_film_angle_rad, abs=0.03)
    assert orbit.peak_pressure_pa == pytest.approx(fast.peak_pressure_pa, rel=0.01)
    assert orbit.mean_friction_power_w == pytest.approx(fast.mean_friction_power_w, rel=0.005)
    # the quick route takes its side flow from a formula that is exact for narrow bearings
    assert orbit.mean_side_flow_m3_s == pytest.approx(fast.mean_side_flow_m3_s, rel=0.05)


# S, attitude, (R/C) f and P/pmax at L/D = 1/2: worked outside the package by finite
# volumes on 720 x 28 cells (COMPUTED), beside the table of Raimondi and Boyd, 1958 (RECALLED); its
# groove at the largest gap tells at light loads
@pytest.mark.parametrize(
    ("ratio", "sommerfeld", "attitude_deg", "friction", "share"),
    [
        (0.6, 0.3191, 48.05, 8.10, 0.367),
        (0.8, 0.0917, 32.93, 3.23, 0.274),
        (0.9, 0.03122, 23.56, 1.594, 0.209),
    ],
)
def test_steady_load_ends_at_the_steady_table(
    ratio: float, sommerfeld: float, attitude_deg: float, friction: float, share: float
) -> None:
    turns = SPEED / (2.0 * math.pi)
    load = (DIAMETER / CLEARANCE) ** 2 * VISCOSITY * turns * WIDTH * DIAMETER / sommerfeld
    orbit = solved(steady(load))
    x, y = orbit.eccentricity_x[-1], orbit.eccentricity_y[-1]
    assert math.hypot(x, y) == pytest.approx(ratio, abs=2e-3)
    assert math.degrees(math.atan2(y, x)) == pytest.approx(attitude_deg, abs=0.5)
    moment = orbit.mean_friction_power_w / SPEED
    assert moment / (load * CLEARANCE / 2.0) == pytest.approx(friction, rel=0.01)
    assert load / (WIDTH * DIAMETER) / orbit.peak_pressure_pa == pytest.approx(share, rel=0.01)


@pytest.mark.parametrize(
    ("fed", "rupture"),
    [
        (bearing(), Rupture.REYNOLDS),
        (GROOVED, Rupture.REYNOLDS),
        (GROOVED, Rupture.MASS_CONSERVING),
    ],
)
def test_steady_film_is_the_limit_of_a_steady_load(fed: Bearing, rupture: Rupture) -> None:
    orbit = solved(steady(3000.0), bearing=fed, rupture=rupture)
    film = solve_steady(
        bearing=fed,
        viscosity_pa_s=VISCOSITY,
        speed_rad_s=SPEED,
        load_n=3000.0,
        rupture=rupture,
    )
    assert orbit.minimum_film_m == pytest.approx(film.minimum_film_m, rel=0.02)
    attitude = math.atan2(orbit.eccentricity_y[-1], orbit.eccentricity_x[-1])
    assert attitude == pytest.approx(film.attitude_angle_rad, abs=0.02)
    assert orbit.peak_pressure_pa == pytest.approx(film.peak_pressure_pa, rel=0.02)
    assert orbit.mean_side_flow_m3_s == pytest.approx(film.side_flow_m3_s, rel=0.02)
    if fed is GROOVED:
        assert orbit.mean_oil_flow_m3_s == pytest.approx(film.fresh_flow_m3_s, rel=0.02)


def test_load_that_turns_with_the_journal_is_a_steady_one() -> None:
    fine = np.linspace(0.0, 2.0 * np.pi, 361)
    turning = solved(loaded(fine, 4000.0 * np.cos(fine), 4000.0 * np.sin(fine)))
    assert turning.minimum_film_m == pytest.approx(solved(steady(4000.0)).minimum_film_m, rel=5e-3)


@pytest.mark.parametrize(
    "changed", [FLOODED, {"bearing": GROOVED, "rupture": Rupture.MASS_CONSERVING}]
)
def test_oil_is_neither_made_nor_lost(changed: dict[str, Any]) -> None:
    orbit = solved(engine(), **changed)
    assert orbit.mass_error is not None
    assert abs(orbit.mass_error) < 1e-6
    assert abs(orbit.oil_change) <= 1e-4
    came = orbit._mean(orbit.drawn_flows_m3_s + orbit.feed_flows_m3_s)
    assert came == pytest.approx(orbit.mean_side_flow_m3_s, rel=1e-3)
    assert orbit.thinnest_film_fraction.max() <= 1.0 + 1e-9
    assert orbit.thinnest_film_fraction.min() >= 0.0
    assert (orbit.film_fraction_friction_powers_w < orbit.friction_powers_w).all()


def test_film_that_keeps_its_oil_is_thinner() -> None:
    assert solved(engine(), **FLOODED).minimum_film_m < solved(engine()).minimum_film_m


def test_reynolds_condition_tells_no_balance_of_oil() -> None:
    assert solved(engine()).mass_error is None


@settings(max_examples=4, deadline=None)
@given(turn=st.floats(0.0, 2.0 * math.pi), mirrored=st.booleans())
def test_turned_or_mirrored_load_gives_the_same_film(turn: float, mirrored: bool) -> None:
    plain, other = solved(engine()), solved(engine(turned=turn, mirrored=mirrored))
    assert other.minimum_film_m == pytest.approx(plain.minimum_film_m, rel=0.01)
    assert other.mean_side_flow_m3_s == pytest.approx(plain.mean_side_flow_m3_s, rel=0.01)


@pytest.mark.parametrize("spin", [0.6, 1.7])
def test_a_journal_brakes_by_its_own_speed_and_not_by_the_cranks(spin: float) -> None:
    """As by the mobility method, whose friction comes from other formulas."""
    history = loaded(CYCLE, 3000.0 * SHARE_X, 3000.0 * SHARE_Y, spin=spin * SPEED)
    fast = solve_orbit(
        history=history,
        diameter_m=DIAMETER,
        width_m=WIDTH,
        diametral_clearance_m=CLEARANCE,
        viscosity_pa_s=VISCOSITY,
    )
    orbit = solved(history)
    assert orbit.mean_friction_power_w == pytest.approx(fast.mean_friction_power_w, rel=0.01)
    assert orbit.minimum_film_m == pytest.approx(fast.minimum_film_m, rel=0.02)


def test_an_oval_journal_pushes_its_middle_as_the_quasi_steady_route_has_it() -> None:
    """Under the Reynolds condition nothing keeps a history: two routes, one film turn by turn."""
    shape = FilmShape(journal_out_of_round_m=12e-6)
    _, turns = solve_turning(
        bearing=bearing(),
        shape=shape,
        feed=FeedPlace(kind=Feed.NONE),
        viscosity_pa_s=VISCOSITY,
        speed_rad_s=SPEED,
        load_n=3000.0,
    )
    films = [film for _, film in turns]
    orbit = solved(steady(3000.0), shape=shape)
    assert orbit.minimum_film_m == pytest.approx(min(films), rel=0.01)
    assert orbit.least_films_m.max() == pytest.approx(max(films), rel=0.01)


def test_mirror_image_is_exact() -> None:
    plain, other = solved(engine(), **FLOODED), solved(engine(mirrored=True), **FLOODED)
    np.testing.assert_allclose(other.eccentricity_x, plain.eccentricity_x, atol=1e-6)
    np.testing.assert_allclose(other.eccentricity_y, -plain.eccentricity_y, atol=1e-6)


def test_load_and_viscosity_scale_together() -> None:
    plain, thick = solved(engine()), solved(engine(6000.0), viscosity_pa_s=2.0 * VISCOSITY)
    np.testing.assert_allclose(thick.eccentricity_x, plain.eccentricity_x, atol=1e-7)
    assert thick.peak_pressure_pa == pytest.approx(2.0 * plain.peak_pressure_pa)


def test_finer_steps_of_the_grid_bring_it_nearer_to_its_limit() -> None:
    films = [
        solved(engine(), grid=RingGrid(around=around, across=across)).minimum_film_m
        for around, across in ((40, 3), (80, 6), (160, 12))
    ]
    order = math.log2(abs(films[0] - films[1]) / abs(films[1] - films[2]))
    assert order > 1.5


def test_shape_too_small_to_see_changes_nothing() -> None:
    shape = FilmShape(journal_taper_m=1e-12, tilt_x_rad=1e-10)
    shaped = solved(engine(), shape=shape)
    assert shaped.minimum_film_m == pytest.approx(solved(engine()).minimum_film_m, rel=0.01)


def test_taper_lets_the_film_be_thinner_at_its_thick_end() -> None:
    shaped = solved(engine(), shape=FilmShape(journal_taper_m=6e-6))
    assert shaped.minimum_film_m < 0.9 * solved(engine()).minimum_film_m
    pressure = shaped.thinnest_pressure_pa.max(axis=0)
    assert shaped.cell_place_m[int(pressure.argmax())] > 0.0  # the front is the thicker end


def test_oval_journal_repeats_with_its_half_turns() -> None:
    orbit = solved(engine(), shape=FilmShape(journal_out_of_round_m=4e-6))
    assert orbit.minimum_film_m == pytest.approx(solved(engine()).minimum_film_m, rel=0.2)
    slow = loaded(CYCLE, 3000.0 * SHARE_X, 3000.0 * SHARE_Y, 0.9 * SPEED)
    with pytest.raises(InputError, match="half turns"):
        solved(slow, shape=FilmShape(journal_out_of_round_m=4e-6))


def test_progress_is_told_cycle_by_cycle() -> None:
    told: list[tuple[int, float]] = []
    orbit = solved(engine(), when_cycle=lambda cycle, residual: told.append((cycle, residual)))
    assert [cycle for cycle, _ in told] == list(range(1, orbit.cycles + 1))
    assert told[-1][1] == orbit.residual <= 1e-4


def test_path_that_is_given_up_says_so() -> None:
    orbit = solve_transient(
        history=engine(),
        bearing=bearing(),
        viscosity_pa_s=VISCOSITY,
        grid=COARSE,
        largest_cycles=1,
    )
    assert not orbit.converged
    assert orbit.residual > 1e-4


def test_axial_groove_is_refused() -> None:
    with pytest.raises(InputError, match="no place of its own"):
        solved(engine(), bearing=bearing(groove=Groove.AXIAL))


def test_film_that_keeps_its_oil_needs_some() -> None:
    with pytest.raises(InputError, match="let the ends be flooded"):
        solved(engine(), rupture=Rupture.MASS_CONSERVING)


def test_film_thinner_than_the_cells_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match="do not resolve"):
        solved(engine(3e5))


def test_load_at_half_the_speed_is_carried_by_no_film() -> None:
    x, y = 9000.0 * np.cos(CYCLE / 2.0), 9000.0 * np.sin(CYCLE / 2.0)
    with pytest.raises(OutOfRangeError, match="half the journal's speed is carried by no film"):
        solved(loaded(CYCLE, x, y))
