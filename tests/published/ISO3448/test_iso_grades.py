"""The limits of ISO 3448 as printed, mm²/s at 40 °C."""

from __future__ import annotations

import pytest

from oilwedge.tables.oil_grades import IsoGrade, find_grade, iso_grades

pytestmark = pytest.mark.published

LIMITS = [
    (10, 9.00, 11.0), (15, 13.5, 16.5), (22, 19.8, 24.2), (32, 28.8, 35.2), (46, 41.4, 50.6),
    (68, 61.2, 74.8), (100, 90, 110), (150, 135, 165), (220, 198, 242), (320, 288, 352),
    (460, 414, 506),
]  # fmt: skip


@pytest.mark.parametrize(("number", "low", "high"), LIMITS)
def test_limits(number: int, low: float, high: float) -> None:
    grade = find_grade(f"ISO VG {number}")
    assert isinstance(grade, IsoGrade)
    assert grade.minimum_40c_m2_s * 1e6 == pytest.approx(low, rel=1e-9)
    assert grade.maximum_40c_m2_s * 1e6 == pytest.approx(high, rel=1e-9)
    assert grade.midpoint_40c_m2_s * 1e6 == pytest.approx(number)


@pytest.mark.parametrize(("number", "middle"), [(2, 2.2), (3, 3.2), (5, 4.6), (7, 6.8)])
def test_the_thin_grades_are_named_after_a_rounded_middle(number: int, middle: float) -> None:
    assert iso_grades()[str(number)].midpoint_40c_m2_s * 1e6 == pytest.approx(middle)
