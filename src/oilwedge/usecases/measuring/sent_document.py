"""One item of the list that a page sends, as JSON and as a value."""

from __future__ import annotations

import datetime
import math
from collections.abc import Mapping
from dataclasses import dataclass

from oilwedge.errors import Fault, InputError, did_you_mean

LONGEST_TEXT = 500
COLDEST_C, HOTTEST_C = -40.0, 200.0


@dataclass(frozen=True, kw_only=True, slots=True)
class SentEntry:
    """One item of the list that a page sends, as it came.

    ``kind``: "reading", "skip", "zero check", "condition", "size", "work". A reading says
    ``typed``, ``unit`` and in ``resolved`` what the page showed before it was taken. For the
    others ``subject`` is the part or feature (``feature`` does as well) and ``value`` the word:
    "passed" or "failed", "re-used", "0.25 mm under", "ground to 0.25 mm under".
    """

    id: str
    kind: str
    device_time: datetime.datetime
    author: str = ""
    feature: str = ""
    subject: str = ""
    number: int | None = None
    place: str = ""
    direction: str = ""
    typed: str = ""
    unit: str = ""
    resolved: str = ""
    value: str = ""
    instrument: str = ""
    fitting: int = 1
    setting: str = "1"
    replaces: str = ""
    confirmed: bool = False
    part_c: float | None = None
    instrument_c: float | None = None
    note: str = ""


def sent_from(document: object) -> SentEntry:
    """The item that a JSON object stands for; raises InputError in one sentence."""
    if not isinstance(document, Mapping):
        raise _error(given=repr(document)[:40], allowed="an entry is a JSON object")
    known = set(SentEntry.__dataclass_fields__)
    unknown = next((str(key) for key in document if key not in known), None)
    if unknown is not None:
        raise _error(
            given=unknown,
            allowed="an entry has no field of this name",
            action=did_you_mean(given=unknown, allowed=known),
        )
    number = document.get("number")
    confirmed = document.get("confirmed", False)
    if not isinstance(confirmed, bool):
        raise _error(given=repr(confirmed)[:40], allowed="'confirmed' is true or false")
    return SentEntry(
        id=_needed(document, "id"),
        kind=_needed(document, "kind"),
        device_time=_time(document.get("device_time"), "device_time"),
        author=str(document.get("author", "")),
        feature=_text(document, "feature"),
        subject=_text(document, "subject"),
        number=None if number is None else _whole(number, "number"),
        place=_text(document, "place"),
        direction=_text(document, "direction"),
        typed=_text(document, "typed"),
        unit=_text(document, "unit"),
        resolved=_text(document, "resolved"),
        value=_text(document, "value"),
        instrument=_text(document, "instrument"),
        fitting=_whole(document.get("fitting", 1), "fitting"),
        setting=str(document.get("setting", "1")),
        replaces=_text(document, "replaces"),
        confirmed=confirmed,
        part_c=_degrees(document.get("part_c"), "part_c"),
        instrument_c=_degrees(document.get("instrument_c"), "instrument_c"),
        note=_text(document, "note"),
    )


def _needed(document: Mapping[str, object], name: str) -> str:
    text = _text(document, name)
    if not text:
        raise _error(given="", allowed=f"an entry has '{name}'")
    return text


def _text(document: Mapping[str, object], name: str) -> str:
    value = document.get(name, "")
    if not isinstance(value, str) or len(value) > LONGEST_TEXT:
        raise _error(
            given=repr(value)[:40],
            allowed=f"'{name}' is a text of up to {LONGEST_TEXT} characters",
        )
    try:
        value.encode()
    except UnicodeEncodeError:
        raise _error(given="", allowed=f"'{name}' is a text of whole characters") from None
    return value


def _whole(value: object, name: str) -> int:
    if not isinstance(value, int) or isinstance(value, bool) or not 1 <= value <= 10_000:
        raise _error(given=repr(value)[:40], allowed=f"'{name}' is a whole number from 1 up")
    return value


def _degrees(value: object, name: str) -> float | None:
    if value is None:
        return None
    number = float(value) if isinstance(value, int | float) else math.nan
    if isinstance(value, bool) or not COLDEST_C <= number <= HOTTEST_C:
        raise _error(
            given=repr(value)[:40],
            allowed=f"'{name}' is a temperature of {COLDEST_C:g} to {HOTTEST_C:g} °C",
        )
    return number


def _time(value: object, name: str) -> datetime.datetime:
    try:
        time = datetime.datetime.fromisoformat(value) if isinstance(value, str) else None
        if time is not None and time.tzinfo is not None:
            return time.astimezone(datetime.UTC)
    except (ValueError, OverflowError):
        pass
    raise _error(
        given=repr(value)[:40],
        allowed=f"'{name}' is a time with its zone",
        action="write it like 2026-03-01T14:05:00+01:00",
    )


def _error(*, given: str, allowed: str, action: str = "") -> InputError:
    return InputError(Fault(given=given, allowed=allowed, action=action))
