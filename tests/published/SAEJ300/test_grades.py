"""The table of SAE J300 as printed."""

from __future__ import annotations

import pytest

from oilwedge.tables.oil_grades import EngineGrade, find_grade, hot_grades, winter_grades

pytestmark = pytest.mark.published

# grade, cranking mPa s at °C, pumping mPa s at °C, least mm²/s at 100 °C (READ)
WINTER = [
    ("0W", 6200, -35, 60000, -40, 3.8),
    ("5W", 6600, -30, 60000, -35, 3.8),
    ("10W", 7000, -25, 60000, -30, 4.1),
    ("15W", 7000, -20, 60000, -25, 5.6),
    ("20W", 9500, -15, 60000, -20, 5.6),
    ("25W", 13000, -10, 60000, -15, 9.3),
]
# grade, from and under mm²/s at 100 °C, least mPa s at 150 °C and 1e6 1/s
HOT = [
    ("8", 4.0, 6.1, 1.7),  # kinematic limits RECALLED, HTHS READ
    ("12", 5.0, 7.1, 2.0),  # the same
    ("16", 6.1, 8.2, 2.3),
    ("20", 6.9, 9.3, 2.6),
    ("30", 9.3, 12.5, 2.9),
    ("40", 12.5, 16.3, 3.7),
    ("50", 16.3, 21.9, 3.7),
    ("60", 21.9, 26.1, 3.7),
]


@pytest.mark.parametrize(
    ("name", "cranking", "cranking_c", "pumping", "pumping_c", "least"), WINTER
)
def test_winter_grades(
    name: str, cranking: float, cranking_c: float, pumping: float, pumping_c: float, least: float
) -> None:
    grade = winter_grades()[name]
    assert grade.cranking_limit_pa_s == pytest.approx(cranking * 1e-3)
    assert grade.cranking_temperature_c == cranking_c
    assert grade.pumping_limit_pa_s == pytest.approx(pumping * 1e-3)
    assert grade.pumping_temperature_c == pumping_c
    assert grade.minimum_100c_m2_s == pytest.approx(least * 1e-6)


@pytest.mark.parametrize(("name", "least", "below", "high_shear"), HOT)
def test_grades_when_hot(name: str, least: float, below: float, high_shear: float) -> None:
    grade = find_grade(f"SAE {name}")
    assert isinstance(grade, EngineGrade)
    assert grade.minimum_100c_m2_s == pytest.approx(least * 1e-6)
    assert grade.below_100c_m2_s == pytest.approx(below * 1e-6)
    assert grade.high_shear_150c_pa_s == pytest.approx(high_shear * 1e-3)


@pytest.mark.parametrize(("name", "high_shear"), [
    ("0W-40", 3.5), ("5W-40", 3.5), ("10W-40", 3.5),
    ("15W-40", 3.7), ("20W-40", 3.7), ("25W-40", 3.7), ("40", 3.7),
])  # fmt: skip
def test_a_forty_with_a_light_winter_grade_may_be_thinner_in_fast_shear(
    name: str, high_shear: float
) -> None:
    grade = find_grade(name)
    assert isinstance(grade, EngineGrade)
    assert grade.high_shear_150c_pa_s == pytest.approx(high_shear * 1e-3)


def test_there_are_no_other_grades() -> None:
    assert list(winter_grades()) == [row[0] for row in WINTER]
    assert list(hot_grades()) == [row[0] for row in HOT]
