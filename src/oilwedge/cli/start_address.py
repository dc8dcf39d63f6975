"""Show an address so that it can be opened: printed on a line of its own, as QR, in a browser."""

from __future__ import annotations

import os
import sys
import threading
import webbrowser
from enum import Enum

import typer

from oilwedge.cli.face import encoding
from oilwedge.report.encoding import Encoding


class Browser(Enum):
    """Whether a browser is opened."""

    OPENED = "opened"
    NONE = "none"


def print_address(address: str) -> None:
    """Print an address alone on its line and unbroken, so that a terminal lets it be clicked."""
    typer.echo(f"    {address}")


def print_qr(address: str) -> None:
    """Print an address as QR code, where the terminal has the letters for it."""
    from oilwedge.report.qr_text import qr_text

    if encoding() is Encoding.UNICODE:
        typer.echo(qr_text(address))


def open_browser(address: str, *, browser: Browser) -> None:
    """Open a browser if there is one; nothing else waits for it, and nothing fails by it."""
    on_linux = sys.platform.startswith("linux")
    if browser is Browser.NONE or (
        on_linux and not (os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY"))
    ):
        return  # without a screen it would be one that takes this terminal
    threading.Thread(target=_open, args=(address,), daemon=True).start()


def _open(address: str) -> None:
    try:
        webbrowser.open(address)
    except Exception:  # whatever it is, the address stands in the terminal
        return
