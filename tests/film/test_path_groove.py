"""A groove or hole says its width, or nothing."""

from __future__ import annotations

import math

import pytest

from oilwedge.errors import InputError
from oilwedge.film.path_groove import NO_GROOVE, GroovePlace, PathGroove


def test_without_a_word_there_is_no_groove() -> None:
    assert GroovePlace() == NO_GROOVE
    assert NO_GROOVE.kind is PathGroove.NONE


@pytest.mark.parametrize(
    ("kind", "width_m", "angle_rad", "said"),
    [
        (PathGroove.HALF, 0.0, 0.0, "width of the groove has to be above 0"),
        (PathGroove.HOLE, -0.001, 0.0, "diameter of the hole has to be above 0"),
        (PathGroove.FULL, math.inf, 0.0, "above 0 and narrower than the bearing"),
        (PathGroove.NONE, 0.004, 0.0, "none is wide"),
        (PathGroove.HALF, 0.004, math.nan, "place is an angle"),
    ],
)
def test_what_is_no_groove_is_refused(
    kind: PathGroove, width_m: float, angle_rad: float, said: str
) -> None:
    with pytest.raises(InputError, match=said):
        GroovePlace(kind=kind, width_m=width_m, angle_rad=angle_rad)
