import itertools
import re
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from oilwedge.report.crank_drawing import (
    CrankDrawing,
    MainMark,
    RodMark,
    Stub,
    Throw,
    bearing_key,
    crank_svg,
    crank_text,
    describe_crank,
    drawing_states,
)
from oilwedge.report.crank_parts import elements_in_order
from oilwedge.report.encoding import Encoding
from oilwedge.report.state_sign import StateSign

SVG = "{http://www.w3.org/2000/svg}"
states = st.sampled_from(StateSign)
rods = st.builds(RodMark, label=st.text(max_size=10), state=states, stub=st.sampled_from(Stub))
throws = st.builds(
    Throw,
    angle_deg=st.floats(-1e6, 1e6),
    rods=st.lists(rods, min_size=0, max_size=2).map(tuple),
)
drawings = st.builds(
    CrankDrawing,
    mains=st.lists(st.builds(MainMark, label=st.text(max_size=10), state=states), max_size=17).map(
        tuple
    ),
    throws=st.lists(throws, min_size=1, max_size=16).map(tuple),
)


def _crank(*angles: float, mains: int | None = None, rods_per_throw: int = 1) -> CrankDrawing:
    return CrankDrawing(
        mains=tuple(
            MainMark(label=f"m{number}") for number in range(1, (mains or len(angles) + 1) + 1)
        ),
        throws=tuple(
            Throw(
                angle_deg=angle,
                rods=tuple(RodMark(label=f"{number}{'ab'[rod]}") for rod in range(rods_per_throw)),
            )
            for number, angle in enumerate(angles, start=1)
        ),
    )


def _label_place(svg: str, label: str) -> tuple[float, float]:
    for text in ElementTree.fromstring(svg).iter(f"{SVG}text"):
        if text.text == label:
            return float(text.get("x") or 0), float(text.get("y") or 0)
    raise AssertionError(f"{label} is not in the drawing")


def _row_of(lines: tuple[str, ...], text: str) -> int:
    return next(number for number, line in enumerate(lines) if text in line)


def _order(drawing: CrankDrawing) -> str:
    return "".join(
        "M" if isinstance(element, MainMark) else "T" for element in elements_in_order(drawing)
    )


def test_throws_stand_between_the_mains() -> None:
    assert _order(_crank(0, 180, 180, 0)) == "MTMTMTMTM"
    assert _order(_crank(0, 180, 180, 0, mains=3)) == "MTTMTTM"
    assert _order(_crank(0)) == "MTM"


def test_a_throw_stands_where_it_is_put() -> None:
    drawing = CrankDrawing(
        mains=(MainMark(label="1"), MainMark(label="2")),
        throws=(Throw(angle_deg=0, after_main=2), Throw(angle_deg=180, after_main=1)),
    )
    assert _order(drawing) == "MTMT"
    with pytest.raises(ValueError, match="after_main 3 is not between 0 and 2"):
        CrankDrawing(mains=drawing.mains, throws=(Throw(angle_deg=0, after_main=3),))


def test_a_throw_at_zero_points_up_and_at_half_a_turn_down() -> None:
    svg = crank_svg(_crank(0, 180))
    assert _label_place(svg, "1a")[1] < _label_place(svg, "2a")[1]
    lines = crank_text(_crank(0, 180))
    shaft = _row_of(lines, "front")
    assert _row_of(lines, "┌") == shaft - 2
    assert _row_of(lines, "1a") == shaft - 3
    assert max(number for number, line in enumerate(lines) if "└" in line) == shaft + 2


def test_the_height_of_a_throw_is_the_cosine_of_its_angle() -> None:
    svg = crank_svg(_crank(0, 60, 90, 120, 180))
    heights = [_label_place(svg, f"{number}a")[1] for number in range(1, 6)]
    # cos: 1, 1/2, 0, -1/2, -1: equal steps of half a throw radius
    assert [b - a for a, b in itertools.pairwise(heights)] == pytest.approx(
        [(heights[-1] - heights[0]) / 4] * 4, abs=0.02
    )


def test_the_front_is_at_the_left_and_cylinders_follow_it() -> None:
    svg = crank_svg(_crank(0, 120, 240))
    places = [_label_place(svg, label)[0] for label in ("front", "1a", "2a", "3a", "rear")]
    assert places == sorted(places)
    lines = crank_text(_crank(0, 120, 240))
    assert lines[_row_of(lines, "front")].startswith("front")


