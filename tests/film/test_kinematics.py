"""The motion of a slider-crank against itself, differentiated, and against its limits."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from oilwedge.errors import InputError
from oilwedge.film.kinematics import SliderCrank, motion

THETA = np.linspace(0.0, 2.0 * np.pi, 721)


@st.composite
def cranks(draw: st.DrawFn) -> SliderCrank:
    throw = draw(st.floats(0.01, 0.2))
    ratio = draw(st.floats(0.1, 0.6))
    room = throw / ratio - throw
    return SliderCrank(
        throw_m=throw,
        rod_length_m=throw / ratio,
        offset_m=draw(st.floats(-0.4, 0.4)) * room,
    )


@given(crank=cranks(), speed=st.floats(1.0, 1000.0))
def test_velocity_acceleration_and_swing_are_the_derivatives_of_the_geometry(
    crank: SliderCrank, speed: float
) -> None:
    # A step of h in a complex direction gives derivatives to rounding; here plain differences.
    step = 1e-5
    before, here, after = (
        motion(crank=crank, angle_rad=THETA + d, speed_rad_s=speed) for d in (-step, 0.0, step)
    )
    per_time = speed / (2.0 * step)
    for position, rate, scale in (
        ("piston_travel_m", "piston_velocity_m_s", crank.throw_m * speed),
        ("piston_velocity_m_s", "piston_acceleration_m_s2", crank.throw_m * speed**2),
        ("rod_angle_rad", "rod_speed_rad_s", speed),
        ("rod_speed_rad_s", "rod_acceleration_rad_s2", speed**2),
    ):
        difference = (getattr(after, position) - getattr(before, position)) * per_time
        np.testing.assert_allclose(getattr(here, rate), difference, atol=2e-6 * scale)


@given(crank=cranks())
def test_the_rod_keeps_its_length_and_the_travel_spans_the_stroke(crank: SliderCrank) -> None:
    found = motion(crank=crank, angle_rad=THETA, speed_rad_s=1.0)
    top = math.sqrt((crank.rod_length_m + crank.throw_m) ** 2 - crank.offset_m**2)
    along = top - found.piston_travel_m - crank.throw_m * np.cos(THETA)
    across = crank.throw_m * np.sin(THETA) - crank.offset_m
    np.testing.assert_allclose(np.hypot(along, across), crank.rod_length_m, rtol=1e-12)
    np.testing.assert_allclose(np.sin(found.rod_angle_rad) * crank.rod_length_m, across, atol=1e-12)
    assert found.piston_travel_m.min() >= -1e-12
    assert found.piston_travel_m.max() <= crank.stroke_m + 1e-12
    at_top = motion(crank=crank, angle_rad=crank.top_angle_rad, speed_rad_s=1.0)
    assert float(at_top.piston_travel_m) == pytest.approx(0.0, abs=1e-12)
    assert float(at_top.piston_velocity_m_s) == pytest.approx(0.0, abs=1e-12)


@given(crank=cranks())
def test_an_offset_to_the_other_side_mirrors_the_motion(crank: SliderCrank) -> None:
    other = SliderCrank(
        throw_m=crank.throw_m, rod_length_m=crank.rod_length_m, offset_m=-crank.offset_m
    )
    one = motion(crank=crank, angle_rad=THETA, speed_rad_s=2.0)
    two = motion(crank=other, angle_rad=-THETA, speed_rad_s=2.0)
    np.testing.assert_allclose(one.piston_travel_m, two.piston_travel_m, atol=1e-13)
    np.testing.assert_allclose(one.piston_velocity_m_s, -two.piston_velocity_m_s, atol=1e-12)
    np.testing.assert_allclose(one.rod_angle_rad, -two.rod_angle_rad, atol=1e-13)


def test_an_offset_towards_the_downstroke_of_the_pin_puts_top_dead_centre_after_zero() -> None:
    crank = SliderCrank(throw_m=0.04, rod_length_m=0.14, offset_m=0.01)
    assert crank.top_angle_rad == pytest.approx(math.asin(10 / 180))
    assert crank.stroke_m > 0.08
    straight = SliderCrank(throw_m=0.04, rod_length_m=0.14)
    # and stands the rod straighter on the way down, where the gas pushes
    assert abs(
        motion(crank=crank, angle_rad=math.pi / 2, speed_rad_s=1.0).rod_angle_rad.item()
    ) < abs(motion(crank=straight, angle_rad=math.pi / 2, speed_rad_s=1.0).rod_angle_rad.item())


def test_a_long_rod_moves_the_piston_as_a_sine() -> None:
    crank = SliderCrank(throw_m=0.04, rod_length_m=4000.0)
    found = motion(crank=crank, angle_rad=THETA, speed_rad_s=10.0)
    np.testing.assert_allclose(found.piston_velocity_m_s, 0.4 * np.sin(THETA), atol=1e-5)
    np.testing.assert_allclose(found.piston_acceleration_m_s2, 4.0 * np.cos(THETA), atol=1e-4)


@pytest.mark.parametrize(
    ("throw", "rod", "offset", "word"),
    [
        (0.0, 0.1, 0.0, "half the stroke"),
        (-0.04, 0.1, 0.0, "half the stroke"),
        (math.nan, 0.1, 0.0, "half the stroke"),
        (0.05, 0.05, 0.0, "between the centres"),
        (0.04, 0.05, -0.01, "between the centres"),
    ],
)
def test_a_crank_that_cannot_turn_is_refused(
    throw: float, rod: float, offset: float, word: str
) -> None:
    with pytest.raises(InputError, match=word):
        SliderCrank(throw_m=throw, rod_length_m=rod, offset_m=offset)
