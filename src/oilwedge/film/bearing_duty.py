"""The load history of each bearing of a crank train, as the journal's path takes it.

A history is the load that presses the journal into its bearing, in axes fixed to the bearing, with
the journal's speed in them (:mod:`.load_history`). Big end: axes of the rod, x from big end to
small end, over the cylinder's own cycle from firing. Main: axes of the engine, x up, y to the right
seen from the front, over the cycle of the engine. Newtons, radians, rad/s.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from oilwedge.errors import Fault, InputError
from oilwedge.film.gas_pressure import Strokes
from oilwedge.film.load_history import LoadHistory
from oilwedge.film.main_load import MainLoads
from oilwedge.film.rod_load import Cylinder, rod_load

__all__ = ["big_end_history", "cycle_angles_rad", "main_histories"]


def cycle_angles_rad(*, strokes: Strokes, steps_per_turn: int = 360) -> NDArray[np.float64]:
    """Even angles in rad from 0 to the end of one cycle, both ends in."""
    turns = strokes.value // 2
    return np.asarray(
        np.linspace(0.0, strokes.cycle_rad, steps_per_turn * turns + 1), dtype=np.float64
    )


def big_end_history(
    *, cylinder: Cylinder, speed_rad_s: float, steps_per_turn: int = 360
) -> LoadHistory:
    """The load on a big end over one cycle from firing, in the rod's axes.

    ``speed_rad_s``, above 0, is that of the crank; the pin's speed in the rod swings about it.
    """
    angles = cycle_angles_rad(strokes=cylinder.trace.strokes, steps_per_turn=steps_per_turn)
    found = rod_load(cylinder=cylinder, speed_rad_s=speed_rad_s, angle_rad=angles)
    return LoadHistory(
        angle_rad=angles,
        force_x_n=found.shell_x_n,
        force_y_n=found.shell_y_n,
        journal_speed_rad_s=found.journal_speed_rad_s,
        turning_speed_rad_s=speed_rad_s,
    )


def main_histories(*, loads: MainLoads) -> tuple[LoadHistory, ...]:
    """One history a main bearing, front to rear, from loads over whole turns, both ends in.

    Take the angles from :func:`cycle_angles_rad`. InputError when a main carries nothing at all.
    """
    carried = np.hypot(loads.force_x_n, loads.force_y_n).max(axis=1)
    idle = np.flatnonzero(carried <= 1e-9 * carried.max())
    if idle.size:
        raise InputError(
            Fault(
                given=f"main bearing {idle[0] + 1}",
                allowed="no load reaches it, so that its journal has no path of its own",
                action="check the places of throws and mains along the crank",
            )
        )
    speed = np.full_like(loads.angle_rad, loads.speed_rad_s)
    return tuple(
        LoadHistory(
            angle_rad=loads.angle_rad,
            force_x_n=x,
            force_y_n=y,
            journal_speed_rad_s=speed,
            turning_speed_rad_s=loads.speed_rad_s,
        )
        for x, y in zip(loads.force_x_n, loads.force_y_n, strict=True)
    )
