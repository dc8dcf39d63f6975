"""The groove of one bearing from what a person typed."""

from __future__ import annotations

import math

import pytest

from oilwedge.errors import InputError
from oilwedge.film.path_groove import NO_GROOVE, GroovePlace
from oilwedge.usecases.film_groove import PathGroove, groove_words, read_groove


def test_a_groove_is_read_with_its_units() -> None:
    half = read_groove(kind=PathGroove.HALF, width="4mm", angle="90deg")
    assert half == GroovePlace(kind=PathGroove.HALF, width_m=0.004, angle_rad=half.angle_rad)
    assert half.angle_rad == pytest.approx(math.pi / 2.0)
    hole = read_groove(kind=PathGroove.HOLE, width="0.005m", angle="")
    assert (hole.width_m, hole.angle_rad) == (0.005, 0.0)
    assert read_groove(kind=PathGroove.NONE, width="", angle="") == NO_GROOVE


@pytest.mark.parametrize(
    ("kind", "width", "angle", "said"),
    [
        (PathGroove.NONE, "4mm", "", "--groove full, half or hole"),
        (PathGroove.NONE, "", "90deg", "neither width nor place"),
        (PathGroove.HALF, "", "90deg", "needs its width"),
        (PathGroove.FULL, "4mm", "90deg", "no place of its own"),
        (PathGroove.HALF, "4", "", "--groove-width"),
        (PathGroove.HOLE, "4mm", "x", "--groove-angle"),
        (PathGroove.HALF, "-4mm", "", "above 0"),
    ],
)
def test_what_says_nothing_of_this_groove_is_refused(
    kind: PathGroove, width: str, angle: str, said: str
) -> None:
    with pytest.raises(InputError) as caught:
        read_groove(kind=kind, width=width, angle=angle)
    assert said in str(caught.value)


@pytest.mark.parametrize(
    ("kind", "words"),
    [
        (PathGroove.FULL, "full groove 4.0 mm wide in the middle, which leaves two lands"),
        (PathGroove.HALF, "half groove 4.0 mm wide in the middle, about 90°"),
        (PathGroove.HOLE, "oil hole of 4.0 mm in the middle, at 90°"),
    ],
)
def test_a_groove_is_told_in_words(kind: PathGroove, words: str) -> None:
    place = GroovePlace(kind=kind, width_m=0.004, angle_rad=math.pi / 2.0)
    assert groove_words(place) == f"{words}, at ambient pressure"
    assert groove_words(NO_GROOVE) == "no groove"
