"""What pressure does to viscosity."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from oilwedge.errors import OutOfRangeError
from oilwedge.film.pressure_viscosity import barus_factor, roelands_factor

AMBIENT = np.asarray(0.01)


def test_ten_megapascals_make_it_a_fifth_thicker() -> None:
    # exp(1.8e-8 · 1e7) = 1.197: the handbook's "+20 %"
    found = barus_factor(pressure_pa=np.asarray(1e7), coefficient_per_pa=1.8e-8)
    assert float(found) == pytest.approx(1.20, abs=0.005)


@given(mpa=st.floats(0.0, 500.0), alpha=st.floats(1e-9, 2.4e-8))
def test_roelands_stays_under_barus_and_never_thins(mpa: float, alpha: float) -> None:
    pressure = np.asarray(mpa * 1e6)
    barus = float(barus_factor(pressure_pa=pressure, coefficient_per_pa=alpha))
    found = float(
        roelands_factor(
            pressure_pa=pressure, coefficient_per_pa=alpha, ambient_viscosity_pa_s=AMBIENT
        )
    )
    assert 1.0 <= found <= barus * (1 + 1e-12)


def test_both_start_with_the_same_slope() -> None:
    small = np.asarray(1e4)
    slope = (
        float(
            roelands_factor(
                pressure_pa=small, coefficient_per_pa=2e-8, ambient_viscosity_pa_s=AMBIENT
            )
        )
        - 1.0
    ) / 1e4
    assert slope == pytest.approx(2e-8, rel=1e-3)


def test_roelands_by_hand_at_100_megapascals() -> None:
    # E = ln 0.01 + 9.67 = 5.06483, z = 1.4e-8/(5.1e-9 E) = 0.54199; 1.51^z = 1.25030; e^(E·0.2503)
    found = roelands_factor(
        pressure_pa=np.asarray(1e8), coefficient_per_pa=1.4e-8, ambient_viscosity_pa_s=AMBIENT
    )
    assert float(found) == pytest.approx(3.553, abs=0.003)


@pytest.mark.parametrize("pressure", [-1.0, 6e8, float("nan")])
def test_a_pressure_outside_the_law_is_refused(pressure: float) -> None:
    with pytest.raises(OutOfRangeError, match="from 0 to 500 MPa"):
        barus_factor(pressure_pa=np.asarray(pressure), coefficient_per_pa=2e-8)


def test_a_coefficient_in_the_wrong_unit_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match="mineral oil has"):
        barus_factor(pressure_pa=np.asarray(1e7), coefficient_per_pa=18.0)
    with pytest.raises(OutOfRangeError, match=r"over 0\.1 mPa s"):
        roelands_factor(
            pressure_pa=np.asarray(1e7),
            coefficient_per_pa=2e-8,
            ambient_viscosity_pa_s=np.asarray(5e-5),
        )
