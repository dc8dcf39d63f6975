"""Bring in a job from a zip: all of it, or nothing."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum

from django.conf import settings
from django.utils import timezone

from oilwedge.errors import Fault, InputError, JobFileError, Where
from oilwedge.job.archive import ArchiveLimits, JobArchive, PersonalText, WhoseName
from oilwedge.job.entry import Event, EventKind
from oilwedge.job.exchange import read_archive
from oilwedge.job.personal import is_commitment
from oilwedge.job.record import EMPTY_HEAD, digest_text
from oilwedge.usecases.opening import engine_of_text
from oilwedge.web.record.archived_photos import photo_rows
from oilwedge.web.record.job_numbers import may_be_number
from oilwedge.web.record.known_heads import IMPORTED, remember_head
from oilwedge.web.record.models import EngineText, Job, PersonalDatum
from oilwedge.web.record.photo_files import keep_photo, photo_path
from oilwedge.web.record.store import adopt_job, append_entries, keep_engine, says_faults, writing

__all__ = [
    "Brought",
    "NumberTakenError",
    "Outcome",
    "import_archive",
]


class Outcome(Enum):
    """What became of a job that came in."""

    NEW = "new"
    CARRIED_ON = "carried on"
    THERE = "there already"


@dataclass(frozen=True, kw_only=True, slots=True)
class Brought:
    """The job as it is here now, and how many entries came in."""

    job: Job
    outcome: Outcome
    added: int

    @property
    def sentence(self) -> str:
        """What became of it, for a person."""
        if self.outcome is Outcome.NEW:
            return f"Job {self.job.number} came in with {self.added:,} entries."
        if self.outcome is Outcome.CARRIED_ON:
            return f"Job {self.job.number} was here already; {self.added:,} newer entries came in."
        return f"Job {self.job.number} is here already, with everything that the archive holds."


class NumberTakenError(JobFileError):
    """Another job has the number here; ``free`` is one that nobody has."""

    def __init__(self, *faults: Fault, free: str = "") -> None:
        """Take the faults, and the number to offer."""
        super().__init__(*faults)
        self.free = free


@says_faults
def import_archive(data: bytes, *, number: str = "") -> Brought:
    """Bring in the job of a zip, under another ``number`` if one is given.

    A job that is here already takes the entries that are newer in the archive, where the two
    agree up to there. Raises :class:`NumberTakenError` when another job has the number, and
    JobFileError in one sentence for an archive that is not taken; then nothing was brought in.
    """
    archive = read_archive(data, limits=_limits())
    wanted = _checked_number(number.strip() or archive.header.number)
    engines = _engines(archive)
    _check_closing(archive)
    rows = photo_rows(archive.photos)
    photos = [photo for photo in archive.photos if not photo_path(photo.sha256).exists()]
    try:
        for photo in photos:
            keep_photo(photo.data)
        with writing():
            for text, name in engines.values():
                keep_engine(name=name, digest=digest_text(text), text=text)
            brought = _brought(archive, number=wanted)
            if brought.outcome is not Outcome.THERE:
                job = brought.job
                kept = set(job.photos.values_list("sha256", flat=True))
                for row in rows:
                    if row.sha256 not in kept:
                        row.job = job
                        row.save(force_insert=True)
                _put_names(archive, job=job)
                remember_head(job, reason=IMPORTED)
    except BaseException:
        for photo in photos:
            photo_path(photo.sha256).unlink(missing_ok=True)
        raise
    return brought


def _limits() -> ArchiveLimits:
    return ArchiveLimits(packed=settings.ARCHIVE_LIMIT_BYTES)


def _checked_number(number: str) -> str:
    if not may_be_number(number):
        raise NumberTakenError(
            Fault(
                given=number,
                allowed="a job's number is up to 40 letters, digits, hyphens and full stops",
                action="give it another number here",
            )
        )
    return number


def _engines(archive: JobArchive) -> Mapping[str, tuple[str, str]]:
    """Text and name of each engine file by its digest; JobFileError for one with faults."""
    found = {}
    for text in archive.engine_texts:
        try:
            engine = engine_of_text(text, file="the engine file of the archive")
        except InputError as error:
            raise JobFileError(error.faults[0]) from None
        found[engine.digest] = (text, engine.name)
    if not found:
        raise JobFileError(
            Fault(
                where=Where(file="the archive"),
                given="",
                allowed="no engine file is in it, and a job needs one",
                action="export the job again",
            )
        )
    return found


def _engine_in_force(archive: JobArchive) -> EngineText:
    try:
        return EngineText.objects.get(digest=digest_text(archive.engine_text))
    except KeyError:
        raise JobFileError(
            Fault(given="", allowed="the archive does not say which engine file holds")
        ) from None


def _check_closing(archive: JobArchive) -> None:
    """A closed job takes nothing; so an archive where one did was not made by oilwedge."""
    closed = False
    for place, entry in enumerate(archive.entries, start=1):
        kind = entry.kind if isinstance(entry, Event) else None
        if closed and kind not in (EventKind.REOPENED, EventKind.ERASED):
            raise JobFileError(
                Fault(
                    given="",
                    allowed=f"entry {place} of the archive came in after the job was closed",
                    action="export the job again",
                )
            )
        if kind in (EventKind.CLOSED, EventKind.REOPENED):
            closed = kind is EventKind.CLOSED


def _brought(archive: JobArchive, *, number: str) -> Brought:
    there = Job.objects.select_for_update().filter(number=number).first()
    same = Job.objects.filter(head=archive.head, count=archive.count).exclude(head=EMPTY_HEAD)
    if there is None and (twin := same.first()) is not None:
        return Brought(job=twin, outcome=Outcome.THERE, added=0)
    if there is None:
        job = adopt_job(
            number=number,
            engine=_engine_in_force(archive),
            title=archive.title,
            opened_at=_opened_at(archive),
            entries=archive.entries,
        )
        _require_head(job, archive)
        return Brought(job=job, outcome=Outcome.NEW, added=archive.count)
    return _into(there, archive)


def _into(job: Job, archive: JobArchive) -> Brought:
    """Add what the archive has more than the job that is there."""
    heads = {row.sequence: row.head for row in job.entries.only("sequence", "head")}
    if archive.count <= job.count and heads.get(archive.count) == archive.head:
        return Brought(job=job, outcome=Outcome.THERE, added=0)
    texts = job.entries.order_by("sequence").values_list("entry_id", flat=True)
    first = [entry.id for entry in archive.entries[: job.count]]
    rest = archive.entries[job.count :]
    if not job.count or not rest or first != list(texts):
        raise _taken(job)
    append_entries(job=job, entries=rest)
    if job.head != archive.head:  # the ids agree, and what stands under them does not
        raise _taken(job)
    engine = _engine_in_force(archive)
    Job.objects.filter(pk=job.pk).update(engine=engine, engine_name=engine.name)
    job.engine, job.engine_name = engine, engine.name
    return Brought(job=job, outcome=Outcome.CARRIED_ON, added=len(rest))


def _taken(job: Job) -> NumberTakenError:
    free = next(
        number
        for number in (f"{job.number[:36]}-{tail}" for tail in range(2, 10_000))
        if not Job.objects.filter(number=number).exists()
    )
    return NumberTakenError(
        Fault(
            given=job.number,
            allowed="another job has this number here",
            action=f"bring it in under another one, such as {free}",
        ),
        free=free,
    )


def _require_head(job: Job, archive: JobArchive) -> None:
    if job.head != archive.head:
        raise JobFileError(Fault(given="", allowed="the archive holds an entry twice"))


def _opened_at(archive: JobArchive) -> datetime.datetime:
    created = archive.header.created
    now = timezone.now()
    if created is None or created.tzinfo is None:
        return now
    return min(created, now)


def _put_names(archive: JobArchive, *, job: Job) -> None:
    """Keep the names that came along, and a blank for each that did not.

    A name that was erased, there or here, does not come back.
    """
    kept = set(job.personal.values_list("commitment", flat=True))
    erased = {
        entry.value
        for entry in archive.entries
        if isinstance(entry, Event) and entry.kind is EventKind.ERASED
    }
    came = {one.commitment: one for one in archive.personal}
    for commitment, kind in _named(archive).items():
        if commitment in kept:
            continue
        one = came.get(commitment)
        blank = one is None or not one.text or commitment in erased
        said = PersonalText(commitment=commitment, salt="", text="", kind=kind)
        if one is not None and not blank:
            said = one
        PersonalDatum.objects.create(
            job=job,
            commitment=commitment,
            salt=said.salt,
            text=said.text,
            kind=said.kind.value,
            erased_at=timezone.now() if blank else None,
        )


def _named(archive: JobArchive) -> dict[str, WhoseName]:
    """Every commitment in the record, and whose it is."""
    found: dict[str, WhoseName] = {}
    for entry in archive.entries:
        owner = isinstance(entry, Event) and entry.kind is EventKind.OWNER
        if is_commitment(entry.person):
            found.setdefault(entry.person, WhoseName.OWNER if owner else WhoseName.PERSON)
    return found
