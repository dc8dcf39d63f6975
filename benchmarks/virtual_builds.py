"""Virtual builds of a nine-bearing engine: the cost against their number, and the table's error.

Invented loads, those of film_path.py, with the gas taken away for the second history. Each count is
run several times, in turn; the sensitivities (1024 rows a matrix, seven times as many films a
bearing) are in every one of them, as people get them. Beside it the same films by orbits of their
own, timed on a few builds. Run it alone:
    python benchmarks/virtual_builds.py [RUNS]
"""

from __future__ import annotations

import math
import statistics
import sys
import time
from dataclasses import replace

import numpy as np
from film_path import BIG_END, CLEARANCE, DIAMETER, MAIN, history

from oilwedge.film.bearing_case import BearingCase
from oilwedge.film.cycle_film import solve_cycle
from oilwedge.film.load_history import LoadHistory
from oilwedge.film.oil import Oil
from oilwedge.film.oil_band import band_of_oil
from oilwedge.film.path_groove import PathGroove
from oilwedge.film.virtual_builds import BuildBands, BuildBearing, Spread, draw_builds

COUNTS = (1_000, 3_000, 10_000, 30_000)
ALONE = 20
OIL = Oil(
    name="invented",
    density_kg_m3_at_15c=870.0,
    nu40_m2_s=90e-6,
    nu100_m2_s=14e-6,
    high_shear_150c_pa_s=3.5e-3,
)


def without_gas(loads: LoadHistory, cylinder: int, share: float) -> LoadHistory:
    shifted = (loads.angle_rad - cylinder * np.pi) % (4.0 * np.pi)
    force_x = share * (5000.0 * np.cos(shifted) + 2000.0 * np.cos(2.0 * shifted))
    force_y = share * 6000.0 * np.sin(shifted)
    force_x[-1], force_y[-1] = force_x[0], force_y[0]
    return replace(loads, force_x_n=force_x, force_y_n=force_y)


def bearing(cylinder: int, share: float, width: float) -> BuildBearing:
    loads = history(cylinder, share)
    case = BearingCase(
        history=loads,
        without_gas=without_gas(loads, cylinder, share),
        diameter_m=DIAMETER,
        width_m=width,
        supply_temperature_c=100.0,
        supply_pressure_pa=3e5,
        groove=PathGroove.HOLE,
        hole_diameter_m=5e-3,
    )
    return BuildBearing(case=case, cold_clearance_m=CLEARANCE, clearance_u_m=3e-6)


def drawn(bearings: list[BuildBearing], count: int) -> tuple[float, BuildBands]:
    start = time.perf_counter()
    bands = draw_builds(bearings=bearings, oil=band_of_oil(OIL), spread=Spread(), count=count)
    return time.perf_counter() - start, bands


def main(runs: int) -> None:
    bearings = [bearing(k, 1.0, BIG_END) for k in range(4)]
    bearings += [bearing(k, 0.5 + 0.05 * k, MAIN) for k in range(5)]
    drawn(bearings, 100)  # kernels and imports are there before the clock runs
    taken: dict[int, list[float]] = {count: [] for count in COUNTS}
    for _ in range(runs):
        for count in COUNTS:
            seconds, bands = drawn(bearings, count)
            taken[count].append(seconds)
    middles = [statistics.median(taken[count]) for count in COUNTS]
    for count, middle in zip(COUNTS, middles, strict=True):
        print(f"{count:6d} builds of {len(bearings)} bearings: median {middle:.2f} s")
    share = (middles[-1] - middles[-2]) / (COUNTS[-1] - COUNTS[-2])
    slope = math.log(middles[-1] / middles[-2]) / math.log(COUNTS[-1] / COUNTS[-2])
    print(f"each build more: {share * 1e6:.0f} µs; exponent from 10,000 on: {slope:.2f}")
    errors = [band.interpolation for band in bands.bearings]
    print(
        f"orbits {sum(band.orbits for band in bands.bearings)}; worst error of the table: film"
        f" {max(e.minimum_film for e in errors):.1e}, friction"
        f" {max(e.friction_power for e in errors):.1e}, flow"
        f" {max(e.side_flow for e in errors):.1e}, peak {max(e.peak_pressure for e in errors):.1e}"
    )
    start = time.perf_counter()
    for number in range(ALONE):
        case = bearings[number % len(bearings)].case
        solve_cycle(case=case, oil=OIL, cold_clearance_m=CLEARANCE + number * 1e-7)
    alone = (time.perf_counter() - start) / ALONE
    whole = alone * len(bearings) * 10_000
    print(
        f"one bearing by orbits of its own: {alone * 1e3:.1f} ms, 10,000 builds {whole:.0f} s,"
        f" {whole / middles[2]:.0f} times as long"
    )


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 3)
