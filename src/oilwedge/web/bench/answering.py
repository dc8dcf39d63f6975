"""Answer what the record asked back: it stands as it was read, or the size is another one."""

from __future__ import annotations

from oilwedge.errors import Fault, InputError
from oilwedge.job.entry import Event, EventKind
from oilwedge.usecases.importing.part_words import read_step
from oilwedge.web.bench.saying import say
from oilwedge.web.people.models import Account
from oilwedge.web.record.judged import engine_of, summary_of
from oilwedge.web.record.models import Job


def answer(
    *, job: Job, account: Account, feature: str, number: str, reading: str, size: str
) -> None:
    """Put the answer into the record; InputError where nobody asks that any more."""
    asked = [
        one
        for one in summary_of(job)["asked"]
        if (one["feature"], str(one["number"]), one["reading"]) == (feature, number, reading)
    ]
    if not asked:
        raise InputError(
            Fault(
                given="",
                allowed="nobody asks this any more: it was answered, or read again",
                action="look at the job as it is now",
            )
        )
    said = _size(job, feature, size) if size.strip() else (EventKind.CONFIRMED, reading, None)
    kind, value, step_m = said
    event = Event(id="", kind=kind, subject=feature, number=int(number), value=value, step_m=step_m)
    say(job=job, account=account, event=event)


def _size(job: Job, feature: str, text: str) -> tuple[EventKind, str, float]:
    factor = engine_of(job).features[feature].undersize_factor
    size = " ".join(text.split())
    return EventKind.SIZE, size, read_step(size, undersize_factor=factor)
