"""Common practice, no source: one to three thousandths of an inch."""

from __future__ import annotations

import pytest

from oilwedge.units import Dimension, format_length, parse_quantity

pytestmark = pytest.mark.published


@pytest.mark.parametrize(
    ("text", "exact_mm", "printed"),
    [
        ("0.001 in", 0.0254, "0.025 mm"),
        ("0.003 in", 0.0762, "0.076 mm"),
        ("1 thou", 0.0254, "0.025 mm"),
        ("3 thousandths", 0.0762, "0.076 mm"),
    ],
)
def test_one_to_three_thousandths(text: str, exact_mm: float, printed: str) -> None:
    clearance_m = parse_quantity(text, dimension=Dimension.LENGTH).value_si
    assert clearance_m * 1e3 == pytest.approx(exact_mm, rel=1e-14)
    assert format_length(value_m=clearance_m, unit="mm", decimals=3) == printed
