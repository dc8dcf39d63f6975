"""The database as a store of jobs: entries are added in one transaction, or not at all.

What is added, what is there already and what clashes is decided by :mod:`oilwedge.job`; here it
is only written down and read back.
"""

from __future__ import annotations

import datetime
import functools
import json
import secrets
import threading
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from typing import ParamSpec, TypeVar

from django.db import (
    DatabaseError,
    IntegrityError,
    InterfaceError,
    connection,
    transaction,
)
from django.db.models import Max
from django.utils import timezone

from oilwedge.errors import Fault, JobFileError, OilwedgeError
from oilwedge.job.codec import entry_from_document
from oilwedge.job.entry import Entry, Event, EventKind, Reading
from oilwedge.job.personal import commit
from oilwedge.job.record import Appended, append, canonical_text, describe, digest_text, head_after
from oilwedge.web.people.models import Account
from oilwedge.web.record.database_sentences import said_in_words
from oilwedge.web.record.known_heads import OPENED, remember_head
from oilwedge.web.record.models import EngineText, Job, JobEntry, PersonalDatum

P = ParamSpec("P")
T = TypeVar("T")

# Writers of one process queue here: SQLite lets a saturated writer starve for seconds.
_WRITING = threading.RLock()
ID_LENGTH = 80
NAME_LENGTH = 200
_OPENING = 0x6F69_6C77  # the key of PostgreSQL's lock; any number that nothing else takes


class RecordError(OilwedgeError, RuntimeError):
    """The record cannot be read or written now; nothing was half-stored."""


class ClosedJobError(JobFileError):
    """The job is closed: nothing is added before it is opened again."""


class ReplacedAlreadyError(JobFileError):
    """Somebody replaced the reading first: the newer one is what has to be replaced."""


def says_faults(function: Callable[P, T]) -> Callable[P, T]:
    """Turn what a database raises when it is locked, full or gone into a :class:`RecordError`."""

    @functools.wraps(function)
    def guarded(*args: P.args, **kwargs: P.kwargs) -> T:
        try:
            return function(*args, **kwargs)
        except IntegrityError:
            raise
        except (DatabaseError, InterfaceError) as error:
            raise RecordError(said_in_words(error)) from error

    return guarded


@contextmanager
def writing() -> Iterator[None]:
    """One transaction that writes; on SQLite one at a time in this process."""
    if connection.vendor == "sqlite":
        with _WRITING, transaction.atomic():
            yield
    else:
        with transaction.atomic():
            yield


@says_faults
def append_entries(*, job: Job, entries: Sequence[Entry]) -> Appended:
    """Add entries to a job, all or none; the job's fields are brought up to date.

    Raises :class:`ClosedJobError` for a closed job (only REOPENED opens it),
    :class:`ReplacedAlreadyError` where somebody was quicker, JobFileError for a clash (same id,
    other content), :class:`RecordError` when the database refuses.
    """
    _refuse_ids(entries)
    with writing():
        locked = Job.objects.select_for_update().get(pk=job.pk)
        outcome = append(_concerned(locked, entries), entries)
        if outcome.added:
            _refuse_closed(locked, outcome.added)
            _refuse_replaced(locked, outcome.added)
            _write(locked, outcome.added)
    for name in ("count", "head", "changed_at", "closed", "engine_id", "engine_name"):
        setattr(job, name, getattr(locked, name))
    return outcome


def _refuse_ids(entries: Sequence[Entry]) -> None:
    """An id has to fit into its column on either database."""
    for entry in entries:
        if not 0 < len(entry.id) <= ID_LENGTH or not entry.id.isprintable():
            raise JobFileError(
                Fault(
                    given=entry.id[:ID_LENGTH].encode("unicode_escape").decode(),
                    allowed=f"an id has 1 to {ID_LENGTH} characters that can be seen",
                )
            )


def _concerned(job: Job, entries: Sequence[Entry]) -> tuple[Entry, ...]:
    """What the record holds under the ids that the new entries bring or name."""
    ids = {entry.id for entry in entries}
    ids |= {one.replaces for one in entries if isinstance(one, Reading) and one.replaces}
    rows = job.entries.filter(entry_id__in=ids).order_by("sequence")
    return tuple(parsed(text) for text in rows.values_list("document", flat=True))


