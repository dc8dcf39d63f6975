"""The viscosity index."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from oilwedge.errors import InputError, OutOfRangeError
from oilwedge.film.viscosity_index import (
    at_40c_from_index_m2_s,
    reference_viscosities_mm2_s,
    viscosity_index,
)


@given(index=st.floats(20.0, 220.0), at_100=st.floats(2.0, 55.0))
def test_the_index_gives_the_viscosity_and_comes_back(index: float, at_100: float) -> None:
    at_40 = at_40c_from_index_m2_s(index=index, at_100c_m2_s=at_100 * 1e-6)
    if at_40 * 1e6 > at_100 * 1.01:
        back = viscosity_index(at_40c_m2_s=at_40, at_100c_m2_s=at_100 * 1e-6)
        assert back == pytest.approx(index, abs=1e-6)


@pytest.mark.parametrize("end", [3.8, 4.4, 5.0, 6.4, 7.0, 7.7, 9, 12, 15, 18, 22, 28, 40])
def test_the_pieces_meet(end: float) -> None:
    before, after = reference_viscosities_mm2_s(end), reference_viscosities_mm2_s(end + 1e-9)
    assert before == pytest.approx(after, rel=2e-3)


def test_a_steeper_oil_has_a_lower_index() -> None:
    flat = viscosity_index(at_40c_m2_s=60e-6, at_100c_m2_s=10e-6)
    steep = viscosity_index(at_40c_m2_s=90e-6, at_100c_m2_s=10e-6)
    assert steep < 100 < flat


@pytest.mark.parametrize("at_100", [1.9, 56.0, float("nan")])
def test_the_index_is_refused_where_it_is_not_defined(at_100: float) -> None:
    with pytest.raises(OutOfRangeError, match="from 2 to 55 mm²/s"):
        viscosity_index(at_40c_m2_s=300e-6, at_100c_m2_s=at_100 * 1e-6)


def test_an_oil_that_thickens_when_warm_has_none() -> None:
    with pytest.raises(InputError, match="gets thinner as it gets warmer"):
        viscosity_index(at_40c_m2_s=9e-6, at_100c_m2_s=10e-6)
