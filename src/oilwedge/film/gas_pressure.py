"""The pressure in a cylinder over one cycle, as a trace of points that repeats.

Angles are crank angles after top dead centre of firing (the piston's own top dead centre, with an
offset too), in radians; pressures are absolute, in pascals. One cycle is two turns of the crank
in a four-stroke engine and one turn in a two-stroke engine. Between points the pressure runs
straight. Where a measured trace cannot be one whole cycle, an InputError says in one sentence why.

The indicated work of a trace is W = ∮ p dV, and W/(swept volume) is the indicated mean effective
pressure. Textbook definitions.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import Enum

import numpy as np
from numpy.typing import ArrayLike, NDArray

from oilwedge.errors import Fault, InputError
from oilwedge.film.kinematics import SliderCrank, motion

__all__ = [
    "PressureTrace",
    "Strokes",
    "indicated_mean_effective_pressure_pa",
    "indicated_work_j",
    "pressure_trace",
]

_LARGEST_GAP_RAD = math.radians(10.0)
_SAME_SHARE = 0.02  # of the trace's whole range: what counts as the same pressure
_PEAK_FROM_RAD, _PEAK_TO_RAD = math.radians(-30.0), math.radians(90.0)
_TINY_RAD = 1e-6
_FINE_STEPS = 7200


class Strokes(Enum):
    """Strokes to one cycle."""

    TWO = 2
    FOUR = 4

    @property
    def cycle_rad(self) -> float:
        """Crank angle of one cycle: 2π or 4π."""
        return math.pi * self.value


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class PressureTrace:
    """One cycle: rising angles (n,) that span less than the cycle, and absolute pressures (n,).

    Made by :func:`pressure_trace` from what was measured, or by a built-in cycle.
    """

    strokes: Strokes
    angle_rad: NDArray[np.float64]
    pressure_pa: NDArray[np.float64]

    def at(self, angle_rad: ArrayLike) -> NDArray[np.float64]:
        """Absolute pressure in Pa at any crank angles after firing top dead centre."""
        angles = np.asarray(angle_rad, dtype=np.float64)
        return np.interp(angles, self.angle_rad, self.pressure_pa, period=self.strokes.cycle_rad)

    @property
    def peak_pressure_pa(self) -> float:
        """The highest pressure, in Pa."""
        return float(self.pressure_pa.max())

    @property
    def peak_angle_rad(self) -> float:
        """Where the highest pressure is, in radians after firing top dead centre."""
        return float(self.angle_rad[int(np.argmax(self.pressure_pa))])


def pressure_trace(
    *,
    angle_rad: ArrayLike,
    pressure_pa: ArrayLike,
    strokes: Strokes,
    largest_gap_rad: float = _LARGEST_GAP_RAD,
) -> PressureTrace:
    """A trace from points in order of angle, checked; the start is free (−360° or 0, say).

    The points span one whole cycle, with or without the last point that repeats the first. No
    step is longer than ``largest_gap_rad``; the end meets the start within 2 % of the range (or as
    steeply as the trace runs elsewhere); pressures are above 0; the highest lies from 30° before
    to 90° after firing top dead centre.
    """
    angles = np.atleast_1d(np.asarray(angle_rad, dtype=np.float64))
    pressures = np.atleast_1d(np.asarray(pressure_pa, dtype=np.float64))
    _check_points(angles, pressures)
    cycle = strokes.cycle_rad
    span = float(angles[-1] - angles[0])
    if span > cycle + _TINY_RAD:
        raise _fault(
            given=f"{_degrees(angles[0])} to {_degrees(angles[-1])}",
            allowed=f"one cycle of a {strokes.name.lower()}-stroke engine is {_degrees(cycle)}",
            action="give one cycle only",
        )
    closed = span > cycle - _TINY_RAD
    _check_gaps(angles, closing=cycle - span, largest=largest_gap_rad)
    _check_closure(angles, pressures, cycle=cycle, closed=closed)
    if closed:
        angles, pressures = angles[:-1], pressures[:-1]
    _check_peak(angles, pressures, cycle=cycle)
    return PressureTrace(strokes=strokes, angle_rad=angles.copy(), pressure_pa=pressures.copy())


def _fault(*, given: str, allowed: str, action: str) -> InputError:
    return InputError(Fault(given=given, allowed=allowed, action=action))


def _degrees(angle_rad: float) -> str:
    return f"{math.degrees(angle_rad):.6g}°"


def _check_points(angles: NDArray[np.float64], pressures: NDArray[np.float64]) -> None:
    if angles.ndim != 1 or angles.shape != pressures.shape or len(angles) < 3:
        raise _fault(
            given=f"{angles.size} angles and {pressures.size} pressures",
            allowed="a pressure trace has one pressure to each angle, and 3 points at the least",
            action="give both columns in full",
        )
    bad = np.flatnonzero(~(np.isfinite(angles) & np.isfinite(pressures)))
    if bad.size:
        raise _fault(
            given=f"point {bad[0] + 1} of {len(angles)}",
            allowed="angle and pressure have to be numbers",
            action="fill that point in or leave it out",
        )
    falling = np.flatnonzero(np.diff(angles) <= 0.0)
    if falling.size:
        i = int(falling[0])
        raise _fault(
            given=f"{_degrees(angles[i + 1])} after {_degrees(angles[i])}",
            allowed="the crank angles of a pressure trace rise from point to point",
            action="sort the points of one cycle by angle, each angle once",
        )
    vacuum = np.flatnonzero(pressures <= 0.0)
    if vacuum.size:
        i = int(vacuum[0])
        raise _fault(
            given=f"{pressures[i] * 1e-5:.4g} bar at {_degrees(angles[i])}",
            allowed="pressures are absolute, above 0",
            action="add the pressure of the air, about 1.013 bar, to a gauge pressure",
        )


def _check_gaps(angles: NDArray[np.float64], *, closing: float, largest: float) -> None:
    steps = np.append(np.diff(angles), closing)
    widest = int(np.argmax(steps))
    if steps[widest] > largest * (1.0 + 1e-9) + _TINY_RAD:
        end = angles[widest] + steps[widest]
        raise _fault(
            given=f"no point between {_degrees(angles[widest])} and {_degrees(end)}",
            allowed=f"a pressure trace covers its whole cycle in steps of {_degrees(largest)} "
            "at the most",
            action="fill the gap, or check whether the engine is two-stroke or four-stroke",
        )


def _check_closure(
    angles: NDArray[np.float64], pressures: NDArray[np.float64], *, cycle: float, closed: bool
) -> None:
    allowed_pa = _SAME_SHARE * float(np.ptp(pressures))
    if not closed:  # the last step may be as steep as the steepest one measured
        steepest = float(np.abs(np.diff(pressures) / np.diff(angles)).max())
        allowed_pa += steepest * float(angles[0] + cycle - angles[-1])
    if abs(float(pressures[-1] - pressures[0])) > allowed_pa:
        raise _fault(
            given=f"{pressures[0] * 1e-5:.4g} bar at the start, {pressures[-1] * 1e-5:.4g} bar "
            "at the end",
            allowed="a pressure trace ends at the pressure it starts with, since it repeats",
            action="give one whole cycle, averaged over many if they scatter",
        )


def _check_peak(
    angles: NDArray[np.float64], pressures: NDArray[np.float64], *, cycle: float
) -> None:
    peak = float(angles[int(np.argmax(pressures))])
    from_firing = (peak + cycle / 2.0) % cycle - cycle / 2.0
    if not _PEAK_FROM_RAD - _TINY_RAD <= from_firing <= _PEAK_TO_RAD + _TINY_RAD:
        raise _fault(
            given=f"highest pressure at {_degrees(peak)}",
            allowed="0 is top dead centre of firing, so the highest pressure lies from 30° "
            "before to 90° after it",
            action="shift the angles, by 360° if 0 is top dead centre of the gas exchange",
        )


def indicated_work_j(*, trace: PressureTrace, crank: SliderCrank, bore_m: float) -> float:
    """W = ∮ p dV over one cycle, in J, for a bore and a slider-crank in metres.

    The crankcase's pressure, if steady, does no work over a cycle. Trapezium rule on 7200 even
    steps: its own error is under 1e-5 of W for smooth traces.
    """
    angles = np.arange(_FINE_STEPS + 1) * (trace.strokes.cycle_rad / _FINE_STEPS)
    found = motion(crank=crank, angle_rad=angles + crank.top_angle_rad, speed_rad_s=1.0)
    per_radian = trace.at(angles) * (math.pi / 4.0 * bore_m**2) * found.piston_velocity_m_s
    return float(np.trapezoid(per_radian, angles))


def indicated_mean_effective_pressure_pa(*, trace: PressureTrace, crank: SliderCrank) -> float:
    """W/(swept volume), in Pa, the whole cycle with its gas exchange; the bore falls out."""
    unit_bore = math.sqrt(4.0 / math.pi)  # 1 m² of piston
    return indicated_work_j(trace=trace, crank=crank, bore_m=unit_bore) / crank.stroke_m
