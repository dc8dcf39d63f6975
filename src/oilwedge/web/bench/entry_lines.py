"""Every entry of a job as a line: what was typed, by whom, when, and whether it still judges."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from dataclasses import dataclass

from django.core.paginator import Page, Paginator

from oilwedge.job.entry import Entry, Event, EventKind, Reading
from oilwedge.job.record import entry_words
from oilwedge.usecases.opening import Engine
from oilwedge.usecases.reading_text import reading_text
from oilwedge.web.bench.addresses import set_address
from oilwedge.web.bench.job_story import subject_words
from oilwedge.web.bench.moments import differ, moment
from oilwedge.web.record.judged import current_shop, engine_of, judged
from oilwedge.web.record.models import Job, JobEntry
from oilwedge.web.record.store import entries_of, parsed, people_of

ON_A_PAGE = 50


@dataclass(frozen=True, kw_only=True, slots=True)
class EntryLine:
    """One entry. ``state`` is "judges" or why it does not; ``again`` where it is read anew."""

    sequence: int
    entry_id: str
    subject: str
    typed: str
    who: str
    when: str
    device_when: str
    received: str
    state: str
    stands: bool
    note: str
    again: str


@dataclass(frozen=True, kw_only=True, slots=True)
class RecordPage:
    """A page of the record, newest first."""

    lines: tuple[EntryLine, ...]
    page: Page[JobEntry]


def record_page(job: Job, *, page: str) -> RecordPage:
    """The entries of one page with the state of each."""
    rows = job.entries.order_by("-sequence")
    found = Paginator(rows, ON_A_PAGE).get_page(page)
    engine, names, states = engine_of(job), people_of(job), _states(job)
    instruments = {key: one.title for key, one in current_shop().instruments.items()}
    return RecordPage(
        lines=tuple(
            _line(job, row, engine=engine, names=names, states=states, instruments=instruments)
            for row in found.object_list
        ),
        page=found,
    )


def _states(job: Job) -> dict[str, str]:
    """Why an entry does not judge as it stands, by its id."""
    standing, engine = judged(job).standing, engine_of(job)
    sequences = {entry.id: n for n, entry in enumerate(entries_of(job), start=1)}
    states = {
        one.replaces: f"replaced by line {sequences[one.id]}"
        for one in entries_of(job)
        if isinstance(one, Reading) and one.replaces
    }
    for ended in standing.ended:
        words = f"{subject_words(engine, ended.event)} {ended.event.value}"
        states.setdefault(ended.reading.id, f"ended: {words} (line {sequences[ended.event.id]})")
    for doubted in standing.doubted:
        words = f"in doubt: zero check failed (line {sequences[doubted.event.id]})"
        states.setdefault(doubted.reading.id, words)
    return states


def _line(
    job: Job,
    row: JobEntry,
    *,
    engine: Engine,
    names: Mapping[str, str],
    states: Mapping[str, str],
    instruments: Mapping[str, str],
) -> EntryLine:
    entry = parsed(row.document)
    reading = entry if isinstance(entry, Reading) else None
    state = states.get(entry.id, "judges" if reading is not None else "")
    replaceable = reading is not None and not job.closed and "replaced" not in state
    return EntryLine(
        sequence=row.sequence,
        entry_id=row.entry_id,
        subject=_subject(entry, engine, instruments),
        typed=_typed(entry, names),
        who="" if _is_owner(entry) else names.get(entry.person, entry.person),
        when=moment(entry.time or row.received_at),
        device_when=_other_clock(entry),
        received=moment(row.received_at) if differ(entry.time, row.received_at) else "",
        state=state,
        stands=state in ("judges", ""),
        note=entry.note,
        again=set_address(
            job,
            feature=reading.feature,
            number=reading.number,
            place=reading.place,
            direction=reading.direction,
        )
        if reading is not None and replaceable and not state.startswith("ended")
        else "",
    )


def _is_owner(entry: Entry) -> bool:
    return isinstance(entry, Event) and entry.kind is EventKind.OWNER


def _other_clock(entry: Entry) -> str:
    device: datetime.datetime | None = entry.device_time
    return moment(device) if differ(device, entry.time) else ""


def _subject(entry: Entry, engine: Engine, instruments: Mapping[str, str]) -> str:
    if isinstance(entry, Reading):
        feature = engine.features.get(entry.feature)
        words = entry.feature.replace("_", " ")
        label = feature.label(entry.number) if feature else f"{words} {entry.number}"
        return ", ".join(part for part in (label, entry.place, entry.direction) if part)
    if entry.kind is EventKind.ZERO_CHECK:
        key = entry.instrument or entry.subject
        return f"zero check: {instruments.get(key, key)}"
    about = subject_words(engine, entry) if entry.subject else ""
    return f"{entry.kind.value}: {about}" if about else entry.kind.value


def _typed(entry: Entry, names: Mapping[str, str]) -> str:
    if isinstance(entry, Reading):
        return reading_text(entry)
    if _is_owner(entry):
        return names.get(entry.person, "")
    if entry.kind in (EventKind.ENGINE, EventKind.PHOTO):
        return f"{entry.value[:16]}…"
    if entry.kind is EventKind.ERASED:
        return "a name"
    return entry.value or " ".join(entry_words(entry)[1:])
