"""Worked examples of ASTM D2270."""

from __future__ import annotations

import pytest

from oilwedge.film.viscosity_index import reference_viscosities_mm2_s, viscosity_index

pytestmark = pytest.mark.published


# ν(40 °C), ν(100 °C) in mm²/s, index not rounded (READ)
@pytest.mark.parametrize(
    ("at_40", "at_100", "index"),
    [
        (73.30, 8.86, 92.4296),
        (73.50, 8.86, 92.0333),
        (22.83, 5.05, 156.4235),
        (53.47, 7.80, 111.3070),
    ],
)
def test_worked_examples(at_40: float, at_100: float, index: float) -> None:
    found = viscosity_index(at_40c_m2_s=at_40 * 1e-6, at_100c_m2_s=at_100 * 1e-6)
    assert found == pytest.approx(index, abs=0.05)
    assert round(found) == round(index)


def test_reference_series() -> None:
    low, high = reference_viscosities_mm2_s(8.86)  # RECALLED from the table
    assert low == pytest.approx(119.94, abs=0.03)
    assert high == pytest.approx(69.48, abs=0.03)
