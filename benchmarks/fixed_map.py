"""How far the maps fixed to the bearing lie from films solved anew on meshes of half the step.

Random widths, grooves, eccentricities, places and velocities, drawn so that the wall, the load's
direction and the edge of the feature are met often. Near the wall the velocity across the load
turns fast with the load's direction, so that its own error says little; the last number says by how
much the load is missed that the film carries at the map's velocity. Minutes. Run it alone:
    python benchmarks/fixed_map.py [POINTS]
"""

from __future__ import annotations

import math
import sys

import numpy as np
from numpy.typing import NDArray

from oilwedge.film import fixed_grid
from oilwedge.film.fixed_map import find_fixed_mobility, fixed_bearing_map
from oilwedge.film.fixed_squeeze import Feature
from oilwedge.film.make_fixed_map import carried_fan
from oilwedge.film.path_groove import PathGroove

DIRECTIONS = 6  # of the velocity, for every place drawn


def errors_at(
    kind: PathGroove,
    rng: np.random.Generator,
    widths: tuple[float, float],
    ends: tuple[float, float],
) -> list[tuple[float, float, float, float]]:
    """Of the mobility along the load, of the whole of it, of peak pressure and load; relative."""
    width, share = float(rng.uniform(*widths)), float(rng.uniform(0.1, 0.4))
    s = rng.uniform(-math.log1p(-ends[0]), -math.log1p(-ends[1]))
    ratio = -math.expm1(-float(s))
    place = fixed_grid.groove_angle_at(
        place=float(rng.uniform(-1.0, 1.0)), eccentricity_ratio=ratio, kind=kind
    )
    away = 10.0 ** rng.uniform(-2.0, 0.19, DIRECTIONS)
    directions = np.sort(
        0.5 * np.pi * rng.choice([-1.0, 1.0], DIRECTIONS)
        + rng.choice([-1.0, 1.0], DIRECTIONS) * away
    )

    def solved(velocities: NDArray[np.float64]) -> NDArray[np.float64]:
        return carried_fan(
            eccentricity_ratio=ratio,
            eccentricity_angle_rad=place,
            directions_rad=velocities,
            width_ratio=width,
            feature=Feature(kind=kind, share=share),
            finer=2,
        )

    films = solved(directions)
    loads = np.arctan2(films[:, 1], films[:, 0])
    map_ = fixed_bearing_map(kind=kind, width_ratio=width, share=share)
    found = [
        find_fixed_mobility(
            map_=map_,
            eccentricity_x=ratio * math.cos(place),
            eccentricity_y=ratio * math.sin(place),
            load_angle_rad=place + load,
        )
        for load in loads
    ]
    along, across, peak = np.array(
        [(one.along, one.across, one.peak_pressure_ratio) for one in found]
    ).T
    size = 2.0 / np.hypot(films[:, 0], films[:, 1])
    wanted_along, wanted_across = (size * turned(directions - loads) for turned in (np.cos, np.sin))
    answers = solved(loads + np.arctan2(across, along))
    carried = 0.5 * np.hypot(along, across) * (answers[:, 0] + 1j * answers[:, 1])
    return list(
        zip(
            np.abs(along / wanted_along - 1.0),
            np.hypot(along - wanted_along, across - wanted_across) / size,
            np.abs(peak / (size * films[:, 2]) - 1.0),
            np.abs(carried - np.exp(1j * loads)),
            strict=True,
        )
    )


def main(points: int) -> None:
    """Print one line a cell of the map."""
    rng = np.random.default_rng(22)
    for kind in (PathGroove.HALF, PathGroove.HOLE):
        for widths in ((0.1, 0.2), (0.2, 0.5), (0.5, 1.0)):
            for ends in ((0.0, 0.9), (0.9, 0.98), (0.98, 0.995)):
                table = np.array(
                    [one for _ in range(points) for one in errors_at(kind, rng, widths, ends)]
                )
                worst, most, middle = (
                    " ".join(f"{100.0 * x:.2f}" for x in np.quantile(table, part, axis=0))
                    for part in (1.0, 0.95, 0.5)
                )
                print(
                    f"{kind.value}, L/D {widths[0]} to {widths[1]}, ε {ends[0]} to {ends[1]},"
                    f" {len(table)} films: along the load, whole, peak"
                    f" pressure, load: worst {worst} %,"
                    f" 95 of 100 below {most} %, median {middle} %",
                    flush=True,
                )


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 25)
