from __future__ import annotations

import math
from typing import Any

import pytest

from oilwedge.errors import OutOfRangeError
from oilwedge.film.bearing import Bearing, Groove, require_positive

GOOD: dict[str, Any] = {"diameter_m": 0.05, "width_m": 0.025, "diametral_clearance_m": 50e-6}


def test_the_radial_clearance_is_half_the_diametral_one() -> None:
    bearing = Bearing(**GOOD)
    assert bearing.radial_clearance_m == pytest.approx(25e-6)
    assert bearing.radius_m == pytest.approx(0.025)
    assert bearing.width_ratio == pytest.approx(0.5)
    assert bearing.land_count == 1
    assert bearing.land_width_m == pytest.approx(0.025)


def test_a_circumferential_groove_leaves_two_lands() -> None:
    bearing = Bearing(**GOOD, groove=Groove.CIRCUMFERENTIAL, groove_width_m=0.003)
    assert bearing.land_count == 2
    assert bearing.land_width_m == pytest.approx(0.011)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"diameter_m": 0.0}, "the diameter has to be more than 0"),
        ({"width_m": -0.01}, "the width has to be more than 0"),
        ({"diametral_clearance_m": 0.0}, "the diametral clearance has to be more than 0"),
        ({"diametral_clearance_m": -1e-5}, "the diametral clearance has to be more than 0"),
        ({"diametral_clearance_m": 0.002}, "at most 2 % of the diameter"),
        ({"width_m": 0.5}, "widths of 0.02 to 4 diameters"),
        ({"supply_pressure_pa": -1.0}, "is 0 or more"),
        ({"supply_pressure_pa": math.nan}, "is 0 or more"),
        ({"supply_pressure_pa": 1e5, "groove": Groove.NONE}, "needs a groove"),
        ({"groove_width_m": 0.003}, "only a circumferential groove"),
        ({"groove_width_m": 0.024, "groove": Groove.CIRCUMFERENTIAL}, "leave lands"),
    ],
)
def test_what_no_bearing_can_be_is_refused_in_one_sentence(
    change: dict[str, Any], words: str
) -> None:
    with pytest.raises(OutOfRangeError) as caught:
        Bearing(**(GOOD | change))
    assert words in str(caught.value)
    assert "\n" not in str(caught.value)


@pytest.mark.parametrize("value", [0.0, -1.0, math.inf, math.nan])
def test_only_finite_numbers_above_zero_are_positive(value: float) -> None:
    with pytest.raises(OutOfRangeError):
        require_positive(value, what="it", unit="m")
