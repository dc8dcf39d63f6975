"""Sobol's indices of the function that the field tests itself with."""

from __future__ import annotations

import math
import tomllib
from pathlib import Path

import numpy as np
import pytest

from oilwedge.film.build_sample import sobol_points
from oilwedge.uncertainty.sobol_indices import saltelli_design, sobol_indices

pytestmark = pytest.mark.published
VALUES = tomllib.loads(Path(__file__).with_name("source.toml").read_text("utf-8"))["values"]


def test_first_and_total_indices_are_those_printed() -> None:
    points = sobol_points(dimensions=6, count=2**13, seed=4)
    x = (2.0 * saltelli_design(points=points) - 1.0) * math.pi
    values = (
        np.sin(x[:, 0]) * (1.0 + VALUES["b"] * x[:, 2] ** 4) + VALUES["a"] * np.sin(x[:, 1]) ** 2
    )
    found = sobol_indices(values=values, factors=3)
    # noise of 8192 quasi-random rows; the printed values end at the fourth digit
    assert found.first == pytest.approx(VALUES["first"], abs=0.004)
    assert found.total == pytest.approx(VALUES["total"], abs=0.004)
