"""Measuring in a real browser: by keyboard alone, by touch, by two people, within its weight."""

import gzip
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from django.test import Client
from playwright.sync_api import Page, Response, expect

from oilwedge.web.record.models import Job

pytestmark = [pytest.mark.slow, pytest.mark.django_db(transaction=True)]

JOURNAL = ("47.972", "47.970", "-12", "969")
FIRST_LOAD_BYTES = 150_000
EACH_READING_BYTES = 15_000


@pytest.fixture
def job(make_job: Callable[..., Job], shop_revision: Any) -> Job:
    return make_job()


def wait_for(page: Page, found: Callable[[], list[Any]], count: int) -> list[Any]:
    for _ in range(100):
        if len(found()) >= count:
            break
        page.wait_for_timeout(50)
    return found()


def press(page: Page, *keys: str) -> None:
    for key in keys:
        page.keyboard.press(key)


def test_a_whole_engine_is_measured_by_keyboard_alone(
    job: Job,
    open_measure: Callable[..., Page],
    readings_in: Callable[[str], list[Any]],
    events_in: Callable[[str], list[Any]],
) -> None:
    page = open_measure(size="desktop")
    for title, questions, values in (
        ("Rod journal 1", ("Which size is it at now?", "Rod journals"), JOURNAL),
        ("Rod bearing bore 1", ("Which size is it at now?", "Rod shells"), ("48.010", "48.012")),
        ("Rod bearing by strip 1", (), ("0.038", "not flattened")),
    ):
        expect(page.locator("#set-title")).to_have_text(title)
        for question in questions:
            expect(page.locator("#question")).to_contain_text(question)
            press(page, "4", "7", "Enter")  # an instrument that types into a question answers none
            press(page, "s" if question.startswith("Which") else "n")
        for value in values:
            expect(page.locator("#typed")).to_be_focused()
            page.keyboard.type(value)
            press(page, "Enter")
        expect(page.locator("#next")).to_be_focused()
        expect(page.locator("#result")).to_contain_text("What it shows")
        press(page, "Enter")
    page.wait_for_url("**/jobs/J1/**")
    found = wait_for(page, lambda: readings_in("J1"), 8)
    assert [one.text for one in found] == [*JOURNAL, "48.010", "48.012", "0.038", "not flattened"]
    assert [one.value for one in events_in("J1")] == ["standard", "new", "standard", "new"]
    assert {one.instrument for one in found[4:6]} == {"bore"}


def test_a_set_is_measured_by_touch(
    job: Job,
    open_measure: Callable[..., Page],
    readings_in: Callable[[str], list[Any]],
    fits_the_screen: Callable[[Page], None],
) -> None:
    page = open_measure(size="phone")
    page.get_by_role("button", name="standard", exact=True).tap()
    page.get_by_role("button", name="Re-used").tap()
    expect(page.locator("#typed")).to_have_attribute("inputmode", "decimal")
    page.locator("#typed").press_sequentially("47")
    page.locator("[data-key='.']").tap()
    page.locator("#typed").press_sequentially("972")
    expect(page.locator("#resolved")).to_have_text("47.972 mm")
    page.get_by_role("button", name="Take it").tap()
    page.locator("#typed").press_sequentially("12")
    page.locator("[data-key='±']").tap()
    expect(page.locator("#resolved")).to_have_text("47.980 − 0.012 = 47.968 mm")
    page.get_by_role("button", name="Take it").tap()
    fits_the_screen(page)
    page.get_by_text("Misread: front, across").tap()
    expect(page.locator("#mode")).to_contain_text("takes its place")
    page.locator("#typed").press_sequentially("47.970")
    page.get_by_role("button", name="Take it").tap()
    page.get_by_role("button", name="Leave this place out").tap()
    page.get_by_role("button", name="cannot be reached").tap()
    found = wait_for(page, lambda: readings_in("J1"), 3)
    assert [one.text for one in found] == ["47.972", "-12", "47.970"]
    assert found[2].replaces == found[1].id
    expect(page.locator("#where")).to_have_text("rear, across")


def test_what_cannot_be_asks_back_and_what_is_no_value_is_said(
    job: Job, open_measure: Callable[..., Page], readings_in: Callable[[str], list[Any]]
) -> None:
    page = open_measure(size="desktop")
    press(page, "s", "n")
    for text, words in (("1.889", "Did you mean inches?"), ("5", "47.975 mm or 47.985 mm")):
        page.locator("#typed").fill(text)
        press(page, "Enter")
        expect(page.locator("#ask")).to_contain_text(words)
    page.locator("#typed").fill("1.889")
    press(page, "Enter")
    page.get_by_role("button", name="It reads 1.889 mm: keep it").click()
    found = wait_for(page, lambda: readings_in("J1"), 1)
    assert [one.text for one in found] == ["1.889"]
    page.locator("#typed").fill("1.889")
    press(page, "Enter")
    page.get_by_role("button", name="Yes: take 1.889 in").click()
    found = wait_for(page, lambda: readings_in("J1"), 2)
    assert (found[1].text, found[1].value_m) == ("1.889 in", pytest.approx(1.889 * 0.0254))


