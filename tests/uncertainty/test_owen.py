"""Owen's T function against scipy.special and its own identities."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.special import owens_t

from oilwedge.uncertainty.owen import owen_t


@given(h=st.floats(-12, 12), a=st.floats(-1e6, 1e6))
def test_it_agrees_with_scipy(h: float, a: float) -> None:
    assert owen_t(h=h, a=a) == pytest.approx(float(owens_t(h, a)), abs=3e-16)


@given(a=st.floats(-1e9, 1e9))
def test_at_zero_it_is_an_angle(a: float) -> None:
    assert owen_t(h=0.0, a=a) == pytest.approx(math.atan(a) / (2 * math.pi), abs=1e-15)


def test_without_end_it_is_half_a_tail() -> None:
    assert owen_t(h=1.0, a=math.inf) == pytest.approx(0.5 * 0.15865525393145707, rel=1e-12)
    assert owen_t(h=-1.0, a=-math.inf) == -owen_t(h=1.0, a=math.inf)
