"""What templates may write."""

from types import SimpleNamespace
from xml.etree import ElementTree

import pytest
from django.template import Context, Template, TemplateSyntaxError
from django.test import RequestFactory

from oilwedge.report.crank_drawing import CrankDrawing, MainMark, RodMark, Throw
from oilwedge.report.state_sign import StateSign
from oilwedge.report.window_sign import WindowMark, WindowSign
from oilwedge.web.look.icons import ICONS
from oilwedge.web.look.unit_choice import unit_of

SVG = "{http://www.w3.org/2000/svg}"


def _write(source: str, **context: object) -> str:
    return Template("{% load look %}" + source).render(Context(context)).strip()


def _asked(address: str, session: dict[str, object]) -> object:
    request = RequestFactory().get(address)
    request.session = session  # type: ignore[assignment]
    return request


@pytest.mark.parametrize("state", StateSign)
def test_a_state_is_said_once_in_words_and_shown_as_a_shape(state: StateSign) -> None:
    written = _write("{% state_sign state %}", state=state)
    assert "".join(ElementTree.fromstring(written).itertext()).strip() == state.words
    assert 'aria-hidden="true"' in written
    assert f"state-{state.value.replace('_', '-')}" in written


def test_a_kind_of_fit_has_its_own_words_and_they_are_never_markup() -> None:
    written = _write("{% state_sign s words %}", s=StateSign.TOO_TIGHT, words="too <b>small")
    assert "too &lt;b&gt;small" in written
    assert "too tight" not in written


def test_a_shape_alone_says_its_words_to_a_screen_reader() -> None:
    picture = ElementTree.fromstring(_write("{% state_shape state %}", state=StateSign.LOOSE))
    svg = picture.find(f"{SVG}svg")
    assert svg is not None
    assert svg.get("role") == "img"
    assert svg.findtext(f"{SVG}title") == "loose"


def test_named_ways_stand_each_under_its_name_at_one_scale() -> None:
    marks = (
        WindowMark(label="gauge", value=0.03, half_width=0.004),
        WindowMark(label="<strip>", value=0.09, half_width=0.01),
    )
    written = _write("{% window_sign sign %}", sign=WindowSign(low=0.02, high=0.05, marks=marks))
    whole = ElementTree.fromstring(written)
    assert [one.text for one in whole.findall("span")] == ["gauge", "<strip>"]
    drawings = whole.findall(f"{SVG}svg")
    inside = [one.find(f"{SVG}rect[@class='inside']") for one in drawings]
    assert len(inside) == 2
    assert len({(r.get("x"), r.get("width")) for r in inside if r is not None}) == 1
    described = [one.findtext(f"{SVG}desc") or "" for one in drawings]
    assert described[0].startswith("Gauge: inside")
    assert "above the build window" in described[1]


def test_marks_without_limits_share_a_scale_too() -> None:
    marks = (WindowMark(label="a", value=1.0), WindowMark(label="b", value=3.0))
    whole = ElementTree.fromstring(_write("{% window_sign s %}", s=WindowSign(marks=marks)))
    first, second = (float(one.get("cx") or 0) for one in whole.iter(f"{SVG}circle"))
    assert first < second


def test_one_mark_that_cannot_make_a_scale_is_drawn_all_the_same() -> None:
    sign = WindowSign(marks=(WindowMark(label="a", value=0.0),))
    assert "<circle" in _write("{% window_sign sign %}", sign=sign)


def test_the_crank_is_a_way_in_where_it_has_addresses() -> None:
    drawing = CrankDrawing(
        mains=(MainMark(label="1"),), throws=(Throw(angle_deg=0, rods=(RodMark(label="1"),)),)
    )
    written = _write("{% crank d links %}", d=drawing, links={"rod 1": "/jobs/1/"})
    assert written.count("<a ") == 1
    assert 'href="/jobs/1/"' in written
    assert "<a " not in _write("{% crank d %}{% crank_small d %}", d=drawing)


@pytest.mark.parametrize("name", ICONS)
def test_an_icon_is_a_decoration(name: str) -> None:
    svg = ElementTree.fromstring(_write("{% icon name %}", name=name))
    assert svg.get("aria-hidden") == "true"


def test_a_name_without_an_icon_stops_the_template() -> None:
    with pytest.raises(TemplateSyntaxError, match="no icon 'lightning'; there are add, back"):
        _write('{% icon "lightning" %}')


def test_a_value_its_uncertainty_and_its_unit_are_one_thing() -> None:
    written = _write("{{ text|quantity }}", text="0.038 ± 0.006 mm")
    assert written == '<span class="quantity">0.038\xa0±\xa00.006\xa0mm</span>'
    assert "&lt;" in _write("{{ text|quantity }}", text="<b>")


def test_a_unit_is_kept_for_the_session_and_an_unknown_one_is_not() -> None:
    session: dict[str, object] = {}
    assert unit_of(_asked("/", session)) == "mm"  # type: ignore[arg-type]
    assert session == {}
    assert unit_of(_asked("/?unit=in", session)) == "in"  # type: ignore[arg-type]
    assert unit_of(_asked("/?unit=furlong", session)) == "in"  # type: ignore[arg-type]
    assert session == {"unit": "in"}


def test_the_switch_of_units_keeps_what_else_was_asked() -> None:
    request = _asked("/jobs/?page=2&unit=thou", {})
    written = _write("{% unit_switch %}", request=request)
    found = [one.get("href") for one in ElementTree.fromstring(written)]
    assert found == ["?page=2&unit=mm", "?page=2&unit=in", "?page=2&unit=thou"]
    assert written.count("aria-current") == 1
    assert _write("{% unit_switch %}") == ""


def test_only_the_places_that_rights_open_are_shown() -> None:
    request = _asked("/", {})
    written = _write("{% places %}", request=request, may=SimpleNamespace(people=True))
    assert "People" in written
    assert "Shelf" not in written
    assert _write("{% places %}", request=request, may=SimpleNamespace()) == ""


def test_a_chosen_theme_is_written_into_the_page_and_nonsense_is_not() -> None:
    for cookie, theme in (("dark", "dark"), ("light", "light"), ('"><script>', "")):
        request = RequestFactory().get("/")
        request.COOKIES["oilwedge_theme"] = cookie
        assert _write("{% theme_choice %}", request=request) == theme
