"""Digits cut by the uncertainty."""

from __future__ import annotations

import math
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from oilwedge.uncertainty.rounding import format_with_uncertainty, round_up_uncertainty


@pytest.mark.parametrize(
    ("uncertainty", "significant", "rounded"),
    [
        (0.0, 2, "0"),
        (1.04, 2, "1.1"),
        (99.6, 2, "1.0e2"),
        (0.0123, 1, "0.02"),
        (0.0123, 2, "0.013"),
        (123456.0, 2, "1.3e5"),
        (9.94, 2, "9.9"),
    ],
)
def test_an_uncertainty_is_rounded_to_the_nearest_or_up(
    uncertainty: float, significant: int, rounded: str
) -> None:
    assert round_up_uncertainty(uncertainty, significant=significant) == Decimal(rounded)


@given(uncertainty=st.floats(1e-12, 1e9))
def test_rounding_never_understates_by_more_than_one_per_cent(uncertainty: float) -> None:
    rounded = float(round_up_uncertainty(uncertainty))
    assert 0.99 * uncertainty * (1 - 1e-12) <= rounded <= 1.1 * uncertainty * (1 + 1e-12)


@pytest.mark.parametrize("uncertainty", [-1.0, math.inf, math.nan])
def test_what_is_no_uncertainty_is_not_rounded(uncertainty: float) -> None:
    with pytest.raises(ValueError, match="finite and not negative"):
        round_up_uncertainty(uncertainty)


@pytest.mark.parametrize(
    ("value", "uncertainty", "factor", "most", "texts"),
    [
        (38.2e-6, 5.9e-6, 0.001, 3, ("0.038", "0.006", 3)),
        (38.2e-6, 5.9e-6, 0.001, 4, ("0.0382", "0.0059", 4)),
        (38.2e-6, 5.9e-6, 0.0254, 4, ("0.0015", "0.0003", 4)),
        (38.2e-6, 0.2e-6, 0.001, 3, ("0.038", "0.001", 3)),
        (38.2e-6, 0.0, 0.001, 3, ("0.038", "0.000", 3)),
        (38.2e-6, 99.6e-6, 0.001, 5, ("0.04", "0.10", 2)),
        (-0.2e-6, 5.9e-6, 0.001, 3, ("0.000", "0.006", 3)),
        (47.9725e-3, 1.04e-6, 0.001, 5, ("47.9725", "0.0011", 4)),
        (1234.0, 210.0, 1.0, 3, ("1230", "210", 0)),
    ],
)
def test_value_and_uncertainty_get_the_same_decimals(
    value: float, uncertainty: float, factor: float, most: int, texts: tuple[str, str, int]
) -> None:
    rounded = format_with_uncertainty(
        value=value, uncertainty=uncertainty, unit_factor=factor, maximum_decimals=most
    )
    assert (rounded.value_text, rounded.uncertainty_text, rounded.decimals) == texts


def test_what_is_not_finite_is_not_printed() -> None:
    with pytest.raises(ValueError, match="finite value"):
        format_with_uncertainty(
            value=math.nan, uncertainty=1.0, unit_factor=1.0, maximum_decimals=3
        )
