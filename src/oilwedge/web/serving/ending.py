"""Serve until somebody stops it: Ctrl-C, or a signal of the system."""

from __future__ import annotations

import signal
import threading
from collections.abc import Callable
from types import FrameType, TracebackType
from typing import Any, Self

LOOK_SECONDS = 0.5  # an unlimited wait could not be ended by Ctrl-C on Windows
CHORE_SECONDS = 600.0


class StopSignal:
    """Catches SIGINT and SIGTERM while it is entered. For the main thread.

    Enter it before anybody is told that the server runs, so that no signal comes too early, and
    stop the servers within it, so that a second signal does not cut off the first one's work.
    """

    def __init__(self) -> None:
        self._stopped = threading.Event()
        self._before: dict[signal.Signals, Any] = {}

    def __enter__(self) -> Self:
        """From now on a signal is kept for :meth:`wait`."""
        for one in (signal.SIGINT, signal.SIGTERM):
            self._before[one] = signal.signal(one, self._stop)
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        """Signals do again what they did before."""
        for one, handler in self._before.items():
            signal.signal(one, handler)

    def _stop(self, number: int, frame: FrameType | None) -> None:
        del number, frame
        self._stopped.set()

    def wait(self, *, chore: Callable[[], None] | None = None) -> None:
        """Wait for a signal. ``chore`` is called every ten minutes, to renew what runs out."""
        waited = 0.0
        while not self._stopped.wait(LOOK_SECONDS):
            waited += LOOK_SECONDS
            if chore is not None and waited >= CHORE_SECONDS:
                waited = 0.0
                chore()
