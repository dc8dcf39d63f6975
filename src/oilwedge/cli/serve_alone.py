"""Serve this machine alone: whoever has the start token comes in."""

from __future__ import annotations

import contextlib
import sys
import threading
from pathlib import Path
from typing import TYPE_CHECKING

from oilwedge.cli.face import say, tell
from oilwedge.cli.shop_contents import Contents
from oilwedge.cli.start_address import Browser, open_browser, print_address
from oilwedge.web.serving.addresses import LOOPBACK_NAMES
from oilwedge.web.serving.ending import StopSignal
from oilwedge.web.serving.limits import BENCH_LIMITS
from oilwedge.web.serving.server import BenchServer, Socket
from oilwedge.web.starting import Mode, bench_application, prepare_shop

if TYPE_CHECKING:
    from oilwedge.web.serving.guard import ShopGuard

LOOPBACK = "127.0.0.1"


def serve_alone(
    place: Path,
    guard: ShopGuard,
    *,
    port: int,
    database: str,
    browser: Browser,
    contents: Contents = Contents.OWN,
) -> None:
    """Serve until stopped."""
    server = BenchServer(place=Socket(host=LOOPBACK, port=port), limits=BENCH_LIMITS)
    server.take_port()  # before anything is changed in the shop
    with contextlib.ExitStack() as stack:
        stack.callback(server.stop)
        prepare_shop(
            folder=place,
            database=database,
            mode=Mode.ALONE,
            addresses=LOOPBACK_NAMES,
            port=server.port,
        )
        from oilwedge.web.people.accounts import ensure_lone_lead  # has Django in it

        ensure_lone_lead()
        if contents is Contents.DEMO:
            from oilwedge.web.demo_shop import fill_demo_shop

            fill_demo_shop()
        home = f"http://{LOOPBACK}:{server.port}/"
        guard.say_where(home)
        server.start_answering(bench_application())
        with StopSignal() as stop:
            _print_start(place, home, browser=browser)
            stop.wait()
            server.stop()
            tell("Stopped. What was entered is stored.")


def _print_start(place: Path, home: str, *, browser: Browser) -> None:
    """Say where the bench is and how to end it."""
    start = _start_address(home)
    tell(f"The bench is open for this machine. The shop is in {place}.")
    print_address(start)
    tell("This address lets in one browser, once, within ten minutes.")
    if sys.stdin is not None and sys.stdin.isatty():
        tell("Press Enter for another one. Stop with Ctrl-C.")
        threading.Thread(target=_give_more, args=(home,), daemon=True).start()
    else:
        tell("Stop with Ctrl-C.")
    sys.stdout.flush()
    open_browser(start, browser=browser)


def _start_address(home: str) -> str:
    from oilwedge.web.people.start_tokens import new_start_token

    return f"{home}start/{new_start_token()}"


def _give_more(home: str) -> None:
    """Print another start address for each Enter, until the input ends."""
    with contextlib.suppress(OSError, ValueError):
        while sys.stdin.readline():
            try:
                print_address(_start_address(home))
            except Exception:  # a busy database must not end this
                say("No new address could be made just now; press Enter again.")
            sys.stdout.flush()
