"""Free forces and moments of in-line engines, as every textbook lists them."""

from __future__ import annotations

import math
import tomllib
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from oilwedge.film.crank_train import CrankTrain, Layout, even_places, firing_angles_rad
from oilwedge.film.gas_cycle import cycle_for_peak_pressure, four_stroke_cycle
from oilwedge.film.gas_pressure import Strokes
from oilwedge.film.kinematics import SliderCrank
from oilwedge.film.main_load import free_force, main_loads, order_amplitude
from oilwedge.film.rod_load import Cylinder, RodMasses

pytestmark = pytest.mark.published
VALUES = tomllib.loads(Path(__file__).with_name("source.toml").read_text("utf-8"))["layout"]
PSI = np.arange(1440) * (4.0 * math.pi / 1440)
CRANK = SliderCrank(throw_m=0.045, rod_length_m=0.150)
LAM = 0.3
SECOND = LAM + LAM**3 / 4 + 15 * LAM**5 / 128
MASSES = RodMasses(
    piston_set_kg=0.4, pin_kg=0.1, rod_kg=0.65, rod_big_end_kg=0.45, rod_small_end_kg=0.2
)
SPACING_M, SPEED = 0.09, 350.0
FORCE = 0.045 * SPEED**2
BOTH, REC = (0.7 + 0.45) * FORCE, 0.7 * FORCE


@pytest.mark.parametrize("row", VALUES, ids=lambda row: row["name"])
def test_free_forces_and_moments(row: dict[str, Any]) -> None:
    count = len(row["throws"])
    layout = Layout(
        strokes=Strokes.FOUR,
        throw_angle_rad=tuple(map(math.radians, row["throws"])),
        bank_angle_rad=(0.0,) * count,
        throw_of_cylinder=tuple(range(count)),
    )
    places, mains = even_places(layout=layout, main_bearings=count + 1, spacing_m=SPACING_M)
    train = CrankTrain(
        layout=layout,
        firing_angle_rad=firing_angles_rad(
            layout=layout, firing_order=[one - 1 for one in row["order"]]
        ),
        rod_place_m=tuple(places),
        throw_place_m=tuple(places),
        main_place_m=tuple(mains),
    )
    trace = cycle_for_peak_pressure(
        cycle=four_stroke_cycle(compression_ratio=10.0), crank=CRANK, peak_pressure_pa=70e5
    )
    cylinders = [Cylinder(crank=CRANK, bore_m=0.085, masses=MASSES, trace=trace)] * count
    loads = main_loads(train=train, cylinders=cylinders, speed_rad_s=SPEED, angle_rad=PSI)
    found = free_force(train=train, cylinders=cylinders, loads=loads)
    for values, order, printed, unit in (
        (found.force_x_n, 1, row["first_force"], BOTH),
        (found.force_x_n, 2, row["second_force"], REC * SECOND),
        (found.moment_y_n_m, 1, row["first_moment"], BOTH * SPACING_M),
        (found.moment_y_n_m, 2, row["second_moment"], REC * SECOND * SPACING_M),
    ):
        amplitude = order_amplitude(angle_rad=PSI, values=values, order=order) / unit
        assert amplitude == pytest.approx(printed, rel=3e-4, abs=1e-6)