def test_digits_and_a_deviation_stand_with_the_size_they_were_taken_for(
    job: Job, open_measure: Callable[..., Page], readings_in: Callable[[str], list[Any]]
) -> None:
    page = open_measure(size="phone")
    press(page, "s", "n")
    for text in ("972", "-0.012"):
        page.locator("#typed").fill(text)
        press(page, "Enter")
    wait_for(page, lambda: readings_in("J1"), 2)
    for _ in range(2):  # as typed here, then as the server tells it
        expect(page.locator("#taken")).to_contain_text("972 → 47.972 mm")
        expect(page.locator("#taken")).to_contain_text("-0.012 → 47.968 mm")
        page.reload()


def test_a_reading_that_is_to_be_read_anew_is_not_held_up_by_a_question(
    job: Job, open_measure: Callable[..., Page], readings_in: Callable[[str], list[Any]]
) -> None:
    page = open_measure(size="phone")
    press(page, "l")
    page.locator("#typed").fill("47.972")
    press(page, "Enter")
    wait_for(page, lambda: readings_in("J1"), 1)
    page.evaluate("localStorage.clear()")
    page.goto(page.url.partition("?")[0] + "?at=front%2Falong")
    expect(page.locator("#typed")).to_be_focused()
    expect(page.locator("#mode")).to_contain_text("takes its place")


def test_an_undersize_that_was_stated_moves_what_digits_mean(
    job: Job, open_measure: Callable[..., Page], readings_in: Callable[[str], list[Any]]
) -> None:
    page = open_measure(size="desktop", expected=(r"net::ERR_",))
    page.context.set_offline(True)
    page.get_by_role("button", name="0.25 mm under").click()
    press(page, "m")
    expect(page.locator("#nominal")).to_contain_text("47.730 mm")
    page.locator("#typed").fill("722")
    expect(page.locator("#resolved")).to_have_text("47.722 mm")
    press(page, "Enter")
    page.context.set_offline(False)
    found = wait_for(page, lambda: readings_in("J1"), 1)
    assert [round(one.value_m, 9) for one in found] == [0.047722]


def test_the_unit_changes_and_what_was_typed_does_not(
    job: Job, open_measure: Callable[..., Page], readings_in: Callable[[str], list[Any]]
) -> None:
    page = open_measure(size="desktop")
    press(page, "s", "n")
    page.locator("#typed").fill("1.8886")
    page.get_by_label("in", exact=True).check()
    expect(page.locator("#typed")).to_have_value("1.8886")
    expect(page.locator("#nominal")).to_contain_text("1.8890 in")
    page.locator("#typed").press("Enter")
    found = wait_for(page, lambda: readings_in("J1"), 1)
    assert [(one.text, one.unit) for one in found] == [("1.8886", "in")]
    page.reload()
    expect(page.locator("#unit-shown")).to_have_text("in")


def test_two_people_on_one_job_see_each_other_without_losing_what_they_type(
    job: Job, open_measure: Callable[..., Page], readings_in: Callable[[str], list[Any]]
) -> None:
    ben = open_measure(person="ben", size="phone")
    press(ben, "s", "n")
    expect(ben.locator("#typed")).to_be_focused()
    wait_for(ben, lambda: [1] * Job.objects.get().count, 3)
    lena = open_measure(person="lena", size="desktop")
    lena.locator("#typed").fill("47.9")
    for text in ("47.972", "47.970"):
        ben.locator("#typed").fill(text)
        press(ben, "Enter")
    expect(lena.locator("#taken")).to_contain_text("47.970 mm", timeout=12_000)
    expect(lena.locator("#typed")).to_have_value("47.9")
    expect(lena.locator("#mode")).to_contain_text("Ben Invented took this place: 47.972 mm")
    lena.locator("#typed").fill("47.973")
    press(lena, "Enter")
    expect(lena.locator("#where")).to_have_text("rear, along")
    found = wait_for(lena, lambda: readings_in("J1"), 3)
    assert [(one.text, one.replaces) for one in found] == [
        ("47.972", ""),
        ("47.970", ""),
        ("47.973", ""),
    ]
    assert len({one.person for one in found}) == 2


def test_a_second_screen_follows(
    job: Job,
    live_server: Any,
    open_measure: Callable[..., Page],
    page_at: Callable[..., Page],
    as_person: Callable[[str], Client],
    lend_session: Callable[..., None],
) -> None:
    screen = page_at("desktop")
    lend_session(screen, as_person("vera"), live_server.url)
    screen.goto(f"{live_server.url}/jobs/J1/measure/follow")
    page = open_measure()
    press(page, "s", "n")
    page.locator("#typed").fill("47.972")
    press(page, "Enter")
    expect(screen.locator("#now")).to_contain_text("47.972 mm", timeout=12_000)


