"""The pages of a job in a real browser: no rule of accessibility broken, nothing too wide."""

from __future__ import annotations

import pytest
from django.urls import reverse

pytestmark = [pytest.mark.slow, pytest.mark.django_db(transaction=True)]

PAGES = {
    "work": ("work", ()),
    "new": ("new", ()),
    "job": ("job", ("demo-4",)),
    "job-single": ("job", ("demo-1",)),
    "fit": ("fit", ("demo-4", "rod_bearing", 3)),
    "fit-disagree": ("fit", ("demo-4", "main_bearing", 2)),
    "fit-hidden": ("fit", ("demo-4", "rod_bearing", 1)),
    "budget": ("budget", ("demo-4", "rod_bearing", 3)),
    "film": ("film", ("demo-4",)),
    "film-bearing": ("film_bearing", ("demo-4", "rod_bearing", 3)),
    "film-none": ("film_bearing", ("demo-4", "main_bearing", 2)),
    "record": ("record", ("demo-4",)),
    "parts": ("parts", ("demo-4",)),
    "notes": ("notes", ("demo-4",)),
    "sign": ("sign", ("demo-4",)),
    "close": ("close", ("demo-4",)),
    "owner": ("owner", ("demo-4",)),
    "photos": ("photos", ("demo-4",)),
    "changes": ("changes", ("demo-4",)),
    "sheet": ("sheet", ("demo-4",)),
}


@pytest.mark.parametrize(
    ("size", "scheme"),
    [("phone", "light"), ("phone", "dark"), ("tablet", "light"), ("desktop", "dark")],
)
def test_every_page_is_within_the_rules(
    live_server,
    demo_shop,
    as_person,
    page_at,
    lend_session,
    picture,
    axe,
    fits_the_screen,
    size,
    scheme,
    monkeypatch,
):
    monkeypatch.setattr("oilwedge.web.bench.films.DRAWS", 200)  # what is looked at is the page
    page = page_at(size, scheme=scheme)
    lend_session(page, as_person("lena"), live_server.url)
    faults = []
    for name, (view, args) in PAGES.items():
        page.goto(live_server.url + reverse(f"bench:{view}", args=args))
        page.wait_for_load_state("networkidle")
        picture(page, f"bench-{name}-{size}-{scheme}")
        for check in (axe, fits_the_screen):
            try:
                check(page)
            except AssertionError as error:
                faults.append(f"{name}: {error}")
    assert not faults, "\n".join(faults)


def test_an_empty_shop_in_a_browser(
    live_server, db, as_person, page_at, lend_session, picture, axe, fits_the_screen
):
    page = page_at("phone")
    lend_session(page, as_person("lena"), live_server.url)
    page.goto(live_server.url)
    picture(page, "bench-first-phone-light")
    axe(page)
    fits_the_screen(page)
    page.get_by_role("link", name="New job").click()
    picture(page, "bench-new-empty-phone-light")
    axe(page)
    fits_the_screen(page)


def test_a_second_screen_follows_and_stays_where_it_was(
    live_server, demo_shop, as_person, page_at, lend_session
):
    page = page_at("tablet")
    lend_session(page, as_person("lena"), live_server.url)
    page.goto(f"{live_server.url}/jobs/demo-4/")
    page.locator("#sets-done summary").click()
    before = page.locator("#now").get_attribute("hx-headers")
    answers = []
    page.on("response", lambda one: answers.append(one.status) if "/now" in one.url else None)
    page.wait_for_timeout(6_000)
    assert answers
    assert set(answers) == {304}  # nothing changed: nothing was sent
    form = {"kind": "note", "text": "seen from the other side"}
    as_person("ben").post("/jobs/demo-4/notes", form)
    page.wait_for_function(
        "(before) => document.getElementById('now').getAttribute('hx-headers') !== before",
        arg=before,
        timeout=15_000,
    )
    page.wait_for_selector("#sets-done[open]", state="attached")
    as_person("ben").post("/jobs/demo-4/notes", form)
    page.wait_for_timeout(6_000)
    assert 200 in answers


def test_a_bearing_that_has_the_focus_keeps_it_when_the_page_is_renewed(
    live_server, demo_shop, as_person, page_at, lend_session
):
    page = page_at("desktop")
    client = as_person("lena")
    lend_session(page, client, live_server.url)
    page.goto(f"{live_server.url}/jobs/demo-4/")
    link = page.locator("#now a[href$='/measure/main_journal/3/']").first
    link.focus()
    client.post("/jobs/demo-4/notes", {"kind": "note", "about": "", "text": "seen"})
    with page.expect_response(lambda one: one.url.endswith("/now") and one.status == 200):
        pass
    page.wait_for_timeout(400)
    assert page.evaluate("document.activeElement.getAttribute('href')") == (
        "/jobs/demo-4/measure/main_journal/3/"
    )
