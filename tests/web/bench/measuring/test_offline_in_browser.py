"""Readings that are taken without a connection: kept, sent in order, once."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import BrowserContext, Page, Playwright, Route, expect

from oilwedge.web.record.models import JobEntry

pytestmark = [pytest.mark.slow, pytest.mark.django_db(transaction=True)]

# Said by the browser when a test cuts the network or lets a session end, and of a header that
# means nothing outside a secure context; no fault of the page.
CUT = (r"Failed to load resource", r"net::ERR_", r"Cross-Origin-Opener-Policy")
STANDING = ("47.972", "47.970", "47.971", "47.969")


@pytest.fixture
def cut_page(
    open_measure: Callable[..., Page],
    make_job: Callable[..., Any],
    shop_revision: Any,
    events_in: Callable[[str], list[Any]],
) -> Page:
    """The first set of a job on a phone, questions answered, ready for its first value."""
    make_job()
    page = open_measure(expected=CUT)
    for answer in ("standard", "Re-used"):
        page.locator("#question").get_by_role("button", name=answer, exact=True).click()
    for _ in range(100):
        if len(events_in("J1")) == 2:
            break
        page.wait_for_timeout(50)
    return page


def take(page: Page, text: str) -> None:
    page.locator("#typed").fill(text)
    page.keyboard.press("Enter")


def worker_is_ready(page: Page) -> None:
    """The worker has the page and its files."""
    page.wait_for_function(
        """async () => {
          const names = await caches.keys();
          const pages = names.find((one) => one.startsWith('oilwedge-pages-'));
          if (!pages || !names.includes('oilwedge-files')) return false;
          const kept = await (await caches.open(pages)).keys();
          const files = await (await caches.open('oilwedge-files')).keys();
          return kept.length > 0 && files.some((one) => one.url.endsWith('/measure.js'))
            && files.some((one) => one.url.endsWith('/resolve.js'));
        }"""
    )


def has_readings(readings_in: Callable[[str], list[Any]], page: Page, count: int) -> list[Any]:
    """Waits until the record holds so many readings."""
    for _ in range(100):
        found = readings_in("J1")
        if len(found) >= count:
            return found
        page.wait_for_timeout(100)
    return readings_in("J1")


def test_readings_taken_without_a_connection_are_sent_in_order_when_it_is_back(
    cut_page: Page, readings_in: Callable[[str], list[Any]]
) -> None:
    page = cut_page
    take(page, STANDING[0])
    has_readings(readings_in, page, 1)
    page.context.set_offline(True)
    for text in STANDING[1:]:
        take(page, text)
    expect(page.locator("#queue")).to_contain_text("3 readings wait here")
    expect(page.locator("#connection")).to_contain_text("kept on this device")
    expect(page.locator("#next")).to_contain_text("rod bearing bore 1")
    assert len(readings_in("J1")) == 1
    page.context.set_offline(False)
    found = has_readings(readings_in, page, 4)
    assert [one.text for one in found] == list(STANDING)
    expect(page.locator("#queue")).to_be_hidden()
    expect(page.locator("#connection")).to_be_empty()
    expect(page.locator("#result")).to_contain_text("mean")


def test_measuring_goes_on_to_the_next_set_without_a_connection(
    cut_page: Page, readings_in: Callable[[str], list[Any]]
) -> None:
    page = cut_page
    page.wait_for_function("document.querySelector('#next').textContent.includes('bore')")
    page.context.set_offline(True)
    for text in STANDING:
        take(page, text)
    page.locator("#next").click()
    expect(page.locator("#set-title")).to_have_text("Rod bearing bore 1")
    for answer in ("standard", "Re-used"):
        page.locator("#question").get_by_role("button", name=answer, exact=True).click()
    take(page, "48.010")
    page.context.set_offline(False)
    found = has_readings(readings_in, page, 5)
    assert [one.text for one in found] == [*STANDING, "48.010"]


def test_a_reload_without_a_connection_shows_the_page_and_what_waits(
    cut_page: Page, readings_in: Callable[[str], list[Any]]
) -> None:
    page = cut_page
    worker_is_ready(page)
    take(page, STANDING[0])
    has_readings(readings_in, page, 1)
    page.context.set_offline(True)
    take(page, STANDING[1])
    expect(page.locator("#taken")).to_contain_text(STANDING[1])  # it is shown once it is kept
    page.reload()
    expect(page.locator("#taken")).to_contain_text(STANDING[1])
    expect(page.locator("#taken")).to_contain_text(STANDING[0])
    expect(page.locator("#where")).to_have_text("rear, along")
    take(page, STANDING[2])
    page.context.set_offline(False)
    found = has_readings(readings_in, page, 3)
    assert [one.text for one in found] == list(STANDING[:3])


def test_another_set_is_reached_by_its_address_without_a_connection(cut_page: Page) -> None:
    page = cut_page
    worker_is_ready(page)
    page.wait_for_function("document.querySelector('#next').textContent.includes('bore')")
    page.wait_for_timeout(500)
    page.context.set_offline(True)
    page.goto(page.url.replace("rod_journal", "rod_strip"))
    expect(page.locator("#set-title")).to_have_text("Rod bearing by strip 1")
    page.goto(page.url.replace("/jobs/J1/measure/rod_strip/1/", "/shelf/"))
    expect(page.locator("h1")).to_have_text("No connection")
    expect(page.locator("#kept-jobs")).to_contain_text("J1")


def test_a_server_that_dies_before_it_answers_stores_a_reading_once(
    cut_page: Page, readings_in: Callable[[str], list[Any]]
) -> None:
    page = cut_page
    outcomes: list[str] = []

    def dies_once(route: Route) -> None:
        answer = route.fetch()
        outcomes.extend(one["outcome"] for one in answer.json()["outcomes"])
        if len(outcomes) == 1:
            route.abort("connectionreset")
        else:
            route.fulfill(response=answer)

    page.route("**/entries", dies_once)
    take(page, STANDING[0])
    page.wait_for_timeout(500)
    take(page, STANDING[1])
    found = has_readings(readings_in, page, 2)
    expect(page.locator("#queue")).to_be_hidden()
    assert [one.text for one in found] == list(STANDING[:2])
    assert outcomes[:3] == ["stored", "already there", "stored"]


def test_a_browser_that_was_closed_sends_what_waits_when_it_is_opened_again(
    playwright: Playwright,
    chromium_launch: dict[str, Any],
    tmp_path: Path,
    live_server: Any,
    as_person: Callable[[str], Any],
    lend_session: Callable[..., None],
    watched: Callable[..., Any],
    make_job: Callable[..., Any],
    shop_revision: Any,
    readings_in: Callable[[str], list[Any]],
) -> None:
    make_job()
    client = as_person("ben")

    def opened() -> BrowserContext:
        context = playwright.chromium.launch_persistent_context(
            str(tmp_path / "profile"), **chromium_launch
        )
        watched(expected=CUT).over(context)
        return context

    context = opened()
    page = context.new_page()
    lend_session(page, client, live_server.url)
    page.goto(f"{live_server.url}/jobs/J1/measure/rod_journal/1/")
    for answer in ("standard", "Re-used"):
        page.locator("#question").get_by_role("button", name=answer, exact=True).click()
    context.set_offline(True)
    take(page, STANDING[0])
    take(page, STANDING[1])
    expect(page.locator("#queue")).to_contain_text("2 readings")
    context.close()
    context = opened()
    page = context.new_page()
    lend_session(page, client, live_server.url)
    page.goto(f"{live_server.url}/jobs/J1/measure/rod_journal/1/")
    found = has_readings(readings_in, page, 2)
    assert [one.text for one in found] == list(STANDING[:2])
    context.close()


def test_a_session_that_is_over_keeps_the_reading_until_somebody_logs_in(
    cut_page: Page,
    live_server: Any,
    as_person: Callable[[str], Any],
    lend_session: Callable[..., None],
    readings_in: Callable[[str], list[Any]],
) -> None:
    page = cut_page
    page.context.clear_cookies(name="oilwedge_session")
    take(page, STANDING[0])
    expect(page.locator("#queue")).to_contain_text("Your session is over")
    expect(page.locator("#queue a")).to_have_attribute(
        "href", "/login?next=%2Fjobs%2FJ1%2Fmeasure%2Frod_journal%2F1%2F"
    )
    assert not readings_in("J1")
    url = page.url
    lend_session(page, as_person("ben"), live_server.url)
    page.goto(url)
    found = has_readings(readings_in, page, 1)
    assert [one.text for one in found] == [STANDING[0]]


def test_readings_of_somebody_else_are_named_and_never_sent_as_ones_own(
    cut_page: Page,
    live_server: Any,
    as_person: Callable[[str], Any],
    lend_session: Callable[..., None],
    readings_in: Callable[[str], list[Any]],
) -> None:
    page = cut_page
    page.context.clear_cookies(name="oilwedge_session")
    take(page, STANDING[0])
    expect(page.locator("#queue")).to_contain_text("Your session is over")
    lend_session(page, as_person("lena"), live_server.url)
    page.goto(page.url)
    expect(page.locator("#queue")).to_contain_text("1 reading waits here for Ben Invented")
    take(page, "47.968")
    found = has_readings(readings_in, page, 1)
    page.wait_for_timeout(500)
    assert [one.text for one in readings_in("J1")] == ["47.968"]
    lend_session(page, as_person("ben"), live_server.url)
    page.goto(page.url)
    found = has_readings(readings_in, page, 2)
    assert len({one.person for one in found}) == 2


def test_pages_of_who_was_here_before_are_not_kept(
    cut_page: Page,
    live_server: Any,
    people: dict[str, Any],
    as_person: Callable[[str], Any],
    lend_session: Callable[..., None],
) -> None:
    page = cut_page
    worker_is_ready(page)
    lend_session(page, as_person("lena"), live_server.url)
    page.goto(page.url)
    page.wait_for_function(
        """async (mine) => {
          const names = (await caches.keys()).filter((one) => one.startsWith('oilwedge-pages-'));
          return names.length === 1 && names[0] === mine;
        }""",
        arg=f"oilwedge-pages-{people['lena'].pk}",
    )


def test_two_tabs_send_each_reading_once(
    cut_page: Page, readings_in: Callable[[str], list[Any]]
) -> None:
    page = cut_page
    other = page.context.new_page()
    other.goto(page.url.replace("rod_journal", "rod_strip"))
    other.locator("#question button").last.click()
    posts: list[str] = []
    page.context.on(
        "requestfinished",  # one that failed for want of a network sent nothing
        lambda request: posts.append(request.post_data or "") if "entries" in request.url else None,
    )
    page.context.set_offline(True)
    take(page, STANDING[0])
    take(other, "0.038")
    expect(page.locator("#queue")).to_contain_text("2 readings wait here")
    expect(other.locator("#queue")).to_contain_text("2 readings wait here")
    posts.clear()
    page.context.set_offline(False)
    found = has_readings(readings_in, page, 2)
    assert [one.text for one in found] == [STANDING[0], "0.038"]
    expect(other.locator("#queue")).to_be_hidden()
    expect(page.locator("#queue")).to_be_hidden()
    assert sum(post.count('"kind":"reading"') for post in posts) == 2


def test_a_value_that_the_server_asks_back_returns_to_the_field(
    cut_page: Page, readings_in: Callable[[str], list[Any]]
) -> None:
    page = cut_page
    sentence = "Rod journal 1, front, along: look at this again."
    asked: list[str] = []

    def asks_once(route: Route) -> None:
        sent = route.request.post_data_json["entries"]
        if asked or sent[0]["kind"] != "reading":
            route.continue_()
            return
        asked.append(sent[0]["id"])
        outcome = {"id": sent[0]["id"], "outcome": "ask back", "sentence": sentence}
        route.fulfill(json={"outcomes": [outcome], "count": 3, "head": ""})

    page.route("**/entries", asks_once)
    take(page, STANDING[0])
    expect(page.locator("#ask")).to_contain_text(sentence)
    take(page, STANDING[1])
    assert [one.text for one in has_readings(readings_in, page, 1)] == [STANDING[1]]
    expect(page.locator("#ask")).to_contain_text(sentence)
    page.get_by_role("button", name="It reads so: keep it").click()
    found = has_readings(readings_in, page, 2)
    assert [one.text for one in found] == [STANDING[1], STANDING[0]]
    expect(page.locator("#ask")).to_be_empty()


def test_a_server_that_cannot_be_reached_is_said_though_the_network_is_there(
    cut_page: Page, readings_in: Callable[[str], list[Any]]
) -> None:
    page = cut_page
    page.context.route("**/jobs/**", lambda route: route.abort("connectionrefused"))
    expect(page.locator("#connection")).to_contain_text("kept on this device", timeout=10_000)
    take(page, STANDING[0])
    expect(page.locator("#queue")).to_contain_text("1 reading waits here")
    page.context.unroute("**/jobs/**")
    found = has_readings(readings_in, page, 1)
    assert [one.text for one in found] == [STANDING[0]]
    expect(page.locator("#connection")).to_be_empty(timeout=10_000)


def test_a_refused_reading_is_set_aside_in_sight_and_blocks_nothing(
    cut_page: Page,
    readings_in: Callable[[str], list[Any]],
) -> None:
    from oilwedge.web.record.models import Job, Parked, ShopRevision

    page = cut_page
    page.locator("#instrument").select_option("mic_two")
    page.context.set_offline(True)
    take(page, STANDING[0])
    kept = ShopRevision.objects.get()
    text = kept.text.replace("[instruments.mic_two]", "[instruments.mic_three]")
    ShopRevision.objects.create(number=2, text=text, digest="0" * 64)
    page.locator("#instrument").select_option("mic")
    take(page, STANDING[1])
    page.context.set_offline(False)
    found = has_readings(readings_in, page, 1)
    assert [one.text for one in found] == [STANDING[1]]
    expect(page.locator("#queue")).to_contain_text("One reading was set aside")
    page.locator("#waiting summary").click()
    expect(page.locator("#waiting-list")).to_contain_text("mic_two")
    parked = Parked.objects.get(job=Job.objects.get(number="J1"))
    assert (parked.author_name, parked.document["typed"]) == ("Ben Invented", STANDING[0])


def test_unsent_readings_are_saved_as_a_file_that_can_be_brought_in(
    cut_page: Page, as_person: Callable[[str], Any], readings_in: Callable[[str], list[Any]]
) -> None:
    page = cut_page
    page.context.set_offline(True)
    take(page, STANDING[0])
    take(page, STANDING[1])
    page.locator("#waiting summary").click()
    with page.expect_download() as download:
        page.locator("#save-file").click()
    path = download.value.path()
    saved = json.loads(path.read_text(encoding="utf-8"))
    typed = [one["typed"] for one in saved["entries"] if one["kind"] == "reading"]
    assert typed == list(STANDING[:2])
    with path.open("rb") as file:
        answer = as_person("ben").post("/jobs/J1/unsent", {"file": file})
    assert answer.status_code == 200
    assert [one.text for one in readings_in("J1")] == list(STANDING[:2])
    page.context.set_offline(False)
    expect(page.locator("#queue")).to_be_hidden()
    assert JobEntry.objects.filter(document__contains='"text":"47.97').count() == 2


def test_pages_of_who_logged_out_are_not_kept(cut_page: Page) -> None:
    page = cut_page
    worker_is_ready(page)
    page.get_by_role("button", name="Log out").click()
    page.wait_for_url("**/login**")
    page.wait_for_function(
        "async () => !(await caches.keys()).some((one) => one.startsWith('oilwedge-pages-'))"
    )


def test_a_browser_without_a_store_says_so_and_sends_at_once(
    open_measure: Callable[..., Page],
    make_job: Callable[..., Any],
    shop_revision: Any,
    page_at: Callable[..., Page],
    live_server: Any,
    as_person: Callable[[str], Any],
    lend_session: Callable[..., None],
    readings_in: Callable[[str], list[Any]],
) -> None:
    make_job()
    page = page_at("phone")
    page.add_init_script("Object.defineProperty(window, 'indexedDB', { value: undefined })")
    lend_session(page, as_person("ben"), live_server.url)
    page.goto(f"{live_server.url}/jobs/J1/measure/rod_journal/1/")
    for answer in ("standard", "Re-used"):
        page.locator("#question").get_by_role("button", name=answer, exact=True).click()
    take(page, STANDING[0])
    assert [one.text for one in has_readings(readings_in, page, 1)] == [STANDING[0]]
    page.locator("#waiting summary").click()
    expect(page.locator("#store-note")).to_contain_text("keeps nothing on the device")


def test_outside_a_secure_context_readings_are_kept_and_the_page_says_what_is_missing(
    open_measure: Callable[..., Page],
    make_job: Callable[..., Any],
    shop_revision: Any,
    readings_in: Callable[[str], list[Any]],
) -> None:
    make_job()
    page = open_measure(host="bench.test", expected=CUT)
    assert page.evaluate("window.isSecureContext") is False
    for answer in ("standard", "Re-used"):
        page.locator("#question").get_by_role("button", name=answer, exact=True).click()
    page.context.set_offline(True)
    take(page, STANDING[0])
    expect(page.locator("#queue")).to_contain_text("1 reading")
    page.locator("#waiting summary").click()
    expect(page.locator("#store-note")).to_contain_text("certificate")
    page.context.set_offline(False)
    assert [one.text for one in has_readings(readings_in, page, 1)] == [STANDING[0]]
