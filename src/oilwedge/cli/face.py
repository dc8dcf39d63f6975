"""The terminal as a face: what it can print, how wide it is, and where faults go."""

from __future__ import annotations

import os
import shutil
import sys
from enum import Enum
from typing import TextIO

from oilwedge.report.document import Document, Paper
from oilwedge.report.encoding import Encoding, encode_text
from oilwedge.report.line_wrap import text_columns, wrap_text
from oilwedge.report.terminal import Colour, render_terminal
from oilwedge.report.value_text import NO_BREAK
from oilwedge.usecases.length_face import LengthFace
from oilwedge.usecases.trade_words import TradeWords, in_trade_words

LEAST_COLUMNS = 60
USUAL_COLUMNS = 80
TYPED_COLUMNS = 12  # left free behind a question for what is typed


class UnitChoice(Enum):
    """Units in which lengths can be shown."""

    MM = "mm"
    UM = "um"
    INCH = "in"
    THOU = "thou"


_UNIT_NAMES = {
    UnitChoice.MM: "mm",
    UnitChoice.UM: "µm",
    UnitChoice.INCH: "in",
    UnitChoice.THOU: "thou",
}


class PaperChoice(Enum):
    """Sizes of paper under the names that a person chooses them by."""

    A4 = "a4"
    LETTER = "letter"

    @property
    def paper(self) -> Paper:
        """The paper itself."""
        return Paper[self.name]


def length_face(*, choice: UnitChoice | None, usual: str, show_k: bool = False) -> LengthFace:
    """Show lengths in the unit that was asked for, else in the usual one, the engine file's."""
    unit = _UNIT_NAMES[choice] if choice is not None else usual
    return LengthFace(unit=unit, show_k=show_k)


def prepare_streams() -> None:
    """Make printing never fail on a character: UTF-8, or "?" where a terminal is narrower."""
    for name in ("stdout", "stderr"):
        if getattr(sys, name) is None:  # closed by who started it
            setattr(sys, name, open(os.devnull, "w", encoding="utf-8"))  # noqa: PTH123, SIM115
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors="replace")


def encoding(stream: TextIO | None = None) -> Encoding:
    """What a stream can take, the standard output unless another is given."""
    name = (getattr(stream or sys.stdout, "encoding", None) or "ascii").lower()
    return Encoding.UNICODE if "utf" in name else Encoding.ASCII


def colour() -> Colour:
    """Colour only on a terminal, and never where NO_COLOR is set (no-color.org)."""
    if os.environ.get("NO_COLOR") or not sys.stdout.isatty():
        return Colour.NONE
    return Colour.ANSI


def columns() -> int:
    """The width of the terminal, 80 where there is none or it is wider."""
    if not sys.stdout.isatty():
        return USUAL_COLUMNS
    return max(LEAST_COLUMNS, min(USUAL_COLUMNS, shutil.get_terminal_size().columns))


def show(document: Document, *, words: TradeWords) -> None:
    """Print a document on the standard output, in the words that the shop uses."""
    document = in_trade_words(document, words=words)
    text = render_terminal(document, columns=columns(), encoding=encoding(), colour=colour())
    sys.stdout.write(text)


def _plain(text: str, stream: TextIO) -> str:
    return encode_text(text, encoding=encoding(stream)).replace(NO_BREAK, " ")


def tell(text: str) -> None:
    """Print lines for a person on the standard output, broken at the width of the terminal."""
    for line in _plain(text, sys.stdout).split("\n"):
        bare = line.lstrip(" ")
        indent = " " * (len(line) - len(bare))
        fits = text_columns(line) <= columns()
        lines = (bare,) if fits else wrap_text(bare, columns=columns() - len(indent))
        sys.stdout.writelines(f"{indent}{one}\n" for one in lines)


def ask(prompt: str) -> str:
    """A line from the keyboard, with what stands before the cursor in letters it can show.

    Bytes that are no text come out as "?", so that a record can hold what was typed.
    """
    shown = _plain(prompt, sys.stdout)
    room = columns() - TYPED_COLUMNS
    if text_columns(shown) > room:
        shown = "\n".join(wrap_text(shown, columns=room)) + " "
    return input(shown).encode("utf-8", "replace").decode("utf-8")


def say(text: str) -> None:
    """Print a line for a person on the standard error, so that output stays clean when piped."""
    sys.stderr.write(f"{_plain(text, sys.stderr)}\n")
