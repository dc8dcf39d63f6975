"""A feed has the measures that go with its kind, and no others."""

from __future__ import annotations

import math
from typing import Any

import pytest

from oilwedge.errors import OutOfRangeError
from oilwedge.film.feed_place import AT_LARGEST_GAP, Feed, FeedPlace


def test_the_default_is_a_dry_line_at_the_largest_gap() -> None:
    assert AT_LARGEST_GAP.kind is Feed.AXIAL
    assert AT_LARGEST_GAP.angle_rad is None
    assert AT_LARGEST_GAP.supply_pressure_pa == 0.0


@pytest.mark.parametrize(
    ("begin", "end", "span"), [(90, 270, 180), (270, 90, 180), (-90, 90, 180), (350, 20, 30)]
)
def test_a_half_groove_goes_with_the_rotation(begin: float, end: float, span: float) -> None:
    feed = FeedPlace(
        kind=Feed.HALF,
        angle_rad=math.radians(begin),
        end_angle_rad=math.radians(end),
        width_m=0.003,
    )
    assert math.degrees(feed.span_rad) == pytest.approx(span)


@pytest.mark.parametrize(
    ("given", "words"),
    [
        ({"supply_pressure_pa": -1.0}, "0 or more"),
        ({"kind": Feed.NONE, "supply_pressure_pa": 1e5}, "needs a groove"),
        ({"kind": Feed.HOLE, "angle_rad": 0.0}, "needs the width"),
        ({"kind": Feed.HOLE, "width_m": 0.005}, "needs the angle"),
        ({"kind": Feed.HALF, "angle_rad": 0.0, "width_m": 0.003}, "where it ends"),
        (
            {"kind": Feed.HALF, "angle_rad": 0.0, "end_angle_rad": 0.05, "width_m": 0.003},
            "spans 10°",
        ),
        ({"width_m": 0.003}, "width of their own"),
        ({"width_m": -0.003}, "0 or more"),
        ({"angle_rad": math.nan}, "finite"),
        ({"kind": Feed.CIRCUMFERENTIAL, "width_m": 0.003, "angle_rad": 1.0}, "no angle"),
        ({"angle_rad": 0.0, "end_angle_rad": 1.0}, "nothing else"),
    ],
)
def test_what_does_not_go_with_the_kind_is_refused(given: dict[str, Any], words: str) -> None:
    with pytest.raises(OutOfRangeError, match=words):
        FeedPlace(**given)
