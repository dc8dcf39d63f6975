"""A line as it was typed: a command, or a value."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum

from oilwedge.errors import UnitError
from oilwedge.metrology.instrument import Strip
from oilwedge.usecases.importing.value import TypedValue, read_value


class Command(Enum):
    """What a person can say besides a value."""

    BACK = "back"
    SKIP = "skip"
    CORRECT = "correct"
    REPEAT = "repeat"
    REFIT = "refit"
    ZERO = "zero"
    UNIT = "unit"
    INSTRUMENT = "instrument"
    PERSON = "person"
    TEMPERATURE = "temperature"
    NOTE = "note"
    WHERE = "where"
    LIST = "list"
    STOP = "stop"
    HELP = "help"


_WORDS: Mapping[str, Command] = {
    **{command.value: command for command in Command},
    "b": Command.BACK,
    "s": Command.SKIP,
    "c": Command.CORRECT,
    "r": Command.REPEAT,
    "f": Command.REFIT,
    "z": Command.ZERO,
    "u": Command.UNIT,
    "i": Command.INSTRUMENT,
    "p": Command.PERSON,
    "t": Command.TEMPERATURE,
    "n": Command.NOTE,
    "w": Command.WHERE,
    "l": Command.LIST,
    "q": Command.STOP,
    "quit": Command.STOP,
    "exit": Command.STOP,
    "h": Command.HELP,
    "?": Command.HELP,
}
_ALONE = frozenset({Command.BACK, Command.REPEAT, Command.REFIT, Command.WHERE, Command.LIST,
                    Command.STOP, Command.HELP})  # fmt: skip
_FULL_WIDTH = {code: code - 0xFEE0 for code in range(0xFF01, 0xFF5F)} | {0x3000: 0x20}


@dataclass(frozen=True, kw_only=True, slots=True)
class Line:
    """The text, cleaned; the command in it, if it is one, and what stands behind."""

    text: str
    command: Command | None = None
    rest: str = ""


def read_line(text: str) -> Line:
    """A line without what terminals and digital instruments add; full-width digits as plain."""
    bare = text.translate(_FULL_WIDTH)
    bare = "".join(sign for sign in bare if sign.isprintable() or sign == "\t").strip()
    word, _, rest = bare.partition(" ")
    command = _WORDS.get(word.casefold())
    if command is None or (command in _ALONE and rest.strip()):
        return Line(text=bare)
    return Line(text=bare, command=command, rest=rest.strip())


def read_typed(text: str, *, unit: str, strip: Strip | None) -> TypedValue:
    """A value whose unit stands with it, or is the remembered one."""
    try:
        return read_value(text, unit=None, strip=strip)
    except UnitError:
        if not unit:
            raise
    return read_value(text, unit=unit, strip=strip)


_TURNS = re.compile(r"(?P<rest>.*?)\s*(?:(?P<turns>\d{1,2})\s*(?:turns?)?)?", re.IGNORECASE)
_LARGER = frozenset({"l", "larger", "bigger", "over", "+", "plus"})
_SMALLER = frozenset({"s", "smaller", "under", "-", "minus"})


def read_sign(text: str) -> tuple[int, int] | None:
    """Sign and whole turns from an answer such as "larger" or "s 1 turn"; None for neither."""
    match = _TURNS.fullmatch(text.strip())
    if match is None:
        return None
    word = match["rest"].strip().casefold()
    turns = int(match["turns"] or 0)
    if word in _LARGER:
        return 1, turns
    return (-1, turns) if word in _SMALLER else None


def is_yes(text: str) -> bool:
    """A clear yes."""
    return text.strip().casefold() in {"yes", "y"}


def is_no(text: str) -> bool:
    """A clear no."""
    return text.strip().casefold() in {"no", "n"}
