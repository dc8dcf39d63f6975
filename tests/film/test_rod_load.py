"""Forces of one cylinder: Newton's and Euler's laws, energy, limits, directions."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from oilwedge.errors import InputError
from oilwedge.film.gas_cycle import (
    cycle_for_peak_pressure,
    four_stroke_cycle,
    two_stroke_cycle,
)
from oilwedge.film.gas_pressure import PressureTrace, Strokes, indicated_work_j
from oilwedge.film.kinematics import SliderCrank, motion
from oilwedge.film.rod_load import Cylinder, RodLoad, RodMasses, polar_diagram, rod_load

ANGLES = np.radians(np.arange(0.0, 720.0, 0.5))
MASSES = RodMasses(
    piston_set_kg=0.350,
    pin_kg=0.110,
    rod_kg=0.600,
    rod_big_end_kg=0.430,
    rod_small_end_kg=0.170,
    rod_inertia_kg_m2=1.6e-3,
)
CRANK = SliderCrank(throw_m=0.040, rod_length_m=0.140)
FIRED = cycle_for_peak_pressure(
    cycle=four_stroke_cycle(compression_ratio=9.5), crank=CRANK, peak_pressure_pa=60e5
)
VENTED = PressureTrace(
    strokes=Strokes.FOUR,
    angle_rad=np.array([0.0, 4.0, 8.0]),
    pressure_pa=np.full(3, 1e5),
)
CYLINDER = Cylinder(crank=CRANK, bore_m=0.080, masses=MASSES, trace=FIRED)
NO_GAS = replace(CYLINDER, trace=VENTED)


def loads(cylinder: Cylinder, *, speed: float = 400.0) -> RodLoad:
    return rod_load(cylinder=cylinder, speed_rad_s=speed, angle_rad=ANGLES)


@settings(max_examples=25, deadline=None)
@given(
    offset=st.floats(-0.02, 0.02),
    speed=st.floats(50.0, 700.0),
    inertia=st.floats(0.5e-3, 4e-3),
    share=st.floats(0.5, 0.9),
)
def test_the_rod_obeys_newton_and_euler_as_one_rigid_body(
    offset: float, speed: float, inertia: float, share: float
) -> None:
    crank = replace(CRANK, offset_m=offset)
    masses = replace(
        MASSES,
        rod_big_end_kg=share * 0.6,
        rod_small_end_kg=(1 - share) * 0.6,
        rod_inertia_kg_m2=inertia,
    )
    cylinder = replace(CYLINDER, crank=crank, masses=masses)
    found = loads(cylinder, speed=speed)
    step = 1e-4
    from_big = (1 - share) * crank.rod_length_m

    def centre_and_turn(shift: float) -> tuple[np.ndarray, np.ndarray]:
        theta = found.throw_angle_rad + shift
        turn = -motion(crank=crank, angle_rad=theta, speed_rad_s=1.0).rod_angle_rad
        pin = crank.throw_m * np.array([np.cos(theta), np.sin(theta)])
        return pin + from_big * np.array([np.cos(turn), np.sin(turn)]), turn

    (before, turn_before), (here, turn), (after, turn_after) = (
        centre_and_turn(d) for d in (-step, 0.0, step)
    )
    rate = (speed / step) ** 2
    acceleration = (after - 2 * here + before) * rate
    spin = (turn_after - 2 * turn + turn_before) * rate
    moved = motion(crank=crank, angle_rad=found.throw_angle_rad, speed_rad_s=speed)
    piston = masses.piston_set_kg + masses.pin_kg
    at_small = -np.array(
        [found.gas_force_n - piston * moved.piston_acceleration_m_s2, found.side_force_n]
    )
    at_big = -np.array([found.space_x_n, found.space_y_n])
    scale = 0.6 * crank.throw_m * speed**2 + np.abs(found.gas_force_n).max()
    np.testing.assert_allclose(at_small + at_big, 0.6 * acceleration, atol=1e-5 * scale)
    along = np.array([np.cos(turn), np.sin(turn)])
    arm_small, arm_big = (crank.rod_length_m - from_big) * along, -from_big * along
    moment = sum(
        arm[0] * force[1] - arm[1] * force[0]
        for arm, force in ((arm_small, at_small), (arm_big, at_big))
    )
    np.testing.assert_allclose(moment, inertia * spin, atol=1e-5 * scale * crank.rod_length_m)


@settings(max_examples=20, deadline=None)
@given(
    offset=st.floats(-0.02, 0.02),
    speed=st.floats(0.0, 700.0),
    strokes=st.sampled_from(list(Strokes)),
)
def test_the_torque_over_a_cycle_does_the_indicated_work_at_any_speed(
    offset: float, speed: float, strokes: Strokes
) -> None:
    crank = replace(CRANK, offset_m=offset)
    cycle = {Strokes.FOUR: four_stroke_cycle, Strokes.TWO: two_stroke_cycle}[strokes](
        compression_ratio=9.0
    )
    trace = cycle_for_peak_pressure(cycle=cycle, crank=crank, peak_pressure_pa=60e5)
    cylinder = replace(CYLINDER, crank=crank, trace=trace)
    angles = np.arange(7200) * (strokes.cycle_rad / 7200)
    torque = rod_load(cylinder=cylinder, speed_rad_s=speed, angle_rad=angles).torque_n_m
    work = indicated_work_j(trace=trace, crank=crank, bore_m=cylinder.bore_m)
    inertia_work = 0.6 * (0.04 * speed) ** 2
    assert torque.mean() * strokes.cycle_rad == pytest.approx(work, abs=1e-6 * inertia_work + 0.01)


def test_inertia_alone_is_the_two_term_formula_for_a_long_rod() -> None:
    crank = SliderCrank(throw_m=0.040, rod_length_m=2.0)  # λ = 0.02, so λ³ is 1e-5
    found = loads(replace(NO_GAS, crank=crank, masses=replace(MASSES, rod_inertia_kg_m2=None)))
    force = 0.040 * 400.0**2
    ratio, theta = 0.02, ANGLES
    first_and_second = np.cos(theta) + ratio * np.cos(2 * theta)
    expected = MASSES.reciprocating_kg * force * first_and_second
    np.testing.assert_allclose(-found.inertia_force_n, -expected, atol=2e-5 * force)
    along = MASSES.big_end_kg * force * np.cos(theta) + expected
    np.testing.assert_allclose(found.space_x_n, along, atol=2e-5 * force)
    # textbook: T = m r² ω² (λ/4 sin θ − ½ sin 2θ − ¾ λ sin 3θ), to first order in λ
    torque = MASSES.reciprocating_kg * force * 0.040
    series = ratio / 4 * np.sin(theta) - np.sin(2 * theta) / 2 - 0.75 * ratio * np.sin(3 * theta)
    np.testing.assert_allclose(found.torque_n_m, torque * series, atol=5e-4 * torque)


def test_without_gas_the_pin_pulls_by_the_cap_at_top_and_pushes_the_shank_at_bottom() -> None:
    found = loads(NO_GAS)
    lam, force = CRANK.crank_ratio, 0.040 * 400.0**2
    at = {degrees: int(degrees * 2) for degrees in (0, 180, 360)}
    rec, big = MASSES.reciprocating_kg, MASSES.big_end_kg
    assert found.space_x_n[at[0]] == pytest.approx((rec * (1 + lam) + big) * force)
    assert found.space_x_n[at[360]] == pytest.approx(found.space_x_n[at[0]])
    assert found.space_x_n[at[180]] == pytest.approx(-(rec * (1 - lam) + big) * force)
    # at top dead centre the pin pulls the rod back by its cap, at bottom it pushes by the shank
    assert found.shell_x_n[at[0]] == pytest.approx(-found.space_x_n[at[0]])
    assert found.shell_x_n[at[0]] < 0.0 < found.shell_x_n[at[180]]


def test_firing_at_low_speed_loads_the_shell_on_the_rods_side_and_the_wall_at_minus_y() -> None:
    found = loads(CYLINDER, speed=50.0)
    peak = int(np.argmax(found.gas_force_n))
    assert found.shell_x_n[peak] > 0.9 * found.gas_force_n[peak]
    assert found.space_x_n[peak] < 0.0
    working = (np.radians(10) < ANGLES) & (np.radians(120) > ANGLES)
    assert (found.side_force_n[working] < 0.0).all()
    assert (found.torque_n_m[working] > 0.0).all()


@settings(max_examples=20, deadline=None)
@given(speed=st.floats(0.0, 700.0), offset=st.floats(-0.02, 0.02))
def test_space_pin_and_rod_axes_show_the_same_force(speed: float, offset: float) -> None:
    found = loads(replace(CYLINDER, crank=replace(CRANK, offset_m=offset)), speed=speed)
    size = np.hypot(found.space_x_n, found.space_y_n)
    for x, y in (
        (found.pin_radial_n, found.pin_tangential_n),
        (found.shell_x_n, found.shell_y_n),
    ):
        np.testing.assert_allclose(np.hypot(x, y), size, rtol=1e-9, atol=1e-6)
    # turned back from the rod's axes by the rod's own direction, with its sign reversed
    turn = -np.arcsin((0.04 * np.sin(found.throw_angle_rad) - offset) / 0.14)
    x = -(found.shell_x_n * np.cos(turn) - found.shell_y_n * np.sin(turn))
    y = -(found.shell_x_n * np.sin(turn) + found.shell_y_n * np.cos(turn))
    np.testing.assert_allclose(x, found.space_x_n, atol=1e-6)
    np.testing.assert_allclose(y, found.space_y_n, atol=1e-6)


def test_inertia_grows_with_the_square_of_speed() -> None:
    once, twice = loads(NO_GAS, speed=200.0), loads(NO_GAS, speed=400.0)
    for name in ("space_x_n", "space_y_n", "shell_x_n", "side_force_n", "torque_n_m"):
        np.testing.assert_allclose(getattr(twice, name), 4 * getattr(once, name), atol=1e-8)


def test_the_pin_turns_in_the_rod_at_a_speed_that_swings_about_the_cranks() -> None:
    found = loads(CYLINDER)
    assert found.journal_speed_rad_s[0] == pytest.approx(400.0 * (1 + CRANK.crank_ratio))
    assert found.journal_speed_rad_s[360] == pytest.approx(400.0 * (1 - CRANK.crank_ratio))
    assert found.journal_speed_rad_s.mean() == pytest.approx(400.0)


def test_trace_angles_count_from_the_pistons_own_top_dead_centre() -> None:
    cylinder = replace(CYLINDER, crank=replace(CRANK, offset_m=0.02))
    found = loads(cylinder)
    assert found.throw_angle_rad[0] == pytest.approx(math.asin(0.02 / 0.18))
    gas = (FIRED.at(0.0) - 1e5) * math.pi / 4 * 0.08**2
    assert found.gas_force_n[0] == pytest.approx(float(gas))


def test_ends_that_miss_the_rod_a_little_are_scaled_to_it() -> None:
    masses = replace(MASSES, rod_big_end_kg=0.432)
    assert masses.big_end_kg == pytest.approx(0.6 * 432 / 602)
    assert masses.reciprocating_kg == pytest.approx(0.46 + 0.6 * 170 / 602)
    found = loads(replace(NO_GAS, masses=masses))
    at_bottom = masses.reciprocating_kg * (1 - CRANK.crank_ratio) + 0.6 * 432 / 602
    assert found.space_x_n[360] == pytest.approx(-at_bottom * 0.040 * 400.0**2)


def test_a_polar_diagram_names_its_largest_load() -> None:
    found = polar_diagram(
        angle_rad=[0.0, 1.0, 2.0, 3.0], force_x_n=[1, 0, -3, 0], force_y_n=[0, 2, -4, -1]
    )
    np.testing.assert_allclose(found.size_n, [1, 2, 5, 1])
    np.testing.assert_allclose(
        found.direction_rad, [0, math.pi / 2, math.atan2(-4, -3), -math.pi / 2]
    )
    assert (found.largest_n, found.largest_angle_rad) == (5.0, 2.0)
    assert found.mean_n == pytest.approx(2.25)


@pytest.mark.parametrize(
    ("field", "value", "words"),
    [
        ("rod_big_end_kg", 0.50, "add up to the whole rod, 600 g"),
        ("rod_big_end_kg", 0.42, "together 590 g"),
        ("rod_small_end_kg", -0.1, "a mass lies above 0"),
        ("piston_set_kg", 0.0, "a mass lies above 0"),
        ("pin_kg", -0.1, "a mass is not negative"),
        ("rod_inertia_kg_m2", 0.0, "an inertia lies above 0"),
    ],
)
def test_masses_that_cannot_be_are_refused(field: str, value: float, words: str) -> None:
    with pytest.raises(InputError, match=words):
        replace(MASSES, **{field: value})


def test_other_values_that_cannot_be_are_refused() -> None:
    with pytest.raises(InputError, match="a bore lies above 0"):
        replace(CYLINDER, bore_m=0.0)
    with pytest.raises(InputError, match="absolute, above 0"):
        replace(CYLINDER, crankcase_pressure_pa=0.0)
    with pytest.raises(InputError, match="not negative"):
        loads(CYLINDER, speed=-1.0)