def test_two_rods_of_a_throw_stand_side_by_side() -> None:
    svg = crank_svg(_crank(0, rods_per_throw=2))
    (left, height), (right, other_height) = _label_place(svg, "1a"), _label_place(svg, "1b")
    assert left < right
    assert height == other_height


def test_a_rod_of_a_flat_engine_may_hang_below() -> None:
    drawing = CrankDrawing(
        mains=(MainMark(label="m1"), MainMark(label="m2")),
        throws=(Throw(angle_deg=0, rods=(RodMark(label="r1", stub=Stub.DOWN),)),),
    )
    lines = crank_text(drawing)
    assert _row_of(lines, "r1") == _row_of(lines, "┌") + 1
    svg = crank_svg(drawing)
    # the signs in their order: main m1, rod r1, main m2
    pin_y = float(re.findall(r"translate\([\d.]+ ([\d.]+)\)", svg)[1])
    assert _label_place(svg, "r1")[1] > pin_y
    assert _label_place(crank_svg(_crank(0)), "1a")[1] < pin_y


def test_each_bearing_carries_the_sign_of_its_state() -> None:
    drawing = CrankDrawing(
        mains=(MainMark(label="1", state=StateSign.TOO_TIGHT), MainMark(label="2")),
        throws=(Throw(angle_deg=0, rods=(RodMark(label="1", state=StateSign.LOOSE),)),),
    )
    text = "\n".join(crank_text(drawing))
    assert "[►◄]" in text
    assert "◒" in text
    assert set(drawing_states(drawing)) == {
        StateSign.TOO_TIGHT,
        StateSign.NOT_MEASURED,
        StateSign.LOOSE,
    }
    words = describe_crank(drawing)
    assert "main 1: too tight" in words
    assert "rod 1: loose" in words


def test_a_long_crank_goes_on_below_within_the_columns() -> None:
    drawing = _crank(*([0, 90, 270, 180] * 4))
    lines = crank_text(drawing, columns=80)
    assert max(len(line) for line in lines) <= 80
    text = "\n".join(lines)
    assert all(f"{number}a" in text for number in range(1, 17))
    assert all(f"m{number}" in text for number in range(1, 18))


def test_a_bearing_with_an_address_is_a_link_that_says_its_state() -> None:
    main = MainMark(label="1", state=StateSign.TOO_TIGHT)
    rod = RodMark(label="1")
    drawing = CrankDrawing(mains=(main,), throws=(Throw(angle_deg=0, rods=(rod,)),))
    links = {bearing_key(main): '/a?b=1&c="2"', bearing_key(rod): "/r"}
    picture = ElementTree.fromstring(crank_svg(drawing, links=links))
    assert picture.get("role") == "group"  # an image would hide its links from a screen reader
    found = [(a.get("href"), a.get("aria-label")) for a in picture.iter(f"{SVG}a")]
    assert found == [('/a?b=1&c="2"', "Main 1: too tight"), ("/r", "Rod 1: not measured")]
    assert all(a.findtext(f"{SVG}title") == a.get("aria-label") for a in picture.iter(f"{SVG}a"))


def test_every_bearing_of_a_doubled_drawing_can_be_touched_with_a_finger() -> None:
    drawing = _crank(0, 120, 240, rods_per_throw=2)
    marks = [*drawing.mains, *(rod for throw in drawing.throws for rod in throw.rods)]
    svg = crank_svg(drawing, links={bearing_key(mark): "/" for mark in marks}, scale=2)
    places = [
        r for r in ElementTree.fromstring(svg).iter(f"{SVG}rect") if r.get("class") == "touch"
    ]
    assert len(places) == len(marks)
    for place in places:
        assert 2 * float(place.get("width") or 0) >= 48
        assert 2 * float(place.get("height") or 0) >= 48


def test_a_bearing_without_an_address_is_no_link() -> None:
    assert "<a" not in crank_svg(_crank(0), links={"rod 9": "/"})


@given(drawings, st.sampled_from(Encoding))
@settings(max_examples=50)
def test_any_crank_can_be_drawn(drawing: CrankDrawing, encoding: Encoding) -> None:
    lines = crank_text(drawing, encoding=encoding)
    assert all(len(line) <= 80 for line in lines)
    if encoding is Encoding.ASCII:
        assert all(re.sub("\xa0", " ", line).isascii() for line in lines)
    assert ElementTree.fromstring(crank_svg(drawing)).get("role") == "img"
