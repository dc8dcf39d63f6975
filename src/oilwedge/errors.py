"""Every error that oilwedge raises on purpose, and the sentence that a person gets to read.

The tree::

    OilwedgeError
    ├── InputError (also ValueError)          what a person gave cannot be used
    │   ├── UnitError                         a quantity or its unit
    │   ├── EngineFileError                   an engine file
    │   ├── ReadingsError                     a table of readings
    │   ├── ShopFileError                     a file of what the shop owns
    │   ├── JobFileError                      a job file
    │   ├── UnknownNameError (also LookupError)   a name that is not on the list
    │   └── OutOfRangeError                   a model or table used outside its range
    └── MissingExtraError (also ImportError)  an optional part that is not installed

An :class:`InputError` carries one :class:`Fault` or more; each says where, what was given,
what is allowed and what to do, in one sentence.
"""

from __future__ import annotations

import difflib
from collections.abc import Iterable
from dataclasses import dataclass, replace
from enum import Enum
from typing import Self


class LineWord(Enum):
    """What the people who wrote the file call one line of it."""

    LINE = "line"
    ROW = "row"


@dataclass(frozen=True, kw_only=True, slots=True)
class Where:
    """A place in something that a person gave: file, line, and column or key."""

    file: str = ""
    line: int | None = None
    column: str = ""
    unit: LineWord = LineWord.LINE

    def __str__(self) -> str:
        """The place in words: "readings.csv, row 7, column value"; empty when nothing is known."""
        parts = [self.file] if self.file else []
        if self.line is not None:
            parts.append(f"{self.unit.value} {self.line}")
        if self.column:
            in_table = self.unit is LineWord.ROW
            parts.append(f"column {self.column}" if in_table else self.column)
        return ", ".join(parts)


@dataclass(frozen=True, kw_only=True, slots=True)
class Fault:
    """One thing that is wrong: what was given, what is allowed, what to do about it."""

    where: Where = Where()
    given: str
    allowed: str
    action: str = ""

    def sentence(self) -> str:
        """One sentence, without a line break, that ends in a full stop (or question mark)."""
        place = str(self.where)
        parts = [f"given '{self.given}'"] if self.given else []
        parts += [part.rstrip(".") for part in (self.allowed, self.action) if part]
        body = " ".join("; ".join(parts).split())
        if not place:
            body = body[:1].upper() + body[1:]
        text = f"{place}: {body}" if place else body
        return text if text.endswith((".", "?", "!")) else f"{text}."

    def at(self, where: Where) -> Fault:
        """The same fault, placed."""
        return replace(self, where=where)


class OilwedgeError(Exception):
    """The root: everything that oilwedge raises on purpose."""


class InputError(OilwedgeError, ValueError):
    """What a person gave cannot be used.

    Takes its faults one after another: ``InputError(fault)`` or ``InputError(*faults)``;
    at least one. ``str()`` gives all sentences, one a line.
    """

    def __init__(self, *faults: Fault) -> None:
        if not faults:
            raise TypeError("an InputError needs at least one fault")
        super().__init__(*faults)
        self.faults: tuple[Fault, ...] = faults

    def __str__(self) -> str:
        """All sentences, one a line."""
        return "\n".join(fault.sentence() for fault in self.faults)

    def at(self, where: Where) -> Self:
        """The same error, of the same class; a fault that has no place yet is put at ``where``."""
        placed = (f if str(f.where) else f.at(where) for f in self.faults)
        return type(self)(*placed)


class UnitError(InputError):
    """A quantity cannot be read, or its unit is unknown or of the wrong sort."""


class EngineFileError(InputError):
    """An engine file says something that cannot be meant."""


class ReadingsError(InputError):
    """A table of readings holds rows that cannot be taken."""


class ShopFileError(InputError):
    """A file of instruments, strips or stock holds something that cannot be used."""


class JobFileError(InputError):
    """A job file cannot be read or contradicts itself."""


class UnknownNameError(InputError, LookupError):
    """A name that is not on the list; its action says which one may have been meant."""


class OutOfRangeError(InputError):
    """A model or a table was asked for something outside the range that it holds for."""


class MissingExtraError(OilwedgeError, ImportError):
    """An optional part of oilwedge is needed and not installed."""


def did_you_mean(*, given: str, allowed: Iterable[str]) -> str:
    """Ask back with the allowed name nearest to the given one.

    Gives ``"did you mean 'firing_order'?"``, or ``""`` when nothing is near (similarity ratio
    of :mod:`difflib` under 0.6). Upper and lower case, hyphens and blanks are not told apart.
    """
    names = {_plain(name): name for name in allowed}
    near = difflib.get_close_matches(_plain(given), list(names), n=1, cutoff=0.6)
    return f"did you mean '{names[near[0]]}'?" if near else ""


def _plain(name: str) -> str:
    return name.casefold().replace("-", "_").replace(" ", "_")
