"""Scatter within a fitting, apart from what differs between fittings."""

from __future__ import annotations

import math

import numpy as np
import pytest

from oilwedge.metrology.form import form_design, residual_scatter
from oilwedge.metrology.scatter import scatter_of_repeats, scatter_within

Z = (-1.0, -1.0, 1.0, 1.0)
ANGLES = (0.0, 90.0, 0.0, 90.0)


def test_with_one_fitting_it_is_the_scatter_about_the_form() -> None:
    design = form_design(positions=Z * 2, angles_deg=ANGLES * 2)
    values = [1.0, 2.0, 4.0, 3.0, 1.5, 2.5, 3.0, 3.5]
    found = scatter_within(design=design, values=values, groups=["1"] * 8)
    assert found == (residual_scatter(design=design, values=values), 5.0)


def test_a_step_between_fittings_is_no_scatter() -> None:
    design = form_design(positions=Z * 2, angles_deg=ANGLES * 2)
    first = [10.0, 12.0, 14.0, 16.0]
    values = first + [value + 100.0 for value in first]
    scatter, freedom = scatter_within(design=design, values=values, groups=[1] * 4 + [2] * 4)
    assert scatter == pytest.approx(0.0, abs=1e-9)
    assert freedom == 4.0  # 8 readings, mean, slope, lobe, and one step


def test_it_estimates_the_scatter_of_a_reading() -> None:
    generator = np.random.default_rng(5)
    design = form_design(positions=Z * 3, angles_deg=ANGLES * 3)
    groups = [1] * 4 + [2] * 4 + [3] * 4
    squares = []
    for _ in range(400):
        steps = np.repeat(generator.normal(0.0, 50.0, 3), 4)
        values = generator.normal(0.0, 2.0, 12) + steps
        scatter, freedom = scatter_within(design=design, values=values.tolist(), groups=groups)
        assert scatter is not None
        assert freedom == 7.0
        squares.append(scatter**2)
    assert np.mean(squares) == pytest.approx(4.0, rel=0.1)


def test_a_fitting_of_one_reading_each_tells_no_scatter() -> None:
    design = form_design(positions=(None, None), angles_deg=(None, None))
    assert scatter_within(design=design, values=[1.0, 2.0], groups=[1, 2]) == (None, 0.0)


def test_repeats_of_a_spot_scatter_whatever_the_form() -> None:
    """Two spots 1 mm apart, each read twice 2 µm apart: s² = 2·(2 µm)²/2 over 2, so √2 µm."""
    values = [0.001, 0.001002, 0.002, 0.002002]
    s, freedom = scatter_of_repeats(values=values, spots=["a", "a", "b", "b"])
    assert freedom == 2
    assert s == pytest.approx(math.sqrt(2) * 1e-6, rel=1e-9)
    assert scatter_of_repeats(values=values, spots=[1, 2, 3, 4]) == (None, 0.0)
