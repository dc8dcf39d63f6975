"""The squeezed film of a bearing with a half groove or a hole, against films known otherwise."""

from __future__ import annotations

import math

import numpy as np
import pytest
from numpy.typing import NDArray

from oilwedge.film.fixed_squeeze import Feature, FixedField, Mesh, solve_fan, solve_field
from oilwedge.film.make_fixed_map import carried_fan
from oilwedge.film.make_mobility_map import squeezed
from oilwedge.film.path_groove import PathGroove
from oilwedge.film.squeeze import solve_short_squeeze

Array = NDArray[np.float64]

DIRECTIONS = np.linspace(-3.0, 3.0, 7)


def fan(kind: PathGroove, share: float, ratio: float, width: float, place: float = 0.0) -> Array:
    return carried_fan(
        eccentricity_ratio=ratio,
        eccentricity_angle_rad=place,
        directions_rad=DIRECTIONS,
        width_ratio=width,
        feature=Feature(kind=kind, share=share),
    )


def plain(ratio: float, width: float) -> Array:
    films = [
        squeezed(eccentricity_ratio=ratio, direction_rad=float(one), width_ratio=width)
        for one in DIRECTIONS
    ]
    return np.array([(one.force_along, one.force_across) for one in films])


def apart(one: Array, other: Array) -> float:
    """The largest difference of forces over the force."""
    off = np.hypot(*(one[:, :2] - other[:, :2]).T)
    return float((off / np.hypot(*other[:, :2].T)).max())


@pytest.mark.parametrize("ratio", [0.0, 0.6, 0.95])
@pytest.mark.parametrize("width", [0.15, 0.4, 1.0])
def test_without_a_groove_it_is_the_plain_film(ratio: float, width: float) -> None:
    assert apart(fan(PathGroove.NONE, 0.25, ratio, width), plain(ratio, width)) < 0.006


@pytest.mark.parametrize("share", [0.1, 0.3])
def test_a_groove_all_round_leaves_two_lands(share: float) -> None:
    # each land of (1 − share)/2 of the width carries its w on that part of the bearing
    lands = (1.0 - share) * plain(0.8, 0.5 * 0.4 * (1.0 - share))
    assert apart(fan(PathGroove.FULL, share, 0.8, 0.4), lands) < 0.006


def test_a_very_narrow_half_groove_still_parts_the_film_above_it() -> None:
    # half the width carries a quarter of the force, near a short bearing: no limit to the plain one
    ratio = 0.9
    into = solve_fan(
        eccentricity_ratio=ratio,
        eccentricity_angle_rad=0.0,
        directions_rad=np.zeros(1),
        width_ratio=0.1,
        feature=Feature(kind=PathGroove.HALF, share=0.01),
        mesh=Mesh(),
    )
    whole = solve_short_squeeze(eccentricity_ratio=ratio, direction_rad=0.0).force_along
    assert into[0, 0] / 0.1**2 == pytest.approx(0.25 * whole, rel=0.1)


@pytest.mark.parametrize("place", [0.3, 1.2, 1.9])
def test_a_narrow_bearing_with_a_half_groove_is_the_sum_of_its_short_films(place: float) -> None:
    # COMPUTED: p = 6 (ζ − g)(1 − ζ) cos/H³ over each land in the groove's half, 6 (1 − ζ²) beside;
    # what the groove's ends take runs over about a land's width, thus with L/D to nothing
    share, ratio = 0.3, 0.5
    theta = np.linspace(-np.pi, np.pi, 200001)
    away = np.abs((theta + place + np.pi) % (2.0 * np.pi) - np.pi)
    for direction in (-1.0, 0.0, 1.1):
        pressed = np.maximum(np.cos(theta - direction), 0.0) / (1.0 - ratio * np.cos(theta)) ** 3
        line = pressed * np.where(away < 0.5 * np.pi, (1.0 - share) ** 3, 4.0)
        wanted = [np.trapezoid(line * turned(theta), theta) for turned in (np.cos, np.sin)]
        offs = []
        for width in (0.02, 0.01):
            found = solve_fan(
                eccentricity_ratio=ratio,
                eccentricity_angle_rad=place,
                directions_rad=np.array([direction]),
                width_ratio=width,
                feature=Feature(kind=PathGroove.HALF, share=share),
                mesh=Mesh(around=1600, in_groove=6, beside=14),
            )
            offs.append(found[0, :2] / width**2 - wanted)
        # what is left of the first order in L/D, taken away
        assert math.hypot(*(2.0 * offs[1] - offs[0])) < 0.01 * math.hypot(*wanted)
        assert math.hypot(*offs[0]) < 0.04 * math.hypot(*wanted)


def test_the_order_of_the_directions_does_not_matter() -> None:
    options = {
        "eccentricity_ratio": 0.9,
        "eccentricity_angle_rad": 1.4,
        "width_ratio": 0.4,
        "feature": Feature(kind=PathGroove.HOLE, share=0.3),
        "mesh": Mesh(),
    }
    there = solve_fan(directions_rad=DIRECTIONS, **options)  # type: ignore[arg-type]
    back = solve_fan(directions_rad=DIRECTIONS[::-1], **options)  # type: ignore[arg-type]
    assert np.abs(there - back[::-1]).max() < 1e-9 * np.abs(there).max()


def field(kind: PathGroove, *, place: float, width: float = 0.5) -> FixedField:
    """For a velocity into the film's thinnest place; ε 0.6, groove or hole 0.3 of the width."""
    return solve_field(
        eccentricity_ratio=0.6,
        eccentricity_angle_rad=place,
        direction_rad=0.0,
        width_ratio=width,
        feature=Feature(kind=kind, share=0.3),
        mesh=Mesh(),
    )


@pytest.mark.parametrize("place", [0.7, -1.9])
def test_lines_lie_on_both_edges_of_a_half_groove(place: float) -> None:
    """Its middle at −ψ, so its edges a quarter turn before and after."""
    angles = field(PathGroove.HALF, place=place).angles_rad
    for edge in (-place - 0.5 * np.pi, -place + 0.5 * np.pi):
        assert np.abs(np.angle(np.exp(1j * (angles - edge)))).min() < 1e-9


@pytest.mark.parametrize("width", [0.3, 0.8])
def test_a_hole_is_as_long_round_the_bearing_as_it_is_wide(width: float) -> None:
    """Its diameter d = 0.3 L takes ±(d/2)/(D/2) = ±0.3 L/D in radians."""
    found = field(PathGroove.HOLE, place=0.2, width=width)
    away = np.abs(np.angle(np.exp(1j * (found.angles_rad + 0.2))))
    on_middle = found.pressures[:, 0]
    inside = away < 0.3 * width - 1e-6
    beside = (away > 0.3 * width + 1e-6) & (away < 1.0)
    assert not on_middle[inside].any()
    assert inside.sum() >= 7
    assert (on_middle[beside] > 0.0).all()
