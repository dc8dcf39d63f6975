"""The log of a shop: faults of the program, and nothing about people.

A line says which kind of fault it was and where in the code; never what was typed, who it was,
from where, or which address was asked for, since addresses may hold tokens.
"""

from __future__ import annotations

import logging
import os
import traceback
from logging.handlers import RotatingFileHandler
from pathlib import Path

from oilwedge.web.serving.private_file import OWNER_ONLY, private_folder

LOG_FOLDER = "log"
LOG_FILE = "errors.log"
LOG_BYTES = 256 * 2**10
LOG_FILES = 3
MOST_CAUSES = 3
MOST_PLACES = 12


class PlaceFormatter(logging.Formatter):
    """Time, logger, kind of fault and the lines of code that it passed through."""

    def format(self, record: logging.LogRecord) -> str:
        """One line for the fault, one for each place, the innermost last."""
        lines = [f"{self.formatTime(record)} {record.name} {record.levelname}"]
        if record.name == "oilwedge.serving":  # its words hold nobody's data
            lines[0] += f" {record.getMessage()}"
        error = record.exc_info[1] if record.exc_info else None
        for _ in range(MOST_CAUSES):
            if error is None:
                break
            lines.append(f"  {type(error).__module__}.{type(error).__qualname__}")
            lines += [
                f"    {frame.filename}:{frame.lineno} {frame.name}"
                for frame in traceback.extract_tb(error.__traceback__)[-MOST_PLACES:]
            ]
            error = error.__cause__ or error.__context__
        return "\n".join(lines)


class _PrivateFile(RotatingFileHandler):
    def _open(self):  # type: ignore[no-untyped-def]  # as wide as the library has it
        handle = os.open(self.baseFilename, os.O_WRONLY | os.O_CREAT | os.O_APPEND, OWNER_ONLY)
        return os.fdopen(handle, self.mode, encoding=self.encoding)

    def handleError(self, record: logging.LogRecord) -> None:  # noqa: N802  # the library's name
        """Where the disk is full there is no log; what went wrong is answered to the person."""


def keep_errors(shop: Path) -> None:
    """Send what is logged from now on to the shop's own file, and nothing to the terminal."""
    folder = shop / LOG_FOLDER
    private_folder(folder)
    handler = _PrivateFile(
        folder / LOG_FILE,
        maxBytes=LOG_BYTES,
        backupCount=LOG_FILES,
        encoding="utf-8",
        delay=True,
    )
    handler.setLevel(logging.ERROR)
    handler.setFormatter(PlaceFormatter())
    root = logging.getLogger()
    for old in list(root.handlers):
        root.removeHandler(old)
    root.addHandler(handler)
    root.setLevel(logging.ERROR)
