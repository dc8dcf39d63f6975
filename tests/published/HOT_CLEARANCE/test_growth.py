"""What 80 K do to the clearance of a steel journal in aluminium and in grey iron."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from oilwedge.film.hot_clearance import HotFit, hot_clearance_m

pytestmark = pytest.mark.published
VALUES = tomllib.loads(Path(__file__).with_name("source.toml").read_text("utf-8"))["values"]


def growth_m(housing_per_k: float, diameter_m: float) -> float:
    fit = HotFit(
        journal_expansion_per_k=VALUES["steel_per_k"],
        housing_expansion_per_k=housing_per_k,
        shell_expansion_per_k=VALUES["steel_per_k"],
        shell_wall_m=0.0,
        journal_over_oil_k=0.0,
        housing_over_oil_k=0.0,
    )
    warm = 20.0 + VALUES["warmer_k"]
    hot = hot_clearance_m(
        cold_clearance_m=40e-6, diameter_m=diameter_m, fit=fit, oil_temperature_c=warm
    )
    return float(hot) - 40e-6


@pytest.mark.parametrize("housing", ["aluminium", "grey_iron"])
def test_the_clearance_grows_as_printed(housing: str) -> None:
    grown = growth_m(VALUES[f"{housing}_per_k"], 1.0)
    assert grown == pytest.approx(VALUES[f"{housing}_growth"], abs=0.5e-5)


def test_aluminium_on_60_mm_opens_by_44_um() -> None:
    grown = growth_m(VALUES["aluminium_per_k"], 0.060)
    assert grown * 1e6 == pytest.approx(VALUES["aluminium_60_mm_um"], abs=0.5)
