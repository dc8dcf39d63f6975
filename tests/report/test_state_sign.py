import itertools
from xml.etree import ElementTree

import pytest

from oilwedge.report.encoding import Encoding
from oilwedge.report.state_sign import StateSign, state_glyph, state_svg, states_in_order

SVG = "{http://www.w3.org/2000/svg}"


def _shapes(state: StateSign) -> list[ElementTree.Element]:
    group = ElementTree.fromstring(state_svg(state)).find(f"{SVG}g")
    assert group is not None
    return list(group)


@pytest.mark.parametrize("encoding", list(Encoding))
def test_no_two_states_share_a_glyph(encoding: Encoding) -> None:
    glyphs = {state_glyph(state, encoding=encoding) for state in StateSign}
    assert len(glyphs) == len(StateSign)
    assert {len(glyph) for glyph in glyphs} == {2}


def test_ascii_glyphs_are_ascii() -> None:
    assert all(state.ascii_glyph.isascii() for state in StateSign)


def test_no_two_states_share_a_drawing_or_words() -> None:
    for one, other in itertools.combinations(StateSign, 2):
        ones = [ElementTree.tostring(shape) for shape in _shapes(one)]
        others = [ElementTree.tostring(shape) for shape in _shapes(other)]
        assert ones != others
        assert one.words != other.words


def test_right_is_one_full_disc_and_close_adds_an_edge_beside_it() -> None:
    (disc,) = _shapes(StateSign.RIGHT)
    assert (disc.tag, disc.get("fill"), disc.get("stroke")) == (
        f"{SVG}circle",
        "currentColor",
        None,
    )
    close, edge = _shapes(StateSign.RIGHT_CLOSE)
    assert close.get("fill") == "currentColor"
    edge_x = float((edge.get("d") or "")[1:].split()[0])
    assert edge_x > float(close.get("cx") or 0) + float(close.get("r") or 0)


def test_not_measured_is_a_dot_smaller_than_any_disc() -> None:
    (dot,) = _shapes(StateSign.NOT_MEASURED)
    (disc,) = _shapes(StateSign.RIGHT)
    assert float(dot.get("r") or 0) < float(disc.get("r") or 0) / 3


def test_cannot_tell_is_a_dashed_ring_without_filling() -> None:
    (ring,) = _shapes(StateSign.CANNOT_TELL)
    assert ring.get("fill") == "none"
    assert ring.get("stroke-dasharray")


def test_disagreeing_readings_are_two_rings_at_different_places() -> None:
    one, other = _shapes(StateSign.READINGS_DISAGREE)
    assert (one.get("cx"), one.get("cy")) != (other.get("cx"), other.get("cy"))
    assert one.get("r") == other.get("r")
    assert one.get("fill") == other.get("fill") == "none"


def test_a_picture_names_its_state_for_a_screen_reader() -> None:
    picture = ElementTree.fromstring(state_svg(StateSign.TOO_TIGHT))
    assert picture.get("role") == "img"
    assert picture.findtext(f"{SVG}title") == "too tight"
    assert picture.findtext(f"{SVG}desc")


def test_a_legend_gives_each_state_once() -> None:
    given = [StateSign.LOOSE, StateSign.RIGHT, StateSign.LOOSE]
    assert states_in_order(given) == (StateSign.RIGHT, StateSign.LOOSE)
