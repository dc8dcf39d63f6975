"""The short bearing's mobility against its closed form and its exact half film."""

from __future__ import annotations

import math
import tomllib
from pathlib import Path

import pytest

from oilwedge.film.mobility import (
    closed_form_short_mobility,
    find_mobility,
    short_bearing_map,
)

VALUES = tomllib.loads((Path(__file__).parent / "source.toml").read_text(encoding="utf-8"))
ROWS = VALUES["values"]["rows"]
HALF_DIGIT = 0.6e-5
INTERPOLATED = 5e-5  # of the value

pytestmark = pytest.mark.published


@pytest.mark.parametrize("row", ROWS)
@pytest.mark.parametrize("width_ratio", [1.0, 0.25])
def test_mobility_of_the_short_bearing(row: list[float], width_ratio: float) -> None:
    ratio, angle, along, across, closed_along, closed_across = row
    xi = ratio * math.cos(math.radians(angle))
    eta = ratio * math.sin(math.radians(angle))
    scale = width_ratio**2
    got = find_mobility(
        map_=short_bearing_map(width_ratio=width_ratio), along_load=xi, across_load=eta
    )
    assert got.along * scale == pytest.approx(along, abs=HALF_DIGIT, rel=INTERPOLATED)
    assert got.across * scale == pytest.approx(across, abs=HALF_DIGIT, rel=INTERPOLATED)
    closed = closed_form_short_mobility(along_load=xi, across_load=eta, width_ratio=width_ratio)
    assert closed[0] * scale == pytest.approx(closed_along, abs=HALF_DIGIT)
    assert closed[1] * scale == pytest.approx(closed_across, abs=HALF_DIGIT)
