"""Open a job: from an engine file of the list or an uploaded one, with a number and an owner."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from django.core.files.uploadedfile import UploadedFile
from django.utils import timezone

from oilwedge.errors import Fault, InputError, JobFileError
from oilwedge.job.entry import Event, EventKind
from oilwedge.usecases.opening import engine_of_text
from oilwedge.web.bench.saying import FieldError, typed
from oilwedge.web.record.job_numbers import may_be_number
from oilwedge.web.record.models import EngineText, Job
from oilwedge.web.record.store import (
    append_entries,
    entries_of,
    keep_engine,
    new_id,
    open_job,
    owner_commitment,
    writing,
)

LARGEST_ENGINE_FILE = 2**20


@dataclass(frozen=True, kw_only=True, slots=True)
class Wanted:
    """What the form of a new job says, as typed."""

    number: str
    title: str
    owner: str
    engine: str  # the digest of a kept file, or empty
    upload: UploadedFile[bytes] | None


def offered_engines() -> list[EngineText]:
    """The engine files that a new job may begin with, by name."""
    return list(EngineText.objects.filter(on_list=True).order_by("name", "first_seen"))


def open_wanted(wanted: Wanted) -> Job:
    """Open the job; FieldError with the field that cannot be used."""
    number = checked_number(wanted.number)
    engine = _engine(wanted)
    with writing():
        try:
            job = open_job(number=number, engine=engine, title=wanted.title.strip()[:120])
        except JobFileError as error:
            raise FieldError("number", str(error)) from None
        if wanted.owner.strip():
            name_owner(job=job, text=wanted.owner)
    return job


def checked_number(text: str) -> str:
    """A number that can stand in an address; empty for the next free one."""
    number = text.strip()
    if number and not may_be_number(number):
        fault = Fault(
            given=number,
            allowed="a job's number is up to 40 letters, digits, hyphens and full stops",
            action="write it without blanks and strokes, or leave it empty for the next free one",
        )
        raise FieldError("number", fault.sentence())
    return number


def _engine(wanted: Wanted) -> EngineText:
    if wanted.upload is not None:
        return _kept_upload(wanted.upload)
    kept = EngineText.objects.filter(digest=wanted.engine, on_list=True).first()
    if kept is None:
        raise FieldError("engine", "Choose an engine file, or bring one along.")
    return kept


def _kept_upload(upload: UploadedFile[bytes]) -> EngineText:
    name = upload.name or "engine file"
    if (upload.size or 0) > LARGEST_ENGINE_FILE:
        raise FieldError("upload", f"{name} is larger than 1 MB; an engine file is a short text.")
    try:
        text = upload.read().decode("utf-8-sig")
        engine = engine_of_text(text, file=name)
    except UnicodeDecodeError:
        sentence = f"{name} is no text. An engine file is a text that ends in .toml."
        raise FieldError("upload", sentence) from None
    except InputError as error:
        raise FieldError("upload", str(error)) from None
    return keep_engine(name=engine.name, digest=engine.digest, text=text)


def name_owner(*, job: Job, text: str) -> None:
    """Say whose engine it is; the name stands outside the chain, its commitment in it."""
    try:
        name = typed(text, what="write the owner's name", longest=300)
    except InputError as error:
        raise FieldError("owner", str(error)) from None
    event = Event(
        id=new_id(),
        kind=EventKind.OWNER,
        subject="owner",
        person=owner_commitment(job=job, text=name),
        time=timezone.now(),
    )
    append_entries(job=job, entries=(event,))


def owner_of(job: Job, *, names: Mapping[str, str]) -> str:
    """Who owns the engine, by the last entry that says so; empty where nobody did."""
    said = [
        one for one in entries_of(job) if isinstance(one, Event) and one.kind is EventKind.OWNER
    ]
    return names.get(said[-1].person, "") if said else ""
