"""The drawing of where to read: one mark at a time, well-formed, described in words."""

import xml.etree.ElementTree as ET
from dataclasses import replace

import pytest

from oilwedge.report.place_drawing import (
    Direction,
    Place,
    PlaceDrawing,
    PlaceShape,
    describe_places,
    place_svg,
)

SVG = "{http://www.w3.org/2000/svg}"
JOURNAL = PlaceDrawing(
    shape=PlaceShape.OUTSIDE,
    places=(Place(name="front", position=-1.0), Place(name="rear", position=1.0)),
    directions=(
        Direction(name="along", angle_deg=0.0),
        Direction(name="across", angle_deg=90.0),
    ),
    here_place="rear",
    here_direction="across",
)


def spots(drawing: PlaceDrawing) -> dict[str, bool]:
    """Every place and direction in the picture, and whether it is marked."""
    found = {}
    for group in ET.fromstring(place_svg(drawing)).iter(f"{SVG}g"):
        kinds = group.get("class", "").split()
        if "spot" in kinds:
            name = group.get("data-place") or group.get("data-direction") or ""
            found[name] = "here" in kinds
    return found


def arrow_ends(drawing: PlaceDrawing, attribute: str, name: str) -> tuple[float, ...]:
    """Where the line of a mark starts and ends."""
    for group in ET.fromstring(place_svg(drawing)).iter(f"{SVG}g"):
        if group.get(attribute) == name:
            path = group.find(f"{SVG}path")
            assert path is not None
            start, end = path.get("d", "")[1:].split("M")[0].split("L")
            return (*map(float, start.split()), *map(float, end.split()))
    raise AssertionError(name)


def test_one_place_and_one_direction_are_marked() -> None:
    assert spots(JOURNAL) == {"front": False, "rear": True, "along": False, "across": True}


def test_front_is_left_of_rear_and_directions_are_at_their_angles() -> None:
    front, rear = (arrow_ends(JOURNAL, "data-place", one) for one in ("front", "rear"))
    assert front[0] == front[2] < rear[0] == rear[2]
    x0, _, x1, _ = arrow_ends(JOURNAL, "data-direction", "along")
    assert x0 == pytest.approx(x1)
    _, y0, _, y1 = arrow_ends(JOURNAL, "data-direction", "across")
    assert y0 == pytest.approx(y1)


def test_the_split_is_drawn_where_one_reads_square_to_it() -> None:
    bore = replace(
        JOURNAL,
        shape=PlaceShape.INSIDE,
        directions=(Direction(name="square", angle_deg=0.0),),
        here_direction="square",
    )
    assert "split-line" in place_svg(bore)
    assert "across the split" in describe_places(bore)
    assert "split-line" not in place_svg(JOURNAL)
    cylinder = replace(JOURNAL, shape=PlaceShape.INSIDE)
    assert "split-line" not in place_svg(cylinder)


@pytest.mark.parametrize("shape", PlaceShape)
def test_every_shape_is_drawn_with_and_without_places(shape: PlaceShape) -> None:
    bare = PlaceDrawing(shape=shape)
    assert spots(bare) == {"": True}
    for drawing in (bare, replace(JOURNAL, shape=shape)):
        root = ET.fromstring(place_svg(drawing))
        assert root.find(f"{SVG}title") is not None
        assert root.find(f"{SVG}desc") is not None
        assert "style" not in place_svg(drawing)


def test_names_are_text_and_nothing_else() -> None:
    evil = '"><script>'
    drawing = replace(JOURNAL, places=(Place(name=evil, position=0.0),), here_place=evil)
    assert spots(drawing)[evil] is True
    assert "<script" not in place_svg(drawing)
