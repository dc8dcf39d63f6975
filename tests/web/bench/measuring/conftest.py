"""A measure page in a real browser, and what the record holds after it."""

from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from oilwedge.job.entry import Event, EventKind, Reading
from oilwedge.web.record.models import Job
from oilwedge.web.record.store import entries_of


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


@pytest.fixture
def readings_in(db: None) -> Callable[[str], list[Reading]]:
    """The readings in the record of a job."""

    def found(number: str) -> list[Reading]:
        entries = entries_of(Job.objects.get(number=number))
        return [one for one in entries if isinstance(one, Reading)]

    return found


@pytest.fixture
def events_in(db: None) -> Callable[[str], list[Event]]:
    """The events in the record of a job, without the engine file's."""

    def found(number: str) -> list[Event]:
        entries = entries_of(Job.objects.get(number=number))
        return [
            one for one in entries if isinstance(one, Event) and one.kind is not EventKind.ENGINE
        ]

    return found
