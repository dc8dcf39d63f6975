"""Every piece of the look on invented pages, in three sizes, light, dark and print."""

import types
from collections.abc import Callable
from http import HTTPStatus
from pathlib import Path
from typing import Any

import pytest
from django.contrib.staticfiles import finders
from django.http import HttpResponse
from django.template import engines
from django.test import RequestFactory
from django.urls import include, path, set_urlconf
from playwright.sync_api import Page, Route

from oilwedge.report.crank_drawing import CrankDrawing, MainMark, RodMark, Throw, bearing_key
from oilwedge.report.form_drawings import FormWord
from oilwedge.report.state_sign import StateSign
from oilwedge.report.window_sign import WindowMark, WindowSign
from oilwedge.web.look.icons import ICONS
from oilwedge.web.people.models import Account, Role

GALLERY = Path(__file__).parent / "gallery"
PAGES = sorted(one.stem for one in GALLERY.glob("*.html"))
ADDRESS = "http://bench.test/"
SIZES = ("phone", "tablet", "desktop")
# The policy of the bench: nothing inline, nothing from outside.
POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:;"
    " font-src 'self'; connect-src 'self'; form-action 'self'; base-uri 'none'"
)


def _nowhere(request: object) -> HttpResponse:
    return HttpResponse()


def _places() -> types.ModuleType:
    """Addresses for what the head of a page links to."""
    urls = types.ModuleType("gallery_urls")
    names = {
        "bench": [("", "work")],
        "engines": [("engines/", "list")],
        "shelf": [("shelf/", "list")],
        "classroom": [("classes/", "list")],
        "people": [("people/", "list"), ("logout", "logout"), ("me", "me")],
    }
    urls.urlpatterns = [  # type: ignore[attr-defined]
        path("", include(([path(at, _nowhere, name=name) for at, name in found], app)))
        for app, found in names.items()
    ]
    return urls


def _crank() -> CrankDrawing:
    states = list(StateSign)
    return CrankDrawing(
        mains=tuple(MainMark(label=str(n), state=states[n % 3 * 4]) for n in range(1, 6)),
        throws=tuple(
            Throw(angle_deg=angle, rods=(RodMark(label=str(n), state=states[2 * n - 1]),))
            for n, angle in enumerate((0, 180, 180, 0), start=1)
        ),
    )


def _window(*marks: WindowMark) -> WindowSign:
    return WindowSign(low=0.025, high=0.050, service_high=0.070, marks=marks)


def _context() -> dict[str, Any]:
    drawing = _crank()
    marks = [*drawing.mains, *(rod for throw in drawing.throws for rod in throw.rods)]
    fits = (
        ("Rod bearing 3", "0.074 ± 0.006 mm", StateSign.PAST_SERVICE, 0.074, 0.006),
        ("Rod bearing 1", "0.058 ± 0.006 mm", StateSign.LOOSE, 0.058, 0.006),
        ("Main bearing 2", "0.049 ± 0.006 mm", StateSign.CANNOT_TELL, 0.049, 0.006),
        ("Main bearing 4", "0.038 ± 0.004 mm", StateSign.RIGHT, 0.038, 0.004),
    )
    return {
        "drawing": drawing,
        "links": {bearing_key(mark): "/jobs/24-017/measure/" for mark in marks},
        "states": (StateSign.RIGHT, StateSign.LOOSE, StateSign.PAST_SERVICE),
        "fits": [
            {
                "name": name,
                "value": value,
                "state": state,
                "window": _window(WindowMark(value=number, half_width=off)),
            }
            for name, value, state, number, off in fits
        ],
        "ways": _window(
            WindowMark(label="micrometer and bore gauge", value=0.058, half_width=0.006),
            WindowMark(label="flattened strip", value=0.051, half_width=0.013),
        ),
        "word": FormWord.HOURGLASS,
        "loose": StateSign.LOOSE,
        "unsure": StateSign.CANNOT_TELL,
        "all_states": tuple(StateSign),
        "icons": tuple(ICONS),
        "shop_name": "Invented Engine Works",
    }


def show(page: Page, name: str) -> None:
    """Render an invented page and serve it, with its static files, from memory."""
    request = RequestFactory().get("/jobs/24-017/" if name in {"job", "measure"} else "/")
    request.user = Account(username="ines", full_name="Ines Invented", role=Role.LEAD)
    request.session = {}  # type: ignore[assignment]
    set_urlconf(_places())
    try:
        template = engines["django"].from_string((GALLERY / f"{name}.html").read_text("utf-8"))
        html = template.render(_context(), request)
    finally:
        set_urlconf(None)

    def answer(route: Route) -> None:
        place = route.request.url.removeprefix(ADDRESS).split("?")[0]
        if place.startswith("static/"):
            found = finders.find(place.removeprefix("static/"))
            route.fulfill(path=str(found)) if found else route.fulfill(status=404)
        else:
            headers = {"Content-Security-Policy": POLICY}
            route.fulfill(body=html, content_type="text/html; charset=utf-8", headers=headers)

    page.context.route(ADDRESS + "**", answer)
    answered = page.goto(ADDRESS)
    assert answered is not None
    assert answered.status == HTTPStatus.OK
    page.wait_for_load_state("networkidle")


