"""A phone in the shop's network: a real ``oilwedge serve --lan``, by a name, with its certificate.

The browser trusts the shop's own authority, as a phone that installed it does. Nothing is told to
overlook all bad certificates, so a page is a secure context here only if it would be one there.
"""

from __future__ import annotations

import base64
import contextlib
import hashlib
import os
import shutil
import signal
import socket
import sqlite3
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from bench_fixtures import DATA, PASSWORD
from cryptography import x509
from cryptography.hazmat.primitives.serialization import Encoding, PublicFormat
from playwright.sync_api import BrowserContext, Page, Playwright
from playwright.sync_api import Error as PlaywrightError

pytestmark = pytest.mark.slow
HOST = "bench.test"
SECONDS = 60

OPEN_A_JOB = """
import sys
from pathlib import Path
from oilwedge.web.starting import Mode, prepare_shop
prepare_shop(folder=Path(sys.argv[1]), mode=Mode.LAN)
from oilwedge.usecases.opening import engine_of_text
from oilwedge.web.record.store import keep_engine, open_job
text = Path(sys.argv[2]).read_text(encoding="utf-8")
engine = engine_of_text(text, file="engine.toml")
open_job(number="J1", engine=keep_engine(name=engine.name, digest=engine.digest, text=text))
"""

# Whether the browser keeps this page, its scripts and its styles; it can do without a font.
KEPT = """async () => {
  const files = performance.getEntriesByType("resource").map((one) => one.name);
  const needed = files.filter((one) => one.includes("/static/") && /[.](js|css)$/.test(one));
  const wanted = [location.pathname, ...needed];
  const kept = await Promise.all(wanted.map((one) => caches.match(one)));
  return kept.every(Boolean);
}"""


def environment(**more: str) -> dict[str, str]:
    kept = {name: text for name, text in os.environ.items() if not name.startswith("OILWEDGE_")}
    kept.pop("DJANGO_SETTINGS_MODULE", None)
    return {**kept, "PYTHONUTF8": "1", **more}


def free_port() -> int:
    """A port that is free, with the next one free too: that one gives out the certificate."""
    while True:
        with socket.socket() as one, socket.socket() as two:
            one.bind(("127.0.0.1", 0))
            port = int(one.getsockname()[1])
            with contextlib.suppress(OSError, OverflowError):
                two.bind(("127.0.0.1", port + 1))
                return port


class Served:
    """A server of one shop that can be killed and started again at the same place."""

    def __init__(self, shop: Path) -> None:
        self.shop, self.port = shop, free_port()
        self.process: subprocess.Popen[str] | None = None
        self.start()

    @property
    def home(self) -> str:
        return f"https://{HOST}:{self.port}"

    def start(self) -> None:
        arguments = ["serve", str(self.shop), "--lan", "--no-browser", "--address", HOST]
        self.process = subprocess.Popen(
            [sys.executable, "-m", "oilwedge", *arguments, "--port", str(self.port)],
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            encoding="utf-8",
            env=environment(OILWEDGE_FIRST_LEAD=f"lena:{PASSWORD}"),
        )
        assert self.process.stdout is not None
        said = ""
        for line in self.process.stdout:
            said += line
            if "Stop with Ctrl-C" in line:
                return
        raise AssertionError(f"the server ended: {said}")

    def kill(self) -> None:
        """Cut it off: nothing answers at its port any more."""
        if self.process is not None:
            self.process.send_signal(signal.SIGKILL)
            self.process.communicate(timeout=SECONDS)
            self.process = None


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """A shop with one job, served to the network."""
    shop = tmp_path_factory.mktemp("place") / "shop"
    subprocess.run(
        [sys.executable, "-c", OPEN_A_JOB, str(shop), str(DATA / "wren_single.toml")],
        env=environment(),
        check=True,
        timeout=SECONDS,
    )
    served = Served(shop)
    yield served
    served.kill()


def trust(home: Path, shop: Path) -> list[str]:
    """Let the browser of this home trust a shop; gives the flags that it takes besides.

    With certutil (Debian: libnss3-tools) the authority goes where the browser keeps whom its
    owner trusts. Without it the browser is told to take this one server's key.
    """
    program = shutil.which("certutil")
    if program is None:
        server = x509.load_pem_x509_certificate((shop / "authority" / "server.pem").read_bytes())
        key = server.public_key().public_bytes(Encoding.DER, PublicFormat.SubjectPublicKeyInfo)
        pin = base64.b64encode(hashlib.sha256(key).digest()).decode()
        return [f"--ignore-certificate-errors-spki-list={pin}"]
    store = home / ".pki" / "nssdb"
    store.mkdir(parents=True)
    certificate = str(shop / "authority" / "authority.crt")
    for arguments in (
        ["-N", "--empty-password"],
        ["-A", "-t", "C,,", "-n", "shop", "-i", certificate],
    ):
        command = [program, "-d", f"sql:{store}", *arguments]
        subprocess.run(command, check=True, timeout=SECONDS)
    return []


