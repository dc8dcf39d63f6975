"""Main bearing loads: balance of forces, textbook balance of layouts, work, symmetry."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from oilwedge.errors import InputError
from oilwedge.film.crank_train import CrankTrain, Layout, even_places, firing_angles_rad
from oilwedge.film.gas_cycle import cycle_for_peak_pressure, four_stroke_cycle
from oilwedge.film.gas_pressure import PressureTrace, Strokes, indicated_work_j
from oilwedge.film.kinematics import SliderCrank
from oilwedge.film.main_load import (
    FreeForce,
    balancing_counterweight_kg_m,
    free_force,
    main_loads,
    order_amplitude,
)
from oilwedge.film.rod_load import Cylinder, RodMasses

PSI = np.arange(1440) * (4.0 * math.pi / 1440)
CRANK = SliderCrank(throw_m=0.040, rod_length_m=0.140)
LAM = 0.04 / 0.14
MASSES = RodMasses(
    piston_set_kg=0.35, pin_kg=0.11, rod_kg=0.60, rod_big_end_kg=0.43, rod_small_end_kg=0.17
)
REC, BIG = 0.63, 0.43
SPEED = 400.0
FORCE = 0.040 * SPEED**2  # r ω²
TRACE = cycle_for_peak_pressure(
    cycle=four_stroke_cycle(compression_ratio=9.5), crank=CRANK, peak_pressure_pa=60e5
)
CYLINDER = Cylinder(crank=CRANK, bore_m=0.08, masses=MASSES, trace=TRACE)


def train(
    throws: Sequence[float],
    order: Sequence[int],
    *,
    banks: Sequence[float] = (),
    on_throw: Sequence[int] = (),
    mains: int = 0,
) -> CrankTrain:
    count = len(banks) or len(throws)
    found = Layout(
        strokes=Strokes.FOUR,
        throw_angle_rad=tuple(map(math.radians, throws)),
        bank_angle_rad=tuple(map(math.radians, banks or [0.0] * count)),
        throw_of_cylinder=tuple(on_throw) or tuple(range(count)),
    )
    places, main_places = even_places(
        layout=found, main_bearings=mains or len(throws) + 1, spacing_m=0.1
    )
    return CrankTrain(
        layout=found,
        firing_angle_rad=firing_angles_rad(layout=found, firing_order=[o - 1 for o in order]),
        rod_place_m=tuple(places[throw] for throw in found.throw_of_cylinder),
        throw_place_m=tuple(places),
        main_place_m=tuple(main_places),
    )


ONE = train([0], [1])
TWO_180 = train([0, 180], [1, 2])
THREE = train([0, 240, 120], [1, 3, 2])
FOUR = train([0, 180, 180, 0], [1, 3, 4, 2])
SIX = train([0, 240, 120, 120, 240, 0], [1, 5, 3, 6, 2, 4])
V_TWIN_90 = train([0], [1, 2], banks=[45, -45], on_throw=[0, 0])
FLAT_TWIN = train([0, 180], [1, 2], banks=[90, -90], mains=3)
LAYOUTS = {
    "one": ONE,
    "two": TWO_180,
    "three": THREE,
    "four": FOUR,
    "six": SIX,
    "V-twin": V_TWIN_90,
    "flat twin": FLAT_TWIN,
}


def free(crank_train: CrankTrain, cylinder: Cylinder = CYLINDER) -> FreeForce:
    cylinders = [cylinder] * crank_train.layout.cylinders
    loads = main_loads(train=crank_train, cylinders=cylinders, speed_rad_s=SPEED, angle_rad=PSI)
    return free_force(train=crank_train, cylinders=cylinders, loads=loads)


def order(values: np.ndarray, number: float) -> float:
    return order_amplitude(angle_rad=PSI, values=values, order=number)


# Second order of the exact piston acceleration over r ω²: λ + λ³/4 + 15 λ⁵/128 (textbook series)
SECOND = LAM + LAM**3 / 4 + 15 * LAM**5 / 128
FOURTH = LAM**3 / 4 + 3 * LAM**5 / 16


def test_a_single_cylinder_shakes_in_first_and_second_order() -> None:
    found = free(ONE)
    assert order(found.force_x_n, 1) == pytest.approx((REC + BIG) * FORCE, rel=1e-9)
    assert order(found.force_x_n, 2) == pytest.approx(REC * SECOND * FORCE, rel=2e-4)
    assert order(found.force_x_n, 4) == pytest.approx(REC * FOURTH * FORCE, rel=2e-2)
    assert order(found.force_y_n, 1) == pytest.approx(BIG * FORCE, rel=1e-9)
    assert order(found.force_y_n, 2) == pytest.approx(0.0, abs=1e-6)


def test_an_in_line_six_has_no_free_force_nor_moment_of_first_or_second_order() -> None:
    found = free(SIX)
    for values in (found.force_x_n, found.force_y_n, found.moment_x_n_m, found.moment_y_n_m):
        for number in (0.5, 1, 1.5, 2, 2.5, 3, 4, 5):
            assert order(values, number) < 1e-7 * FORCE
    # nor anything else below the sixth
    assert order(found.force_x_n, 6) == pytest.approx(np.abs(found.force_x_n).max(), rel=1e-3)


def test_an_in_line_four_shakes_with_four_times_the_second_order_alone() -> None:
    found = free(FOUR)
    assert order(found.force_x_n, 1) < 1e-7 * FORCE
    assert order(found.force_x_n, 2) == pytest.approx(4 * REC * SECOND * FORCE, rel=2e-4)
    assert order(found.force_y_n, 2) < 1e-7 * FORCE
    assert np.abs(found.moment_y_n_m).max() < 1e-7 * FORCE


def test_an_in_line_three_has_no_free_force_but_moments() -> None:
    found = free(THREE)
    assert order(found.force_x_n, 1) < 1e-7 * FORCE
    assert order(found.force_x_n, 2) < 1e-7 * FORCE
    # textbook: √3 times spacing and force of one cylinder
    textbook = math.sqrt(3) * 0.1 * FORCE
    assert order(found.moment_y_n_m, 1) == pytest.approx(textbook * (REC + BIG), rel=1e-9)
    assert order(found.moment_y_n_m, 2) == pytest.approx(textbook * REC * SECOND, rel=2e-4)
    assert order(found.moment_x_n_m, 1) == pytest.approx(textbook * BIG, rel=1e-9)


def test_a_flat_twin_with_two_throws_has_no_free_force() -> None:
    found = free(FLAT_TWIN)
    assert np.abs(found.force_x_n).max() < 1e-7 * FORCE
    assert np.abs(found.force_y_n).max() < 1e-7 * FORCE
    assert order(found.moment_x_n_m, 1) == pytest.approx(0.1 * (REC + BIG) * FORCE, rel=1e-9)


def test_one_counterweight_takes_the_first_order_out_of_a_right_angled_v_twin() -> None:
    size = 2 * balancing_counterweight_kg_m(cylinder=CYLINDER, reciprocating_share=0.5)
    assert size == pytest.approx((REC + 2 * BIG) * 0.040)
    balanced = replace(
        V_TWIN_90,
        counterweight_kg_m=(size,),
        counterweight_angle_rad=(math.pi,),
        counterweight_place_m=(0.05,),
    )
    found = free(balanced)
    assert order(found.force_x_n, 1) < 1e-7 * FORCE
    assert order(found.force_y_n, 1) < 1e-7 * FORCE
    # textbook: the second order is √2 λ m r ω², across the V
    second = math.sqrt(2) * REC * SECOND * FORCE
    assert order(found.force_y_n, 2) == pytest.approx(second, rel=2e-4)
    assert order(found.force_x_n, 2) < 1e-7 * FORCE


@pytest.mark.parametrize("name", LAYOUTS)
def test_the_gas_leaves_no_free_force(name: str) -> None:
    vented = PressureTrace(
        strokes=Strokes.FOUR, angle_rad=np.array([0.0, 4.0, 8.0]), pressure_pa=np.full(3, 1e5)
    )
    fired, empty = free(LAYOUTS[name]), free(LAYOUTS[name], replace(CYLINDER, trace=vented))
    for field in ("force_x_n", "force_y_n", "moment_x_n_m", "moment_y_n_m"):
        np.testing.assert_allclose(getattr(fired, field), getattr(empty, field), atol=1e-6)


@settings(max_examples=20, deadline=None)
@given(
    name=st.sampled_from(sorted(LAYOUTS)),
    speed=st.floats(0.0, 700.0),
    unbalance=st.floats(0.0, 0.05),
    weight=st.floats(0.0, 0.05),
    at=st.floats(0.01, 0.09),
)
def test_mains_carry_all_forces_on_the_crank_with_their_moments(
    name: str, speed: float, unbalance: float, weight: float, at: float
) -> None:
    plain = LAYOUTS[name]
    loaded = replace(
        plain,
        throw_unbalance_kg_m=(unbalance,) * len(plain.throw_place_m),
        counterweight_kg_m=(weight,),
        counterweight_angle_rad=(2.0,),
        counterweight_place_m=(at,),
    )
    found = main_loads(
        train=loaded,
        cylinders=[CYLINDER] * plain.layout.cylinders,
        speed_rad_s=speed,
        angle_rad=PSI,
    )
    force = weight * speed**2 * np.exp(1j * (PSI + 2.0))
    moment = at * force
    for angle, place in zip(plain.layout.throw_angle_rad, plain.throw_place_m, strict=True):
        own = unbalance * speed**2 * np.exp(1j * (PSI + angle))
        force, moment = force + own, moment + place * own
    for rod, bank, place in zip(
        found.rods, plain.layout.bank_angle_rad, plain.rod_place_m, strict=True
    ):
        own = (rod.space_x_n + 1j * rod.space_y_n) * np.exp(1j * bank)
        force, moment = force + own, moment + place * own
    carried = found.force_x_n + 1j * found.force_y_n
    np.testing.assert_allclose(carried.sum(axis=0), force, atol=1e-6)
    arms = np.array(plain.main_place_m)[:, np.newaxis]
    np.testing.assert_allclose((arms * carried).sum(axis=0), moment, atol=1e-6)


@pytest.mark.parametrize("name", LAYOUTS)
def test_the_mean_torque_is_the_indicated_work_of_all_cylinders(name: str) -> None:
    count = LAYOUTS[name].layout.cylinders
    found = main_loads(
        train=LAYOUTS[name], cylinders=[CYLINDER] * count, speed_rad_s=SPEED, angle_rad=PSI
    )
    work = indicated_work_j(trace=TRACE, crank=CRANK, bore_m=0.08)
    total = float(found.torque_n_m.mean()) * 4.0 * math.pi
    assert total == pytest.approx(count * work, rel=2e-4)


def test_the_torque_is_that_of_the_pin_forces_about_the_crank() -> None:
    found = main_loads(train=V_TWIN_90, cylinders=[CYLINDER] * 2, speed_rad_s=SPEED, angle_rad=PSI)
    total = np.zeros_like(PSI)
    for rod, bank in zip(found.rods, V_TWIN_90.layout.bank_angle_rad, strict=True):
        own = (rod.space_x_n + 1j * rod.space_y_n) * np.exp(1j * bank)
        total += 0.04 * np.imag(np.conj(np.exp(1j * PSI)) * own)
    np.testing.assert_allclose(found.torque_n_m, total, atol=1e-6)


def test_a_throw_in_the_middle_of_its_bay_loads_both_mains_alike() -> None:
    found = main_loads(train=ONE, cylinders=[CYLINDER], speed_rad_s=SPEED, angle_rad=PSI)
    np.testing.assert_allclose(found.force_x_n[0], found.rods[0].space_x_n / 2)
    np.testing.assert_allclose(found.force_x_n[1], found.force_x_n[0])
    nearer = replace(ONE, rod_place_m=(0.025,))
    found = main_loads(train=nearer, cylinders=[CYLINDER], speed_rad_s=SPEED, angle_rad=PSI)
    np.testing.assert_allclose(found.force_x_n[0], 0.75 * found.rods[0].space_x_n)


def test_a_pulley_beyond_the_first_main_lifts_the_second() -> None:
    overhung = replace(
        ONE,
        counterweight_kg_m=(0.01,),
        counterweight_angle_rad=(0.0,),
        counterweight_place_m=(-0.05,),
    )
    plain = main_loads(train=ONE, cylinders=[CYLINDER], speed_rad_s=SPEED, angle_rad=[0.0])
    found = main_loads(train=overhung, cylinders=[CYLINDER], speed_rad_s=SPEED, angle_rad=[0.0])
    more = (found.force_x_n - plain.force_x_n).ravel()
    np.testing.assert_allclose(more, [1.5 * 0.01 * SPEED**2, -0.5 * 0.01 * SPEED**2])


@pytest.mark.parametrize(("angle", "moments"), [(0.0, (0.0, 1.0)), (90.0, (-1.0, 0.0))])
def test_moments_turn_as_a_lever_along_the_crank_says(
    angle: float, moments: tuple[float, float]
) -> None:
    # z × F: a force up behind the middle turns about +y, one to the right about −x
    weighted = replace(
        ONE,
        counterweight_kg_m=(0.01,),
        counterweight_angle_rad=(math.radians(angle),),
        counterweight_place_m=(0.1,),
    )
    found = []
    for one in (weighted, ONE):
        loads = main_loads(train=one, cylinders=[CYLINDER], speed_rad_s=SPEED, angle_rad=[0.0])
        moment = free_force(train=one, cylinders=[CYLINDER], loads=loads)
        found.append([float(moment.moment_x_n_m[0]), float(moment.moment_y_n_m[0])])
    more = np.array(found[0]) - np.array(found[1])
    np.testing.assert_allclose(more, np.array(moments) * 0.05 * 0.01 * SPEED**2, atol=1e-9)


def test_firing_pushes_the_neighbouring_mains_down() -> None:
    found = main_loads(train=FOUR, cylinders=[CYLINDER] * 4, speed_rad_s=50.0, angle_rad=PSI)
    after_firing = np.radians(12.0)
    for cylinder, firing in enumerate(FOUR.firing_angle_rad):
        here = int(np.argmin(np.abs(PSI - firing - after_firing)))
        two = found.force_x_n[cylinder : cylinder + 2, here]
        assert (two < -5000.0).all()


def test_the_middle_main_of_a_four_carries_the_inertia_of_both_its_neighbours() -> None:
    # pins 2 and 3 stand together: at their top dead centre both pull the middle main up
    found = main_loads(train=FOUR, cylinders=[CYLINDER] * 4, speed_rad_s=SPEED, angle_rad=PSI)
    pair = [rod.space_x_n / 2 for rod in found.rods[1:3]]
    np.testing.assert_allclose(found.force_x_n[2], sum(pair))


def test_a_bank_turns_the_whole_picture_with_it() -> None:
    tilted = train([40], [1], banks=[40])
    upright = main_loads(train=ONE, cylinders=[CYLINDER], speed_rad_s=SPEED, angle_rad=PSI)
    found = main_loads(train=tilted, cylinders=[CYLINDER], speed_rad_s=SPEED, angle_rad=PSI)
    turn = np.exp(1j * math.radians(40))
    np.testing.assert_allclose(
        found.force_x_n + 1j * found.force_y_n,
        (upright.force_x_n + 1j * upright.force_y_n) * turn,
        atol=1e-6,
    )


def test_what_does_not_fit_the_layout_is_refused() -> None:
    with pytest.raises(InputError, match="the layout has 4"):
        main_loads(train=FOUR, cylinders=[CYLINDER], speed_rad_s=SPEED, angle_rad=PSI)
    two_stroke = PressureTrace(
        strokes=Strokes.TWO, angle_rad=np.array([0.0, 2.0, 4.0]), pressure_pa=np.full(3, 1e5)
    )
    with pytest.raises(InputError, match="two-stroke pressure trace"):
        main_loads(
            train=ONE,
            cylinders=[replace(CYLINDER, trace=two_stroke)],
            speed_rad_s=SPEED,
            angle_rad=PSI,
        )
    with pytest.raises(InputError, match="its own top dead centre"):
        main_loads(
            train=replace(ONE, firing_angle_rad=(1.0,)),
            cylinders=[CYLINDER],
            speed_rad_s=SPEED,
            angle_rad=PSI,
        )
