"""Write what was asked for: whole, or not at all."""

from __future__ import annotations

import contextlib
import datetime
import os
import secrets
from pathlib import Path

from oilwedge.cli.face import say
from oilwedge.errors import Fault, InputError, Where
from oilwedge.report.document import Document
from oilwedge.usecases.trade_words import TradeWords, in_trade_words


def write_file(path: Path, data: bytes) -> None:
    """Write a file beside its place and move it there, so that no half of it stays behind."""
    draft = path.with_name(f".{path.name}.{secrets.token_hex(4)}.new")
    try:
        draft.write_bytes(data)
        os.replace(draft, path)  # noqa: PTH105  (one atomic move over what is there)
    except OSError as error:
        with contextlib.suppress(OSError):  # a folder without writing refuses this too
            draft.unlink(missing_ok=True)
        raise InputError(
            Fault(
                where=Where(file=str(path)),
                given="",
                allowed=f"this file cannot be written ({error.strerror})",
                action="name a folder that exists and that you may write in",
            )
        ) from None


def write_sheet(path: Path, document: Document, *, words: TradeWords) -> None:
    """Set a document as PDF, in the words that the shop uses, and say where it is."""
    from oilwedge.report.pdf import render_pdf  # heavy: only when a sheet is asked for

    document = in_trade_words(document, words=words)
    write_file(path, render_pdf(document, created=datetime.datetime.now(datetime.UTC)))
    say(f"Sheet written to {path}")
