import math
import re
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from oilwedge.report.window import Bound, WindowMark, WindowSign, window_svg

SVG = "{http://www.w3.org/2000/svg}"
finite = st.floats(allow_nan=False, allow_infinity=False)


def _dots(svg: str) -> list[tuple[float, float]]:
    circles = ElementTree.fromstring(svg).iter(f"{SVG}circle")
    return [(float(dot.get("cx") or 0), float(dot.get("cy") or 0)) for dot in circles]


def _bracket_places(svg: str) -> list[float]:
    """The x of the upright of each bracket: M x+serif top H x V bottom H x+serif."""
    return [float(x) for x in re.findall(r'd="M[\d.]+ [\d.]+H([\d.]+)V', svg)]


def _sign(*values: float) -> WindowSign:
    marks = tuple(WindowMark(value=value) for value in values)
    return WindowSign(low=0.021, high=0.049, service_high=0.060, marks=marks)


def test_the_middle_of_the_window_is_drawn_midway_between_the_brackets() -> None:
    svg = window_svg(_sign(0.035))
    low, high = _bracket_places(svg)
    ((x, _),) = _dots(svg)
    assert x == pytest.approx((low + high) / 2, abs=0.02)


def test_distances_are_true_to_scale() -> None:
    svg = window_svg(_sign(0.021, 0.028, 0.049, 0.056))
    xs = [x for x, _ in _dots(svg)]
    # 7, 21 and 7 µm apart
    assert xs[2] - xs[1] == pytest.approx(3 * (xs[1] - xs[0]), abs=0.05)
    assert xs[3] - xs[2] == pytest.approx(xs[1] - xs[0], abs=0.05)


def test_a_whisker_reaches_its_uncertainty_to_each_side() -> None:
    marks = (WindowMark(value=0.035, half_width=0.014),)
    svg = window_svg(WindowSign(low=0.021, high=0.049, marks=marks))
    ends = re.search(r'd="M([\d.]+) [\d.]+H([\d.]+)"[^>]*stroke-width="1.3"', svg)
    assert ends is not None
    # 0.035 - 0.014 and 0.035 + 0.014 are the limits themselves
    assert [float(end) for end in ends.groups()] == pytest.approx(_bracket_places(svg))


def test_marks_stand_one_under_another() -> None:
    ys = [y for _, y in _dots(window_svg(_sign(0.03, 0.03, 0.03)))]
    assert ys == sorted(set(ys))


def test_labels_do_not_move_the_scale_where_the_room_is_given() -> None:
    with_label = WindowSign(low=0.0, high=1.0, marks=(WindowMark(label="strip", value=0.5),))
    without = WindowSign(low=0.0, high=1.0, marks=(WindowMark(value=0.5),))
    assert _dots(window_svg(with_label, label_room=40)) == _dots(window_svg(without, label_room=40))


def test_a_bound_has_no_dot() -> None:
    sign = WindowSign(low=0.0, high=1.0, marks=(WindowMark(value=0.5, bound=Bound.AT_LEAST),))
    assert _dots(window_svg(sign)) == []


def test_the_picture_has_title_and_description_and_no_style() -> None:
    svg = window_svg(_sign(0.03))
    picture = ElementTree.fromstring(svg)
    assert picture.get("role") == "img"
    assert picture.findtext(f"{SVG}title")
    assert picture.findtext(f"{SVG}desc")
    assert "style" not in svg
    # a class may change what stands there already, and nothing is drawn by a class alone
    for element in picture.iter():
        assert element.get("class") is None or element.get("fill") or element.get("stroke")


def test_a_label_is_text_and_never_markup() -> None:
    label = '<script>"&#'
    sign = WindowSign(low=0.0, high=1.0, marks=(WindowMark(label=label, value=0.5),))
    texts = [text.text for text in ElementTree.fromstring(window_svg(sign)).iter(f"{SVG}text")]
    assert texts == [label]


@given(
    low=finite,
    width=st.floats(0, 1e300),
    values=st.lists(finite, max_size=4),
    label=st.text(max_size=30),
    half_width=st.none() | st.floats(min_value=0, max_value=math.inf),
)
def test_any_numbers_and_labels_give_a_picture_with_dots_in_order(
    low: float, width: float, values: list[float], label: str, half_width: float | None
) -> None:
    marks = tuple(
        WindowMark(label=label, value=value, half_width=half_width) for value in sorted(values)
    )
    high = low + width if math.isfinite(low + width) else None
    svg = window_svg(WindowSign(low=low, high=high, marks=marks))
    assert "nan" not in svg
    assert "inf" not in re.sub(r"<(title|desc|text).*?</\1>", "", svg)
    xs = [x for x, _ in _dots(svg)]
    assert xs == sorted(xs)
    assert all(0 <= x <= 230 for x in xs)