@pytest.fixture
def phone(
    playwright: Playwright,
    chromium_launch: dict[str, Any],
    watched: Callable[..., Any],
    server: Served,
    tmp_path: Path,
) -> Iterator[Callable[..., BrowserContext]]:
    """Opens a browser with a home of its own: ``phone(trusting=True)``."""
    contexts = []

    def open_browser(*, trusting: bool) -> BrowserContext:
        home = tmp_path / f"home{len(contexts)}"
        home.mkdir()
        flags = trust(home, server.shop) if trusting else []
        context = playwright.chromium.launch_persistent_context(
            home / "profile",
            **{**chromium_launch, "args": [*chromium_launch["args"], *flags]},
            env={**os.environ, "HOME": str(home)},
            viewport={"width": 390, "height": 844},
            has_touch=True,
            is_mobile=True,
        )
        contexts.append(context)
        watched(expected=["ERR_CONNECTION_REFUSED", "Failed to load resource"]).over(context)
        context.set_default_timeout(10_000)
        return context

    yield open_browser
    for context in contexts:
        context.close()


def to_the_field(page: Page) -> None:
    """Answer what a set asks before its first reading, with the first answer it offers."""
    typed, answer = page.locator("#typed"), page.locator("#question .button").first
    for _ in range(20):
        typed.or_(answer).first.wait_for()
        if typed.is_visible():
            return
        with contextlib.suppress(PlaywrightError):  # it was the question before
            answer.click(timeout=1000)
        page.wait_for_timeout(200)


def until_kept(page: Page) -> None:
    """Wait until the browser could show the page without the network."""
    for _ in range(100):
        if page.evaluate(KEPT):
            return
        page.wait_for_timeout(100)
    raise AssertionError("the browser does not keep the page")


def log_in(page: Page, home: str) -> None:
    page.goto(f"{home}/login?next=/jobs/J1/measure/")
    page.get_by_label("Name").fill("lena")
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Log in").click()
    to_the_field(page)


def readings(shop: Path) -> list[str]:
    with contextlib.closing(sqlite3.connect(shop / "oilwedge.sqlite3")) as database:
        rows = database.execute("SELECT document FROM record_jobentry").fetchall()
    return [text for (text,) in rows if '"feature"' in text]


def test_a_phone_that_trusts_the_shop_works_on_without_the_network(
    phone: Callable[..., BrowserContext], server: Served, picture: Callable[..., Path]
) -> None:
    context = phone(trusting=True)
    page = context.new_page()
    log_in(page, server.home)
    assert page.evaluate("[location.hostname, isSecureContext]") == [HOST, True]
    cookies = {one["name"]: one for one in context.cookies()}
    assert cookies["oilwedge_session"]["secure"]
    assert cookies["oilwedge_session"]["httpOnly"]
    until_kept(page)

    server.kill()
    page.reload()
    to_the_field(page)
    assert page.evaluate("Boolean(navigator.serviceWorker.controller)")
    page.locator("#typed").fill("47.972")
    page.locator("#typed").press("Enter")
    page.locator("#queue").get_by_text("1 reading waits here").wait_for()
    page.get_by_text("No connection.").wait_for()
    picture(page, "people-lan-without-network")
    assert not readings(server.shop)

    server.start()
    page.locator("#queue").wait_for(state="hidden", timeout=30_000)
    assert len(readings(server.shop)) == 1
    assert '"47.972"' in readings(server.shop)[0]


def test_a_phone_that_does_not_trust_the_shop_is_warned(
    phone: Callable[..., BrowserContext], server: Served
) -> None:
    page = phone(trusting=False).new_page()
    with pytest.raises(PlaywrightError, match="ERR_CERT_AUTHORITY_INVALID"):
        page.goto(f"{server.home}/login")


def test_the_certificate_is_given_out_before_anything_is_trusted(
    phone: Callable[..., BrowserContext], server: Served
) -> None:
    page = phone(trusting=False).new_page()
    page.goto(f"http://{HOST}:{server.port + 1}/")
    shown = page.locator("code").inner_text()
    on_disk = (server.shop / "authority" / "authority.crt").read_bytes()
    assert shown.replace(":", "").lower() == hashlib.sha256(on_disk).hexdigest()
    with page.expect_download() as download:
        page.get_by_role("link", name="Take the certificate").click()
    assert Path(download.value.path()).read_bytes() == on_disk