@pytest.mark.slow
@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("size", [*SIZES, "small"])
@pytest.mark.parametrize("name", PAGES)
def test_a_page_can_be_read_and_touched(
    name: str,
    size: str,
    scheme: str,
    page_at: Callable[..., Page],
    axe: Callable[..., None],
    picture: Callable[..., Path],
    fits_the_screen: Callable[[Page], None],
) -> None:
    page = page_at(size, scheme=scheme)
    show(page, name)
    picture(page, f"look-{name}-{size}-{scheme}")
    fits_the_screen(page)
    axe(page)


@pytest.mark.slow
@pytest.mark.parametrize("name", PAGES)
def test_a_page_prints_black_on_white(
    name: str, page_at: Callable[..., Page], picture: Callable[..., Path]
) -> None:
    page = page_at("desktop", scheme="dark", options={"viewport": {"width": 720, "height": 1000}})
    show(page, name)
    page.emulate_media(media="print")
    picture(page, f"look-{name}-print")
    colours = page.evaluate(
        "[getComputedStyle(document.body).backgroundColor, getComputedStyle(document.body).color]"
    )
    assert colours == ["rgb(255, 255, 255)", "rgb(0, 0, 0)"]
    assert page.locator("nav, .actions, button, form").filter(visible=True).count() == 0


def test_the_house_typeface_is_loaded_and_nothing_is_missing(page_at: Callable[..., Page]) -> None:
    page = page_at("phone")
    show(page, "job")
    loaded = page.evaluate(
        "[...document.fonts].filter(f => f.status === 'loaded').map(f => f.family)"
    )
    assert {name.strip('"') for name in loaded} == {"Oilwedge Sans", "Oilwedge Mono"}


def test_a_page_is_whole_in_the_colours_of_the_system(
    page_at: Callable[..., Page], picture: Callable[..., Path]
) -> None:
    page = page_at("desktop", options={"forced_colors": "active"})
    show(page, "job")
    picture(page, "look-job-forced-colours")
    button = page.locator(".button").first
    assert button.evaluate("one => getComputedStyle(one).borderStyle") == "solid"


def test_the_switch_of_colours_is_kept_and_goes_back_to_the_system(
    page_at: Callable[..., Page],
) -> None:
    page = page_at("phone", scheme="light")
    show(page, "work")
    ground = "getComputedStyle(document.body).backgroundColor"
    light = page.evaluate(ground)
    page.get_by_role("button", name="dark").click()
    assert page.evaluate(ground) != light
    assert page.get_by_role("button", name="dark").get_attribute("aria-pressed") == "true"
    kept = {one.get("name"): one.get("value") for one in page.context.cookies()}
    assert kept == {"oilwedge_theme": "dark"}
    page.get_by_role("button", name="as the system").click()
    assert page.evaluate(ground) == light
    assert page.context.cookies() == []


def test_a_page_says_that_the_connection_is_gone_and_when_it_is_back(
    page_at: Callable[..., Page], picture: Callable[..., Path], axe: Callable[..., None]
) -> None:
    page = page_at("phone")
    show(page, "measure")
    line = page.locator("#connection")
    assert not line.is_visible()
    page.context.set_offline(True)
    line.filter(has_text="No connection: readings are kept here.").wait_for()
    picture(page, "look-measure-offline")
    axe(page)
    page.context.set_offline(False)
    line.filter(has_not_text="No").wait_for(state="hidden")


def test_the_way_to_the_content_is_the_first_stop_of_the_keyboard(
    page_at: Callable[..., Page], picture: Callable[..., Path]
) -> None:
    page = page_at("desktop")
    show(page, "job")
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.textContent") == "To the page's content"
    picture(page, "look-job-focus-first", whole=False)
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")
    bearing = page.evaluate("document.activeElement.getAttribute('aria-label')")
    assert bearing == "Main 1: past service limit"
    picture(page, "look-job-focus-bearing", whole=False)


def test_every_bearing_of_the_crank_is_as_wide_as_a_finger(page_at: Callable[..., Page]) -> None:
    page = page_at("small")
    show(page, "job")
    boxes = [one.bounding_box() for one in page.locator(".bearing .touch").all()]
    assert len(boxes) == 9
    assert all(box and min(box["width"], box["height"]) >= 48 for box in boxes)


def test_the_number_being_measured_is_large_on_a_phone(page_at: Callable[..., Page]) -> None:
    page = page_at("phone")
    show(page, "measure")
    size = page.locator("input.big-number").evaluate("one => getComputedStyle(one).fontSize")
    assert float(size.removesuffix("px")) >= 3.5 * 16


def test_a_renewed_part_of_a_page_stays_where_it_was(page_at: Callable[..., Page]) -> None:
    page = page_at("phone")
    show(page, "job")
    page.evaluate("document.querySelector('.crank').scrollLeft = 200")
    renewed = page.evaluate("""() => {
      const tell = (name) => document.body.dispatchEvent(new CustomEvent(name, {bubbles: true}));
      tell('htmx:beforeSwap');
      const now = document.querySelector('.figure');
      now.outerHTML = now.outerHTML;
      tell('htmx:afterSettle');
      return document.querySelector('.crank').scrollLeft;
    }""")
    assert renewed == 200
