"""A pocket that cavitates: the peak behind it depends on the oil that the cavity carries on."""

import tomllib
from pathlib import Path

import numpy as np
import pytest

from oilwedge.film.film_grid import Floats
from oilwedge.film.reynolds import rupture_on_ring

pytestmark = pytest.mark.published
VALUES = tomllib.loads(Path(__file__).with_name("source.toml").read_text("utf-8"))["values"]
LENGTH, SPEED, VISCOSITY, ENDS, CAVITY = 0.020, 1.0, 0.01, 100e3, 50e3
STEPS = 2000


def solved(conserving: int) -> tuple[Floats, Floats, Floats]:
    """Places, pressure over the cavity's, flow past each face; the ring is cut by fixed ends."""
    x = np.linspace(0.0, LENGTH, STEPS + 1)
    middle = 0.5 * (x[1:] + x[:-1])
    h = np.append(np.where((middle > 2e-3) & (middle < 5e-3), 10e-6, 1e-6), 1e-6)
    n, m = x.size, 2
    kx = np.repeat((h**3 / (12.0 * VISCOSITY) / (LENGTH / STEPS))[:, None], m, axis=1)
    couette = np.repeat((0.5 * SPEED * h)[:, None], m, axis=1)
    p, theta, film = np.zeros((n, m)), np.ones((n, m)), np.ones((n, m), dtype=np.bool_)
    fixed = np.zeros((n, m), dtype=np.bool_)
    fixed[0] = fixed[-1] = True
    p[fixed] = ENDS - CAVITY
    nothing, sealed = np.zeros((n, m)), np.zeros((n, m + 1))
    _, changes = rupture_on_ring(
        kx, sealed, couette, nothing, nothing, fixed, p, theta, film, conserving, 3000
    )
    assert changes == 0
    flow = couette[:-1] * theta[:-1] - kx[:-1] * np.diff(p, axis=0)
    return x, p[:, 0], flow[:, 0] if conserving else theta[:, 0]


def test_the_pocket_gives_the_exact_peak_flow_and_load() -> None:
    x, p, flow = solved(1)
    assert np.max(p) + CAVITY == pytest.approx(VALUES["peak_pa"], rel=2e-3)
    assert x[np.argmax(p)] == pytest.approx(VALUES["peak_place_m"], abs=1e-9)
    assert np.ptp(flow) < 1e-9 * flow[0]
    assert flow[0] == pytest.approx(VALUES["flow_m2_s"], rel=1e-5)
    assert flow[0] / (0.5 * SPEED * 10e-6) == pytest.approx(
        VALUES["cavity_film_fraction"], rel=1e-5
    )
    empty = x[p == 0.0]
    assert empty[-1] == pytest.approx(VALUES["film_forms_again_m"], abs=2.0 * LENGTH / STEPS)
    load = np.trapezoid(p + CAVITY, x)
    assert load == pytest.approx(VALUES["load_n_m"], rel=2e-3)


def test_the_reynolds_condition_is_far_from_it() -> None:
    _, p, _ = solved(0)
    assert np.max(p) + CAVITY == pytest.approx(VALUES["not_conserving_peak_pa"], rel=0.01)
