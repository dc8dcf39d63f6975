import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from oilwedge.report.window import WindowMark, WindowSign, window_scale

finite = st.floats(allow_nan=False, allow_infinity=False)


@st.composite
def signs(draw: st.DrawFn) -> WindowSign:
    low, high = draw(st.none() | finite), draw(st.none() | finite)
    if low is not None and high is not None and low > high:
        low, high = high, low
    marks = draw(
        st.lists(
            st.builds(
                WindowMark,
                label=st.text(max_size=12),
                value=finite,
                half_width=st.none() | st.floats(min_value=0, allow_nan=False),
            ),
            max_size=4,
        )
    )
    return WindowSign(
        low=low,
        high=high,
        service_low=draw(st.none() | finite),
        service_high=draw(st.none() | finite),
        marks=tuple(marks),
    )


def test_equal_distances_are_drawn_equal() -> None:
    scale = window_scale(WindowSign(low=0.021, high=0.049, service_high=0.060))
    places = [scale.fraction(value) for value in (0.021, 0.028, 0.035, 0.042, 0.049)]
    steps = [b - a for a, b in itertools.pairwise(places)]
    assert steps == pytest.approx([steps[0]] * 4)


def test_a_distance_twice_as_long_is_drawn_twice_as_long() -> None:
    scale = window_scale(WindowSign(low=0.021, high=0.049, service_high=0.060))
    window = scale.fraction(0.049) - scale.fraction(0.021)
    beyond = scale.fraction(0.060) - scale.fraction(0.049)
    # 0.049 - 0.021 = 0.028 and 0.060 - 0.049 = 0.011
    assert beyond / window == pytest.approx(11 / 28)


def test_the_build_window_stands_at_the_same_place_in_each_sign() -> None:
    one = window_scale(WindowSign(low=0.021, high=0.049, service_high=0.060))
    other = window_scale(WindowSign(low=0.1, high=0.3, service_high=0.4))
    assert one.fraction(0.021) == pytest.approx(other.fraction(0.1))
    assert one.fraction(0.049) == pytest.approx(other.fraction(0.3))
    # 0.75 windows below, one above: 2.75 in all.
    assert one.fraction(0.035) == pytest.approx((0.75 + 0.5) / 2.75)


def test_a_far_service_limit_stretches_the_drawing_and_stays_in_it() -> None:
    sign = WindowSign(low=1.0, high=2.0, service_high=5.0, service_low=-1.0)
    scale = window_scale(sign)
    assert 0 < scale.fraction(-1.0) < scale.fraction(1.0)
    assert scale.fraction(2.0) < scale.fraction(5.0) < 1


def test_a_single_high_limit_draws_from_zero() -> None:
    scale = window_scale(WindowSign(high=0.005, service_high=0.01))
    assert scale.fraction(0.0) == 0
    assert scale.fraction(0.0025) == pytest.approx(scale.fraction(0.005) / 2)


def test_a_given_range_is_drawn_as_given() -> None:
    scale = window_scale(WindowSign(low=2.0, high=3.0, drawn_low=0.0, drawn_high=10.0))
    assert [scale.fraction(value) for value in (0.0, 2.5, 10.0)] == [0.0, 0.25, 1.0]


@given(signs(), finite, finite)
def test_the_drawing_keeps_the_order_of_values(sign: WindowSign, one: float, other: float) -> None:
    scale = window_scale(sign)
    assert scale.start <= scale.end
    low, high = min(one, other), max(one, other)
    assert scale.fraction(low) <= scale.fraction(high)


@given(signs())
def test_both_build_limits_lie_in_the_drawing(sign: WindowSign) -> None:
    scale = window_scale(sign)
    for limit in (sign.low, sign.high):
        if limit is not None and scale.end > scale.start:
            assert 0 <= scale.fraction(limit) <= 1
