"""What the parts of a job are, what was done to them, and which readings that ends."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from django.utils import timezone

from oilwedge.errors import Fault, InputError
from oilwedge.job.entry import Entry, Event, EventKind, WorkKind
from oilwedge.job.standing import concerned_features
from oilwedge.usecases.importing.part_words import STATED
from oilwedge.usecases.measuring import SentEntry, entries_from
from oilwedge.usecases.opening import Engine, Shop
from oilwedge.usecases.remarks import and_list
from oilwedge.web.bench.job_story import subject_words
from oilwedge.web.bench.moments import moment
from oilwedge.web.people.models import Account
from oilwedge.web.record.judged import current_shop, engine_of, judged
from oilwedge.web.record.models import Job
from oilwedge.web.record.store import (
    append_entries,
    commitment_for,
    entries_of,
    new_id,
    people_of,
)

OF_PARTS = (EventKind.CONDITION, EventKind.SIZE, EventKind.WORK, EventKind.ZERO_CHECK)
CONDITIONS = tuple(condition.value for condition in STATED)
WORKS = tuple(work.value for work in WorkKind)


@dataclass(frozen=True, kw_only=True, slots=True)
class PartLine:
    """One part of the engine, in how many pieces, and what is said of them."""

    key: str
    title: str
    count: int
    said: tuple[str, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class Happening:
    """One entry about a part or an instrument."""

    when: str
    who: str
    words: str


@dataclass(frozen=True, kw_only=True, slots=True)
class PartsPage:
    """What the page shows."""

    parts: tuple[PartLine, ...]
    history: tuple[Happening, ...]
    instruments: tuple[tuple[str, str], ...]

    @property
    def said_parts(self) -> tuple[PartLine, ...]:
        """The parts of which something was said."""
        return tuple(one for one in self.parts if one.said)

    @property
    def unsaid(self) -> tuple[str, ...]:
        """The others, by name."""
        return tuple(one.title for one in self.parts if not one.said)


@dataclass(frozen=True, kw_only=True, slots=True)
class StepSaid:
    """The form: what was done to which part, or how a zero check went; as typed."""

    what: str  # "condition new", "work ground", "size", "zero check failed"
    subject: str
    number: str
    size: str
    note: str


def parts_page(job: Job) -> PartsPage:
    """All parts of the engine with their states, and what was said, newest first."""
    engine, shop = engine_of(job), current_shop()
    names = people_of(job)
    happened = [
        Happening(
            when=moment(one.time),
            who=names.get(one.person, one.person),
            words=_words(one, engine=engine, shop=shop),
        )
        for one in reversed(entries_of(job))
        if isinstance(one, Event) and one.kind in OF_PARTS
    ]
    return PartsPage(
        parts=part_lines(job, engine=engine),
        history=tuple(happened),
        instruments=tuple((key, one.title) for key, one in shop.instruments.items()),
    )


def part_lines(job: Job, *, engine: Engine) -> tuple[PartLine, ...]:
    """Each part in use, with what was said of it."""
    conditions = judged(job).standing.conditions
    counts: dict[str, int] = {}
    for feature in engine.features.values():
        for part in feature.parts:
            counts[part] = max(counts.get(part, 1), feature.count)
    lines = []
    for key, title in engine.part_titles.items():
        said = tuple(
            condition.value if number == 0 else f"{number}: {condition.value}"
            for (part, number), condition in conditions.items()
            if part == key
        )
        lines.append(PartLine(key=key, title=title, count=counts.get(key, 1), said=said))
    return tuple(lines)


def _words(event: Event, *, engine: Engine, shop: Shop) -> str:
    """ "Rod journals 3: ground to 0.25 mm under"."""
    if event.kind is EventKind.ZERO_CHECK:
        key = event.instrument or event.subject
        known = shop.instruments.get(key)
        words = f"zero of the {known.title if known else key}: {event.value}"
    else:
        sort = " at" if event.kind is EventKind.SIZE else ""
        words = f"{subject_words(engine, event)}{sort}: {event.value}"
    return f"{words}. {event.note}" if event.note else words


def events_of(job: Job, said: StepSaid, *, account: Account) -> tuple[Entry, ...]:
    """The entries that the form makes; InputError for what cannot be."""
    now = timezone.now()
    return entries_from(
        _sent(said),
        engine=engine_of(job),
        shop=current_shop(),
        entries=entries_of(job),
        person=commitment_for(job=job, account=account),
        received=now,
        device_now=now,
    )


def _sent(said: StepSaid) -> SentEntry:
    if not said.what:
        raise InputError(Fault(given="", allowed="choose what it is, or what was done"))
    kind, _, word = said.what.partition(" ")
    value = word
    if said.what.startswith("zero check"):
        kind, value = "zero check", said.what.removeprefix("zero check").strip()
    elif kind == "size":
        value = said.size.strip()
    elif kind == "work" and said.size.strip():
        value = f"{word} to {said.size.strip()}"
    return SentEntry(
        id=new_id(),
        kind=kind,
        device_time=timezone.now(),
        subject=said.subject,
        instrument=said.subject if kind == "zero check" else "",
        number=_number(said.number),
        value=value,
        note=" ".join(said.note.split())[:300],
    )


def _number(text: str) -> int | None:
    if not text.strip():
        return None
    if not text.strip().isdecimal() or not 1 <= int(text) <= 10_000:
        raise InputError(
            Fault(
                given=text.strip(),
                allowed="which one it is, is a whole number from 1 up",
                action="leave it empty for all of them",
            )
        )
    return int(text)


def what_it_ends(job: Job, entries: Sequence[Entry]) -> str:
    """A sentence about the readings that stop judging; empty where none does."""
    engine, standing = engine_of(job), judged(job).standing
    ended: dict[tuple[str, int], int] = {}
    for event in entries:
        if not isinstance(event, Event) or event.work is None or not event.work.starts_new_state:
            continue
        concerned = set(
            concerned_features(engine=engine, subject=event.subject, number=event.number)
        )
        for reading in standing.readings:
            where = (reading.feature, reading.number)
            if where in concerned:
                ended[where] = ended.get(where, 0) + 1
    count = sum(ended.values())
    if not count:
        return ""
    labels = [engine.features[key].label(number) for key, number in ended]
    if len(labels) > 3:
        labels = list(dict.fromkeys(engine.features[key].title for key, _ in ended))
    verb = "stops" if count == 1 else "stop"
    said = f"{count} reading{'' if count == 1 else 's'} of {and_list(labels)} {verb} judging."
    return f"{said} They stay in the record; what they measured has to be measured again."


def record_step(job: Job, entries: Sequence[Entry]) -> None:
    """Put it into the record."""
    append_entries(job=job, entries=entries)
