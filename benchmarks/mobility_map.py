"""How far the mobility map lies from the film solution that it is made of, and that one from finer.

Random widths, eccentricities and velocities, drawn so that the wall and the load are met often.
Minutes. Run it alone:
    python benchmarks/mobility_map.py [POINTS]
"""

from __future__ import annotations

import math
import sys

import numpy as np

from oilwedge.film import make_mobility_map
from oilwedge.film.mobility import find_mobility, finite_bearing_map
from oilwedge.film.squeeze import Squeezed, solve_squeeze

FINE_POINTS = 12


def finer(ratio: float, direction: float, width: float) -> Squeezed:
    """Two finer meshes carried to a vanishing step."""
    rough, better = (
        solve_squeeze(
            eccentricity_ratio=ratio,
            direction_rad=direction,
            width_ratio=width,
            cells_around=around,
            cells_half_width=half,
        )
        for around, half in ((480, 24), (640, 32))
    )
    gain = 1.0 / ((32 / 24) ** 2 - 1.0)
    return Squeezed(
        force_along=better.force_along + gain * (better.force_along - rough.force_along),
        force_across=better.force_across + gain * (better.force_across - rough.force_across),
        peak_pressure=better.peak_pressure + gain * (better.peak_pressure - rough.peak_pressure),
    )


def main(points: int) -> None:
    rng = np.random.default_rng(20)
    for low, high in ((0.1, 0.2), (0.2, 0.5), (0.5, 1.0), (1.0, 1.6)):
        for thin, thick in ((0.0, 0.9), (0.9, 0.98), (0.98, 0.995), (0.995, 0.998)):
            errors = []
            for _ in range(points):
                width = float(rng.uniform(low, high))
                s = rng.uniform(-math.log(1.0 - thin), -math.log(1.0 - thick))
                ratio = max(-math.expm1(-float(s)), 0.02)
                away = 10.0 ** rng.uniform(-3.0, 0.19)
                direction = 0.5 * math.pi + float(rng.choice([-1.0, 1.0]) * away)
                film = make_mobility_map.squeezed(
                    eccentricity_ratio=ratio, direction_rad=direction, width_ratio=width
                )
                load = math.atan2(film.force_across, film.force_along)
                size = 2.0 / film.force
                along = size * math.cos(direction - load)
                across = size * math.sin(direction - load)
                got = find_mobility(
                    map_=finite_bearing_map(width_ratio=width),
                    along_load=ratio * math.cos(load),
                    across_load=-ratio * math.sin(load),
                )
                peak = 2.0 * film.peak_pressure / film.force
                errors.append(
                    (
                        abs(got.along / along - 1.0),
                        math.hypot(got.along - along, got.across - across) / size,
                        abs(got.peak_pressure_ratio / peak - 1.0),
                    )
                )
            table = np.array(errors) * 100.0
            print(
                f"L/D {low} to {high}, ε {thin} to {thick}: along the load, whole, peak pressure:"
                f" worst {' '.join(f'{x:.3f}' for x in table.max(axis=0))} %,"
                f" median {' '.join(f'{x:.3f}' for x in np.median(table, axis=0))} %"
            )
    worst = 0.0
    for _ in range(FINE_POINTS):
        width, ratio = float(rng.uniform(0.2, 1.0)), float(rng.uniform(0.1, 0.995))
        direction = float(rng.uniform(0.0, math.pi))
        film = make_mobility_map.squeezed(
            eccentricity_ratio=ratio, direction_rad=direction, width_ratio=width
        )
        worst = max(worst, abs(film.force / finer(ratio, direction, width).force - 1.0))
    print(f"film solution against one of half the step, {FINE_POINTS} films: {worst * 100:.4f} %")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 60)
