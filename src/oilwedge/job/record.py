"""The record of a job: entries are added, never changed. Pure functions on tuples of entries."""

from __future__ import annotations

import datetime
import hashlib
import json
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from oilwedge.errors import Fault, JobFileError
from oilwedge.job.codec import entry_to_document
from oilwedge.job.entry import Entry, Event, EventKind
from oilwedge.metrology.reading import Reading

EMPTY_HEAD = hashlib.sha256(b"").hexdigest()


@dataclass(frozen=True, kw_only=True, slots=True)
class Appended:
    """What became of an attempt to add entries."""

    entries: tuple[Entry, ...]  # the whole record afterwards
    added: tuple[Entry, ...]
    already_there: tuple[Entry, ...]  # same id and same content: stored once


def append(entries: Sequence[Entry], new: Iterable[Entry]) -> Appended:
    """The record with the new entries at its end.

    An entry whose id is there already with the same content adds nothing. Raises
    :class:`JobFileError` with every clash (same id, other content; a replaced reading that is not
    there); then nothing is added. Content is all but ``origin`` and, for a reading, the text: the
    same value written "47.97" and "47.970" is the same reading. Of an entry that carries the time
    of its device, ``time`` is no content either: it is worked out anew each time it is sent.
    """
    known = {entry.id: entry for entry in entries}
    added: list[Entry] = []
    already: list[Entry] = []
    faults: list[Fault] = []
    for entry in new:
        old = known.get(entry.id)
        if old is None:
            known[entry.id] = entry
            added.append(entry)
        elif same_content(old, entry):
            already.append(entry)
        else:
            faults.append(clash(old=old, new=entry))
    faults += missing_replacements(added, known=known)
    if faults:
        raise JobFileError(*faults)
    return Appended(entries=(*entries, *added), added=tuple(added), already_there=tuple(already))


def deduplicate(entries: Iterable[Entry]) -> tuple[Entry, ...]:
    """Each entry once, at its first place; raises as :func:`append` does."""
    return append((), entries).entries


def same_content(one: Entry, other: Entry) -> bool:
    """Whether two entries say the same, wherever they came from."""
    return _bare(one) == _bare(other)


def _bare(entry: Entry) -> Entry:
    time = entry.time if entry.device_time is None else None
    if isinstance(entry, Reading):
        return replace(entry, origin="", text="", time=time)
    return replace(entry, origin="", time=time)


def clash(*, old: Entry, new: Entry) -> Fault:
    """The fault of two entries that share an id and say different things."""
    return Fault(
        given=new.id,
        allowed=f"this id stands for {describe(old)} and for {describe(new)}",
        action="give the newer one an id of its own; to correct a reading, name the old id in"
        " its column 'replaces'",
    )


def missing_replacements(new: Iterable[Entry], *, known: Iterable[str]) -> list[Fault]:
    """A fault for each reading that replaces itself or one that is not in the record."""
    ids = set(known)
    return [
        Fault(
            given=entry.replaces,
            allowed=f"{describe(entry)} replaces a reading that is not in the record",
            action="write the id of the reading that was misread",
        )
        for entry in new
        if isinstance(entry, Reading)
        and entry.replaces
        and (entry.replaces not in ids or entry.replaces == entry.id)
    ]


def describe(entry: Entry) -> str:
    """One entry in a few words, with where it came from."""
    words = " ".join(entry_words(entry))
    return f"{words} (from {entry.origin})" if entry.origin else words


def entry_words(entry: Entry) -> list[str]:
    """The parts of a short description; empty ones left out."""
    if isinstance(entry, Reading):
        value = entry.text
        if not value.endswith(entry.unit):
            value = f"{value} {entry.unit}"
        subject = entry.feature.replace("_", " ")
        parts = [subject, str(entry.number), entry.place, entry.direction, value]
    else:
        subject = (entry.subject or entry.instrument).replace("_", " ")
        number = "" if entry.number is None else str(entry.number)
        parts = [entry.kind.value, subject, number, entry.value]
    return [part for part in parts if part]


