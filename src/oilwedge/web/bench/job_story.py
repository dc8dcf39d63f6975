"""What people added to a job beside readings: notes, photos, decisions, signatures, and who."""

from __future__ import annotations

import datetime
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from oilwedge.job.entry import Entry, Event, EventKind, Reading
from oilwedge.usecases.opening import Engine
from oilwedge.web.bench.moments import moment
from oilwedge.web.bench.opening import owner_of
from oilwedge.web.record.judged import engine_of
from oilwedge.web.record.models import Job, PersonalDatum, Photo
from oilwedge.web.record.store import entries_of, people_of

STORY = (EventKind.NOTE, EventKind.DECISION, EventKind.SIGNED, EventKind.CLOSED, EventKind.REOPENED)


@dataclass(frozen=True, kw_only=True, slots=True)
class Told:
    """A note, a decision or a signature."""

    kind: str
    about: str
    text: str
    who: str
    when: str


@dataclass(frozen=True, kw_only=True, slots=True)
class Shown:
    """A photo with what it shows."""

    photo: Photo
    caption: str


@dataclass(frozen=True, kw_only=True, slots=True)
class Taking:
    """Somebody who takes part: how many readings, and when the last entry came."""

    name: str
    readings: int
    last: str


@dataclass(frozen=True, kw_only=True, slots=True)
class JobStory:
    """All of it, newest first."""

    owner: str
    told: tuple[Told, ...]
    photos: tuple[Shown, ...]
    people: tuple[Taking, ...]
    parked: int


def job_story(job: Job) -> JobStory:
    """Read it off the record."""
    names = people_of(job)
    entries = entries_of(job)
    engine = engine_of(job)
    owners = job.personal.filter(kind=PersonalDatum.Kind.OWNER).exists()
    return JobStory(
        owner=owner_of(job, names=names) if owners else "",
        told=_told(entries, engine=engine, names=names),
        photos=_photos(job, entries, engine=engine),
        people=_people(entries, names=names),
        parked=job.parked.filter(settled_at=None).count(),
    )


def subject_words(engine: Engine, event: Event) -> str:
    """What an event is about, in words: "rod journal 3", "crankshaft"."""
    feature = engine.features.get(event.subject)
    fit = engine.fits.get(event.subject)
    if event.number is not None and feature is not None:
        return feature.label(event.number)
    if event.number is not None and fit is not None:
        return fit.label(event.number)
    titled = feature or fit
    title = titled.title if titled else engine.part_titles.get(event.subject, event.subject)
    title = title.replace("_", " ")
    return title if event.number is None else f"{title} {event.number}"


def _told(
    entries: Sequence[Entry], *, engine: Engine, names: Mapping[str, str]
) -> tuple[Told, ...]:
    return tuple(
        Told(
            kind=one.kind.value,
            about=subject_words(engine, one),
            text=". ".join(part for part in (one.value, one.note) if part),
            who=names.get(one.person, one.person),
            when=moment(one.time),
        )
        for one in reversed(entries)
        if isinstance(one, Event) and one.kind in STORY
    )


def _photos(job: Job, entries: Sequence[Entry], *, engine: Engine) -> tuple[Shown, ...]:
    said = {
        one.value: one for one in entries if isinstance(one, Event) and one.kind is EventKind.PHOTO
    }
    found = []
    for photo in job.photos.order_by("-pk"):
        event = said.get(photo.sha256)
        parts = (subject_words(engine, event), event.note) if event is not None else ()
        caption = ", ".join(part for part in parts if part)
        found.append(Shown(photo=photo, caption=caption or "photo without words"))
    return tuple(found)


def _people(entries: Sequence[Entry], *, names: Mapping[str, str]) -> tuple[Taking, ...]:
    readings: dict[str, int] = {}
    last: dict[str, datetime.datetime | None] = {}
    for one in entries:
        if one.person and not (isinstance(one, Event) and one.kind is EventKind.OWNER):
            readings[one.person] = readings.get(one.person, 0) + isinstance(one, Reading)
            last[one.person] = one.time or last.get(one.person)
    return tuple(
        Taking(name=names.get(who, who), readings=count, last=moment(last[who]))
        for who, count in readings.items()
    )
