"""Reading what a drawing of the film says: its parts by class, its words, its frame."""

from __future__ import annotations

import re
from xml.etree import ElementTree

Point = tuple[float, float]
LETTER = 0.5  # of the size: a letter is at least about this wide


def parts(svg: str, kind: str) -> list[ElementTree.Element]:
    """The elements of a class."""
    root = ElementTree.fromstring(svg)
    return [one for one in root.iter() if kind in one.get("class", "").split()]


def only(svg: str, kind: str) -> ElementTree.Element:
    found = parts(svg, kind)
    assert len(found) == 1, (kind, len(found))
    return found[0]


def centre(svg: str, kind: str) -> Point:
    one = only(svg, kind)
    return float(one.get("cx", "nan")), float(one.get("cy", "nan"))


def points(element: ElementTree.Element) -> list[Point]:
    pairs = re.findall(r"(-?[\d.]+) (-?[\d.]+)", element.get("d", ""))
    return [(float(x), float(y)) for x, y in pairs]


def words(svg: str) -> list[str]:
    root = ElementTree.fromstring(svg)
    return [one.text or "" for one in root.iter() if one.tag.endswith("}text")]


def check_drawing(svg: str) -> None:
    """Plain attributes only, a title and a description, and every word within the frame."""
    root = ElementTree.fromstring(svg)
    assert root.get("role") == "img"
    assert root.findtext("{*}title")
    assert root.findtext("{*}desc")
    assert "style" not in svg
    assert "<script" not in svg
    _, _, width, height = map(float, root.get("viewBox", "").split())
    for one in root.iter():
        if not one.tag.endswith("}text"):
            continue
        x, y = float(one.get("x", "nan")), float(one.get("y", "nan"))
        size = float(one.get("font-size", "nan"))
        long = LETTER * size * len(one.text or "")
        left = x - {"start": 0.0, "middle": long / 2.0, "end": long}[one.get("text-anchor", "")]
        said = one.text
        assert left >= -0.5, (said, left)
        assert left + long <= width + 0.5, (said, left + long)
        assert size <= y <= height, (said, y)
