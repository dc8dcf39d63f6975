"""The films of the demo's whole four-cylinder engine (4 big ends, 5 mains): every route in one run.

At full load, each bearing in the middle of its limits: loads; nine paths warm; nine films at the
temperature of their own heat balance; 10,000 virtual builds on one thread and on two; the window
chart; one big end by the reference route; and one big end by a plain route (solve_ivp on a spsolve
Reynolds solution, see film_path.py) over a window of the cycle, scaled to the cycle and times nine.
Then cost against grid and against builds, as slopes of log time. Run it alone; minutes:
    python benchmarks/film_engine.py [WINDOW_DEG]
"""

from __future__ import annotations

import math
import os
import statistics
import sys
import time
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from pathlib import Path

import numpy as np
from film_path import AROUND, HALF, PlainBearing, plain_window

import oilwedge
from oilwedge.engine.file import read_engine
from oilwedge.engine.model import Engine
from oilwedge.film.bearing import Bearing, Groove, Rupture
from oilwedge.film.bearing_case import BearingCase, case_orbit
from oilwedge.film.cycle_film import solve_cycle
from oilwedge.film.oil_band import OilBand
from oilwedge.film.transient import RingGrid, TransientOrbit, solve_transient
from oilwedge.film.virtual_builds import BuildBearing, Spread, draw_builds
from oilwedge.usecases.crank_loads import BearingLoad, engine_loads
from oilwedge.usecases.film_case import bearing_case
from oilwedge.usecases.film_oil import chosen_oil
from oilwedge.usecases.film_window import film_window

DEMO = Path(oilwedge.__file__).parent / "demo" / "four.toml"
CONDITION = "full load"
BUILDS = 10_000


@dataclass(frozen=True, kw_only=True)
class One:
    """A bearing, its clearance cold and hot (m), and the viscosity (Pa s) of its film."""

    load: BearingLoad
    case: BearingCase
    cold: float
    clearance: float
    viscosity: float


def middle(engine: Engine, fit_key: str) -> float:
    fit = engine.fits[fit_key]
    assert fit.low_m is not None
    assert fit.high_m is not None
    return 0.5 * (fit.low_m + fit.high_m)


def seconds(run: Callable[[], object], times: int) -> float:
    run()
    taken = []
    for _ in range(times):
        start = time.perf_counter()
        run()
        taken.append(time.perf_counter() - start)
    return statistics.median(taken)


def processor_seconds(run: Callable[[], object], times: int) -> float:
    """What the processor spent in the best of the runs: what a busy machine cannot stretch."""
    taken = []
    for _ in range(times):
        start = time.process_time()
        run()
        taken.append(time.process_time() - start)
    return min(taken)


def path(one: One) -> object:
    return case_orbit(
        case=one.case,
        history=one.case.history,
        hot_clearance_m=one.clearance,
        viscosity_pa_s=one.viscosity,
    )


def reference(one: One, rupture: Rupture, grid: RingGrid | None = None) -> TransientOrbit:
    held = rupture is Rupture.MASS_CONSERVING
    width = one.case.width_m
    bearing = Bearing(
        diameter_m=one.case.diameter_m,
        width_m=width,
        diametral_clearance_m=one.clearance,
        groove=Groove.CIRCUMFERENTIAL if held else Groove.NONE,
        groove_width_m=0.1 * width if held else 0.0,
        supply_pressure_pa=3e5 if held else 0.0,
    )
    solve = partial(
        solve_transient,
        history=one.load.history,
        bearing=bearing,
        viscosity_pa_s=one.viscosity,
        rupture=rupture,
    )
    return solve() if grid is None else solve(grid=grid)


def plain(one: One, window_deg: int) -> float:
    """The plain route's seconds for a whole cycle of one bearing, from a window of it."""
    orbit = case_orbit(
        case=one.case,
        history=one.case.history,
        hot_clearance_m=one.clearance,
        viscosity_pa_s=one.viscosity,
    )
    bearing = PlainBearing(
        diameter=one.case.diameter_m,
        width=one.case.width_m,
        clearance=one.clearance,
        viscosity=one.viscosity,
    )
    first = max(int(np.argmin(orbit.films_m)) - window_deg + 5, 0)
    last = first + window_deg
    begun = time.perf_counter()
    points = plain_window(one.load.history, orbit, bearing, first, last)
    took = time.perf_counter() - begun
    least = 0.5 * one.clearance * 1e6 * (1.0 - np.hypot(points[0], points[1]).max())
    own = float(orbit.films_m[first : last + 1].min()) * 1e6
    print(
        f"    plain route, {AROUND} x {2 * HALF} cells, {window_deg} deg: {took:.1f} s; least film"
        f" {least:.3f} µm, the package's {own:.3f} µm ({(own / least - 1) * 100:+.2f} %)"
    )
    return took * 720.0 / window_deg


