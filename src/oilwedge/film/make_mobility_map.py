"""Make the package's mobility map anew from the pure squeeze Reynolds solution; minutes.

Run it as::

    python -m oilwedge.film.make_mobility_map [FILE]

For each width ratio and eccentricity the film is solved for a fan of velocities; their forces are
spread over the half circle, and what the map holds is interpolated between them at its own angles
of the load (smooth splines, even about both ends). Two meshes whose steps stand as 3 to 4 are
carried to a vanishing step by the second order of the method (Richardson), force and peak alike.
"""

from __future__ import annotations

import math
import sys
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from oilwedge.film import mobility_grid as grid
from oilwedge.film.squeeze import Squeezed, solve_short_squeeze, solve_squeeze

Array = NDArray[np.float64]

MAP_FILE = Path(__file__).with_name("mobility_map.npz")
_COARSE = (240, 12)
_FINE = (320, 16)
_NEARLY_CENTRED = (0.01, 0.02)  # across the load nothing can be told of a centred journal


def squeezed(*, eccentricity_ratio: float, direction_rad: float, width_ratio: float) -> Squeezed:
    """The film for a unit velocity, of a short bearing over (L/D)² where ``width_ratio`` is 0."""
    if width_ratio == 0.0:
        return solve_short_squeeze(
            eccentricity_ratio=eccentricity_ratio, direction_rad=direction_rad
        )
    coarse, fine = (
        solve_squeeze(
            eccentricity_ratio=eccentricity_ratio,
            direction_rad=direction_rad,
            width_ratio=width_ratio,
            cells_around=around,
            cells_half_width=half,
        )
        for around, half in (_COARSE, _FINE)
    )
    ratio = (_FINE[1] / _COARSE[1]) ** 2

    def carried(rough: float, better: float) -> float:
        return better + (better - rough) / (ratio - 1.0)

    return Squeezed(
        force_along=carried(coarse.force_along, fine.force_along),
        force_across=carried(coarse.force_across, fine.force_across),
        peak_pressure=carried(coarse.peak_pressure, fine.peak_pressure),
    )


def written(
    *, film: Squeezed, eccentricity_ratio: float, direction_rad: float, width_ratio: float
) -> tuple[float, float, float, float]:
    """The angle β of the load [rad] and the three values of the map there (a, b, c)."""
    load_angle = math.atan2(film.force_across, film.force_along)
    mobility = 2.0 / film.force * (1.0 if width_ratio == 0.0 else width_ratio**2)
    xi = eccentricity_ratio * math.cos(load_angle)
    eta = eccentricity_ratio * math.sin(load_angle)  # the line of centres lies at −β from the load
    along = mobility * math.cos(direction_rad - load_angle)
    across = mobility * math.sin(direction_rad - load_angle)
    a = math.log(along * math.pi / (1.0 - xi) ** 2.5)
    b = math.nan
    if abs(eta) > 1e-9:
        b = math.log(across / eta * math.pi**2 / 4.0 / (1.0 - xi) ** 1.5)
    return load_angle, a, b, math.log(2.0 * film.peak_pressure / film.force)


def fan_directions(eccentricity_ratio: float) -> list[float]:
    """Velocities whose forces lie at the map's angles in a short bearing."""
    directions = np.concatenate(
        (
            0.5 * np.pi - np.geomspace(0.5 * np.pi, 1e-4, 60),
            0.5 * np.pi + np.geomspace(1e-4, 0.5 * np.pi, 120),
        )
    )
    angles = []
    for direction in directions:
        film = solve_short_squeeze(
            eccentricity_ratio=eccentricity_ratio, direction_rad=float(direction)
        )
        load_angle = math.atan2(film.force_across, film.force_along)
        angles.append(
            grid.node_angle(load_angle_rad=load_angle, eccentricity_ratio=eccentricity_ratio)
        )
    wanted = grid.STEP_G * np.arange(grid.NODES_G)
    fan = np.interp(wanted, angles, directions)
    fan[0], fan[-1] = 0.0, np.pi
    return [float(direction) for direction in fan]


def _row(eccentricity_ratio: float, width_ratio: float) -> Array:
    """The three values at every node of γ, of one eccentricity and width ratio."""
    from scipy.interpolate import CubicSpline

    points = []
    for direction in fan_directions(eccentricity_ratio):
        film = squeezed(
            eccentricity_ratio=eccentricity_ratio, direction_rad=direction, width_ratio=width_ratio
        )
        beta, *values = written(
            film=film,
            eccentricity_ratio=eccentricity_ratio,
            direction_rad=direction,
            width_ratio=width_ratio,
        )
        gamma = grid.node_angle(load_angle_rad=beta, eccentricity_ratio=eccentricity_ratio)
        points.append((gamma, *values))
    table = np.array(points)
    table[0, 0], table[-1, 0] = 0.0, np.pi
    wanted = grid.STEP_G * np.arange(grid.NODES_G)
    row = np.empty((grid.NODES_G, 3))
    for k in range(3):
        known = table[np.isfinite(table[:, k + 1]) & _inside(table[:, 0], ends=k != 1)]
        angle = np.concatenate((-known[:0:-1, 0], known[:, 0], 2 * np.pi - known[-2::-1, 0]))
        value = np.concatenate((known[:0:-1, k + 1], known[:, k + 1], known[-2::-1, k + 1]))
        if k == 1:  # neither end belongs to the points, so that none is met twice
            angle = np.concatenate((-known[::-1, 0], known[:, 0], 2 * np.pi - known[::-1, 0]))
            value = np.concatenate((known[::-1, 2], known[:, 2], known[::-1, 2]))
        row[:, k] = CubicSpline(angle, value)(wanted)
    return row


def _inside(angles: Array, *, ends: bool) -> NDArray[np.bool_]:
    if ends:
        return np.ones(angles.size, dtype=bool)
    return np.asarray((angles > 1e-9) & (angles < np.pi - 1e-9))


def rows(width_ratio: float) -> Array:
    """The map of one width ratio: nodes of s by nodes of γ by (a, b, c)."""
    table = np.empty((grid.NODES_S, grid.NODES_G, 3))
    near, far = (_row(ratio, width_ratio) for ratio in _NEARLY_CENTRED)
    table[0] = near + (near - far) * _NEARLY_CENTRED[0] / (_NEARLY_CENTRED[1] - _NEARLY_CENTRED[0])
    for node in range(1, grid.NODES_S):
        table[node] = _row(grid.eccentricity_at(node), width_ratio)
    return table


def main(path: Path) -> None:
    """Make the map and write it."""
    with ProcessPoolExecutor(max_workers=2) as pool:
        tables = list(pool.map(rows, grid.WIDTH_RATIOS))
    stacked = np.stack(tables)
    if not np.isfinite(stacked).all():
        raise ArithmeticError("the map holds a value that is no number")
    np.savez_compressed(path, table=stacked.astype(np.float32), width_ratios=grid.WIDTH_RATIOS)


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else MAP_FILE)
