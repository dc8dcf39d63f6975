"""The time in which a constant load presses a journal through the film of a short bearing."""

from __future__ import annotations

import tomllib
from pathlib import Path

import numpy as np
import pytest

from oilwedge.film.mobility import short_bearing_map
from oilwedge.film.path_kernel import run_cycle

VALUES = tomllib.loads((Path(__file__).parent / "source.toml").read_text(encoding="utf-8"))[
    "values"
]

pytestmark = pytest.mark.published


@pytest.mark.parametrize(
    ("ratio", "tau"), list(zip(VALUES["eccentricity"], VALUES["tau"], strict=True))
)
@pytest.mark.parametrize("half_speed", [0.0, 0.7])
def test_journal_reaches_an_eccentricity_in_the_time_of_the_closed_form(
    ratio: float, tau: float, half_speed: float
) -> None:
    time = np.linspace(0.0, tau, 8001)
    path = np.zeros((time.size, 2))
    done = run_cycle(
        short_bearing_map(width_ratio=1.0).table,
        time,
        np.cos(half_speed * time),
        np.sin(half_speed * time),
        np.full(time.size, half_speed),
        path,
        np.array([0.0, 0.0, 1.0, 2.0, 0.0]),
    )
    assert done
    assert float(np.hypot(*path[-1])) == pytest.approx(ratio, abs=2e-4 * (1.0 - ratio) + 3e-6)
