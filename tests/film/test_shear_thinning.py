"""Thinning in fast shear, from HTHS."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from oilwedge.errors import InputError, OutOfRangeError
from oilwedge.film.shear_thinning import Thinning, thinning_from_high_shear


def ratio(thinning: Thinning, *, rate: float, pa_s: float, temperature_c: float) -> float:
    found = thinning.ratio(
        shear_rate_per_s=np.asarray(rate),
        low_shear_pa_s=np.asarray(pa_s),
        temperature_c=np.asarray(temperature_c),
    )
    return float(found)


@given(h=st.floats(0.51, 1.0), slow=st.floats(1e-3, 2e-2))
def test_the_high_shear_point_comes_back(h: float, slow: float) -> None:
    thinning = thinning_from_high_shear(high_shear_150c_pa_s=h * slow, low_shear_150c_pa_s=slow)
    assert ratio(thinning, rate=1e6, pa_s=slow, temperature_c=150.0) == pytest.approx(h)
    assert ratio(thinning, rate=0.0, pa_s=slow, temperature_c=150.0) == 1.0


def test_it_falls_with_the_rate_and_ends_at_the_second_level() -> None:
    thinning = thinning_from_high_shear(high_shear_150c_pa_s=3.2e-3, low_shear_150c_pa_s=4e-3)
    found = [ratio(thinning, rate=g, pa_s=4e-3, temperature_c=150.0) for g in (1e4, 1e6, 1e8, 1e12)]
    assert found == sorted(found, reverse=True)
    assert found[-1] == pytest.approx(0.6, abs=1e-4)  # 2·0.8 - 1


def test_colder_oil_gives_way_at_a_lower_rate() -> None:
    # by hand: γc = 1e6 · (4/40) · (373.15/423.15) = 88 184; (1 + 0.6·1)/2 at that rate
    thinning = thinning_from_high_shear(high_shear_150c_pa_s=3.2e-3, low_shear_150c_pa_s=4e-3)
    assert ratio(thinning, rate=88184.0, pa_s=40e-3, temperature_c=100.0) == pytest.approx(
        0.8, abs=1e-5
    )


def test_a_hair_over_the_viscosity_without_shear_is_no_thinning() -> None:
    thinning = thinning_from_high_shear(high_shear_150c_pa_s=4.1e-3, low_shear_150c_pa_s=4e-3)
    assert thinning.floor == 1.0


@pytest.mark.parametrize("given_pa_s", [4.2e-3, 0.0, -1e-3, float("nan")])
def test_a_value_over_the_viscosity_without_shear_is_refused(given_pa_s: float) -> None:
    with pytest.raises(InputError, match="not over the viscosity without shear"):
        thinning_from_high_shear(high_shear_150c_pa_s=given_pa_s, low_shear_150c_pa_s=4e-3)


def test_half_of_it_is_outside_the_model() -> None:
    with pytest.raises(OutOfRangeError, match=r"here 4\.00 mPa s"):
        thinning_from_high_shear(high_shear_150c_pa_s=2e-3, low_shear_150c_pa_s=4e-3)