def test_the_page_is_light(
    job: Job,
    live_server: Any,
    page_at: Callable[..., Page],
    as_person: Callable[[str], Client],
    lend_session: Callable[..., None],
    readings_in: Callable[[str], list[Any]],
) -> None:
    page = page_at("phone", options={"service_workers": "block"})
    weights: list[tuple[str, int]] = []

    def weigh(response: Response) -> None:
        sizes = response.request.sizes()
        body = sizes["responseBodySize"]
        if "/static/" in response.url and not response.url.endswith(".woff2"):
            body = len(gzip.compress(response.body()))  # as the shop's own server has them
        weights.append((response.url, body + sizes["responseHeadersSize"]))

    seen: list[Response] = []
    page.on("response", lambda response: seen.append(response))
    lend_session(page, as_person("ben"), live_server.url)
    page.goto(f"{live_server.url}/jobs/J1/measure/rod_journal/1/")
    page.wait_for_load_state("networkidle")
    for response in list(seen):
        weigh(response)
    first = sum(size for _, size in weights)
    assert first < FIRST_LOAD_BYTES, "\n".join(f"{size:7d} {url}" for url, size in weights)
    press(page, "s", "n")
    wait_for(page, lambda: [1] * Job.objects.get().count, 3)
    page.wait_for_timeout(300)
    seen.clear()
    weights.clear()
    for text in ("47.972", "47.970", "47.971", "47.969"):
        page.locator("#typed").fill(text)
        press(page, "Enter")
        page.wait_for_timeout(300)
    wait_for(page, lambda: readings_in("J1"), 4)
    expect(page.locator("#result")).to_contain_text("mean")
    for response in list(seen):
        weigh(response)
    assert sum(size for _, size in weights) / 4 < EACH_READING_BYTES, weights


def test_it_is_for_everybody_and_fits_every_screen(
    job: Job,
    make_job: Callable[..., Job],
    open_measure: Callable[..., Page],
    axe: Callable[..., None],
    fits_the_screen: Callable[[Page], None],
    picture: Callable[..., Path],
) -> None:
    for size in ("small", "phone", "tablet", "desktop"):
        for scheme in ("light", "dark"):
            page = open_measure(size=size, scheme=scheme)
            page.evaluate("localStorage.clear()")
            if not Job.objects.get().count > 1:
                axe(page)
                picture(page, f"measure-question-{size}-{scheme}")
                press(page, "s", "n")
                wait_for(page, lambda: [1] * Job.objects.get().count, 3)
            page.locator("#typed").fill("972")
            page.locator("#more summary").click()
            page.locator("#waiting summary").click()
            axe(page)
            fits_the_screen(page)
            page.locator("#more summary").click()
            page.locator("#waiting summary").click()
            picture(page, f"measure-field-{size}-{scheme}")
            page.locator("#typed").fill("1.889")
            page.locator("#typed").press("Enter")
            axe(page)
            picture(page, f"measure-ask-{size}-{scheme}")
            page.goto(page.url.replace("rod_journal", "rod_strip"))
            page.locator("#question button").last.click()
            axe(page)
            fits_the_screen(page)
            picture(page, f"measure-strip-{size}-{scheme}")


def test_a_complete_set_and_the_lists_are_for_everybody(
    job: Job,
    open_measure: Callable[..., Page],
    axe: Callable[..., None],
    fits_the_screen: Callable[[Page], None],
    picture: Callable[..., Path],
) -> None:
    page = open_measure(size="phone")
    press(page, "s", "n")
    for text in JOURNAL:
        page.locator("#typed").fill(text)
        press(page, "Enter")
    page.locator("#next").click()
    press(page, "s", "n")
    for text in ("48.010", "48.012"):
        page.locator("#typed").fill(text)
        press(page, "Enter")
    expect(page.locator("#result")).to_contain_text("rod bearing 1")
    for size in ("phone", "desktop"):
        for scheme in ("light", "dark"):
            page = open_measure(feature="rod_shell_bore", size=size, scheme=scheme)
            expect(page.locator("#result")).to_contain_text("rod bearing 1")
            axe(page)
            fits_the_screen(page)
            picture(page, f"measure-done-{size}-{scheme}")
            for path in ("unsent", "parked", "measure/follow"):
                page.goto(page.url.split("/jobs/")[0] + f"/jobs/J1/{path}")
                axe(page)
                fits_the_screen(page)
                picture(page, f"measure-{path.rpartition('/')[2]}-{size}-{scheme}")


def test_what_has_the_focus_keeps_it_while_the_page_follows(
    job: Job, open_measure: Callable[..., Page], readings_in: Callable[[str], list[Any]]
) -> None:
    page = open_measure(size="desktop")
    press(page, "s", "n")
    page.locator("#typed").fill("47.972")
    press(page, "Enter")
    wait_for(page, lambda: readings_in("J1"), 1)
    for wanted in ("#taken li:nth-child(3) a", "#undo a"):
        page.locator(wanted).focus()
        for _ in range(2):
            with page.expect_response("**/now?*"):
                pass
        page.wait_for_timeout(200)
        expect(page.locator(wanted)).to_be_focused()
