"""The lookup of tolerance classes; the figures are checked under tests/published/ISO286."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from oilwedge.errors import OutOfRangeError
from oilwedge.sources import Status
from oilwedge.tables.iso286 import classes, limits_for_class, standard_tolerance_m, status_at


@given(nominal_mm=st.floats(18.0001, 120.0), tolerance_class=st.sampled_from(classes()))
def test_the_width_of_a_class_is_its_standard_tolerance(
    nominal_mm: float, tolerance_class: str
) -> None:
    low, high = limits_for_class(nominal_m=nominal_mm / 1e3, tolerance_class=tolerance_class)
    width = standard_tolerance_m(nominal_m=nominal_mm / 1e3, grade=int(tolerance_class[-1]))
    assert high - low == pytest.approx(width)


def test_the_end_of_a_step_belongs_to_it() -> None:
    assert limits_for_class(nominal_m=0.030, tolerance_class="H6")[1] == pytest.approx(13e-6)
    assert limits_for_class(nominal_m=0.0300001, tolerance_class="H6")[1] == pytest.approx(16e-6)


def test_capitals_are_holes_and_small_letters_shafts() -> None:
    assert limits_for_class(nominal_m=0.04, tolerance_class="G7") == pytest.approx((9e-6, 34e-6))
    assert limits_for_class(nominal_m=0.04, tolerance_class=" g 6 ") == pytest.approx(
        (-25e-6, -9e-6)
    )


def test_how_a_figure_is_known_goes_with_its_size() -> None:
    assert status_at(nominal_m=0.05) is Status.READ
    assert status_at(nominal_m=0.15) is Status.RECALLED


@pytest.mark.parametrize(
    ("nominal_m", "tolerance_class", "sentence"),
    [
        (
            0.002,
            "H6",
            "Given 'H6 at 2 mm'; the table holds sizes over 3 mm up to 250 mm; "
            "write the limits themselves.",
        ),
        (
            0.15,
            "p6",
            "Given 'p6 at 150 mm'; the table holds p6 from over 18 mm up to 120 mm; "
            "write the limits themselves.",
        ),
    ],
)
def test_a_size_outside_the_table_is_refused(
    nominal_m: float, tolerance_class: str, sentence: str
) -> None:
    with pytest.raises(OutOfRangeError) as caught:
        limits_for_class(nominal_m=nominal_m, tolerance_class=tolerance_class)
    assert str(caught.value) == sentence


@pytest.mark.parametrize("tolerance_class", ["H12", "z6", "H", "6", "", "K7", "H6/g5"])
def test_a_class_outside_the_table_is_refused(tolerance_class: str) -> None:
    with pytest.raises(
        OutOfRangeError, match=r"he table holds H5, H6, .*; write the limits themselves"
    ):
        limits_for_class(nominal_m=0.05, tolerance_class=tolerance_class)


def test_a_grade_outside_the_table_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match="IT4 to IT9"):
        standard_tolerance_m(nominal_m=0.05, grade=11)
