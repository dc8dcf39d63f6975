"""Quantities in TOML files."""

from __future__ import annotations

import pytest

from oilwedge.errors import UnitError
from oilwedge.toml_quantity import quantity
from oilwedge.units import Dimension


@pytest.mark.parametrize("zero", [0, 0.0, "0", "+0", "-0.000", "0,00", "−0"])
def test_zero_needs_no_unit_in_quotes_or_not(zero: object) -> None:
    assert quantity(zero, Dimension.LENGTH).value_si == 0.0


@pytest.mark.parametrize("number", [47.97, "47.97", "0.01", True, "", "zero"])
def test_any_other_number_needs_its_unit(number: object) -> None:
    with pytest.raises(UnitError):
        quantity(number, Dimension.LENGTH)
