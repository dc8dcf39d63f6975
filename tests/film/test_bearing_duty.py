"""From loads of the crank train to the history that a journal's path takes."""

from __future__ import annotations

import math

import numpy as np
import pytest

from oilwedge.errors import InputError
from oilwedge.film.bearing_duty import big_end_history, cycle_angles_rad, main_histories
from oilwedge.film.crank_train import CrankTrain, Layout
from oilwedge.film.gas_cycle import cycle_for_peak_pressure, four_stroke_cycle, two_stroke_cycle
from oilwedge.film.gas_pressure import Strokes
from oilwedge.film.kinematics import SliderCrank
from oilwedge.film.main_load import main_loads
from oilwedge.film.rod_load import Cylinder, RodMasses, rod_load

CRANK = SliderCrank(throw_m=0.040, rod_length_m=0.140)
MASSES = RodMasses(
    piston_set_kg=0.35, pin_kg=0.11, rod_kg=0.60, rod_big_end_kg=0.43, rod_small_end_kg=0.17
)


def cylinder(strokes: Strokes = Strokes.FOUR) -> Cylinder:
    cycle = {Strokes.FOUR: four_stroke_cycle, Strokes.TWO: two_stroke_cycle}[strokes](
        compression_ratio=9.0
    )
    trace = cycle_for_peak_pressure(cycle=cycle, crank=CRANK, peak_pressure_pa=60e5)
    return Cylinder(crank=CRANK, bore_m=0.08, masses=MASSES, trace=trace)


@pytest.mark.parametrize("strokes", list(Strokes))
def test_a_big_ends_history_is_one_cycle_of_the_load_on_its_shell(strokes: Strokes) -> None:
    found = big_end_history(cylinder=cylinder(strokes), speed_rad_s=300.0, steps_per_turn=180)
    assert found.turns == strokes.value // 2
    assert len(found.angle_rad) == 180 * found.turns + 1
    loads = rod_load(cylinder=cylinder(strokes), speed_rad_s=300.0, angle_rad=found.angle_rad)
    np.testing.assert_allclose(found.force_x_n, loads.shell_x_n)
    np.testing.assert_allclose(found.force_y_n, loads.shell_y_n)
    assert found.journal_speed_rad_s[0] == pytest.approx(300.0 * (1 + 0.04 / 0.14))


def single(*, mains: tuple[float, ...] = (0.0, 0.1)) -> CrankTrain:
    return CrankTrain(
        layout=Layout(
            strokes=Strokes.FOUR,
            throw_angle_rad=(0.0,),
            bank_angle_rad=(0.0,),
            throw_of_cylinder=(0,),
        ),
        firing_angle_rad=(0.0,),
        rod_place_m=(0.05,),
        throw_place_m=(0.05,),
        main_place_m=mains,
    )


def test_each_main_gets_a_history_at_the_cranks_own_speed() -> None:
    angles = cycle_angles_rad(strokes=Strokes.FOUR)
    assert angles[-1] == pytest.approx(4 * math.pi)
    loads = main_loads(train=single(), cylinders=[cylinder()], speed_rad_s=300.0, angle_rad=angles)
    front, rear = main_histories(loads=loads)
    np.testing.assert_allclose(front.force_x_n, loads.force_x_n[0])
    np.testing.assert_allclose(rear.force_y_n, loads.force_y_n[1])
    assert (front.journal_speed_rad_s == 300.0).all()
    assert front.turning_speed_rad_s == 300.0
    # firing at the start pushes the journal down
    assert front.force_x_n[10] < 0.0


def test_a_main_that_carries_nothing_is_named() -> None:
    loads = main_loads(
        train=single(mains=(0.0, 0.1, 0.2)),
        cylinders=[cylinder()],
        speed_rad_s=300.0,
        angle_rad=cycle_angles_rad(strokes=Strokes.FOUR),
    )
    with pytest.raises(InputError, match="main bearing 3"):
        main_histories(loads=loads)
