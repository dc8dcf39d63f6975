"""The kernels against scipy's sparse direct solver on the same discrete problem."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
import scipy.sparse as sparse
from scipy.sparse.linalg import spsolve

from oilwedge.film.bearing import Groove, Rupture
from oilwedge.film.film_grid import Cells, FilmGrid, Floats, graded_angles, symmetric_land
from oilwedge.film.unit_film import FilmNotSettledError, unit_film


def active_set_by_spsolve(cells: Cells) -> Floats:
    """min(p, A p − b) = 0 by Howard's policy iteration; matrix put together entry by entry."""
    n, m = cells.couette.shape
    index = np.arange((n - 1) * m).reshape(n - 1, m)
    rows: list[Any] = []
    columns: list[Any] = []
    entries: list[Any] = []

    def add(row: Any, column: Any, entry: Any) -> None:
        rows.append(row.ravel())
        columns.append(column.ravel())
        entries.append(entry.ravel())

    kx, kz = cells.kx, cells.kz[1:-1]
    add(index, index, kx[:-1] + kx[1:] + kz[:, :-1] + kz[:, 1:])
    add(index[1:], index[:-1], -kx[1:-1])
    add(index[:-1], index[1:], -kx[1:-1])
    add(index[:, 1:], index[:, :-1], -kz[:, 1:-1])
    add(index[:, :-1], index[:, 1:], -kz[:, 1:-1])
    matrix = sparse.csr_matrix(
        (np.concatenate(entries), (np.concatenate(rows), np.concatenate(columns)))
    )
    b = (cells.couette[:-1] - cells.couette[1:]).ravel()
    p = np.zeros(b.size)
    full = np.ones(b.size, dtype=bool)
    for _ in range(200):
        keep = sparse.diags(full.astype(float))
        p = spsolve((keep @ matrix + sparse.diags(1.0 - full)).tocsc(), np.where(full, b, 0.0))
        gain = b - matrix @ p
        new = np.where(full, p >= 0.0, gain > 1e-12)
        if np.array_equal(new, full):
            return np.asarray(p).reshape(n - 1, m)
        full = new
    raise AssertionError("scipy's iteration did not settle")


@pytest.mark.parametrize("rupture", list(Rupture))
@pytest.mark.parametrize(("e", "width_ratio"), [(0.3, 1.0), (0.8, 0.5), (0.95, 0.25)])
def test_pressure_is_that_of_a_sparse_direct_solve(
    e: float, width_ratio: float, rupture: Rupture
) -> None:
    grid = FilmGrid(around=96, across=24)
    found = unit_film(
        eccentricity_ratio=e,
        land=2.0 * width_ratio,
        lands=1,
        groove=Groove.AXIAL,
        rupture=rupture,
        grid=grid,
    )
    cells = symmetric_land(eccentricity_ratio=e, land=2.0 * width_ratio, grid=grid)
    expected = active_set_by_spsolve(cells)
    assert np.max(np.abs(found.pressure[1:-1] - expected)) < 1e-9 * expected.max()


@pytest.mark.parametrize("rupture", list(Rupture))
def test_every_cell_obeys_its_balance_and_its_condition(rupture: Rupture) -> None:
    """A fed circumferential groove, where the film forms again inside the land."""
    film = unit_film(
        eccentricity_ratio=0.8,
        land=0.5,
        lands=2,
        groove=Groove.CIRCUMFERENTIAL,
        rupture=rupture,
        supply_pressure=0.3,
        grid=FilmGrid(around=96, across=16),
    )
    p, theta = film.pressure, film.film_fraction
    assert np.all(p >= 0.0)
    assert np.all(theta <= 1.0 + 1e-9)
    assert np.max(np.abs(p * (1.0 - theta))) < 1e-9
    assert np.any(theta < 1.0)
    if rupture is Rupture.MASS_CONSERVING:
        assert abs(film.mass_error) < 1e-12


def test_without_a_groove_the_ring_starts_and_ends_alike() -> None:
    film = unit_film(
        eccentricity_ratio=0.5,
        land=1.0,
        lands=1,
        groove=Groove.NONE,
        rupture=Rupture.REYNOLDS,
        grid=FilmGrid(around=96, across=16),
    )
    fixed = unit_film(
        eccentricity_ratio=0.5,
        land=1.0,
        lands=1,
        groove=Groove.AXIAL,
        rupture=Rupture.REYNOLDS,
        grid=FilmGrid(around=96, across=16),
    )
    assert np.array_equal(film.pressure[0], film.pressure[-1])
    assert film.pressure[0, 0] > 0.0  # nothing holds the pressure at the largest gap down to 0
    assert film.load == pytest.approx(fixed.load, rel=0.02)
    assert np.all(film.pressure >= fixed.pressure - 1e-12)


@pytest.mark.parametrize("e", [1e-6, 0.1, 0.7, 0.99, 0.999])
def test_angles_are_graded_in_the_mean_of_both_angles(e: float) -> None:
    theta = graded_angles(eccentricity_ratio=e, count=200)
    gamma = 2.0 * np.arctan2(
        np.sqrt((1.0 - e) / (1.0 + e)) * np.sin(0.5 * theta), np.cos(0.5 * theta)
    )
    assert 0.5 * (theta + gamma) == pytest.approx(np.linspace(0.0, 2.0 * np.pi, 201), abs=1e-12)
    assert np.all(np.diff(theta) > 0.0)


def test_a_film_that_does_not_settle_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("oilwedge.film.unit_film.MOST_SOLVES", 1)
    with pytest.raises(FilmNotSettledError, match=r"after 1 solves \d+ cells still change") as got:
        unit_film(
            eccentricity_ratio=0.9,
            land=1.0,
            lands=1,
            groove=Groove.AXIAL,
            rupture=Rupture.REYNOLDS,
            grid=FilmGrid(around=96, across=16),
        )
    assert "try another grid" in str(got.value)
