"""A measure page in a real browser, and what the record holds after it."""

from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from oilwedge.job.entry import Event, Reading
from oilwedge.web.record.models import Job
from oilwedge.web.record.store import entries_of

# Said by the browser when a test cuts the network or lets a session end; no fault of the page.
CUT = (r"Failed to load resource", r"net::ERR_")


@pytest.fixture
def open_measure(
    live_server: Any,
    people: Any,
    as_person: Callable[[str], Any],
    page_at: Callable[..., Page],
    lend_session: Callable[..., None],
) -> Callable[..., Page]:
    """Opens a measure page as somebody: ``open_measure("J1", "rod_journal", 1)``."""

    def opened(
        number: str = "J1",
        feature: str = "rod_journal",
        n: int = 1,
        *,
        person: str = "ben",
        size: str = "phone",
        host: str = "",
        **page_options: Any,
    ) -> Page:
        url = live_server.url.replace("localhost", host) if host else live_server.url
        page = page_at(size, **page_options)
        lend_session(page, as_person(person), url)
        page.goto(f"{url}/jobs/{number}/measure/{feature}/{n}/")
        ready(page)
        return page

    return opened


def ready(page: Page) -> None:
    """The script has taken over."""
    expect(page.locator("html")).to_have_attribute("data-measuring", "ready")


def answer_questions(page: Page, *answers: str) -> None:
    """Answer what is asked before the first value."""
    for answer in answers:
        page.locator("#question").get_by_role("button", name=answer, exact=True).click()


def type_reading(page: Page, text: str) -> None:
    """Type into the big field and press Enter, as a digital instrument does."""
    page.locator("#typed").fill(text)
    page.keyboard.press("Enter")


def readings_of(number: str) -> list[Reading]:
    """The readings in the record."""
    entries = entries_of(Job.objects.get(number=number))
    return [one for one in entries if isinstance(one, Reading)]


def events_of(number: str) -> list[Event]:
    """The events in the record, without the engine file's."""
    entries = entries_of(Job.objects.get(number=number))
    return [one for one in entries if isinstance(one, Event) and one.subject != "engine file"]
