"""An entry as a JSON document and back; older versions of the document are brought up to date."""

from __future__ import annotations

import datetime
import math
import re
import reprlib
from collections.abc import Callable, Mapping
from enum import Enum
from typing import Any, TypeAlias, TypeVar

from oilwedge.errors import Fault, JobFileError
from oilwedge.job.entry import Entry, Event, EventKind, WorkKind
from oilwedge.metrology.reading import Bound, Reading, ReadingForm

Document: TypeAlias = dict[str, Any]
E = TypeVar("E", bound=Enum)

VERSION = 1
_LONGEST_SHOWN = 80
_HALF_A_CHARACTER = re.compile("[\ud800-\udfff]")
# From a version to the next one. A change of the document's meaning adds a line here.
UPGRADES: Mapping[int, Callable[[Document], Document]] = {}

_TEXTS_OF_READING = (
    "place", "direction", "text", "unit", "instrument", "person", "setting", "replaces", "note",
    "origin",
)  # fmt: skip
_TIMES = ("time", "device_time")
_TEXTS_OF_EVENT = ("subject", "value", "instrument", "person", "note", "origin")


def entry_to_document(entry: Entry) -> Document:
    """The entry as plain JSON values; fields that say nothing are left out."""
    if isinstance(entry, Reading):
        return _reading_to_document(entry)
    return _event_to_document(entry)


def _reading_to_document(reading: Reading) -> Document:
    document: Document = {
        "v": VERSION,
        "entry": "reading",
        "id": reading.id,
        "feature": reading.feature,
        "number": reading.number,
        "value_m": reading.value_m,
        "form": reading.form.name.lower(),
        "fitting": reading.fitting,
    }
    if reading.bound is not Bound.NONE:
        document["bound"] = reading.bound.name.lower()
    for name in ("part_temperature_c", "instrument_temperature_c"):
        if (value := getattr(reading, name)) is not None:
            document[name] = value
    return _with_texts(document, reading, _TEXTS_OF_READING)


def _event_to_document(event: Event) -> Document:
    document: Document = {
        "v": VERSION,
        "entry": "event",
        "id": event.id,
        "kind": event.kind.name.lower(),
    }
    if event.number is not None:
        document["number"] = event.number
    if event.step_m is not None:
        document["step_m"] = event.step_m
    if event.work is not None:
        document["work"] = event.work.name.lower()
    return _with_texts(document, event, _TEXTS_OF_EVENT)


def _with_texts(document: Document, entry: Entry, names: tuple[str, ...]) -> Document:
    for name in names:
        if text := getattr(entry, name):
            document[name] = text
    for name in _TIMES:
        if (time := getattr(entry, name)) is not None:
            document[name] = time.isoformat()
    return document


def entry_from_document(
    document: object,
    *,
    upgrades: Mapping[int, Callable[[Document], Document]] = UPGRADES,
    version: int = VERSION,
) -> Entry:
    """The entry that a document stands for; raises :class:`JobFileError` if it stands for none."""
    if not isinstance(document, dict):
        raise _error(given=reprlib.repr(document), allowed="an entry is a JSON object in braces")
    current = _upgraded(document, upgrades=upgrades, version=version)
    kind = current.get("entry")
    try:
        if kind == "reading":
            return _reading_from_document(current)
        if kind == "event":
            return _event_from_document(current)
    except KeyError as missing:
        raise _error(given="", allowed=f"the entry has no {missing}") from None
    raise _error(given=str(kind), allowed="an entry is a 'reading' or an 'event'")


def _upgraded(
    document: Document,
    *,
    upgrades: Mapping[int, Callable[[Document], Document]],
    version: int,
) -> Document:
    given = document.get("v")
    if not isinstance(given, int) or isinstance(given, bool):
        raise _error(
            given=reprlib.repr(given), allowed="'v' is the version of the entry, a whole number"
        )
    if given > version:
        raise _error(
            given=f"v {given}",
            allowed=f"this oilwedge reads entries up to version {version}",
            action="take a newer oilwedge",
        )
    while given < version:
        if given not in upgrades:
            raise _error(given=f"v {given}", allowed=f"entries have version {version}")
        document = upgrades[given](document)
        given += 1
    return document


def _reading_from_document(document: Document) -> Reading:
    texts = {name: _text(document, name) for name in _TEXTS_OF_READING if name in document}
    return Reading(
        id=_text(document, "id"),
        feature=_text(document, "feature"),
        number=_whole(document, "number"),
        value_m=_float(document, "value_m"),
        form=_member(document, "form", ReadingForm),
        bound=_member(document, "bound", Bound) if "bound" in document else Bound.NONE,
        time=_time(document, "time"),
        device_time=_time(document, "device_time"),
        fitting=_whole(document, "fitting"),
        part_temperature_c=_optional_float(document, "part_temperature_c"),
        instrument_temperature_c=_optional_float(document, "instrument_temperature_c"),
        **texts,
    )


def _event_from_document(document: Document) -> Event:
    texts = {name: _text(document, name) for name in _TEXTS_OF_EVENT if name in document}
    return Event(
        id=_text(document, "id"),
        kind=_member(document, "kind", EventKind),
        number=_whole(document, "number") if "number" in document else None,
        step_m=_optional_float(document, "step_m"),
        work=_member(document, "work", WorkKind) if "work" in document else None,
        time=_time(document, "time"),
        device_time=_time(document, "device_time"),
        **texts,
    )


def _text(document: Document, name: str) -> str:
    value = document[name]
    if not isinstance(value, str):
        raise _error(given=reprlib.repr(value), allowed=f"'{name}' is a text in quotes")
    if _HALF_A_CHARACTER.search(value):  # JSON can spell what UTF-8 cannot hold
        raise _error(given=ascii(value), allowed=f"'{name}' is a text of whole characters")
    return value


def _whole(document: Document, name: str) -> int:
    value = document[name]
    if not isinstance(value, int) or isinstance(value, bool) or value < 1:
        raise _error(given=reprlib.repr(value), allowed=f"'{name}' is a whole number from 1 up")
    return value


def _float(document: Document, name: str) -> float:
    value = document[name]
    try:
        if not isinstance(value, bool | str) and math.isfinite(number := float(value)):
            return number
    except (TypeError, OverflowError):  # no number, or one with more digits than any length has
        pass
    raise _error(given=reprlib.repr(value), allowed=f"'{name}' is a number")


def _optional_float(document: Document, name: str) -> float | None:
    return _float(document, name) if name in document else None


def _member(document: Document, name: str, enum: type[E]) -> E:
    word = _text(document, name)
    for member in enum:
        if member.name.lower() == word:
            return member
    allowed = ", ".join(member.name.lower() for member in enum)
    raise _error(given=word, allowed=f"'{name}' is one of {allowed}")


def _time(document: Document, name: str) -> datetime.datetime | None:
    if name not in document:
        return None
    text = _text(document, name)
    try:
        time = datetime.datetime.fromisoformat(text)
        if time.tzinfo is not None:
            time.astimezone(datetime.UTC)  # the first and last day of the calendar may have none
    except (ValueError, OverflowError):
        raise _error(
            given=text, allowed=f"'{name}' is written like 2026-03-01T14:05:00+01:00"
        ) from None
    return time


def _error(*, given: str, allowed: str, action: str = "") -> JobFileError:
    given = given if len(given) <= _LONGEST_SHOWN else f"{given[:_LONGEST_SHOWN]}..."
    return JobFileError(Fault(given=given, allowed=allowed, action=action))
