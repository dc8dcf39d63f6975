"""A built-in cycle for a cylinder whose pressure nobody measured; it says so of itself.

One zone of gas, polytropic, with heat released after Wiebe. Angles θ are radians after top dead
centre of firing, pressures absolute::

    V(θ)  = A s(θ) + V_c,   V_c = A·stroke/(ε − 1),   A = π/4·bore²
    x(θ)  = 1 − exp(−a ((θ − θ_s)/Δθ)^(m + 1)) from the start θ_s on, 0 before it
    n(x)  = n_c + (n_e − n_c) x
    dp/dθ = −n p V'/V + (n − 1) Q x'/V             from closing to opening of the ports

Before θ_s this is p V^n = const. The losses to the walls are in the exponents; Q is the net heat.
The equation is linear in p and in Q, so that the Q for a wanted peak or mean pressure comes out
exactly. Gas exchange: from opening, the pressure falls along half a cosine. In a
four-stroke engine it falls to that of the exhaust, changes to inlet pressure along half a cosine
about top dead centre and stays there until the inlet closes; in a two-stroke engine it falls to
the inlet pressure (that of scavenging) and stays there until the ports close. The compression
ratio is the geometric one.

Assumed, and common practice without a source unless stated: n_c = 1.35, n_e = 1.30, timings.
The Wiebe constants a = 5, m = 2 are textbook values, from memory. Valid as a stand-in for loads:
peak and mean pressure are as set; what is between has the usual shape and is not a measurement.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from oilwedge.errors import Fault, InputError
from oilwedge.film.gas_pressure import PressureTrace, Strokes
from oilwedge.film.kinematics import SliderCrank, motion

__all__ = ["GasCycle", "cycle_for_mean_pressure", "cycle_for_peak_pressure", "four_stroke_cycle",
           "two_stroke_cycle"]  # fmt: skip

_STEPS_PER_TURN = 3600  # 0.1°


@dataclass(frozen=True, kw_only=True, slots=True)
class GasCycle:
    """What shapes a built-in cycle: radians after firing top dead centre, pressures in Pa.

    ``closing_rad`` (below 0) and ``opening_rad`` bound the closed part; ``blowdown_rad`` is how
    long the fall from the opening pressure takes; ``overlap_rad`` how long the change to inlet
    pressure takes. Exhaust pressure and overlap matter in a four-stroke engine only. Every field
    that has a default is an assumption of the built-in cycle.
    """

    strokes: Strokes
    compression_ratio: float
    inlet_pressure_pa: float = 100_000.0
    exhaust_pressure_pa: float = 105_000.0
    compression_exponent: float = 1.35
    expansion_exponent: float = 1.30
    burn_start_rad: float = math.radians(-20.0)
    burn_duration_rad: float = math.radians(55.0)
    wiebe_a: float = 5.0
    wiebe_m: float = 2.0
    closing_rad: float = math.radians(-140.0)
    opening_rad: float = math.radians(130.0)
    blowdown_rad: float = math.radians(60.0)
    overlap_rad: float = math.radians(30.0)

    def __post_init__(self) -> None:
        last_fall = self.opening_rad + self.blowdown_rad
        change = 2.0 * math.pi - self.overlap_rad / 2.0
        free = change if self.strokes is Strokes.FOUR else 2.0 * math.pi + self.closing_rad
        checks = (
            (1.0 < self.compression_ratio < 50.0,
             f"compression ratio {self.compression_ratio:g}", "it lies between 1 and 50"),
            (min(self.inlet_pressure_pa, self.exhaust_pressure_pa) > 0.0,
             f"{min(self.inlet_pressure_pa, self.exhaust_pressure_pa):g} Pa",
             "inlet and exhaust pressures are absolute, above 0"),
            (min(self.compression_exponent, self.expansion_exponent) > 1.0,
             f"exponent {min(self.compression_exponent, self.expansion_exponent):g}",
             "polytropic exponents lie above 1"),
            (min(self.burn_duration_rad, self.wiebe_a, self.blowdown_rad, self.overlap_rad) > 0.0
             and self.wiebe_m > -1.0,
             "burn", "durations and the Wiebe constant a lie above 0, m above −1"),
            (-math.pi <= self.closing_rad < self.burn_start_rad < self.opening_rad <= math.pi,
             f"burn from {math.degrees(self.burn_start_rad):.4g}°",
             "the cylinder closes, burns and opens in that order, within half a turn of top dead "
             "centre"),
            (last_fall <= free + 1e-9, f"blowdown to {math.degrees(last_fall):.4g}°",
             "the pressure has fallen before the gas exchange ends"),
        )  # fmt: skip
        for holds, given, allowed in checks:
            if not holds:
                raise InputError(
                    Fault(given=given, allowed=allowed, action="change the built-in cycle's values")
                )


def four_stroke_cycle(*, compression_ratio: float) -> GasCycle:
    """The defaults of a four-stroke engine for a geometric compression ratio."""
    return GasCycle(strokes=Strokes.FOUR, compression_ratio=compression_ratio)


def two_stroke_cycle(*, compression_ratio: float) -> GasCycle:
    """The defaults of a two-stroke engine with ports: closed from 100° before to 100° after."""
    return GasCycle(
        strokes=Strokes.TWO,
        compression_ratio=compression_ratio,
        inlet_pressure_pa=110_000.0,
        closing_rad=math.radians(-100.0),
        opening_rad=math.radians(100.0),
        blowdown_rad=math.radians(50.0),
    )


def cycle_for_peak_pressure(
    *, cycle: GasCycle, crank: SliderCrank, peak_pressure_pa: float
) -> PressureTrace:
    """The trace whose highest pressure is the one given (absolute, Pa).

    p = p₀ + Q p₁ with p₁ ≥ 0 at every angle: Q is the smallest of (peak − p₀)/p₁.
    InputError when compression alone already reaches it.
    """
    base, per_heat = _parts(cycle=cycle, crank=crank)
    if not peak_pressure_pa > float(base.max()):
        raise InputError(
            Fault(
                given=f"peak pressure {peak_pressure_pa * 1e-5:.4g} bar",
                allowed=f"compression alone reaches {base.max() * 1e-5:.4g} bar",
                action="give the peak of a firing cycle, absolute, or a lower compression ratio",
            )
        )
    heated = per_heat > 1e-12 * per_heat.max()
    heat = float(((peak_pressure_pa - base[heated]) / per_heat[heated]).min())
    return _trace(cycle, base + heat * per_heat)


def cycle_for_mean_pressure(
    *, cycle: GasCycle, crank: SliderCrank, mean_pressure_pa: float
) -> PressureTrace:
    """The trace whose indicated mean effective pressure (whole cycle) is the one given (Pa).

    The mean is linear in Q. InputError when it would take heat out instead of adding it.
    """
    base, per_heat = _parts(cycle=cycle, crank=crank)
    travel = _travel(cycle, crank)
    volume = np.append(travel, travel[0]) / crank.stroke_m
    mean_base, mean_heat = (
        float(np.trapezoid(np.append(p, p[0]), volume)) for p in (base, per_heat)
    )
    heat = (mean_pressure_pa - mean_base) / mean_heat
    if not heat > 0.0:
        raise InputError(
            Fault(
                given=f"mean effective pressure {mean_pressure_pa * 1e-5:.4g} bar",
                allowed=f"without any burning it is {mean_base * 1e-5:.4g} bar",
                action="give the indicated mean effective pressure of a firing cycle",
            )
        )
    return _trace(cycle, base + heat * per_heat)


def _grid(cycle: GasCycle) -> NDArray[np.float64]:
    """Even angles over one cycle that start half a turn before firing top dead centre."""
    steps = _STEPS_PER_TURN * cycle.strokes.value // 2
    return np.asarray(np.arange(steps) * (2.0 * math.pi / _STEPS_PER_TURN) - math.pi, np.float64)


def _travel(cycle: GasCycle, crank: SliderCrank) -> NDArray[np.float64]:
    angles = _grid(cycle) + crank.top_angle_rad
    return motion(crank=crank, angle_rad=angles, speed_rad_s=1.0).piston_travel_m


def _trace(cycle: GasCycle, pressure: NDArray[np.float64]) -> PressureTrace:
    return PressureTrace(strokes=cycle.strokes, angle_rad=_grid(cycle), pressure_pa=pressure)


def _parts(
    *, cycle: GasCycle, crank: SliderCrank
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Pressure without heat, and pressure per unit of heat Q over A (J/m²), on the grid.

    With the integrating factor E = exp ∫ n dlnV: p = (p_c + Q ∫ E (n − 1)/V dx)/E.
    """
    angles = _grid(cycle)
    height = _travel(cycle, crank) + crank.stroke_m / (cycle.compression_ratio - 1.0)
    burnt = _burnt(cycle, angles)
    n = cycle.compression_exponent + (
        (cycle.expansion_exponent - cycle.compression_exponent) * burnt
    )
    closing = int(np.searchsorted(angles, cycle.closing_rad - 1e-9))
    opening = int(np.searchsorted(angles, cycle.opening_rad - 1e-9))
    part = slice(closing, opening + 1)
    h, n, burnt = height[part], n[part], burnt[part]
    factor = np.exp(_running((n[1:] + n[:-1]) / 2.0 * np.diff(np.log(h))))
    weight = factor * (n - 1.0) / h
    added = _running((weight[1:] + weight[:-1]) / 2.0 * np.diff(burnt))
    base, per_heat = np.zeros_like(angles), np.zeros_like(angles)
    base[part] = cycle.inlet_pressure_pa / factor
    per_heat[part] = added / factor
    share, exchange = _gas_exchange(cycle, angles)
    outside = np.ones(len(angles), dtype=bool)
    outside[part] = False
    base[outside] = (exchange + share * (base[opening] - exchange))[outside]
    per_heat[outside] = (share * per_heat[opening])[outside]
    return base, per_heat


