"""The whole film at every step of a cycle beside the mobility method: times and differences.

Invented loads of a big end, light to heavy; the same bearing with and without oil history. Warm
times, the best of three runs; the first line is the first call, which compiles where no cache is.
Run it alone:
    python benchmarks/film_transient.py
"""

from __future__ import annotations

import math
import time
from dataclasses import replace

import numpy as np
from film_path import BIG_END, CLEARANCE, DIAMETER, VISCOSITY, history, path_of

from oilwedge.film.bearing import Bearing, Groove, Rupture
from oilwedge.film.load_history import LoadHistory
from oilwedge.film.transient import Ends, RingGrid, TransientOrbit, solve_transient

GRID = RingGrid()


def bearing(width: float, *, groove_width: float = 0.0, supply: float = 0.0) -> Bearing:
    return Bearing(
        diameter_m=DIAMETER,
        width_m=width,
        diametral_clearance_m=CLEARANCE,
        groove=Groove.CIRCUMFERENTIAL if groove_width else Groove.NONE,
        groove_width_m=groove_width,
        supply_pressure_pa=supply,
    )


def scaled(part: float, steps: int = 720) -> LoadHistory:
    plain = history(0, 1.0)
    angle = np.linspace(0.0, 4.0 * np.pi, steps + 1)
    return replace(
        plain,
        angle_rad=angle,
        force_x_n=part * np.interp(angle, plain.angle_rad, plain.force_x_n),
        force_y_n=part * np.interp(angle, plain.angle_rad, plain.force_y_n),
        journal_speed_rad_s=np.interp(angle, plain.angle_rad, plain.journal_speed_rad_s),
    )


def solved(
    loads: LoadHistory, bearing: Bearing, rupture: Rupture, ends: Ends, grid: RingGrid = GRID
) -> TransientOrbit:
    return solve_transient(
        history=loads,
        bearing=bearing,
        viscosity_pa_s=VISCOSITY,
        rupture=rupture,
        ends=ends,
        grid=grid,
    )


def told(name: str, orbit: TransientOrbit, seconds: float, quick_m: float | None) -> None:
    beside = "" if quick_m is None else f", mobility {quick_m / orbit.minimum_film_m - 1.0:+.2%}"
    mass = "" if orbit.mass_error is None else f", mass {orbit.mass_error:.0e}"
    print(
        f"{name:34} {orbit.minimum_film_m * 1e6:7.3f} µm at"
        f" {math.degrees(orbit.minimum_film_angle_rad):5.1f} deg,"
        f" {orbit.peak_pressure_pa / 1e6:6.1f} MPa, {orbit.mean_friction_power_w:6.1f} W,"
        f" {orbit.mean_oil_flow_m3_s * 6e4:.3f} l/min, {orbit.cycles} cycles, {orbit.steps} steps,"
        f" {seconds:5.2f} s{beside}{mass}",
        flush=True,
    )


def main() -> None:
    kept, open_ = Rupture.MASS_CONSERVING, (Rupture.REYNOLDS, Ends.OPEN)
    begun = time.perf_counter()
    solved(scaled(1.0), bearing(BIG_END), *open_)
    print(f"first call {time.perf_counter() - begun:.1f} s")
    fed = bearing(BIG_END, groove_width=0.003, supply=3e5)
    cases = [
        *(
            (f"load x {part:g}, Reynolds", part, bearing(BIG_END), open_)
            for part in (0.1, 1.0, 6.0)
        ),
        *(
            (f"load x {part:g}, oil kept, flooded", part, bearing(BIG_END), (kept, Ends.FLOODED))
            for part in (0.1, 1.0, 6.0)
        ),
        ("groove 3 bar, Reynolds", 1.0, fed, open_),
        ("groove 3 bar, oil kept", 1.0, fed, (kept, Ends.OPEN)),
    ]
    for name, part, case, how in cases:
        times = []
        for _ in range(3):
            begun = time.perf_counter()
            orbit = solved(scaled(part), case, *how)
            times.append(time.perf_counter() - begun)
        plain = case.groove is Groove.NONE
        quick = path_of(scaled(part), BIG_END).minimum_film_m if plain else None
        told(name, orbit, min(times), quick)
    for grid, steps in (
        (RingGrid(around=120, across=6), 720),
        (RingGrid(around=360, across=8), 720),
        (RingGrid(around=180, across=12), 720),
        (GRID, 2880),
    ):
        begun = time.perf_counter()
        orbit = solved(scaled(1.0, steps), bearing(BIG_END), kept, Ends.FLOODED, grid)
        name = f"oil kept, {grid.around} x {grid.across}, {steps} steps"
        told(name, orbit, time.perf_counter() - begun, None)


if __name__ == "__main__":
    main()
