from xml.etree import ElementTree

import pytest

from oilwedge.report.document import Figure
from oilwedge.report.figure_row import GAP_PX, figure_row
from oilwedge.report.svg_text import svg_picture


def drawing(name: str, width: float, height: float) -> Figure:
    svg = svg_picture(width=width, height=height, title=name, description=f"{name}!", body="")
    return Figure(svg=svg, caption=f"Caption {name}.", alternative_text=f"{name}!", text=name)


def test_drawings_stand_beside_each_other_at_their_own_size() -> None:
    row = figure_row([drawing("a", 340, 100), drawing("b", 200, 300)], title="Both")
    root = ElementTree.fromstring(row.svg)
    assert root.get("viewBox") == f"0 0 {540 + GAP_PX:g} 300"
    inner = root.findall("{*}svg")
    assert [one.get("x") for one in inner] == ["0", f"{340 + GAP_PX:g}"]
    assert [one.get("width") for one in inner] == ["340", "200"]


def test_their_words_are_all_there() -> None:
    row = figure_row([drawing("a", 1, 1), drawing("b", 1, 1)], title="Both")
    assert row.caption == "Caption a.\nCaption b."
    assert row.alternative_text == "a! b!"
    assert row.text == "a\n\nb"


def test_a_row_of_nothing_is_refused() -> None:
    with pytest.raises(ValueError, match="one figure"):
        figure_row([], title="x")
    with pytest.raises(ValueError, match="width and height"):
        figure_row([Figure(svg="<svg/>", alternative_text="")], title="x")
