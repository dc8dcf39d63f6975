"""A browser for the tests of the pages: a browser that fails on what a person would not see.

A page of ``page_at`` fails its test when it asks any host but the bench for anything, or when the
browser's console reports an error (a script that broke, a thing that the security policy
stopped).  Pictures go to tests/web/pictures/, which git ignores.
"""

from __future__ import annotations

import os
import re
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import (
    Browser,
    BrowserContext,
    ConsoleMessage,
    Page,
    Playwright,
    Request,
    sync_playwright,
)

os.environ.setdefault("DJANGO_ALLOW_ASYNC_UNSAFE", "1")  # the driver runs a loop in this thread

CHROMIUM = Path(os.environ.get("OILWEDGE_CHROMIUM", "/usr/bin/chromium"))
PICTURES = Path(__file__).parent / "pictures"
HOSTS = frozenset({"127.0.0.1", "localhost", "bench.test"})
FLAGS = (
    "--no-sandbox --disable-gpu --disable-quic --no-first-run --disable-background-networking"
    " --disable-component-update --disable-sync"
)
SIZES: dict[str, dict[str, Any]] = {
    "phone": {"viewport": {"width": 390, "height": 844}, "has_touch": True, "is_mobile": True},
    "small": {"viewport": {"width": 360, "height": 640}, "has_touch": True, "is_mobile": True},
    "tablet": {"viewport": {"width": 820, "height": 1180}, "has_touch": True},
    "desktop": {"viewport": {"width": 1280, "height": 800}},
}
# Every rule of axe's with the size of targets, which it leaves out unless it is asked.
AXE_OPTIONS = {"resultTypes": ["violations"], "rules": {"target-size": {"enabled": True}}}

PageAt = Callable[..., Page]


@pytest.fixture(scope="session")
def playwright() -> Iterator[Playwright]:
    """The driver of the browser."""
    with sync_playwright() as driver:
        yield driver


@pytest.fixture(scope="session")
def chromium_launch() -> dict[str, Any]:
    """What ``playwright.chromium.launch`` and ``launch_persistent_context`` want here.

    ``bench.test`` is this machine, so that a page can be opened by a name that is not localhost.
    """
    if not CHROMIUM.is_file():
        pytest.fail(
            f"The tests of the pages need a browser and {CHROMIUM} is not there; install it with"
            " 'sudo apt install chromium', or name another in OILWEDGE_CHROMIUM.",
            pytrace=False,
        )
    names = "--host-resolver-rules=MAP bench.test 127.0.0.1"
    return {"executable_path": str(CHROMIUM), "args": [*FLAGS.split(), names], "headless": True}


@pytest.fixture(scope="session")
def browser(playwright: Playwright, chromium_launch: dict[str, Any]) -> Iterator[Browser]:
    """One browser for all tests; every page gets a context of its own."""
    running = playwright.chromium.launch(**chromium_launch)
    yield running
    running.close()


class Watch:
    """Takes down what a page asks for and complains of; ``expected`` are patterns it may say."""

    def __init__(self, *, hosts: frozenset[str], expected: Sequence[str]) -> None:
        self.hosts = hosts
        self.expected = expected
        self.faults: list[str] = []

    def over(self, context: BrowserContext) -> None:
        context.on("request", self.asked)
        context.on("console", self.said)
        context.on("weberror", lambda error: self.fault(f"script broke: {error.error}"))

    def asked(self, request: Request) -> None:
        parts = urlsplit(request.url)
        if parts.scheme not in {"data", "blob", "about"} and parts.hostname not in self.hosts:
            self.faults.append(f"asked another host: {request.url}")

    def said(self, message: ConsoleMessage) -> None:
        if message.type == "error":
            self.fault(f"console: {message.text} ({message.location.get('url')})")

    def fault(self, text: str) -> None:
        if not any(re.search(pattern, text) for pattern in self.expected):
            self.faults.append(text)


