"""The journal paths of a whole four-cylinder engine (4 big ends, 5 mains), and a plain route.

Invented loads. The plain route solves the Reynolds equation on a uniform ring with
scipy.sparse.linalg.spsolve (its rupture by an active set, its two velocities by Newton) inside
scipy.integrate.solve_ivp. It is timed on one bearing over a window of the cycle, from the point
where the package's path stands there; the time of a whole cycle is the window's, scaled by angle.
Nine bearings are that times nine, for one cycle each, with the start given: kind to the plain
route. Run it alone:
    python benchmarks/film_path.py [WINDOW_DEG]
"""

from __future__ import annotations

import math
import statistics
import sys
import time
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.integrate import solve_ivp
from scipy.sparse import coo_array
from scipy.sparse.linalg import spsolve

from oilwedge.film.load_history import LoadHistory
from oilwedge.film.orbit import Orbit, solve_orbit

Array = NDArray[np.float64]

SPEED = 3000.0 * math.pi / 30.0
VISCOSITY, CLEARANCE = 0.008, 45e-6
DIAMETER, BIG_END, MAIN = 0.048, 0.019, 0.022
AROUND, HALF = 120, 8


@dataclass(frozen=True, kw_only=True)
class PlainBearing:
    """What the plain route needs beside the load, in SI units; the clearance diametral."""

    diameter: float = DIAMETER
    width: float
    clearance: float = CLEARANCE
    viscosity: float = VISCOSITY


def history(cylinder: int, share: float) -> LoadHistory:
    angle = np.linspace(0.0, 4.0 * np.pi, 721)
    shifted = (angle - cylinder * np.pi) % (4.0 * np.pi)
    fire = 22000.0 * np.exp(-(((shifted - 0.35) / 0.3) ** 2))
    force_x = share * (-fire + 5000.0 * np.cos(shifted) + 2000.0 * np.cos(2.0 * shifted))
    force_y = share * (6000.0 * np.sin(shifted) + 0.2 * fire)
    spin = SPEED * (1.0 - 0.28 * np.cos(shifted)) if share == 1.0 else np.full(angle.size, SPEED)
    for column in (force_x, force_y, spin):
        column[-1] = column[0]
    return LoadHistory(
        angle_rad=angle,
        force_x_n=force_x,
        force_y_n=force_y,
        journal_speed_rad_s=spin,
        turning_speed_rad_s=SPEED,
    )


def path_of(loads: LoadHistory, width: float) -> Orbit:
    return solve_orbit(
        history=loads,
        diameter_m=DIAMETER,
        width_m=width,
        diametral_clearance_m=CLEARANCE,
        viscosity_pa_s=VISCOSITY,
    )


def film_force(ecc: Array, velocity: Array, ratio: float) -> Array:
    """w of a pure squeeze, on a uniform ring by spsolve; no line of symmetry but mid-width."""
    step, edge = 2.0 * np.pi / AROUND, 1.0 / HALF
    theta = step * (np.arange(AROUND) + 0.5)
    normal = np.stack((np.cos(theta), np.sin(theta)))
    film = (1.0 - ecc @ normal) ** 3
    at_faces = (1.0 - ecc[0] * np.cos(theta + step / 2) - ecc[1] * np.sin(theta + step / 2)) ** 3
    ring = np.repeat((at_faces / step * edge)[:, None], HALF, axis=1)
    end = np.repeat((film * step / edge / ratio**2)[:, None], HALF, axis=1)
    end[:, -1] *= 2.0
    number = np.arange(AROUND * HALF).reshape(AROUND, HALF)
    diagonal = ring + np.roll(ring, 1, axis=0) + end
    diagonal[:, 1:] += end[:, :-1]
    rows = [number, number, np.roll(number, -1, 0), number[:, :-1], number[:, 1:]]
    cols = [number, np.roll(number, -1, 0), number, number[:, 1:], number[:, :-1]]
    vals = [diagonal, -ring, -ring, -end[:, :-1], -end[:, :-1]]
    matrix = coo_array(
        (
            np.concatenate([v.ravel() for v in vals]),
            (np.concatenate([r.ravel() for r in rows]), np.concatenate([c.ravel() for c in cols])),
        )
    ).tocsr()
    source = np.repeat((12.0 * (velocity @ normal) * step * edge)[:, None], HALF, axis=1).ravel()
    full = source > 0.0
    pressure = np.zeros(source.size)
    for _ in range(100):
        inside = np.flatnonzero(full)
        pressure[:] = 0.0
        pressure[inside] = spsolve(matrix[inside][:, inside].tocsc(), source[inside])
        now = np.where(full, pressure > 0.0, source - matrix @ pressure > 1e-12 * source.max())
        if np.array_equal(now, full):
            break
        full = now
    line = pressure.reshape(AROUND, HALF).sum(axis=1) * edge * step
    return normal @ line


