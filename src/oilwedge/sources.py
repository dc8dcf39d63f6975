"""The bibliography as data: every document that a figure or a formula in oilwedge came from."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum
from pathlib import Path
from types import MappingProxyType

from oilwedge.errors import Fault, UnknownNameError, did_you_mean

COMMON_PRACTICE = "common practice, no source"
"""What stands in the place of a source for a fact of the trade that has none."""


class Kind(Enum):
    """What sort of document a source is."""

    STANDARD = "standard"
    GUIDE = "guide"
    BOOK = "book"
    MANUAL = "manual"
    SOFTWARE = "software"


class Status(Enum):
    """How a document or a figure is known here."""

    READ = "READ"
    RECALLED = "RECALLED"
    COMPUTED = "COMPUTED"


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """One document. ``notes`` says which part was opened and what is from memory."""

    key: str
    author: str
    title: str
    year: int
    publisher: str
    kind: Kind
    status: Status
    notes: str = ""

    def __str__(self) -> str:
        """The document in one line: "author (year). title. publisher."."""
        return f"{self.author} ({self.year}). {self.title}. {self.publisher}."


def _read() -> dict[str, Source]:
    text = Path(__file__).with_suffix(".toml").read_text(encoding="utf-8")
    return {
        key: Source(
            key=key,
            author=row["author"],
            title=row["title"],
            year=row["year"],
            publisher=row["publisher"],
            kind=Kind(row["kind"]),
            status=Status(row["status"]),
            notes=row["notes"],
        )
        for key, row in tomllib.loads(text).items()
    }


SOURCES: Mapping[str, Source] = MappingProxyType(_read())
"""Every source by its key."""


def source(key: str) -> Source:
    """The source with this key; UnknownNameError, with the nearest key, when there is none."""
    if key not in SOURCES:
        raise UnknownNameError(
            Fault(
                given=key,
                allowed="this is no key of the bibliography",
                action=did_you_mean(given=key, allowed=SOURCES),
            )
        )
    return SOURCES[key]
