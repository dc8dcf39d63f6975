"""Lines round a shaped gap: they meet the edges of the feed and crowd where the film is thin."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from oilwedge.film.film_grid import graded_angles
from oilwedge.film.shaped_grid import Grading, ring_angles


@given(st.floats(0.0, 0.99), st.floats(-7.0, 7.0), st.floats(-3.0, 3.0), st.floats(0.0, 6.0))
def test_lines_rise_once_round_and_meet_both_edges(
    e: float, start: float, thin: float, span: float
) -> None:
    stop = start + (span if span > 0.05 else 0.0)
    grading = Grading(eccentricity_ratio=e, thin_angle_rad=thin)
    angles = ring_angles(grading=grading, feed_from=start, feed_to=stop, count=100)
    assert angles.size == 201
    assert float(np.diff(angles).min()) > 0.0
    assert float(angles[-1] - angles[0]) == pytest.approx(2.0 * math.pi)
    assert float(np.abs(angles[::2] - stop).min()) < 1e-9


def test_from_the_largest_gap_the_lines_are_those_of_the_round_bearing() -> None:
    grading = Grading(eccentricity_ratio=0.8, thin_angle_rad=1.0)
    start = 1.0 - math.pi
    found = ring_angles(grading=grading, feed_from=start, feed_to=start, count=50)
    known = graded_angles(eccentricity_ratio=0.8, count=100)
    assert np.max(np.abs(found - start - known)) < 1e-9
