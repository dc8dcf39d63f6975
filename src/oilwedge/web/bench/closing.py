"""Notes, decisions, signatures, closing and opening again."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from oilwedge.errors import Fault, InputError
from oilwedge.job.entry import Event, EventKind
from oilwedge.usecases.opening import Engine
from oilwedge.web.bench.saying import FieldError, say, typed
from oilwedge.web.people.access import Right, may
from oilwedge.web.people.models import Account
from oilwedge.web.record.judged import engine_of, judged, summary_of
from oilwedge.web.record.models import Job
from oilwedge.web.record.store import writing

STATEMENT = "Measured and checked by me; the record says what I read."
SHOWN_DIGITS = 16  # of a head, on sheets and pages alike


@dataclass(frozen=True, kw_only=True, slots=True)
class Open:
    """Something that is not done: what, and where it is done."""

    words: str
    address: str  # the name of a page of the job
    about: str = ""  # what the page is to be filled in for


def add_note(*, job: Job, account: Account, kind: str, about: str, text: str) -> None:
    """A note or a decision, in words, on a fit or on the whole job."""
    words = _filled("text", text, what="write the note")
    subject, number = _about(engine_of(job), about)
    event = Event(
        id="",
        kind=EventKind.DECISION if kind == "decision" else EventKind.NOTE,
        subject=subject,
        number=number,
        value=words,
    )
    say(job=job, account=account, event=event)


def _filled(field: str, text: str, *, what: str) -> str:
    try:
        return typed(text, what=what)
    except InputError as error:
        raise FieldError(field, str(error)) from None


def about_choices(engine: Engine) -> tuple[tuple[str, str], ...]:
    """What a note or decision can be on: each fit by its numbers."""
    return tuple(
        (f"{key} {number}", fit.label(number))
        for key, fit in engine.fits.items()
        for number in fit.numbers
    )


def _about(engine: Engine, text: str) -> tuple[str, int | None]:
    if not text:
        return "", None
    if text not in dict(about_choices(engine)):
        raise InputError(Fault(given=text, allowed="the engine has no fit of this name"))
    key, _, number = text.rpartition(" ")
    return key, int(number)


def sign(*, job: Job, account: Account, statement: str, head: str) -> None:
    """Sign the record as it was shown; the signature names the head that it stands under."""
    words = _filled("statement", statement, what="write what you sign")
    if head != job.head:
        raise FieldError(
            "statement",
            "The record grew while you read it. Look at what came, then sign what stands now.",
        )
    event = Event(
        id="",
        kind=EventKind.SIGNED,
        value=words,
        note=f"entries 1 to {job.count}, head {head[:SHOWN_DIGITS]}",
    )
    say(job=job, account=account, event=event)


def what_is_open(job: Job) -> tuple[Open, ...]:
    """What a job that is to be closed still waits for."""
    document = summary_of(job)
    found = []
    left = document["readings"]["open"]
    if left:
        found.append(Open(words=f"{_count(left, 'reading')} of the plan", address="measure:next"))
    asked = len(document["asked"])
    if asked:
        found.append(Open(words=_count(asked, "question"), address="bench:job"))
    found += [Open(words=sentence, address="bench:parts") for sentence in document["doubts"]]
    parked = job.parked.filter(settled_at=None).count()
    if parked:
        words = f"{_count(parked, 'reading')} set aside, to be settled"
        found.append(Open(words=words, address="measure:parked"))
    found += [
        Open(
            words=f"a decision on {line['label']}: {line['words']}",
            address="bench:notes",
            about=f"{line['fit']} {line['number']}",
        )
        for line in document["fits"]
        if line["undecided"] and not line["being_measured"]
    ]
    if not judged(job).standing.signatures:
        found.append(Open(words="the signature", address="bench:sign"))
    return tuple(found)


def _count(count: int, one: str, many: str = "") -> str:
    return f"{count} {one if count == 1 else many or one + 's'}"


def close(*, job: Job, account: Account, reason: str) -> None:
    """Close a job; with work left only a lead does, and says why in a decision."""
    left = what_is_open(job)
    if left and not may(account, Right.LEAD_JOB):
        raise FieldError("reason", "There is work left. Finish it, or ask a lead to close the job.")
    with writing():
        if left:
            words = _filled("reason", reason, what="write why it is closed with work left")
            say(job=job, account=account, event=_closed_with(left, words))
        say(job=job, account=account, event=Event(id="", kind=EventKind.CLOSED))


def _closed_with(left: Sequence[Open], words: str) -> Event:
    note = "; ".join(one.words for one in left)
    return Event(
        id="", kind=EventKind.DECISION, value=f"closed with work left: {words}", note=note[:500]
    )


def reopen(*, job: Job, account: Account, reason: str) -> None:
    """Open a closed job again, with the reason."""
    words = _filled("reason", reason, what="write why it is opened again")
    say(job=job, account=account, event=Event(id="", kind=EventKind.REOPENED, note=words))
