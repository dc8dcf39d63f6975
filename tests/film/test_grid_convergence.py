"""The default grid against much finer ones, and the order at which its error falls."""

from __future__ import annotations

import math

import pytest

from oilwedge.errors import OutOfRangeError
from oilwedge.film.bearing import Groove, Rupture
from oilwedge.film.film_grid import FilmGrid
from oilwedge.film.unit_film import UnitFilm, unit_film


def film(e: float, width_ratio: float, around: int, across: int) -> UnitFilm:
    return unit_film(
        eccentricity_ratio=e,
        land=2.0 * width_ratio,
        lands=1,
        groove=Groove.AXIAL,
        rupture=Rupture.REYNOLDS,
        grid=FilmGrid(around=around, across=across),
    )


@pytest.mark.slow
@pytest.mark.parametrize("width_ratio", [0.2, 0.5, 1.0])
@pytest.mark.parametrize("e", [0.1, 0.5, 0.8, 0.9, 0.97, 0.99])
def test_the_default_grid_is_within_three_permille(e: float, width_ratio: float) -> None:
    found, fine = film(e, width_ratio, 200, 40), film(e, width_ratio, 800, 80)
    assert found.load == pytest.approx(fine.load, rel=0.003)
    assert found.attitude_angle_rad == pytest.approx(fine.attitude_angle_rad, rel=0.003)
    assert found.friction == pytest.approx(fine.friction, rel=0.003)
    assert found.film_fraction_friction == pytest.approx(fine.film_fraction_friction, rel=0.003)
    assert found.side_flow == pytest.approx(fine.side_flow, rel=0.003)
    assert found.groove_flow == pytest.approx(fine.groove_flow, rel=0.003)
    assert found.pressure.max() == pytest.approx(fine.pressure.max(), rel=0.003)


@pytest.mark.parametrize(("e", "width_ratio"), [(0.3, 1.0), (0.6, 0.5), (0.9, 0.25), (0.97, 0.5)])
def test_the_error_falls_with_the_square_of_the_step(e: float, width_ratio: float) -> None:
    loads = [film(e, width_ratio, n, n // 5).load for n in (80, 160, 320)]
    order = math.log2(abs((loads[1] - loads[0]) / (loads[2] - loads[1])))
    assert order == pytest.approx(2.0, abs=0.5)  # the film's end moves in steps of a cell


@pytest.mark.parametrize(
    ("around", "across"), [(8, 40), (200, 4), (201, 40), (200, 41), (9000, 40)]
)
def test_a_grid_that_cannot_be_solved_is_refused(around: int, across: int) -> None:
    with pytest.raises(OutOfRangeError, match="cells"):
        FilmGrid(around=around, across=across)
