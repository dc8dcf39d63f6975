"""How long one steady film takes at 200 x 40 cells, beside scipy's direct solvers, in one run.

All solve the same discrete problem on half the width by the same active set (full cells and
ruptured ones change sides until none does), started from the grids of twice and four times the
step. All stop as soon as the load stands within 0.1 % of its exact value (oilwedge by accepting a
miss of 1 % of the peak at the film's end, and it sums friction and flows too); beside it
oilwedge's exact end. Then: cost against grid size, and the search
for the eccentricity of a load.
    python benchmarks/film_steady.py
"""

from __future__ import annotations

import math
import statistics
import time
from collections.abc import Callable
from functools import partial

import numpy as np
import scipy.sparse as sparse
from scipy.linalg import solve_banded, solveh_banded
from scipy.sparse.linalg import spsolve

from oilwedge.film.bearing import Bearing, Groove, Rupture
from oilwedge.film.film_grid import Cells, FilmGrid, symmetric_land
from oilwedge.film.steady import solve_steady
from oilwedge.film.unit_film import unit_film

Solve = Callable[[Cells, np.ndarray, np.ndarray], np.ndarray]
CASES = ((0.5, 0.5), (0.8, 0.5), (0.95, 0.25))
WITHIN = 1e-3
TIMES = 15


