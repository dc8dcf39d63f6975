import math

import pytest

from oilwedge.report.window import Bound, WindowMark, WindowSign, describe_window


def test_reversed_limits_are_refused_with_both_numbers() -> None:
    with pytest.raises(ValueError, match=r"low 0\.049 is above high 0\.021; swap them"):
        WindowSign(low=0.049, high=0.021)


@pytest.mark.parametrize("value", [math.nan, math.inf])
def test_a_value_that_is_no_number_is_refused(value: float) -> None:
    with pytest.raises(ValueError, match="strip"):
        WindowMark(label="strip", value=value)
    with pytest.raises(ValueError, match="high"):
        WindowSign(high=value)


@pytest.mark.parametrize("half_width", [-0.001, math.nan])
def test_a_negative_uncertainty_is_refused(half_width: float) -> None:
    with pytest.raises(ValueError, match="half width"):
        WindowMark(value=1.0, half_width=half_width)


@pytest.mark.parametrize(
    ("value", "words"),
    [
        (0.015, "below the build window"),
        (0.035, "inside the build window"),
        (0.055, "above the build window"),
        (0.065, "beyond the service limit"),
    ],
)
def test_the_description_says_where_the_value_lies(value: float, words: str) -> None:
    sign = WindowSign(low=0.021, high=0.049, service_high=0.060, marks=(WindowMark(value=value),))
    assert describe_window(sign).lower() == f"{words}."


def test_the_description_names_each_way_of_measuring_and_its_bound() -> None:
    marks = (
        WindowMark(label="gauges", value=0.03),
        WindowMark(label="strip", value=0.05, bound=Bound.AT_LEAST),
    )
    words = describe_window(WindowSign(low=0.021, high=0.049, marks=marks)).lower()
    assert "gauges: inside" in words
    assert "strip: at least" in words