def plain_velocity(ecc: Array, load: Array, ratio: float, guess: Array) -> Array:
    """The velocity whose film carries the load: Newton with differences."""
    velocity = guess.copy()
    for _ in range(30):
        force = film_force(ecc, velocity, ratio)
        if np.linalg.norm(force - load) < 1e-6 * np.linalg.norm(load):
            break
        small = 1e-5 * np.linalg.norm(velocity)
        slope = np.stack(
            [
                (film_force(ecc, velocity + small * unit, ratio) - force) / small
                for unit in np.eye(2)
            ],
            axis=1,
        )
        velocity = velocity + np.linalg.solve(slope, load - force)
    return velocity


def plain_window(
    loads: LoadHistory, orbit: Orbit, bearing: PlainBearing, first: int, last: int
) -> Array:
    diameter, width, turning = bearing.diameter, bearing.width, loads.turning_speed_rad_s
    ratio = width / diameter
    slenderness = (bearing.clearance / diameter) ** 2
    scale = slenderness / (bearing.viscosity * width * diameter) * 2.0 / turning
    guess = np.array([0.1, 0.1])

    def slope(angle: float, ecc: Array) -> Array:
        nonlocal guess
        load = np.array(
            [
                np.interp(angle, loads.angle_rad, loads.force_x_n),
                np.interp(angle, loads.angle_rad, loads.force_y_n),
            ]
        )
        guess = plain_velocity(ecc, scale * load, ratio, guess)
        turn = np.interp(angle, loads.angle_rad, loads.journal_speed_rad_s) / (2.0 * turning)
        return guess + turn * np.array([-ecc[1], ecc[0]])

    start = np.array([orbit.eccentricity_x[first], orbit.eccentricity_y[first]])
    window = (float(orbit.angle_rad[first]), float(orbit.angle_rad[last]))
    answer = solve_ivp(slope, window, start, method="RK23", rtol=1e-4, atol=1e-6)
    return np.asarray(answer.y)


def main(window_deg: int) -> None:
    bearings = [(history(k, 1.0), BIG_END) for k in range(4)]
    bearings += [(history(k, 0.5 + 0.05 * k), MAIN) for k in range(5)]
    orbits = [path_of(*bearing) for bearing in bearings]
    times = []
    for _ in range(30):
        start = time.perf_counter()
        for bearing in bearings:
            path_of(*bearing)
        times.append(time.perf_counter() - start)
    engine = statistics.median(times)
    for name, orbit in zip([*("big end",) * 4, *("main",) * 5], orbits, strict=True):
        print(
            f"{name:8}  minimum film {orbit.minimum_film_m * 1e6:.3f} µm at"
            f" {math.degrees(orbit.minimum_film_angle_rad):.1f} deg,"
            f" {orbit.cycles} cycles, residual {orbit.residual:.0e}"
        )
    print(
        f"nine bearings to periodic orbits: median {engine * 1e3:.1f} ms, best"
        f" {min(times) * 1e3:.1f} ms of {len(times)} runs, warm"
    )
    orbit = orbits[0]
    first = max(int(np.argmin(orbit.films_m)) - window_deg + 5, 0)
    last = first + window_deg
    begun = time.perf_counter()
    points = plain_window(bearings[0][0], orbit, PlainBearing(width=BIG_END), first, last)
    took = time.perf_counter() - begun
    plain = CLEARANCE / 2.0 * 1e6 * (1.0 - np.hypot(points[0], points[1]).max())
    own = float(orbit.films_m[first : last + 1].min()) * 1e6
    print(
        f"plain route, {AROUND} x {2 * HALF} cells, {window_deg} deg in"
        f" {points.shape[1] - 1} steps: {took:.1f} s; minimum film"
        f" {plain:.3f} µm, the package's {own:.3f} µm"
        f" ({(own / plain - 1) * 100:+.2f} %)"
    )
    whole = took * 720.0 / window_deg * len(bearings)
    print(f"plain route, nine bearings, one cycle: {whole:.0f} s; ratio {whole / engine:,.0f}")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 60)
