"""Cold to hot clearance: each part counts with its own size, material and temperature."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from oilwedge.film.hot_clearance import HotFit, hot_clearance_m
from oilwedge.metrology.thermal import Coefficient, clearance_to_reference
from oilwedge.uncertainty.quantity import exact

FIT = HotFit(
    journal_expansion_per_k=12e-6,
    housing_expansion_per_k=21e-6,
    shell_expansion_per_k=11e-6,
    shell_wall_m=2e-3,
    journal_over_oil_k=10.0,
    housing_over_oil_k=-5.0,
)


def hot_um(fit: HotFit, oil_c: float = 100.0) -> float:
    hot = hot_clearance_m(
        cold_clearance_m=50e-6, diameter_m=0.050, fit=fit, oil_temperature_c=oil_c
    )
    return float(hot) * 1e6


def test_bore_walls_and_journal_by_hand() -> None:
    # bore 54 mm x 21e-6 x 75 K = 85.05; walls 4 mm x 11e-6 x 75 K = 3.3; journal 50 x 12 x 90 = 54
    assert hot_um(FIT) == pytest.approx(50.0 + 85.05 - 3.3 - 54.0, abs=1e-9)


def test_at_20_degrees_and_no_difference_nothing_changes() -> None:
    same = replace(FIT, journal_over_oil_k=0.0, housing_over_oil_k=0.0)
    assert hot_um(same, 20.0) == pytest.approx(50.0, abs=1e-12)


def test_one_material_at_one_temperature_changes_by_the_clearance_alone() -> None:
    # free growth: clearance grows as every length; the linear form leaves that out, 50 um x 1e-3
    steel = HotFit(
        journal_expansion_per_k=12e-6,
        housing_expansion_per_k=12e-6,
        shell_expansion_per_k=12e-6,
        shell_wall_m=2e-3,
        journal_over_oil_k=0.0,
        housing_over_oil_k=0.0,
    )
    assert hot_um(steel) == pytest.approx(50.0, abs=1e-9)


def test_back_to_20_degrees_by_the_metrology_of_the_house() -> None:
    bare = replace(FIT, shell_wall_m=0.0)
    back = clearance_to_reference(
        clearance=exact(hot_um(bare, 40.0) * 1e-6),
        diameter_m=0.050,
        housing_expansion=Coefficient(key="housing", per_k=21e-6),
        journal_expansion=Coefficient(key="journal", per_k=12e-6),
        housing_temperature_c=35.0,
        journal_temperature_c=50.0,
    )
    assert back.value * 1e6 == pytest.approx(50.0, abs=1e-3)


def test_arrays_broadcast() -> None:
    hot = hot_clearance_m(
        cold_clearance_m=np.array([40e-6, 50e-6]),
        diameter_m=0.05,
        fit=FIT,
        oil_temperature_c=np.array([[90.0], [100.0]]),
    )
    assert hot.shape == (2, 2)
    assert hot[1, 1] * 1e6 == pytest.approx(hot_um(FIT))
