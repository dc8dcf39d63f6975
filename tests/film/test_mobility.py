"""The maps of the mobility."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from oilwedge.errors import OutOfRangeError
from oilwedge.film import mobility_grid
from oilwedge.film.make_mobility_map import squeezed
from oilwedge.film.mobility import find_mobility, finite_bearing_map, short_bearing_map


@pytest.mark.parametrize("width_ratio", [0.25, 0.37, 0.5, 0.9])
@pytest.mark.parametrize(
    ("ratio", "direction"), [(0.35, 0.4), (0.62, 2.5), (0.83, 1.3), (0.93, 1.5), (0.985, 1.45)]
)
def test_map_gives_back_the_squeezed_film(
    width_ratio: float, ratio: float, direction: float
) -> None:
    film = squeezed(eccentricity_ratio=ratio, direction_rad=direction, width_ratio=width_ratio)
    beta = math.atan2(film.force_across, film.force_along)
    size = 2.0 / film.force
    got = find_mobility(
        map_=finite_bearing_map(width_ratio=width_ratio),
        along_load=ratio * math.cos(beta),
        across_load=-ratio * math.sin(beta),
    )
    assert got.along == pytest.approx(size * math.cos(direction - beta), rel=2e-3)
    assert got.across == pytest.approx(size * math.sin(direction - beta), rel=5e-3)
    assert got.peak_pressure_ratio == pytest.approx(2 * film.peak_pressure / film.force, rel=5e-3)


def test_wide_bearing_yields_less_than_the_short_one_says_it_does() -> None:
    short = find_mobility(map_=short_bearing_map(width_ratio=0.5), along_load=0.9, across_load=0.0)
    finite = find_mobility(
        map_=finite_bearing_map(width_ratio=0.5), along_load=0.9, across_load=0.0
    )
    assert finite.along > 1.3 * short.along  # ends leak, which a parabola overrates


@settings(max_examples=60, deadline=None)
@given(
    ratio=st.floats(0.0, 0.997),
    angle=st.floats(0.0, math.pi),
    width_ratio=st.sampled_from([0.2, 0.5, 1.0]),
)
def test_load_always_does_work_and_the_map_is_even(
    ratio: float, angle: float, width_ratio: float
) -> None:
    map_ = finite_bearing_map(width_ratio=width_ratio)
    xi, eta = ratio * math.cos(angle), ratio * math.sin(angle)
    one = find_mobility(map_=map_, along_load=xi, across_load=eta)
    other = find_mobility(map_=map_, along_load=xi, across_load=-eta)
    assert one.along > 0.0
    assert other.along == one.along
    assert other.across == -one.across
    assert one.peak_pressure_ratio > 1.0


@given(ratio=st.floats(0.0, 0.998), angle=st.floats(0.0, 3.14159))
def test_coordinates_of_the_map_go_there_and_back(ratio: float, angle: float) -> None:
    gamma = mobility_grid.node_angle(load_angle_rad=angle, eccentricity_ratio=ratio)
    back = mobility_grid.load_angle_at(node=1, eccentricity_ratio=ratio)
    assert mobility_grid.node_angle(load_angle_rad=back, eccentricity_ratio=ratio) == pytest.approx(
        mobility_grid.STEP_G, rel=1e-9
    )
    assert 0.0 <= gamma <= math.pi


def test_outside_the_map_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match=r"from 0 to 0\.998"):
        find_mobility(map_=short_bearing_map(width_ratio=0.5), along_load=0.999, across_load=0.0)
    with pytest.raises(OutOfRangeError, match=r"from 0\.1 to 1\.6"):
        finite_bearing_map(width_ratio=2.0)
    with pytest.raises(OutOfRangeError, match="width"):
        short_bearing_map(width_ratio=0.0)


def test_a_load_straight_away_from_the_wall_is_as_one_a_little_beside() -> None:
    map_ = finite_bearing_map(width_ratio=0.5)
    for ratio in (0.2, 0.5, 0.9):
        straight = find_mobility(map_=map_, along_load=-ratio, across_load=0.0)
        beside = find_mobility(map_=map_, along_load=-ratio, across_load=1e-6)
        assert straight.along == pytest.approx(beside.along, rel=1e-5)
        assert straight.along > find_mobility(map_=map_, along_load=ratio, across_load=0.0).along
