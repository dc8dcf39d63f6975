"""One item that a page sent, checked and turned into entries of the job."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from dataclasses import replace

from oilwedge.engine.model import Direction, Engine, Feature, Place, Shape
from oilwedge.errors import Fault, InputError, UnknownNameError, did_you_mean
from oilwedge.job.entry import Entry, Event, EventKind
from oilwedge.job.record import describe
from oilwedge.metrology.instrument import GENERIC_INSTRUMENTS
from oilwedge.metrology.reading import Reading
from oilwedge.shop.model import Shop
from oilwedge.usecases.importing.events import undersize_factor_of
from oilwedge.usecases.importing.part_words import (
    read_check,
    read_condition,
    read_step,
    read_work,
)
from oilwedge.usecases.measuring.resolving import AskBack, Resolved, resolve
from oilwedge.usecases.measuring.sent_document import SentEntry
from oilwedge.usecases.measuring.sets import feature_of
from oilwedge.usecases.measuring.situation import situation_of
from oilwedge.usecases.reading_text import reading_text

CONFIRMED_SUFFIX = "-confirmed"


def entries_from(
    sent: SentEntry,
    *,
    engine: Engine,
    shop: Shop,
    entries: Sequence[Entry],
    person: str,
    received: datetime.datetime,
    device_now: datetime.datetime,
) -> tuple[Entry, ...]:
    """The entries that one sent item makes: a reading (with its confirmation) or an event.

    ``person`` is the commitment that stands for the author. The time of an entry is the server's:
    received - (device_now - device_time), and never after ``received``; the phone's own is kept
    beside it. What is in the record already under this id comes back as it stands there.
    Raises :class:`AskBack` for a value that cannot be and was not confirmed, InputError for what
    cannot be taken.
    """
    if not sent.id:
        raise _error(given="", allowed="an entry has an id", action="send it again")
    known = _already_there(sent, entries)
    if known:
        return known
    waited = max(device_now - sent.device_time, datetime.timedelta(0))
    time = received - waited
    if sent.kind == "reading":
        return _reading(sent, engine=engine, shop=shop, entries=entries, person=person, time=time)
    event = _event(sent, engine=engine, shop=shop)
    return (replace(event, person=person, time=time, device_time=sent.device_time),)


def _already_there(sent: SentEntry, entries: Sequence[Entry]) -> tuple[Entry, ...]:
    """What the record holds of this item; InputError where its id stands for something else."""
    ids = {sent.id, sent.id + CONFIRMED_SUFFIX}
    found = tuple(one for one in entries if one.id in ids)
    first = next((one for one in found if one.id == sent.id), None)
    if first is None:
        return ()
    if isinstance(first, Reading):
        same = (first.text, first.feature, first.number, first.place, first.direction) == (
            sent.typed, sent.feature, sent.number, sent.place, sent.direction
        )  # fmt: skip
    else:
        same = sent.kind != "reading" and first.device_time == sent.device_time
    if not same:
        raise _error(
            given=sent.id,
            allowed=f"this id stands for {describe(first)} already",
            action="send the entry with an id of its own",
        )
    return found


def _reading(
    sent: SentEntry,
    *,
    engine: Engine,
    shop: Shop,
    entries: Sequence[Entry],
    person: str,
    time: datetime.datetime,
) -> tuple[Entry, ...]:
    number = _number_given(sent)
    feature = feature_of(engine, feature=sent.feature, number=number)
    _check_spot(sent, feature)
    _check_instrument(sent, feature, shop=shop)
    _check_replaced(sent, entries)
    situation = situation_of(
        engine=engine,
        shop=shop,
        entries=entries,
        feature=sent.feature,
        number=number,
        place=sent.place,
        direction=sent.direction,
        instrument=sent.instrument,
    )
    resolved = resolve(sent.typed, unit=sent.unit, situation=situation)
    _check_shown(sent, resolved, label=situation.label)
    if resolved.doubt and not sent.confirmed:
        raise AskBack(Fault(given=sent.typed, allowed=resolved.doubt))
    reading = Reading(
        id=sent.id,
        feature=sent.feature,
        number=number,
        place=sent.place,
        direction=sent.direction,
        value_m=resolved.value_m,
        form=resolved.form,
        bound=resolved.bound,
        text=sent.typed,
        unit=resolved.unit,
        instrument=sent.instrument,
        person=person,
        time=time,
        device_time=sent.device_time,
        part_temperature_c=sent.part_c,
        instrument_temperature_c=sent.instrument_c,
        fitting=sent.fitting,
        setting=sent.setting,
        replaces=sent.replaces,
        note=sent.note,
    )
    if not resolved.doubt:
        return (reading,)
    return (reading, _confirmation(reading, resolved))


def _confirmation(reading: Reading, resolved: Resolved) -> Event:
    return Event(
        id=reading.id + CONFIRMED_SUFFIX,
        kind=EventKind.CONFIRMED,
        subject=reading.feature,
        number=reading.number,
        value=reading.id,
        person=reading.person,
        time=reading.time,
        device_time=reading.device_time,
        note=f"asked: {resolved.doubt} answered: yes",
    )


def _number_given(sent: SentEntry) -> int:
    if sent.number is None:
        raise _error(
            given="", allowed=f"a reading of {sent.feature} has a number", action="send it again"
        )
    return sent.number


def _check_spot(sent: SentEntry, feature: Feature) -> None:
    places = (*feature.quick_places, *feature.places)
    directions = (*feature.quick_directions, *feature.directions)
    _check_name(sent.place, known=places, title=feature.title, sort="place")
    _check_name(sent.direction, known=directions, title=feature.title, sort="direction")


def _check_name(text: str, *, known: Sequence[Place | Direction], title: str, sort: str) -> None:
    names = list(dict.fromkeys(one.name for one in known))
    if text and text not in names:
        allowed = f"{title} is read at {', '.join(names)}" if names else "it has none"
        raise UnknownNameError(Fault(given=text, allowed=f"this is no {sort}; {allowed}"))


def _check_instrument(sent: SentEntry, feature: Feature, *, shop: Shop) -> None:
    if not sent.instrument:
        return
    strip = feature.shape is Shape.STRIP
    known: list[str] = [*shop.strips, "strip"] if strip else [*shop.instruments]
    if sent.instrument not in known and (strip or sent.instrument not in GENERIC_INSTRUMENTS):
        sort = "strip" if strip else "instrument"
        raise UnknownNameError(
            Fault(
                given=sent.instrument,
                allowed=f"the shop has no {sort} of this name",
                action=did_you_mean(given=sent.instrument, allowed=known)
                or "choose one of the shop, or none",
            )
        )


def _check_replaced(sent: SentEntry, entries: Sequence[Entry]) -> None:
    """A reading is replaced once; a second hand has to see what the first one wrote."""
    if not sent.replaces:
        return
    old = next((one for one in entries if one.id == sent.replaces), None)
    if not isinstance(old, Reading):
        raise _error(
            given=sent.replaces,
            allowed="the reading that was misread is not in the record",
            action="look at the record, then replace the reading that stands there now",
        )
    if (old.feature, old.number) != (sent.feature, sent.number):
        raise _error(
            given=sent.replaces,
            allowed=f"this is {describe(old)}, of another set",
            action="replace a reading of the same set",
        )
    other = next(
        (one for one in entries if isinstance(one, Reading) and one.replaces == old.id), None
    )
    if other is not None:
        raise _error(
            given=f"{sent.typed} {sent.unit}".strip(),
            allowed=f"two people replaced the same reading: {reading_text(old)} was replaced by"
            f" {reading_text(other)} before this came",
            action="look at both, and replace the one that stands if it is wrong",
        )


def _check_shown(sent: SentEntry, resolved: Resolved, *, label: str) -> None:
    """The page may have known another size than the record does now."""
    if sent.resolved and sent.resolved != resolved.shown:
        raise _error(
            given=sent.typed,
            allowed=f"{label}: the page showed {sent.resolved}, and by the record it is"
            f" {resolved.shown}",
            action="type the whole size",
        )


def _event(sent: SentEntry, *, engine: Engine, shop: Shop) -> Event:
    """An event without person and time."""
    if sent.kind == "skip":
        number = _number_given(sent)
        feature = feature_of(engine, feature=sent.feature, number=number)
        _check_spot(sent, feature)
        where = ", ".join(part for part in (sent.place, sent.direction) if part)
        return Event(
            id=sent.id,
            kind=EventKind.SKIPPED,
            subject=sent.feature,
            number=number,
            value=where,
            note=sent.note,
        )
    if sent.kind == "zero check":
        if sent.instrument not in {**GENERIC_INSTRUMENTS, **shop.instruments}:
            allowed = "a zero check names an instrument of the shop"
            raise UnknownNameError(Fault(given=sent.instrument, allowed=allowed))
        return Event(
            id=sent.id,
            kind=EventKind.ZERO_CHECK,
            subject=sent.instrument,
            value=read_check(sent.value),
            instrument=sent.instrument,
            note=sent.note,
        )
    return _part_event(sent, engine=engine)


def _part_event(sent: SentEntry, *, engine: Engine) -> Event:
    subject = _subject(sent, engine)
    factor = undersize_factor_of(subject, engine)
    event = Event(
        id=sent.id,
        kind=EventKind.NOTE,
        subject=subject,
        number=sent.number,
        value=sent.value,
        note=sent.note,
    )
    if sent.kind == "condition":
        return replace(event, kind=EventKind.CONDITION, value=read_condition(sent.value).value)
    if sent.kind == "size":
        step_m = read_step(sent.value, undersize_factor=factor)
        return replace(event, kind=EventKind.SIZE, step_m=step_m)
    if sent.kind == "work":
        work, step = read_work(sent.value, undersize_factor=factor)
        return replace(event, kind=EventKind.WORK, work=work, step_m=step)
    if sent.kind == "note" and sent.value:
        return event
    raise _error(
        given=sent.kind,
        allowed="an entry is a reading, skip, zero check, condition, size, work or note",
    )


def _subject(sent: SentEntry, engine: Engine) -> str:
    subject = sent.subject or sent.feature
    if sent.kind == "note" and not subject:
        return ""
    feature = engine.features.get(subject)
    counts = [one.count for one in engine.features.values() if subject in one.parts]
    if feature is None and not counts and subject not in engine.part_titles:
        raise UnknownNameError(
            Fault(
                given=subject,
                allowed="the engine has no part or feature of this name",
                action=did_you_mean(given=subject, allowed=[*engine.part_titles, *engine.features]),
            )
        )
    count = feature.count if feature is not None else max(counts, default=1)
    if sent.number is not None and not 1 <= sent.number <= count:
        title = feature.title if feature is not None else engine.part_titles.get(subject, subject)
        raise UnknownNameError(
            Fault(given=str(sent.number), allowed=f"{title}: the numbers are 1 to {count}")
        )
    return subject


def _error(*, given: str, allowed: str, action: str = "") -> InputError:
    return InputError(Fault(given=given, allowed=allowed, action=action))