def _refuse_closed(job: Job, added: Sequence[Entry]) -> None:
    closed = job.closed
    for entry in added:
        kind = entry.kind if isinstance(entry, Event) else None
        if kind is EventKind.REOPENED:
            closed = False
        elif closed and kind is not EventKind.ERASED:  # erasing a name is a right, at any time
            raise ClosedJobError(
                Fault(
                    given="",
                    allowed=f"job {job.number} is closed",
                    action="open it again first; what you sent is not lost",
                )
            )
        elif kind is EventKind.CLOSED:
            closed = True
    job.closed = closed


def _refuse_replaced(job: Job, added: Sequence[Entry]) -> None:
    """A reading is replaced once: two that stand for one would both be judged."""
    new = [one for one in added if isinstance(one, Reading) and one.replaces]
    by: dict[str, Reading] = {}
    if new:
        rows = job.entries.filter(document__contains='"replaces":').order_by("sequence")
        for text in rows.values_list("document", flat=True):
            if isinstance(entry := parsed(text), Reading) and entry.replaces:
                by[entry.replaces] = entry
    faults = []
    for reading in new:
        quicker = by.setdefault(reading.replaces, reading)
        if quicker is not reading:
            faults.append(
                Fault(
                    given=reading.replaces,
                    allowed=f"this reading was replaced already, by {describe(quicker)}",
                    action="look at the record; if yours is right, replace that one"
                    f" ({quicker.id})",
                )
            )
    if faults:
        raise ReplacedAlreadyError(*faults)


def _write(job: Job, added: Sequence[Entry]) -> None:
    now = timezone.now()
    head = job.head
    rows = []
    for sequence, entry in enumerate(added, start=job.count + 1):
        text = canonical_text(entry)
        head = head_after(head, digest_text(text))
        rows.append(
            JobEntry(
                job=job,
                sequence=sequence,
                entry_id=entry.id,
                document=text,
                head=head,
                received_at=now,
            )
        )
    JobEntry.objects.bulk_create(rows)
    job.count, job.head, job.changed_at = job.count + len(rows), head, now
    job.save(update_fields=["count", "head", "changed_at", "closed", "engine", "engine_name"])


@functools.lru_cache(maxsize=50_000)
def parsed(text: str) -> Entry:
    """The entry that a stored text stands for."""
    return entry_from_document(json.loads(text))


@functools.lru_cache(maxsize=256)
def _entries_at(job_id: int, head: str, count: int) -> tuple[Entry, ...]:
    del head  # part of the key: another head is another record
    rows = JobEntry.objects.filter(job_id=job_id, sequence__lte=count).order_by("sequence")
    return tuple(parsed(text) for text in rows.values_list("document", flat=True))


@says_faults
def entries_of(job: Job) -> tuple[Entry, ...]:
    """All entries of a job as they stood when the job was fetched, in the order of the chain."""
    return _entries_at(job.pk, job.head, job.count)


@says_faults
def keep_engine(*, name: str, digest: str, text: str) -> EngineText:
    """Keep an engine file; the same text is kept once."""
    with writing():
        kept, _ = EngineText.objects.get_or_create(
            digest=digest, defaults={"name": name[:NAME_LENGTH], "text": text}
        )
    return kept


@says_faults
def open_job(
    *,
    number: str,
    engine: EngineText,
    title: str = "",
    blind: bool = True,
    entries: Sequence[Entry] = (),
) -> Job:
    """Open a job and add its first entries; JobFileError when the number is taken.

    A job without a number gets the next free one of this year, "2026-0007".
    """
    now = timezone.now()
    with writing():
        job = _new_job(number=number, engine=engine, title=title, blind=blind, opened_at=now)
        first = engine_event(job=job, engine=engine, person="", now=now)
        append_entries(job=job, entries=(first, *entries))
        remember_head(job, reason=OPENED)
    return job


@says_faults
def adopt_job(
    *,
    number: str,
    engine: EngineText,
    title: str,
    opened_at: datetime.datetime,
    entries: Sequence[Entry],
) -> Job:
    """Open a job with a record from elsewhere, as it is; ``engine`` is what holds at its end."""
    with writing():
        job = _new_job(number=number, engine=engine, title=title, blind=True, opened_at=opened_at)
        append_entries(job=job, entries=entries)
    return job


