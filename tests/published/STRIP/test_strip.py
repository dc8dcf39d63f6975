"""Widths of a flattened thread against the figures in source.toml."""

import tomllib
from pathlib import Path

import pytest

from oilwedge.metrology.strip import thread_clearance, thread_relative_uncertainty

pytestmark = pytest.mark.published
VALUES = tomllib.loads(Path(__file__).with_name("source.toml").read_text("utf-8"))["values"]


@pytest.mark.parametrize(
    ("clearance_mm", "width_mm"), list(zip(VALUES["clearance_mm"], VALUES["width_mm"], strict=True))
)
def test_width_and_clearance_of_a_quarter_millimetre_thread(
    clearance_mm: float, width_mm: float
) -> None:
    found = thread_clearance(
        filament_diameter_m=VALUES["diameter_mm"] * 1e-3, width_m=width_mm * 1e-3
    )
    # The width is printed to 0.0005 mm, at worst 0.1 % of it.
    assert found == pytest.approx(clearance_mm * 1e-3, rel=1.1e-3)


def test_a_tenth_of_width_is_five_micrometres_at_0_05_mm() -> None:
    relative = thread_relative_uncertainty(
        diameter_relative=0.0, width_relative=VALUES["width_limit_mm"] / 0.982
    )
    assert relative * 50 == pytest.approx(VALUES["limit_at_0_05_um"], abs=0.5)


def test_five_percent_of_diameter_is_another_five_micrometres() -> None:
    relative = thread_relative_uncertainty(diameter_relative=0.05, width_relative=0.0)
    assert relative * 50 == pytest.approx(VALUES["limit_at_0_05_um"], abs=0.5)
