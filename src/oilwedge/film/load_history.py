"""The load on a journal over one or two turns of the crank, periodic."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from oilwedge.errors import Fault, InputError

Array = NDArray[np.float64]

_SAME_END = 0.01  # of the largest force
_LARGEST_STEP_RAD = math.radians(30.0)
_GAP = 2.5  # steps of usual size
_LONGEST_TURNS = 2
_ANGLE_SLACK = 0.02  # of a step


@dataclass(frozen=True, kw_only=True, slots=True)
class LoadHistory:
    """The force on the journal in axes that are fixed to the bearing, over whole turns.

    angle_rad: rising, from the first angle to the same a whole number of turns later, both ends in.
    force_x_n, force_y_n: on the journal, not on the bearing; first and last are equal.
    journal_speed_rad_s: the journal's speed relative to these axes, positive from x towards y.
    turning_speed_rad_s: the speed at which ``angle_rad`` passes, above 0.
    Between two angles all run straight. Errors: an :class:`InputError` where the arrays do not fit
    each other, hold something that is no number, leave a gap or are not periodic.
    """

    angle_rad: Array
    force_x_n: Array
    force_y_n: Array
    journal_speed_rad_s: Array
    turning_speed_rad_s: float

    def __post_init__(self) -> None:
        columns = (self.force_x_n, self.force_y_n, self.journal_speed_rad_s)
        _check_numbers(self.angle_rad, columns)
        if not (math.isfinite(self.turning_speed_rad_s) and self.turning_speed_rad_s > 0.0):
            raise InputError(
                Fault(
                    given=f"{self.turning_speed_rad_s:g} rad/s",
                    allowed="the speed has to be above 0: a shaft that stands builds no film",
                )
            )
        _check_steps(self.angle_rad)
        turns = (self.angle_rad[-1] - self.angle_rad[0]) / (2.0 * np.pi)
        if abs(turns - round(turns)) > 1e-6 or round(turns) not in range(1, _LONGEST_TURNS + 1):
            raise InputError(_not_whole(float(np.degrees(self.angle_rad[-1] - self.angle_rad[0]))))
        largest = max(float(np.abs(self.force_x_n).max()), float(np.abs(self.force_y_n).max()))
        if largest == 0.0:
            raise InputError(
                Fault(
                    given="a load of 0 N throughout",
                    allowed="a journal without load has no path of its own",
                    action="give the forces on the journal",
                )
            )
        for column, scale in zip(
            columns, (largest, largest, float(np.abs(columns[2]).max())), strict=True
        ):
            if abs(column[-1] - column[0]) > _SAME_END * scale:
                raise InputError(
                    Fault(
                        given=f"{column[0]:g} at the start and {column[-1]:g} at the end",
                        allowed="a load that repeats: what stands a whole number of turns later"
                        " has to be the same",
                        action="give one or two whole turns of a settled cycle",
                    )
                )

    @property
    def turns(self) -> int:
        """How many turns of the crank it covers: 1 or 2."""
        return round(float(self.angle_rad[-1] - self.angle_rad[0]) / (2.0 * math.pi))


def close_history(
    *,
    angle_rad: Array,
    force_x_n: Array,
    force_y_n: Array,
    journal_speed_rad_s: Array,
    turning_speed_rad_s: float,
) -> LoadHistory:
    """A history from rows that may stop one step before the turn is full (0° to 355°, say).

    The row that closes the turn is then the first one again. Errors: as :class:`LoadHistory`.
    """
    columns = [force_x_n, force_y_n, journal_speed_rad_s]
    _check_numbers(angle_rad, tuple(columns))
    step = float(np.median(np.diff(angle_rad)))
    last = float(angle_rad[-1] - angle_rad[0])
    angles = angle_rad
    for turns in range(1, _LONGEST_TURNS + 1):
        full = turns * 2.0 * math.pi
        if abs(last - full) <= _ANGLE_SLACK * abs(step):
            angles = np.append(angle_rad[:-1], angle_rad[0] + full)
        elif abs(last + step - full) <= _ANGLE_SLACK * abs(step):
            angles = np.append(angle_rad, angle_rad[0] + full)
            columns = [np.append(column, column[0]) for column in columns]
    return LoadHistory(
        angle_rad=angles,
        force_x_n=columns[0],
        force_y_n=columns[1],
        journal_speed_rad_s=columns[2],
        turning_speed_rad_s=turning_speed_rad_s,
    )


def _check_numbers(angles: Array, columns: tuple[Array, ...]) -> None:
    if angles.ndim != 1 or angles.size < 4 or any(c.shape != angles.shape for c in columns):
        raise InputError(
            Fault(
                given=f"{angles.size} angles",
                allowed="at least four angles, each with its force in x and y",
            )
        )
    if not all(np.isfinite(column).all() for column in (angles, *columns)):
        raise InputError(
            Fault(given="a value that is no number", allowed="finite angles, forces and speeds")
        )


def _check_steps(angles: Array) -> None:
    steps = np.diff(angles)
    if not (steps > 0.0).all():
        place = math.degrees(angles[int(np.argmin(steps > 0.0)) + 1])
        raise InputError(
            Fault(given=f"{place:g} deg", allowed="each angle has to be larger than the one before")
        )
    worst = int(np.argmax(steps))
    if steps[worst] > _GAP * float(np.median(steps)) or steps[worst] > _LARGEST_STEP_RAD * 1.0001:
        first, last = math.degrees(angles[worst]), math.degrees(angles[worst + 1])
        raise InputError(
            Fault(
                given=f"a gap from {first:g} deg to {last:g} deg",
                allowed="steps of about the same size, 30 deg at the most",
                action="give the angles between",
            )
        )


def _not_whole(span_deg: float) -> Fault:
    return Fault(
        given=f"angles over {span_deg:g} deg",
        allowed="one or two whole turns, 360 deg or 720 deg, so that the load repeats",
        action="give the missing angles, or cut the history to whole turns",
    )
