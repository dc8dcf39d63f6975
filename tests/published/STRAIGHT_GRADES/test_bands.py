"""Old straight grades lie in the typical bands of their names."""

from __future__ import annotations

import pytest

from oilwedge.film.oil_band import band_of_grade
from oilwedge.tables.oil_grades import find_grade

pytestmark = pytest.mark.published


@pytest.mark.parametrize(
    ("grade", "temperature_c", "mpa_s"),
    [
        ("30", 40.0, 90.3), ("30", 100.0, 8.16), ("30", 150.0, 2.99),
        ("50", 40.0, 231.0), ("50", 100.0, 16.0), ("50", 150.0, 5.25),
        ("60", 40.0, 334.0), ("60", 100.0, 21.0), ("60", 150.0, 6.63),
    ],
)  # fmt: skip
def test_a_straight_grade(grade: str, temperature_c: float, mpa_s: float) -> None:
    band = band_of_grade(find_grade(grade)).dynamic_viscosity_pa_s(temperature_c)
    assert band.low < mpa_s * 1e-3 < band.high
