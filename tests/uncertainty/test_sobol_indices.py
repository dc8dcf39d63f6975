"""Sobol's indices: sums, products, and what has no part in a result."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from oilwedge.uncertainty.sobol_indices import saltelli_design, sobol_indices

Array = NDArray[np.float64]
POINTS = np.random.default_rng(5).random((40_000, 6))


def design() -> Array:
    return saltelli_design(points=POINTS)


def test_the_design_changes_one_column_at_a_time() -> None:
    whole = saltelli_design(points=np.arange(12.0).reshape(2, 6))
    a, b, first, second, third = whole.reshape(5, 2, 3)
    assert a.tolist() == [[0, 1, 2], [6, 7, 8]]
    assert b.tolist() == [[3, 4, 5], [9, 10, 11]]
    assert first.tolist() == [[3, 1, 2], [9, 7, 8]]
    assert second.tolist() == [[0, 4, 2], [6, 10, 8]]
    assert third.tolist() == [[0, 1, 5], [6, 7, 11]]


def test_a_weighted_sum_shares_its_variance_by_squared_weights() -> None:
    x = design()
    found = sobol_indices(values=3.0 * x[:, 0] + 4.0 * x[:, 1] + 100.0, factors=3)
    assert found.first == pytest.approx([9 / 25, 16 / 25, 0.0], abs=0.02)
    assert found.total == pytest.approx([9 / 25, 16 / 25, 0.0], abs=0.02)


def test_a_product_of_two_centred_factors_acts_only_jointly() -> None:
    x = design() - 0.5
    found = sobol_indices(values=x[:, 0] * x[:, 1], factors=3)
    assert found.first == pytest.approx([0.0, 0.0, 0.0], abs=0.03)
    assert found.total == pytest.approx([1.0, 1.0, 0.0], abs=0.03)


def test_what_does_not_vary_has_no_cause() -> None:
    found = sobol_indices(values=np.ones(50), factors=3)
    assert not found.first.any()
    assert not found.total.any()


@pytest.mark.parametrize("count", [0, 7, 11])
def test_values_that_do_not_fill_the_design_are_refused(count: int) -> None:
    with pytest.raises(ValueError, match="do not fill a design of 3 factors"):
        sobol_indices(values=np.ones(count), factors=3)