def _new_job(
    *, number: str, engine: EngineText, title: str, blind: bool, opened_at: datetime.datetime
) -> Job:
    """The row of a new job without entries; JobFileError when the number is taken."""
    now = timezone.now()
    _one_opens()
    last = Job.objects.aggregate(last=Max("serial"))["last"] or 0
    number = number.strip() or _free_number(year=now.year, start=last + 1)
    if Job.objects.filter(number=number).exists():
        raise JobFileError(
            Fault(
                given=number,
                allowed="a job of this number is there already",
                action="choose another number",
            )
        )
    return Job.objects.create(
        serial=last + 1,
        number=number,
        title=title,
        engine=engine,
        engine_name=engine.name,
        opened_at=opened_at,
        changed_at=now,
        blind=blind,
    )


def _one_opens() -> None:
    """One job is opened at a time, so that serials have no gap; SQLite writes one by one anyway."""
    if connection.vendor == "postgresql":
        with connection.cursor() as cursor:
            cursor.execute("SELECT pg_advisory_xact_lock(%s)", [_OPENING])


def _free_number(*, year: int, start: int) -> str:
    serial = start
    while Job.objects.filter(number=f"{year}-{serial:04d}").exists():
        serial += 1
    return f"{year}-{serial:04d}"


def engine_event(
    *, job: Job, engine: EngineText, person: str, now: datetime.datetime, note: str = ""
) -> Event:
    """The entry that says which engine file holds from here on."""
    del job
    return Event(
        id=new_id(),
        kind=EventKind.ENGINE,
        subject="engine file",
        value=engine.digest,
        person=person,
        time=now,
        note=note,
    )


@says_faults
def change_engine(*, job: Job, engine: EngineText, person: str, note: str = "") -> Appended:
    """Let another engine file hold for a job from now on; the chain says so."""
    event = engine_event(job=job, engine=engine, person=person, now=timezone.now(), note=note)
    with writing():
        outcome = append_entries(job=job, entries=(event,))
        Job.objects.filter(pk=job.pk).update(engine=engine, engine_name=engine.name)
    job.engine, job.engine_name = engine, engine.name
    return outcome


def new_id() -> str:
    """An id for an entry that is made here and not in a browser."""
    return f"s-{secrets.token_hex(8)}"


@says_faults
def commitment_for(*, job: Job, account: Account) -> str:
    """What stands in the chain of a job for a person; made once for each of the two."""
    there = job.personal.filter(account=account, erased_at=None)
    if (known := there.first()) is not None:
        return known.commitment
    with writing():
        Job.objects.select_for_update().get(pk=job.pk)  # one of two waits here
        if (known := there.first()) is not None:
            return known.commitment
        return _new_commitment(
            job=job, text=account.get_full_name(), kind=PersonalDatum.Kind.PERSON, account=account
        )


@says_faults
def owner_commitment(*, job: Job, text: str) -> str:
    """What stands in the chain for the owner of the engine."""
    return _new_commitment(job=job, text=text, kind=PersonalDatum.Kind.OWNER, account=None)


@says_faults
def person_commitment(*, job: Job, text: str) -> str:
    """What stands in the chain for somebody without an account, by the name that came along."""
    known = job.personal.filter(
        text=text, account=None, kind=PersonalDatum.Kind.PERSON, erased_at=None
    ).first()
    if known is not None:
        return known.commitment
    return _new_commitment(job=job, text=text, kind=PersonalDatum.Kind.PERSON, account=None)


def _new_commitment(
    *, job: Job, text: str, kind: PersonalDatum.Kind, account: Account | None
) -> str:
    salt = secrets.token_hex(16)
    commitment = commit(text=text, salt=salt)
    with writing():
        PersonalDatum.objects.create(
            job=job, commitment=commitment, salt=salt, text=text, kind=kind, account=account
        )
    return commitment


def people_of(job: Job) -> Mapping[str, str]:
    """The names behind the commitments of a job; "erased" where a name is no longer kept."""
    return {one.commitment: one.text or "(erased)" for one in job.personal.all().order_by("pk")}
