"""The closed forms print what handbooks print, and the finite bearing runs into them."""

import math
import tomllib
from pathlib import Path

import pytest

from oilwedge.film.bearing import Groove, Rupture
from oilwedge.film.closed_forms import (
    short_bearing,
    short_bearing_side_flow,
    wide_bearing,
    wide_bearing_film_end,
    wide_bearing_full_film,
    wide_bearing_half_film,
)
from oilwedge.film.film_grid import FilmGrid
from oilwedge.film.unit_film import UnitFilm, unit_film

pytestmark = pytest.mark.published
VALUES = tomllib.loads(Path(__file__).with_name("source.toml").read_text("utf-8"))["values"]


@pytest.mark.parametrize(("e", "short", "phi", "full", "half", "half_phi"), VALUES["rows"])
def test_the_closed_forms_give_the_printed_values(
    e: float, short: float, phi: float, full: float, half: float, half_phi: float
) -> None:
    found = short_bearing(eccentricity_ratio=e, width_ratio=0.5)
    assert found.sommerfeld_number * 0.25 == pytest.approx(short, abs=6e-6)
    assert math.degrees(found.attitude_angle_rad) == pytest.approx(phi, abs=0.006)
    wide = wide_bearing_full_film(eccentricity_ratio=e)
    assert wide.sommerfeld_number == pytest.approx(full, abs=6e-6)
    assert wide.attitude_angle_rad == pytest.approx(math.pi / 2)
    gumbel = wide_bearing_half_film(eccentricity_ratio=e)
    assert gumbel.sommerfeld_number == pytest.approx(half, abs=6e-6)
    assert math.degrees(gumbel.attitude_angle_rad) == pytest.approx(half_phi, abs=0.006)


@pytest.mark.parametrize(("e", "s", "phi", "end"), VALUES["reynolds"])
def test_the_wide_bearing_with_the_reynolds_condition(
    e: float, s: float, phi: float, end: float
) -> None:
    found = wide_bearing(eccentricity_ratio=e)
    assert found.sommerfeld_number == pytest.approx(s, rel=3e-4)
    assert math.degrees(found.attitude_angle_rad) == pytest.approx(phi, abs=0.006)
    assert math.degrees(wide_bearing_film_end(eccentricity_ratio=e)) == pytest.approx(end, abs=0.01)


def film(e: float, width_ratio: float) -> UnitFilm:
    return unit_film(
        eccentricity_ratio=e,
        land=2.0 * width_ratio,
        lands=1,
        groove=Groove.AXIAL,
        rupture=Rupture.REYNOLDS,
        grid=FilmGrid(),
    )


@pytest.mark.parametrize("e", [0.2, 0.5, 0.8])
def test_a_very_narrow_bearing_is_ocvirks(e: float) -> None:
    found, limit = film(e, 0.02), short_bearing(eccentricity_ratio=e, width_ratio=0.02)
    s = 2.0 * 0.02 / (math.pi * found.load)
    # the rest is of the order of (L/D)²/(1 − ε): axial against circumferential curvature
    assert s == pytest.approx(limit.sommerfeld_number, rel=0.02)
    assert found.attitude_angle_rad == pytest.approx(limit.attitude_angle_rad, abs=0.01)
    side = found.side_flow * 2.0 * math.pi / (2.0 * 0.02)
    assert side == pytest.approx(short_bearing_side_flow(eccentricity_ratio=e), rel=0.005)


@pytest.mark.parametrize("e", [0.2, 0.6, 0.9])
def test_a_very_wide_bearing_is_the_wide_one(e: float) -> None:
    # what the ends take is in proportion to D/L: two widths give the limit by a straight line
    loads = [film(e, ratio).load / ratio for ratio in (8.0, 16.0)]
    s = 2.0 / (math.pi * (2.0 * loads[1] - loads[0]))
    assert s == pytest.approx(wide_bearing(eccentricity_ratio=e).sommerfeld_number, rel=0.01)
