"""What changed in a job since somebody last looked: readings, works, verdicts."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from dataclasses import dataclass

from oilwedge.engine.model import Engine
from oilwedge.job.entry import Entry, Event, EventKind
from oilwedge.job.record import effective_times
from oilwedge.metrology.reading import Reading
from oilwedge.shop.model import Shop
from oilwedge.uncertainty.conformity import DecisionRule
from oilwedge.usecases.judging import judge
from oilwedge.usecases.length_face import LengthFace
from oilwedge.usecases.reading_text import reading_text
from oilwedge.usecases.remarks import number_ranges
from oilwedge.usecases.verdict_changes import VerdictChange, verdict_changes


@dataclass(frozen=True, kw_only=True, slots=True)
class Replaced:
    """A reading that was misread, and the one in its place."""

    old: Reading
    new: Reading


@dataclass(frozen=True, kw_only=True, slots=True)
class Changes:
    """What came to a record: ``readings`` are those that replace none."""

    readings: tuple[Reading, ...] = ()
    replaced: tuple[Replaced, ...] = ()
    works: tuple[Event, ...] = ()
    other_events: tuple[Event, ...] = ()
    verdicts: tuple[VerdictChange, ...] = ()

    @property
    def empty(self) -> bool:
        """Whether nothing came."""
        return not (self.readings or self.replaced or self.works or self.other_events)


def changes_since(
    *,
    engine: Engine,
    shop: Shop,
    entries: Sequence[Entry],
    count: int,
    face: LengthFace,
    rule: DecisionRule | None = None,
) -> Changes:
    """What entries from number ``count`` on changed (0: everything).

    The record up to then and the record now are judged with the same engine and shop, so that a
    verdict changes only by what was added.
    """
    known, new = entries[: max(count, 0)], entries[max(count, 0) :]
    if not new:
        return Changes()
    readings = [one for one in new if isinstance(one, Reading)]
    by_id = {one.id: one for one in entries if isinstance(one, Reading)}
    events = [one for one in new if isinstance(one, Event)]
    return Changes(
        readings=tuple(one for one in readings if one.replaces not in by_id),
        replaced=tuple(
            Replaced(old=by_id[one.replaces], new=one) for one in readings if one.replaces in by_id
        ),
        works=tuple(one for one in events if one.kind is EventKind.WORK),
        other_events=tuple(one for one in events if one.kind is not EventKind.WORK),
        verdicts=verdict_changes(
            before=judge(engine=engine, shop=shop, entries=known, rule=rule),
            after=judge(engine=engine, shop=shop, entries=entries, rule=rule),
            face=face,
        ),
    )


def count_at(entries: Sequence[Entry], *, time: datetime.datetime) -> int:
    """How many entries were there at a time, by the times of the entries themselves.

    Entries are only ever added, so this is where the first later one stands. What a phone kept
    while it had no network counts from when it was read; who knows when it came takes that count.
    An entry without a time counts with the one before it.
    """
    if time.tzinfo is None:
        raise ValueError("a time with its zone is needed")
    for index, own in enumerate(effective_times(entries)):
        if own is None:
            continue
        when = own if own.tzinfo is not None else own.replace(tzinfo=time.tzinfo)
        if when > time:
            return index
    return len(entries)


def change_lines(changes: Changes, *, engine: Engine) -> tuple[str, ...]:
    """What changed, a sentence a line: works, readings by set, what was replaced, verdicts."""
    lines = [_work_line(one, engine) for one in changes.works]
    lines += _reading_lines(changes.readings, engine)
    for one in changes.replaced:
        where = ", ".join(part for part in (one.new.place, one.new.direction) if part)
        label = _label(engine, one.new.feature, one.new.number)
        place = f"{label}, {where}" if where else label
        lines.append(f"{place}: {reading_text(one.old)} was misread; now {reading_text(one.new)}.")
    lines += [_event_line(one, engine) for one in changes.other_events]
    lines += [f"{one.sentence}." for one in changes.verdicts]
    return tuple(line[:1].upper() + line[1:] for line in lines)


def _label(engine: Engine, key: str, number: int) -> str:
    feature = engine.features.get(key)
    return feature.label(number) if feature is not None else f"{key.replace('_', ' ')} {number}"


def _subject(engine: Engine, key: str, number: int | None) -> str:
    title = engine.part_titles.get(key, "")
    if not title and key in engine.features:
        title = engine.features[key].title
    if not title and key in engine.fits:
        title = engine.fits[key].title
    title = title or key.replace("_", " ")
    return title if number is None else f"{title} {number}"


def _work_line(event: Event, engine: Engine) -> str:
    done = event.value or (event.work.value if event.work is not None else "changed")
    return f"{_subject(engine, event.subject, event.number)}: {done}."


def _event_line(event: Event, engine: Engine) -> str:
    who = _subject(engine, event.subject, event.number) if event.subject else ""
    kind = event.kind.value
    value = event.value if event.kind is not EventKind.CONFIRMED else ""
    parts = [part for part in (who, kind, value, event.note) if part]
    return f"{', '.join(parts)}."


def _reading_lines(readings: Sequence[Reading], engine: Engine) -> list[str]:
    counts: dict[str, list[int]] = {}
    for reading in readings:
        counts.setdefault(reading.feature, []).append(reading.number)
    lines = []
    for key, numbers in counts.items():
        feature = engine.features.get(key)
        title = feature.title if feature is not None else key.replace("_", " ")
        count = len(numbers)
        words = "1 new reading" if count == 1 else f"{count} new readings"
        lines.append(f"{title} {number_ranges(sorted(set(numbers)))}: {words}.")
    return lines
