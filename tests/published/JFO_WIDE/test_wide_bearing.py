"""Rupture and re-formation of the mass-conserving film, against the exact wide bearing."""

import math
import tomllib
from pathlib import Path

import numpy as np
import pytest

from oilwedge.film.film_grid import FilmGrid, symmetric_land
from oilwedge.film.reynolds import rupture_on_ring

pytestmark = pytest.mark.published
VALUES = tomllib.loads(Path(__file__).with_name("source.toml").read_text("utf-8"))["values"]


@pytest.mark.parametrize(
    ("e", "supply", "rupture", "reform", "peak", "force", "phi"), VALUES["rows"]
)
def test_the_wide_bearing_ruptures_and_forms_again_where_it_should(
    e: float, supply: float, rupture: float, reform: float, peak: float, force: float, phi: float
) -> None:
    cells = symmetric_land(eccentricity_ratio=e, land=1.0, grid=FilmGrid(around=800, across=8))
    n, m = cells.couette.shape
    p, theta = np.zeros((n, m)), np.ones((n, m))
    fixed = np.zeros((n, m), dtype=np.bool_)
    fixed[0], p[0] = True, supply
    film = np.repeat((cells.theta[:-1] < 3.8)[:, None], m, axis=1)
    nothing = np.zeros((n, m))
    sealed = np.zeros((n, m + 1))  # nothing flows along an endless bearing
    _, changes = rupture_on_ring(
        cells.kx, sealed, cells.couette, nothing, nothing, fixed, p, theta, film, 1, 400
    )
    assert changes == 0
    line = p[:, 0]
    cavity = np.degrees(cells.theta[:-1][~film[:, 0]])
    step = np.degrees(np.max(np.diff(cells.theta)))
    assert cavity[0] == pytest.approx(rupture, abs=step)
    assert cavity[-1] == pytest.approx(reform, abs=1.5 * step)
    assert np.max(line) == pytest.approx(peak, rel=1e-3)
    weight = cells.dtheta[:-1].copy()
    weight[0] += cells.dtheta[-1]
    along = -float(np.sum(line * weight * np.cos(cells.theta[:-1])))
    across = float(np.sum(line * weight * np.sin(cells.theta[:-1])))
    assert math.hypot(along, across) == pytest.approx(force, rel=1e-3)
    assert math.degrees(math.atan2(across, along)) == pytest.approx(phi, abs=0.1)
    through = cells.couette[:-1] * theta[:-1] - cells.kx[:-1] * np.diff(p, axis=0)
    assert np.ptp(through[1:, 0]) < 1e-9 * through[1, 0]  # the same flow past every line
