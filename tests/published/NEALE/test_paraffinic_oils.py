"""Paraffinic oils of a handbook: the value between two others."""

from __future__ import annotations

import pytest

from oilwedge.film.oil import DENSITY_FALL_PER_K, oil_from_points
from oilwedge.film.viscosity_line import ViscosityPoint

pytestmark = pytest.mark.published


@pytest.mark.parametrize("density_25", [862.0, 891.0])
@pytest.mark.parametrize(
    ("at_30", "at_60", "at_100", "within"),
    [(153.0, 34.0, 9.1, 0.02), (42.0, 13.5, 4.3, 0.09)],  # mPa s (READ)
)
def test_dynamic_viscosity_at_60_degrees(
    at_30: float, at_60: float, at_100: float, within: float, density_25: float
) -> None:
    def point(temperature_c: float, mpa_s: float) -> ViscosityPoint:
        density = density_25 * (1.0 - DENSITY_FALL_PER_K * (temperature_c - 25.0))
        return ViscosityPoint(temperature_c=temperature_c, kinematic_m2_s=mpa_s * 1e-3 / density)

    oil = oil_from_points(
        name="paraffinic",
        first=point(30.0, at_30),
        second=point(100.0, at_100),
        density_kg_m3=density_25,
        density_temperature_c=25.0,
    )
    assert oil.dynamic_viscosity_pa_s(60.0) * 1e3 == pytest.approx(at_60, rel=within)