def _running(steps: NDArray[np.float64]) -> NDArray[np.float64]:
    return np.asarray(np.concatenate([[0.0], np.cumsum(steps)]), dtype=np.float64)


def _burnt(cycle: GasCycle, angles: NDArray[np.float64]) -> NDArray[np.float64]:
    since = np.maximum(0.0, (angles - cycle.burn_start_rad) / cycle.burn_duration_rad)
    return np.asarray(-np.expm1(-cycle.wiebe_a * since ** (cycle.wiebe_m + 1.0)))


def _gas_exchange(
    cycle: GasCycle, angles: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Share of the opening pressure that is left, and the pressure that it falls to."""
    after = (angles - cycle.opening_rad) % cycle.strokes.cycle_rad
    share = _half_cosine(after / cycle.blowdown_rad)
    if cycle.strokes is Strokes.TWO:
        return share, np.full_like(angles, cycle.inlet_pressure_pa)
    turn = angles % (4.0 * math.pi) - (2.0 * math.pi - cycle.overlap_rad / 2.0)
    exhaust = _half_cosine(turn / cycle.overlap_rad)
    return share, cycle.inlet_pressure_pa + exhaust * (
        cycle.exhaust_pressure_pa - cycle.inlet_pressure_pa
    )


def _half_cosine(at: NDArray[np.float64]) -> NDArray[np.float64]:
    """From 1 at 0 and before to 0 at 1 and after."""
    return np.asarray(0.5 + 0.5 * np.cos(math.pi * np.clip(at, 0.0, 1.0)))
