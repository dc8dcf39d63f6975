"""Make the package's maps fixed to the bearing anew: half groove and hole; some minutes.

Run it as::

    python -m oilwedge.film.make_fixed_map [FOLDER [PROCESSES]]

For each width ratio, share of the groove, eccentricity and place of it, the film is solved for a
fan of velocities round the circle on two meshes whose steps stand as 3 to 4, carried to a vanishing
step by the second order of the method (Richardson). What is written (see
:mod:`oilwedge.film.fixed_grid`) is drawn between them by a spline round the circle.
"""

from __future__ import annotations

import math
import sys
from concurrent.futures import ProcessPoolExecutor
from functools import cache
from itertools import product
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from oilwedge.film import fixed_grid, mobility_grid
from oilwedge.film.fixed_squeeze import Feature, Mesh, solve_fan
from oilwedge.film.make_mobility_map import fan_directions
from oilwedge.film.mobility import written_map
from oilwedge.film.path_groove import PathGroove

Array = NDArray[np.float64]

FOLDER = Path(__file__).parent
KINDS = (PathGroove.HALF, PathGroove.HOLE)
_COARSE = Mesh(around=120, in_groove=3, beside=6)
_FINE = Mesh(around=160, in_groove=4, beside=8)
_GAIN = 1.0 / ((160 / 120) ** 2 - 1.0)


def carried_fan(
    *,
    eccentricity_ratio: float,
    eccentricity_angle_rad: float,
    directions_rad: Array,
    width_ratio: float,
    feature: Feature,
    finer: int = 1,
) -> Array:
    """As :func:`oilwedge.film.fixed_squeeze.solve_fan`, two meshes carried to a vanishing step."""
    coarse, fine = (
        solve_fan(
            eccentricity_ratio=eccentricity_ratio,
            eccentricity_angle_rad=eccentricity_angle_rad,
            directions_rad=directions_rad,
            width_ratio=width_ratio,
            feature=feature,
            mesh=Mesh(
                around=finer * mesh.around,
                in_groove=finer * mesh.in_groove,
                beside=finer * mesh.beside,
            ),
        )
        for mesh in (_COARSE, _FINE)
    )
    return fine + (fine - coarse) * _GAIN


def fan_numbers(
    *, fan: Array, directions_rad: Array, eccentricity_ratio: float, width_ratio: float
) -> tuple[Array, fixed_grid.FilmNumbers]:
    """The angles β from load to line of centres [rad], and a, v, c there."""
    load = np.arctan2(fan[:, 1], fan[:, 0])
    size = 2.0 * width_ratio**2 / np.hypot(fan[:, 0], fan[:, 1])
    return -load, fixed_grid.numbers_of(
        along=size * np.cos(directions_rad - load),
        across=size * np.sin(directions_rad - load),
        peak=size * fan[:, 2] / width_ratio**2,
        xi=eccentricity_ratio * np.cos(load),
        eta=-eccentricity_ratio * np.sin(load),
    )


def references(
    *, eccentricity_ratio: float, gamma_rad: Array, width_ratio: float, feature: Feature
) -> tuple[fixed_grid.FilmNumbers, fixed_grid.FilmNumbers | None]:
    """a, v, c without a groove, and with one all round where the feature is a half groove.

    The eccentricity is one of a node of the plain map.
    """
    from scipy.interpolate import CubicSpline

    node = round(-math.log1p(-eccentricity_ratio) / mobility_grid.STEP_S)

    def of(width: float) -> fixed_grid.FilmNumbers:
        nodes = fixed_grid.numbers_all_round(written_map(width))
        round_ = np.stack((nodes.along[node], nodes.across[node], nodes.peak[node]), axis=1)
        steps = np.arange(fixed_grid.NODES_G + 1) * mobility_grid.STEP_G
        spline = CubicSpline(steps, np.vstack((round_, round_[:1])), bc_type="periodic")
        along, across, peak = spline(gamma_rad % (2.0 * np.pi)).T
        return fixed_grid.FilmNumbers(along=along, across=across, peak=peak)

    if feature.kind is not PathGroove.HALF:
        return of(width_ratio), None
    land = of(0.5 * width_ratio * (1.0 - feature.share))
    return of(width_ratio), fixed_grid.two_lands(land, share=feature.share)


