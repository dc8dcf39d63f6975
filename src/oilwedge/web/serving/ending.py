"""Serve until somebody stops it: Ctrl-C, or a signal of the system."""

from __future__ import annotations

import signal
import threading
from collections.abc import Callable, Sequence
from types import FrameType

from oilwedge.web.serving.server import BenchServer

LOOK_SECONDS = 0.5  # an unlimited wait could not be ended by Ctrl-C on Windows
CHORE_SECONDS = 600.0


def serve_until_stopped(
    servers: Sequence[BenchServer], *, chore: Callable[[], None] | None = None
) -> None:
    """Wait, with the servers running, until SIGINT or SIGTERM; then stop them all.

    ``chore`` is called every ten minutes, to renew what runs out. Called from the main thread.
    """
    stopped = threading.Event()

    def stop(number: int, frame: FrameType | None) -> None:
        del number, frame
        stopped.set()

    before = {one: signal.signal(one, stop) for one in (signal.SIGINT, signal.SIGTERM)}
    try:
        waited = 0.0
        while not stopped.wait(LOOK_SECONDS):
            waited += LOOK_SECONDS
            if chore is not None and waited >= CHORE_SECONDS:
                waited = 0.0
                chore()
    finally:
        for server in servers:
            server.stop()
        for one, handler in before.items():
            signal.signal(one, handler)
