"""What came to a job since a time, a sentence a line."""

from __future__ import annotations

import datetime
from dataclasses import replace

from django.utils import timezone

from oilwedge.errors import Fault, InputError
from oilwedge.usecases.changes import change_lines, changes_since
from oilwedge.usecases.length_face import LengthFace
from oilwedge.web.bench.job_page import document_in, results_hidden, shows_line
from oilwedge.web.people.models import Account
from oilwedge.web.record.judged import engine_of, shop_for
from oilwedge.web.record.models import Job
from oilwedge.web.record.store import entries_of


def since_of(text: str) -> datetime.datetime:
    """The time that an address names, or the midnight before yesterday began."""
    if not text:
        return start_of_yesterday()
    try:
        time = datetime.datetime.fromisoformat(text)
        return time.astimezone()
    except (ValueError, OverflowError, OSError):
        allowed = "a day or time is written like 2031-03-01 or 2031-03-01T14:05"
        raise InputError(Fault(given=text[:40], allowed=allowed)) from None


def start_of_yesterday() -> datetime.datetime:
    """Midnight before yesterday began, by the clock of the shop's machine."""
    today = timezone.now().astimezone().replace(hour=0, minute=0, second=0, microsecond=0)
    return today - datetime.timedelta(days=1)


def begun_since(job: Job, since: datetime.datetime) -> bool:
    """Whether the whole job is newer than that, so that all of it is a change."""
    return job.opened_at >= since


def change_list(
    job: Job, *, account: Account, unit: str, since: datetime.datetime
) -> tuple[str, ...]:
    """What the server received since; verdicts that somebody may not see yet are left out."""
    entries = entries_of(job)
    known = job.entries.filter(received_at__lt=since).count()
    if not known:
        return ()
    changes = changes_since(
        engine=engine_of(job),
        shop=shop_for(job),
        entries=entries,
        count=known,
        face=LengthFace(unit=unit),
    )
    hidden = results_hidden(job, account)
    seen = {
        (one["fit"], one["number"])
        for one in document_in(job, unit=unit)["fits"]
        if not hidden and shows_line(job, one, account=account)
    }
    shown = tuple(one for one in changes.verdicts if (one.fit, one.number) in seen)
    # What the verdicts are now is what one looks for; it stands before what brought it about.
    return tuple(f"{one.sentence}." for one in shown) + change_lines(
        replace(changes, verdicts=()), engine=engine_of(job)
    )