def replaced_ids(entries: Iterable[Entry]) -> frozenset[str]:
    """Ids of the readings that another reading replaces."""
    return frozenset(
        entry.replaces for entry in entries if isinstance(entry, Reading) and entry.replaces
    )


def current_readings(entries: Sequence[Entry]) -> tuple[Reading, ...]:
    """The readings that stand: all but those replaced, in order of the record."""
    gone = replaced_ids(entries)
    return tuple(entry for entry in entries if isinstance(entry, Reading) and entry.id not in gone)


def events(entries: Iterable[Entry]) -> tuple[Event, ...]:
    """The events, in order of the record."""
    return tuple(entry for entry in entries if isinstance(entry, Event))


def for_another_record(entries: Iterable[Entry]) -> tuple[Entry, ...]:
    """What another record may take over: all but what this one says of itself.

    That another job was closed, whose engine it is and which engine file it had stays there.
    """
    return tuple(
        entry for entry in entries if isinstance(entry, Reading) or entry.kind.may_stand_in_a_table
    )


def closed_by(entries: Iterable[Entry]) -> Event | None:
    """The event that closed the job, if it is closed now; by order of the record, not by time."""
    last = None
    for event in events(entries):
        if event.kind in (EventKind.CLOSED, EventKind.REOPENED):
            last = event
    return last if last is not None and last.kind is EventKind.CLOSED else None


def effective_times(entries: Sequence[Entry]) -> tuple[datetime.datetime | None, ...]:
    """When each entry holds from: its own time, else that of the entry before it.

    None before the first entry that has a time. If any time in the record comes without a zone,
    all are compared by the clock on the wall (one bench, one clock); otherwise as instants, in
    UTC. Times are returned in the form in which they are compared.
    """
    wall_clock = any(entry.time is not None and entry.time.tzinfo is None for entry in entries)
    times: list[datetime.datetime | None] = []
    latest: datetime.datetime | None = None
    for entry in entries:
        own = entry.time
        if own is not None:
            latest = own.replace(tzinfo=None) if wall_clock else own.astimezone(datetime.UTC)
        times.append(latest)
    return tuple(times)


def in_effective_order(entries: Sequence[Entry]) -> tuple[Entry, ...]:
    """The entries by effective time; those with the same time, or none, stay as they are."""
    times = effective_times(entries)
    order = sorted(range(len(entries)), key=lambda i: (times[i] is not None, _moment(times[i])))
    return tuple(entries[i] for i in order)


def _moment(time: datetime.datetime | None) -> float:
    if time is None:
        return 0.0
    aware = time if time.tzinfo is not None else time.replace(tzinfo=datetime.UTC)
    return aware.timestamp()


def canonical_text(entry: Entry) -> str:
    """The one way to write an entry: its JSON with sorted keys and without blanks."""
    return json.dumps(
        entry_to_document(entry), sort_keys=True, separators=(",", ":"), ensure_ascii=False
    )


def digest_text(text: str) -> str:
    """SHA-256 of a text as UTF-8, in hexadecimal; also that of an engine file."""
    return hashlib.sha256(text.encode()).hexdigest()


def digest(entry: Entry) -> str:
    """SHA-256 of an entry: of its canonical text."""
    return digest_text(canonical_text(entry))


def head_after(head: str, digest: str) -> str:
    """The head of a chain after one more entry: SHA-256(head + digest), each in hexadecimal."""
    return digest_text(head + digest)


def head(entries: Iterable[Entry], *, after: str = EMPTY_HEAD) -> str:
    """The head of the hash chain: h(n) = SHA-256(h(n-1) + digest of entry n), as hexadecimal.

    Two records with the same head hold the same entries in the same order. ``after`` is the head
    of what came before, so that a chain can be carried on.
    """
    chain = after
    for entry in entries:
        chain = head_after(chain, digest(entry))
    return chain