@pytest.fixture
def watched() -> Iterator[Callable[..., Watch]]:
    """Makes a watch for a context that a test made itself: ``watched().over(context)``."""
    watches: list[Watch] = []

    def make(*, hosts: Sequence[str] = (), expected: Sequence[str] = ()) -> Watch:
        watches.append(Watch(hosts=HOSTS | frozenset(hosts), expected=expected))
        return watches[-1]

    yield make
    faults = [fault for watch in watches for fault in watch.faults]
    assert not faults, "\n".join(faults)


@pytest.fixture
def page_at(browser: Browser, watched: Callable[..., Watch]) -> Iterator[PageAt]:
    """Opens an empty page in a fresh context: ``page_at("phone", scheme="dark")``.

    Sizes: phone 390x844 and small 360x640 (touch), tablet 820x1180 (touch), desktop 1280x800.
    ``expected``: patterns of console errors that belong to the test (a 404, a cut network).
    ``options``: further options of the context, as ``{"ignore_https_errors": True}``.
    """
    contexts: list[BrowserContext] = []

    def open_page(
        size: str = "phone",
        *,
        scheme: str = "light",
        hosts: Sequence[str] = (),
        expected: Sequence[str] = (),
        options: dict[str, Any] | None = None,
    ) -> Page:
        wanted = {"color_scheme": scheme, "reduced_motion": "reduce", **SIZES[size]}
        context = browser.new_context(**{**wanted, **(options or {})})
        contexts.append(context)
        watched(hosts=hosts, expected=expected).over(context)
        context.set_default_timeout(10_000)
        return context.new_page()

    yield open_page
    for context in contexts:
        context.close()


@pytest.fixture
def axe() -> Callable[..., None]:
    """Asserts that a page breaks no accessibility rule: ``axe(page)``."""

    def check(page: Page, *, within: str | None = None) -> None:
        found = Axe().run(page, context=within, options=AXE_OPTIONS)
        assert found.violations_count == 0, found.generate_report()

    return check


@pytest.fixture
def picture() -> Callable[..., Path]:
    """Saves what a page shows, the whole of it: ``picture(page, "job-phone-dark")``."""

    def save(page: Page, name: str, *, whole: bool = True) -> Path:
        PICTURES.mkdir(exist_ok=True)
        path = PICTURES / f"{name}.png"
        page.screenshot(path=path, full_page=whole)
        return path

    return save


@pytest.fixture
def fits_the_screen() -> Callable[[Page], None]:
    """Asserts that a page does not scroll sideways and that all to be touched is 48 px."""

    def check(page: Page) -> None:
        too_wide = page.evaluate(
            "document.documentElement.scrollWidth - document.documentElement.clientWidth"
        )
        assert too_wide <= 0, f"the page is {too_wide} px wider than the screen"
        small = page.evaluate(SMALL_TARGETS)
        assert not small, "smaller than 48 px: " + "; ".join(small)

    return check


# Links within a sentence are as high as its line; the guideline lets them be.
SMALL_TARGETS = """() => [...document.querySelectorAll(
  'a[href], button, summary, select, textarea, input:not([type=hidden])')]
  .filter((one) => !one.closest('p:not(.actions)') && !one.classList.contains('skip'))
  .map((one) => {
    const whole = one.matches('input[type=checkbox], input[type=radio]') && one.closest('label');
    const touch = one.querySelector(':scope > .touch');
    return [one, (whole || touch || one).getBoundingClientRect()];
  })
  .filter(([, box]) => box.width > 0 && (box.height < 47.5 || box.width < 47.5))
  .map(([one, box]) => `${one.outerHTML.slice(0, 80)} ${box.width}x${box.height}`)"""


@pytest.fixture
def lend_session() -> Callable[..., None]:
    """Lets a page be whom a test client is: ``lend_session(page, as_person("ben"), url)``."""

    def lend(page: Page, client: Any, url: str) -> None:
        page.context.add_cookies(
            [{"name": one.key, "value": one.value, "url": url} for one in client.cookies.values()]
        )

    return lend