def parts(cells: Cells, full: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Diagonal, coupling to the next node and to the next line; ruptured cells are identity."""
    kx, kz = cells.kx, cells.kz[1:-1]
    own = np.where(full, kx[:-1] + kx[1:] + kz[:, :-1] + kz[:, 1:], 1.0)
    node = np.zeros_like(own)
    node[:, :-1] = np.where(full[:, :-1] & full[:, 1:], -kz[:, 1:-1], 0.0)
    line = np.zeros_like(own)
    line[:-1] = np.where(full[:-1] & full[1:], -kx[1:-1], 0.0)
    return own.ravel(), node.ravel(), line.ravel()


def by_banded(cells: Cells, full: np.ndarray, b: np.ndarray) -> np.ndarray:
    m = cells.z.size
    own, node, line = parts(cells, full)
    band = np.zeros((2 * m + 1, own.size))
    band[m] = own
    band[m - 1, 1:], band[m + 1, :-1] = node[:-1], node[:-1]
    band[0, m:], band[2 * m, :-m] = line[:-m], line[:-m]
    return np.asarray(solve_banded((m, m), band, b, overwrite_ab=True, check_finite=False))


def by_symmetric_banded(cells: Cells, full: np.ndarray, b: np.ndarray) -> np.ndarray:
    m = cells.z.size
    own, node, line = parts(cells, full)
    band = np.zeros((m + 1, own.size))
    band[0], band[1, :-1], band[m, :-m] = own, node[:-1], line[:-m]
    return np.asarray(solveh_banded(band, b, overwrite_ab=True, lower=True, check_finite=False))


def by_spsolve(cells: Cells, full: np.ndarray, b: np.ndarray) -> np.ndarray:
    m = cells.z.size
    own, node, line = parts(cells, full)
    matrix = sparse.diags(
        [line[:-m], node[:-1], own, node[:-1], line[:-m]], [-m, -1, 0, 1, m], format="csc"
    )
    return np.asarray(spsolve(matrix, b))


def iterate(
    e: float, land: float, grid: FilmGrid, solve: Solve, known: float | None
) -> tuple[float, np.ndarray, int]:
    """Load, full cells and solves; stops at ``known`` load within 0.1 %, or when all is settled."""
    cells = symmetric_land(eccentricity_ratio=e, land=land, grid=grid)
    coarse = grid.coarser()
    shape = cells.theta.size - 2, cells.z.size
    if coarse is None:
        full = np.repeat((cells.theta[1:-1] < 1.2 * math.pi)[:, None], shape[1], axis=1)
    else:
        below = iterate(e, land, coarse, solve, None)[1]
        lines = np.minimum(np.arange(1, shape[0] + 1) // 2, below.shape[0] - 1)
        nodes = np.minimum(np.arange(shape[1]) // 2, below.shape[1] - 1)
        full = below[lines][:, nodes]
    wedge = cells.couette[:-1] - cells.couette[1:]
    load, turn = 0.0, np.exp(1j * cells.theta[1:-1])
    for count in range(1, 200):
        p = solve(cells, full, np.where(full, wedge, 0.0).ravel()).reshape(shape)
        load = 2.0 * abs(np.sum(np.sum(p * cells.area[1:-1], axis=1) * turn))
        if known is not None and abs(load / known - 1.0) < WITHIN:
            return load, full, count
        gain = wedge + cells.kx[:-1] * np.pad(p, ((1, 0), (0, 0)))[:-1]
        gain += cells.kx[1:] * np.pad(p, ((0, 1), (0, 0)))[1:]
        gain[:, 1:] += cells.kz[1:-1, 1:-1] * p[:, :-1]
        gain[:, :-1] += cells.kz[1:-1, 1:-1] * p[:, 1:]
        new = np.where(full, p >= 0.0, gain > 0.0)
        if np.array_equal(new, full):
            return load, full, count
        full = new
    raise RuntimeError("the active set does not settle")


def milliseconds(run: Callable[[], object], times: int = TIMES) -> float:
    run()
    taken = []
    for _ in range(times):
        start = time.perf_counter()
        run()
        taken.append(time.perf_counter() - start)
    return 1e3 * statistics.median(taken)


def ours(
    e: float,
    ratio: float,
    grid: FilmGrid,
    rupture: Rupture = Rupture.REYNOLDS,
    accept: float = 0.0,
) -> float:
    return unit_film(
        eccentricity_ratio=e,
        land=2.0 * ratio,
        lands=1,
        groove=Groove.AXIAL,
        rupture=rupture,
        grid=grid,
        accept=accept,
    ).load


def side_by_side() -> None:
    grid = FilmGrid()
    others: tuple[tuple[str, Solve], ...] = (
        ("solve_banded", by_banded),
        ("solveh_banded", by_symmetric_banded),
        ("spsolve", by_spsolve),
    )
    print("One film, 200 x 40 cells (half the width solved by all), median ms")
    for e, ratio in CASES:
        load = ours(e, ratio, grid)
        near = ours(e, ratio, grid, accept=1e-2)
        own = milliseconds(partial(ours, e, ratio, grid, accept=1e-2), 60)
        exact = milliseconds(partial(ours, e, ratio, grid), 60)
        jfo = milliseconds(partial(ours, e, ratio, grid, Rupture.MASS_CONSERVING))
        print(
            f"ε {e:4.2f}, L/D {ratio:4.2f}: oilwedge {own:.2f}, load off"
            f" {abs(near / load - 1.0):.0e}; exact {exact:.2f}; mass-conserving, exact {jfo:.2f}"
        )
        for name, solve in others:
            found, _, count = iterate(e, 2.0 * ratio, grid, solve, load)
            taken = milliseconds(partial(iterate, e, 2.0 * ratio, grid, solve, load))
            print(
                f"    {name:14s} {taken:7.2f}  {taken / own:5.1f} x   load off"
                f" {abs(found / load - 1.0):.0e}, {count} solves on the last grid"
            )


def against_size() -> None:
    print("Cost against grid size (ε 0.8, L/D 0.5)")
    sizes, taken = [], []
    for n in (80, 160, 320, 640):
        grid = FilmGrid(around=n, across=n // 5 // 4 * 4)
        sizes.append(grid.around * grid.across)
        taken.append(milliseconds(partial(ours, 0.8, 0.5, grid)))
        print(f"    {grid.around} x {grid.across}: {taken[-1]:.2f} ms")
    slope = np.polyfit(np.log(sizes), np.log(taken), 1)[0]
    print(f"    slope {slope:.2f} over the number of cells")


def with_load() -> None:
    bearing = Bearing(diameter_m=0.05, width_m=0.025, diametral_clearance_m=50e-6)
    for rupture in Rupture:
        taken = milliseconds(
            partial(
                solve_steady,
                bearing=bearing,
                viscosity_pa_s=0.01,
                speed_rad_s=100.0 * math.pi,
                load_n=5000.0,
                rupture=rupture,
            )
        )
        print(f"Eccentricity of a load, {rupture.value}: {taken:.1f} ms")


if __name__ == "__main__":
    side_by_side()
    against_size()
    with_load()
