"""Where the nodes of a map fixed to the bearing lie, and what is written at them."""

from __future__ import annotations

import math

import numpy as np
import pytest

from oilwedge.film import fixed_grid
from oilwedge.film.fixed_grid import FilmNumbers
from oilwedge.film.mobility import find_mobility, finite_bearing_map, written_map
from oilwedge.film.mobility_grid import eccentricity_at, load_angle_at
from oilwedge.film.path_groove import PathGroove


def numbers(seed: int) -> FilmNumbers:
    rng = np.random.default_rng(seed)
    along, across, peak = rng.uniform(1.0, 2.0, (3, 5))
    return FilmNumbers(along=along + seed, across=across, peak=peak)


@pytest.mark.parametrize("ratio", [0.0, 0.6, 0.98])
def test_places_run_from_the_groove_to_the_far_side_and_meet_its_edge(ratio: float) -> None:
    half, hole = (
        [
            fixed_grid.groove_angle_at(place=p, eccentricity_ratio=ratio, kind=kind)
            for p in np.linspace(-1.0, 1.0, 21)
        ]
        for kind in (PathGroove.HALF, PathGroove.HOLE)
    )
    for angles in (half, hole):
        assert np.all(np.diff(angles) > 0.0)
        assert angles[0] == pytest.approx(0.0, abs=1e-9)
        assert angles[-1] == pytest.approx(math.pi)
    assert half[10] == pytest.approx(0.5 * math.pi)


def test_what_is_written_of_the_two_ends_is_nothing_and_all() -> None:
    plain, lands = numbers(0), numbers(3)
    for film, part in ((plain, 0.0), (lands, 1.0)):
        written = fixed_grid.parts_of(film, plain=plain, lands=lands)
        assert written[0] == pytest.approx(part)
        assert np.abs(written[1:]).max() < 1e-12


@pytest.mark.parametrize("lands", [None, numbers(4)])
def test_a_film_is_read_as_it_was_written(lands: FilmNumbers | None) -> None:
    plain, film = numbers(0), numbers(2)
    parts = fixed_grid.parts_of(film, plain=plain, lands=lands)
    found = fixed_grid.numbers_from(parts, plain=plain, lands=lands)
    assert found.along == pytest.approx(film.along)
    assert found.across == pytest.approx(film.across)
    assert found.peak == pytest.approx(film.peak)


@pytest.mark.parametrize(("node", "turn"), [(4, 0), (4, 9), (10, 20), (16, 32), (16, 50)])
def test_numbers_all_round_are_those_of_the_plain_map(node: int, turn: int) -> None:
    width = 0.5
    found = fixed_grid.numbers_all_round(written_map(width))
    ratio = eccentricity_at(node)
    beta = load_angle_at(node=turn, eccentricity_ratio=ratio)
    xi, eta = ratio * math.cos(beta), ratio * math.sin(beta)
    theirs = find_mobility(
        map_=finite_bearing_map(width_ratio=width), along_load=xi, across_load=eta
    )
    wanted = fixed_grid.numbers_of(
        along=np.array(theirs.along * width**2),
        across=np.array(theirs.across * width**2),
        peak=np.array(theirs.peak_pressure_ratio),
        xi=np.array(xi),
        eta=np.array(eta),
    )
    assert found.along[node, turn] == pytest.approx(wanted.along, abs=1e-6)
    assert found.across[node, turn] == pytest.approx(wanted.across, abs=1e-6)
    assert found.peak[node, turn] == pytest.approx(wanted.peak, abs=1e-6)