def row(
    *,
    eccentricity_ratio: float,
    eccentricity_angle_rad: float,
    width_ratio: float,
    feature: Feature,
) -> Array:
    """What is written at every node of γ, for one eccentricity."""
    from scipy.interpolate import CubicSpline

    directions = _round(eccentricity_ratio)
    fan = carried_fan(
        eccentricity_ratio=eccentricity_ratio,
        eccentricity_angle_rad=eccentricity_angle_rad,
        directions_rad=directions,
        width_ratio=width_ratio,
        feature=feature,
    )
    beta, numbers = fan_numbers(
        fan=fan,
        directions_rad=directions,
        eccentricity_ratio=eccentricity_ratio,
        width_ratio=width_ratio,
    )
    gamma = np.array(
        [
            mobility_grid.node_angle(load_angle_rad=float(x), eccentricity_ratio=eccentricity_ratio)
            for x in beta
        ]
    )
    plain, lands = references(
        eccentricity_ratio=eccentricity_ratio,
        gamma_rad=gamma,
        width_ratio=width_ratio,
        feature=feature,
    )
    parts = np.stack(fixed_grid.parts_of(numbers, plain=plain, lands=lands), axis=1)
    order = np.argsort(gamma)
    gamma, parts = gamma[order], parts[order]
    nodes = mobility_grid.STEP_G * np.arange(fixed_grid.NODES_G)
    nodes = gamma[0] + (nodes - gamma[0]) % (2.0 * np.pi)
    spline = CubicSpline(
        np.append(gamma, gamma[0] + 2.0 * np.pi), np.vstack((parts, parts[:1])), bc_type="periodic"
    )
    return np.asarray(spline(nodes))


@cache
def _round(eccentricity_ratio: float) -> Array:
    """Velocities all round whose forces lie near the nodes of γ."""
    half = np.array(fan_directions(max(eccentricity_ratio, 1e-6)))
    return np.concatenate((-half[:0:-1], half[:-1]))


def block(task: tuple[PathGroove, float, float]) -> Array:
    """One width ratio and share: nodes of s by nodes of σ by nodes of γ by three."""
    kind, width_ratio, share = task
    feature = Feature(kind=kind, share=share)
    table = np.empty((len(fixed_grid.WRITTEN_S), fixed_grid.NODES_P, fixed_grid.NODES_G, 3))
    for i, s in enumerate(fixed_grid.WRITTEN_S):
        ratio = -math.expm1(-s)
        for j in range(fixed_grid.NODES_P):
            angle = fixed_grid.groove_angle_at(
                place=-1.0 + fixed_grid.STEP_P * j, eccentricity_ratio=ratio, kind=kind
            )
            table[i, j] = row(
                eccentricity_ratio=ratio,
                eccentricity_angle_rad=angle,
                width_ratio=width_ratio,
                feature=feature,
            )
    return table


def main(folder: Path, processes: int) -> None:
    """Make both maps and write them."""
    shape = (len(fixed_grid.WIDTH_RATIOS), len(fixed_grid.SHARES))
    for kind in KINDS:
        tasks = [(kind, *pair) for pair in product(fixed_grid.WIDTH_RATIOS, fixed_grid.SHARES)]
        with ProcessPoolExecutor(max_workers=processes) as pool:
            table = np.stack(list(pool.map(block, tasks)))
        steps = fixed_grid.packed(table.reshape(*shape, *table.shape[1:]))
        np.savez_compressed(folder / f"fixed_map_{kind.value}.npz", table=steps)


if __name__ == "__main__":
    main(
        Path(sys.argv[1]) if len(sys.argv) > 1 else FOLDER,
        int(sys.argv[2]) if len(sys.argv) > 2 else 2,
    )