def slope(sizes: list[int], taken: list[float]) -> float:
    return float(np.polyfit(np.log(sizes), np.log(taken), 1)[0])


def builds(bearings: list[BuildBearing], oil: OilBand) -> None:
    run = partial(draw_builds, bearings=bearings, oil=oil, spread=Spread(), seed=1)
    by_threads = {
        count: seconds(partial(run, count=BUILDS, workers=count), 3)
        for count in sorted({1, os.cpu_count() or 1})
    }
    for count, taken in by_threads.items():
        print(
            f"    {BUILDS} builds and Sobol's indices, nine bearings, {count} thread"
            f"{'s' if count > 1 else ''}: {taken:.2f} s, {by_threads[1] / taken:.2f} x,"
            f" {by_threads[1] / taken / count * 100:.0f} % of the ideal"
        )
    counts = [1_000, 10_000, 100_000]
    times = [seconds(partial(run, count=count), 1) for count in counts]
    told = ", ".join(f"{n}: {t:.2f} s" for n, t in zip(counts, times, strict=True))
    each = (times[-1] - times[0]) / (counts[-1] - counts[0])
    print(
        f"    against builds: {told}; slope {slope(counts[1:], times[1:]):.2f} from 10,000 on;"
        f" {each * 1e6:.0f} µs a build of nine bearings beyond the tables"
    )


def against_grid(one: One) -> None:
    sizes, times = [], []
    for around, across in ((60, 6), (90, 8), (120, 12), (180, 16)):
        grid = RingGrid(around=around, across=across)
        taken = seconds(partial(reference, one, Rupture.REYNOLDS, grid), 1)
        sizes.append(around * across)
        times.append(taken)
        print(f"    reference route, {around} x {across} cells on half the width: {taken:.2f} s")
    print(f"    slope {slope(sizes, times):.2f} over the number of cells")


def main(window_deg: int) -> None:
    engine = read_engine(DEMO.read_text(encoding="utf-8"), file=DEMO.name)
    loads = engine_loads(engine=engine, condition=CONDITION)
    chosen = chosen_oil(engine=engine)
    everyone = []
    for load in loads.bearings:
        case = bearing_case(engine=engine, loads=loads, load=load, chosen_film_m=1e-6).case
        film = solve_cycle(case=case, oil=chosen.oil, cold_clearance_m=middle(engine, load.fit_key))
        everyone.append(
            One(
                load=load,
                case=case,
                cold=film.cold_clearance_m,
                clearance=film.hot_clearance_m,
                viscosity=film.viscosity_pa_s,
            )
        )
        print(
            f"    {load.title:15s} minimum film {film.minimum_film_m * 1e6:.2f} µm at"
            f" {math.degrees(film.orbit.minimum_film_angle_rad):.0f} deg,"
            f" {film.film_temperature_c:.0f} °C, {film.orbit.cycles} cycles, residual"
            f" {film.orbit.residual:.0e}"
        )
    fast = seconds(lambda: [path(one) for one in everyone], 30)
    busy = processor_seconds(lambda: [path(one) for one in everyone], 30)
    print(f"Nine paths, warm: {fast * 1e3:.1f} ms; {busy * 1e3:.1f} ms of processor")
    whole = 9.0 * plain(everyone[0], window_deg)
    print(f"Plain route, nine bearings, one cycle: {whole:.0f} s; ratio {whole / fast:,.0f}")
    taken = seconds(lambda: engine_loads(engine=engine, condition=CONDITION), 10)
    print(f"Loads on nine bearings: {taken * 1e3:.0f} ms, {taken / fast:.1f} x nine paths")
    warm = seconds(
        lambda: [
            solve_cycle(case=one.case, oil=chosen.oil, cold_clearance_m=one.cold)
            for one in everyone
        ],
        10,
    )
    print(f"Nine films with heat balance: {warm * 1e3:.0f} ms, {warm / fast:.1f} x nine paths")
    taken = seconds(partial(film_window, engine=engine), 3)
    print(f"Window chart, 2 kinds x 3 conditions x 61 clearances: {taken:.2f} s")
    builds(
        [
            BuildBearing(case=one.case, cold_clearance_m=one.cold, clearance_u_m=2e-6)
            for one in everyone
        ],
        chosen.band,
    )
    single = fast / 9.0
    for rupture in Rupture:
        taken = seconds(partial(reference, everyone[0], rupture), 3)
        print(
            f"Reference route, one big end to a closed path, {rupture.value}: {taken:.2f} s,"
            f" {taken / single:,.0f} x the mobility route"
        )
    against_grid(everyone[0])


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 30)
