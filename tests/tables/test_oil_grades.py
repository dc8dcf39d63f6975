"""Grades of oil: how they are written, and which ones cannot be."""

from __future__ import annotations

import itertools

import pytest

from oilwedge.errors import InputError, UnknownNameError
from oilwedge.sources import SOURCES, Status
from oilwedge.tables.oil_grades import (
    EngineGrade,
    find_grade,
    hot_grades,
    iso_grades,
    usual_oil,
    winter_grades,
)


@pytest.mark.parametrize(
    "text", ["5W-30", "5w30", "SAE 5W-30", "sae5w/30", " 5 W 30 ", "5W\N{EN DASH}30"]
)
def test_spelling_is_forgiven(text: str) -> None:
    assert find_grade(text).name == "5W-30"


@pytest.mark.parametrize("text", ["ISO VG 46", "vg46", "VG 46", "iso vg46"])
def test_iso_grades_are_told_by_vg(text: str) -> None:
    assert find_grade(text).name == "ISO VG 46"


def test_the_larger_one_of_two_minimums_holds() -> None:
    heavy, light = find_grade("25W-30"), find_grade("20W-8")
    assert isinstance(heavy, EngineGrade)
    assert heavy.minimum_100c_m2_s == pytest.approx(9.3e-6)
    assert isinstance(light, EngineGrade)
    assert light.minimum_100c_m2_s == pytest.approx(5.6e-6)  # 20W asks for more than 8 does


def test_a_winter_grade_alone_has_no_upper_limit() -> None:
    grade = find_grade("10W")
    assert isinstance(grade, EngineGrade)
    assert grade.below_100c_m2_s is None
    assert grade.high_shear_150c_pa_s is None


@pytest.mark.parametrize("text", ["25W-20", "25W-16"])
def test_a_grade_that_no_oil_can_be_is_refused(text: str) -> None:
    with pytest.raises(InputError, match="no oil can be 25W-"):
        find_grade(text)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("5W-33", "the number without W of an SAE J300 grade is one of 8, 12, 16, 20, 30"),
        ("7W-30", "the first number of an SAE J300 grade is one of 0W, 5W, 10W"),
        ("ISO VG 50", "ISO VG is one of 2, 3, 5, 7, 10"),
        ("castor", "a grade is written such as 5W-30, SAE 30 or ISO VG 46"),
        ("", "A grade is written such as"),
    ],
)
def test_an_unknown_grade_says_which_there_are(text: str, words: str) -> None:
    with pytest.raises(UnknownNameError) as caught:
        find_grade(text)
    assert words in str(caught.value)
    assert "\n" not in str(caught.value)


def test_a_recalled_figure_marks_the_grade() -> None:
    recalled, read = find_grade("0W-12"), find_grade("0W-20")
    assert isinstance(recalled, EngineGrade)
    assert recalled.status is Status.RECALLED
    assert isinstance(read, EngineGrade)
    assert read.status is Status.READ


def test_grades_follow_one_another() -> None:
    hot = list(hot_grades().values())
    for thin, thick in itertools.pairwise(hot):
        assert thin.minimum_100c_m2_s < thick.minimum_100c_m2_s <= thin.below_100c_m2_s
    cold = [grade.cranking_temperature_c for grade in winter_grades().values()]
    assert cold == sorted(cold)
    iso = [grade.midpoint_40c_m2_s for grade in iso_grades().values()]
    assert iso == sorted(iso)


def test_what_is_usual_is_a_range() -> None:
    usual = usual_oil()
    assert 800 < usual.density_15c_kg_m3.low < usual.density_15c_kg_m3.high < 900
    assert usual.straight_viscosity_index.low < usual.straight_viscosity_index.high


def test_the_sources_are_in_the_bibliography() -> None:
    assert {"SAEJ300", "ISO3448"} <= set(SOURCES)
