"""The line of viscosity and temperature."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from oilwedge.errors import InputError, OutOfRangeError
from oilwedge.film.viscosity_line import ViscosityPoint, line_through


def point(temperature_c: float, mm2_s: float) -> ViscosityPoint:
    return ViscosityPoint(temperature_c=temperature_c, kinematic_m2_s=mm2_s * 1e-6)


@given(hot=st.floats(0.3, 40.0), ratio=st.floats(1.5, 20.0), warm_c=st.floats(20.0, 60.0))
def test_both_points_come_back_and_the_oil_thins_all_the_way(
    hot: float, ratio: float, warm_c: float
) -> None:
    line = line_through(point(100.0, hot), point(warm_c, hot * ratio))
    back = line.kinematic_m2_s(np.asarray([warm_c, 100.0])) * 1e6
    assert back == pytest.approx([hot * ratio, hot], rel=1e-9)
    between = line.kinematic_m2_s(np.linspace(warm_c, 100.0, 30))
    assert np.all(np.diff(between) < 0.0)


def test_the_order_of_the_points_does_not_matter() -> None:
    one = line_through(point(40, 68), point(100, 10))
    assert one == line_through(point(100, 10), point(40, 68))


@pytest.mark.parametrize(
    ("first", "second", "words"),
    [
        (point(40, 10), point(100, 12), "an oil gets thinner as it gets warmer"),
        (point(40, 10), point(100, 10), "an oil gets thinner as it gets warmer"),
        (point(40, 10), point(40.5, 9), "two temperatures that differ by 1 °C"),
        (point(40, 0), point(100, 9), "a kinematic viscosity is larger than 0"),
        (point(40, float("nan")), point(100, 9), "a kinematic viscosity is larger than 0"),
        (point(-300, 50), point(100, 9), "a temperature is a number over -273.15"),
        (point(float("nan"), 50), point(100, 9), "a temperature is a number over -273.15"),
    ],
)
def test_nonsense_is_refused_in_one_sentence(
    first: ViscosityPoint, second: ViscosityPoint, words: str
) -> None:
    with pytest.raises(InputError) as caught:
        line_through(first, second)
    assert words in str(caught.value)
    assert "\n" not in str(caught.value)


def test_a_viscosity_in_the_wrong_unit_is_out_of_range() -> None:
    with pytest.raises(OutOfRangeError, match="1 mm²/s is 1 cSt"):
        line_through(point(40, 0.068), point(100, 0.010))


def test_too_thin_or_too_thick_is_not_followed() -> None:
    line = line_through(point(40, 2.0), point(100, 0.9))
    with pytest.raises(OutOfRangeError, match="Given '400 °C'"):
        line.kinematic_m2_s(np.asarray([50.0, 400.0]))
    with pytest.raises(OutOfRangeError, match="Given '-150 °C'"):
        line_through(point(40, 404), point(100, 28)).kinematic_m2_s(np.asarray(-150.0))
    with pytest.raises(InputError, match=r"over -273\.15"):
        line.kinematic_m2_s(np.asarray(-300.0))
