"""The mobility in a bearing with a half groove or a hole, which stand in the bearing.

The outside reference is that of ``plain_ring``: COMPUTED.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from oilwedge.errors import OutOfRangeError
from oilwedge.film.fixed_map import find_fixed_mobility, fixed_bearing_map
from oilwedge.film.mobility import Mobility, find_mobility, finite_bearing_map
from oilwedge.film.path_groove import PathGroove

from .plain_ring import force_of_film

Array = NDArray[np.float64]

WIDTH, SHARE = 0.42, 5.0 / 22.0
HALF = fixed_bearing_map(kind=PathGroove.HALF, width_ratio=WIDTH, share=SHARE)
HOLE = fixed_bearing_map(kind=PathGroove.HOLE, width_ratio=WIDTH, share=SHARE)
MAPS = {PathGroove.HALF: HALF, PathGroove.HOLE: HOLE}


def velocity_of(mobility: Mobility, load_rad: float, force: float) -> Array:
    """The squeeze under a load of this many w, which is half the force in the equation of M."""
    along = np.array([math.cos(load_rad), math.sin(load_rad)])
    across = np.array([-along[1], along[0]])
    return np.asarray(0.5 * force * (mobility.along * along + mobility.across * across))


@pytest.mark.parametrize("kind", list(MAPS))
@pytest.mark.parametrize("ratio", [0.0, 0.3, 0.6, 0.85, 0.93])
@pytest.mark.parametrize(("place", "load"), [(0.4, 0.9), (1.55, 1.5), (-1.2, 2.6), (3.0, -2.0)])
def test_a_film_with_its_wedge_term_carries_the_load_at_the_velocity_of_the_map(
    kind: PathGroove, ratio: float, place: float, load: float
) -> None:
    ecc = ratio * np.array([math.cos(place), math.sin(place)])
    mobility = find_fixed_mobility(
        map_=MAPS[kind], eccentricity_x=ecc[0], eccentricity_y=ecc[1], load_angle_rad=load
    )
    force, spin = 3.0, 0.7
    whirl = 0.5 * spin * np.array([-ecc[1], ecc[0]])
    velocity = velocity_of(mobility, load, force) + whirl
    found = force_of_film(
        kind=kind, share=SHARE, width=WIDTH, ecc=ecc, velocity=velocity, spin=spin
    )
    wanted = force * np.array([math.cos(load), math.sin(load)])
    # the ring's own grid takes most of it, the more so near the wall and at a round hole
    assert math.dist(found, wanted) < 0.02 * force


def test_a_load_away_from_the_groove_finds_the_plain_bearing() -> None:
    plain = finite_bearing_map(width_ratio=WIDTH)
    for kind, map_ in MAPS.items():
        for ratio in (0.5, 0.8, 0.95, 0.99):
            ours = find_fixed_mobility(
                map_=map_, eccentricity_x=-ratio, eccentricity_y=0.0, load_angle_rad=math.pi
            )
            theirs = find_mobility(map_=plain, along_load=ratio, across_load=0.0)
            assert ours.along == pytest.approx(theirs.along, rel=0.005), (kind, ratio)
            assert abs(ours.across) < 0.005 * theirs.along
            assert ours.peak_pressure_ratio == pytest.approx(theirs.peak_pressure_ratio, rel=0.01)


def test_a_load_into_the_half_groove_finds_two_lands() -> None:
    land = 0.5 * (1.0 - SHARE)
    lands = finite_bearing_map(width_ratio=land * WIDTH)
    for ratio in (0.5, 0.8, 0.95, 0.99):
        ours = find_fixed_mobility(
            map_=HALF, eccentricity_x=ratio, eccentricity_y=0.0, load_angle_rad=0.0
        )
        # each land has half of the load on its own width: F/(L D) is 1/(2 land) as large there
        theirs = find_mobility(map_=lands, along_load=ratio, across_load=0.0)
        assert ours.along == pytest.approx(theirs.along / (2.0 * land), rel=0.03), ratio
        assert ours.peak_pressure_ratio == pytest.approx(
            theirs.peak_pressure_ratio / (2.0 * land), rel=0.05
        )


def test_a_hole_under_the_load_lets_the_journal_sink_faster() -> None:
    plain = finite_bearing_map(width_ratio=WIDTH)
    for ratio in (0.0, 0.5, 0.9, 0.99):
        ours = find_fixed_mobility(
            map_=HOLE, eccentricity_x=ratio, eccentricity_y=0.0, load_angle_rad=0.0
        )
        theirs = find_mobility(map_=plain, along_load=ratio, across_load=0.0)
        assert 1.2 < ours.along / theirs.along < 3.0


@settings(max_examples=60, deadline=None)
@given(
    ratio=st.floats(0.0, 0.99),
    place=st.floats(-math.pi, math.pi),
    load=st.floats(-math.pi, math.pi),
    kind=st.sampled_from(list(MAPS)),
)
def test_the_bearing_is_its_own_mirror_image_and_takes_power_from_the_load(
    ratio: float, place: float, load: float, kind: PathGroove
) -> None:
    x, y = ratio * math.cos(place), ratio * math.sin(place)
    one = find_fixed_mobility(
        map_=MAPS[kind], eccentricity_x=x, eccentricity_y=y, load_angle_rad=load
    )
    other = find_fixed_mobility(
        map_=MAPS[kind], eccentricity_x=x, eccentricity_y=-y, load_angle_rad=-load
    )
    assert one.along > 0.0
    size = math.hypot(one.along, one.across)
    off = math.hypot(one.along - other.along, one.across + other.across)
    assert off < (1e-6 if abs(y) > 1e-6 else 0.02) * size


@pytest.mark.parametrize("kind", list(MAPS))
def test_a_centred_journal_knows_only_the_direction_of_the_load(kind: PathGroove) -> None:
    for load in (0.3, 1.5, 2.8):
        at = find_fixed_mobility(
            map_=MAPS[kind], eccentricity_x=0.0, eccentricity_y=0.0, load_angle_rad=load
        )
        for place in (0.5, 2.0, -2.0):
            near = find_fixed_mobility(
                map_=MAPS[kind],
                eccentricity_x=1e-4 * math.cos(place),
                eccentricity_y=1e-4 * math.sin(place),
                load_angle_rad=load,
            )
            assert near.along == pytest.approx(at.along, rel=0.005)
            assert abs(near.across - at.across) < 0.005 * at.along


@pytest.mark.parametrize(
    ("kind", "width", "share", "said"),
    [
        (PathGroove.HALF, 1.2, 0.2, "from 0.1 to 1 diameters"),
        (PathGroove.HOLE, 0.05, 0.2, "from 0.1 to 1 diameters"),
        (PathGroove.HALF, 0.4, 0.05, "a half groove from 10 to 40 % of the width"),
        (PathGroove.HOLE, 0.4, 0.5, "a hole from 10 to 40 % of the width"),
    ],
)
def test_a_bearing_outside_the_table_is_refused_in_one_sentence(
    kind: PathGroove, width: float, share: float, said: str
) -> None:
    with pytest.raises(OutOfRangeError, match=said):
        fixed_bearing_map(kind=kind, width_ratio=width, share=share)


def test_an_eccentricity_past_the_map_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match=r"0 to 0\.998"):
        find_fixed_mobility(map_=HALF, eccentricity_x=0.0, eccentricity_y=0.999, load_angle_rad=0)
