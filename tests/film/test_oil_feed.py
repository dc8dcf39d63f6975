"""Fresh oil: what grooves and holes feed, against flows worked from scratch."""

from __future__ import annotations

import math

import numpy as np
import pytest

from oilwedge.film.oil_feed import feed_flow_m3_s, fresh_share, mean_gap_number
from oilwedge.film.path_groove import NO_GROOVE, GroovePlace, PathGroove

D, L, C, ETA, P = 0.05, 0.022, 25e-6, 0.008, 3e5
FULL = GroovePlace(kind=PathGroove.FULL, width_m=4e-3)
HALF = GroovePlace(kind=PathGroove.HALF, width_m=4e-3)
HOLE = GroovePlace(kind=PathGroove.HOLE, width_m=5e-3)


def feed(place: GroovePlace, ratio: float = 0.0, clearance: float = C) -> float:
    return float(
        feed_flow_m3_s(
            place=place,
            diameter_m=D,
            width_m=L,
            radial_clearance_m=clearance,
            viscosity_pa_s=ETA,
            supply_pressure_pa=P,
            gap_number=1.0 + 1.5 * ratio**2,
        )
    )


@pytest.mark.parametrize("ratio", [0.0, 0.5, 0.9])
def test_a_full_groove_feeds_two_lands_like_slots(ratio: float) -> None:
    """Each land a slot of width a: ∫ h³ p/(12 η a) R dθ, h = C (1 + ε cos θ), by quadrature."""
    theta = np.linspace(0.0, 2.0 * np.pi, 2001)
    gap = (C * (1.0 + ratio * np.cos(theta))) ** 3
    land = float(np.trapezoid(gap, theta)) * D / 2.0 * P / (12.0 * ETA * 9e-3)
    assert feed(FULL, ratio) == pytest.approx(2.0 * land, rel=1e-6)


def test_a_half_groove_feeds_half_as_much() -> None:
    assert feed(HALF, 0.4) == pytest.approx(0.5 * feed(FULL, 0.4))


def test_a_hole_feeds_like_radial_flow_to_a_rim_within_the_correction_of_the_standard() -> None:
    """π h³ p/(6 η ln(L/d)) between two circles, over q (RECALLED, so that this holds its
    coefficients, not their truth): 1.204 + 0.368 x − 1.046 x² + 1.942 x³ at x = d/L."""
    between_circles = math.pi * C**3 * P / (6.0 * ETA * math.log(L / 5e-3))
    assert between_circles / feed(HOLE) == pytest.approx(1.257, abs=0.001)


def test_without_groove_or_pressure_nothing_is_fed() -> None:
    assert feed(NO_GROOVE) == 0.0


def test_twice_the_clearance_feeds_eight_times_as_much() -> None:
    assert feed(HOLE, 0.3, 2 * C) == pytest.approx(8.0 * feed(HOLE, 0.3))


def test_only_the_outer_edges_of_two_lands_are_fresh() -> None:
    assert [fresh_share(place) for place in (NO_GROOVE, HALF, HOLE, FULL)] == [1.0, 1.0, 1.0, 0.5]


def test_the_mean_gap_is_over_the_angle_and_not_over_the_rows() -> None:
    angle = np.array([0.0, 1.0, 4.0])
    path = np.array([[0.6, 0.0], [0.0, 0.6], [0.36, 0.48]])
    assert mean_gap_number(angle_rad=angle, path=path) == pytest.approx(1.54)
    uneven = np.array([[0.0, 0.0], [0.0, 0.0], [0.8, 0.0]])
    # squares 0, 0, 0.64: trapezia 0 and 0.96 over 4
    assert mean_gap_number(angle_rad=angle, path=uneven) == pytest.approx(1.0 + 1.5 * 0.24)
