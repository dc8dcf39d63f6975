"""What a half groove does to the main bearings of the demo engines, and to the time of their paths.

The loads of every demo engine's file at all its conditions, at one clearance and viscosity for all,
so that the grooves alone differ; the half groove lies in the block (the upper half). Then the nine
bearings of the four, with half grooves in its five mains and without, warm. Last, paths through the
map beside such whose film is solved anew at every step (no map; from the same start). Run it alone:
    python benchmarks/half_groove.py
"""

from __future__ import annotations

import cmath
import statistics
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from oilwedge.engine.file import read_engine
from oilwedge.film.fixed_squeeze import Feature, Mesh, solve_fan
from oilwedge.film.orbit import Orbit, solve_orbit
from oilwedge.film.path_groove import NO_GROOVE, GroovePlace, PathGroove
from oilwedge.usecases.crank_loads import BearingLoad, engine_loads

DEMO = Path(__file__).parents[1] / "src" / "oilwedge" / "demo"
CLEARANCE, VISCOSITY, SHARE = 50e-6, 0.008, 0.2  # m, Pa s, of the width
WINDOW = 90  # degrees before the smallest film that are run without the map
KINDS = (PathGroove.NONE, PathGroove.HALF, PathGroove.HOLE, PathGroove.FULL)


def path_of(load: BearingLoad, kind: PathGroove) -> Orbit:
    groove = NO_GROOVE
    if kind is not PathGroove.NONE:
        groove = GroovePlace(kind=kind, width_m=SHARE * load.data.width_m)
    return solve_orbit(
        history=load.history,
        diameter_m=load.diameter_m,
        width_m=load.data.width_m,
        diametral_clearance_m=CLEARANCE,
        viscosity_pa_s=VISCOSITY,
        groove=groove,
    )


def squeeze_by_film(load: BearingLoad, kind: PathGroove) -> Callable[[complex, complex], complex]:
    """The squeeze velocity 2 ν/|w| of an eccentricity under a load of 1, without the map."""
    ratio = load.data.width_m / load.diameter_m
    feature = Feature(kind=kind, share=SHARE)

    def squeeze(place: complex, direction: complex) -> complex:
        line = cmath.phase(place)
        wanted = direction / cmath.exp(1j * line)

        def force(angle: float) -> complex:
            along, across, _ = solve_fan(
                eccentricity_ratio=abs(place),
                eccentricity_angle_rad=line,
                directions_rad=np.array([angle]),
                width_ratio=ratio,
                feature=feature,
                mesh=Mesh(),
            )[0]
            return complex(along, across)

        def off(angle: float) -> float:
            return cmath.phase(force(angle) / wanted)

        toward = cmath.phase(wanted)
        found = brentq(off, toward - 0.4999 * np.pi, toward + 0.4999 * np.pi, xtol=1e-5)
        return 2.0 / abs(force(found)) * cmath.exp(1j * (found + line))

    return squeeze


def minimum_by_film(load: BearingLoad, kind: PathGroove, orbit: Orbit) -> tuple[float, float]:
    """The smallest film [m] by solve_ivp without the map about where the orbit has it; and ours."""
    history = load.history
    radial = CLEARANCE / 2.0
    rate = (2.0 * radial / load.diameter_m) ** 2 / VISCOSITY / load.data.width_m / load.diameter_m
    squeeze = squeeze_by_film(load, kind)
    middle = min(max(int(orbit.films_m.argmin()), WINDOW), orbit.angle_rad.size - 1 - WINDOW // 3)
    first, last = middle - WINDOW, middle + WINDOW // 3

    def slope(angle: float, state: NDArray[np.float64]) -> list[float]:
        place = complex(*state)
        force = complex(
            np.interp(angle, history.angle_rad, history.force_x_n),
            np.interp(angle, history.angle_rad, history.force_y_n),
        )
        spin = float(np.interp(angle, history.angle_rad, history.journal_speed_rad_s))
        velocity = abs(force) * rate * squeeze(place, force / abs(force)) + 0.5j * spin * place
        velocity /= history.turning_speed_rad_s
        return [velocity.real, velocity.imag]

    span = orbit.angle_rad[first], orbit.angle_rad[last]
    start = [orbit.eccentricity_x[first], orbit.eccentricity_y[first]]
    found = solve_ivp(slope, span, start, rtol=1e-4, atol=1e-5, max_step=0.03)
    ours = float(orbit.films_m[first : last + 1].min())
    return radial * (1.0 - float(np.hypot(*found.y).max())), ours


def main() -> None:
    """Print a line a bearing, then the times."""
    for file in sorted(DEMO.glob("*.toml")):
        if file.stem == "shop":
            continue
        engine = read_engine(file.read_text(encoding="utf-8"), file=file.name)
        for condition in engine.running.conditions:
            for load in engine_loads(engine=engine, condition=condition.name).bearings:
                if not load.key.startswith("main"):
                    continue
                orbits = [path_of(load, kind) for kind in KINDS]
                films = ", ".join(
                    f"{kind.value} {orbit.minimum_film_m * 1e6:.2f} µm"
                    f" ({orbit.peak_pressure_pa / 1e6:.0f} MPa,"
                    f" {orbit.mean_friction_power_w:.0f} W)"
                    for kind, orbit in zip(KINDS, orbits, strict=True)
                )
                print(f"{file.stem}, {condition.name}, {load.key}: {films}")
    engine = read_engine((DEMO / "four.toml").read_text(encoding="utf-8"), file="four.toml")
    bearings = engine_loads(engine=engine, condition="full load").bearings
    for kind in KINDS:
        spent = []
        for _ in range(21):
            start = time.perf_counter()
            for load in bearings:
                path_of(load, kind if load.key.startswith("main") else PathGroove.NONE)
            spent.append(time.perf_counter() - start)
        print(
            f"nine bearings, mains with groove {kind.value}:"
            f" {statistics.median(spent) * 1e3:.1f} ms (best {min(spent) * 1e3:.1f} ms)"
        )
    for key in ("main 1", "main 3"):
        load = next(one for one in bearings if one.key == key)
        for kind in (PathGroove.HALF, PathGroove.HOLE):
            film, ours = minimum_by_film(load, kind, path_of(load, kind))
            print(
                f"{key}, {kind.value}: minimum film {ours * 1e6:.3f} µm through the map,"
                f" {film * 1e6:.3f} µm without it ({(ours / film - 1.0) * 100:+.2f} %)",
                flush=True,
            )


if __name__ == "__main__":
    main()
