"""Entries for the tests of the record, made as a browser makes them."""

from __future__ import annotations

import datetime

from oilwedge.job.entry import Event, EventKind, Reading

TIME = datetime.datetime(2031, 3, 1, 9, 0, tzinfo=datetime.UTC)


def reading(
    id: str = "r1",
    *,
    text: str = "47.972",
    replaces: str = "",
    person: str = "",
    place: str = "",
    note: str = "",
) -> Reading:
    """A reading of the rod journal of the invented single."""
    return Reading(
        id=id,
        feature="rod_journal",
        number=1,
        place=place,
        value_m=float(text) / 1000,
        text=text,
        unit="mm",
        replaces=replaces,
        person=person,
        note=note,
        time=TIME,
    )


def event(kind: EventKind, id: str = "e1", *, person: str = "", value: str = "") -> Event:
    """An event of a kind."""
    return Event(id=id, kind=kind, person=person, value=value, time=TIME)
