"""From an edit of the shelf to a new revision of the shop file; the newest is in force."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable

from django.db.models import Max
from django.utils import timezone

from oilwedge.job.entry import Event, EventKind
from oilwedge.usecases.shelf import Edited
from oilwedge.web.people.models import Account
from oilwedge.web.record.models import Job, ShopRevision
from oilwedge.web.record.store import (
    append_entries,
    commitment_for,
    new_id,
    says_faults,
    writing,
)


def shop_text() -> str:
    """The shop file in force; empty before there is one."""
    newest = ShopRevision.objects.order_by("-number").first()
    return newest.text if newest is not None else ""


@says_faults
def keep_revision(edited: Edited, *, account: Account, note: str, seen: str) -> bool:
    """Let a new shop file hold; False when somebody else changed it since ``seen`` (a digest)."""
    digest = hashlib.sha256(edited.text.encode()).hexdigest()
    with writing():
        newest = ShopRevision.objects.select_for_update().order_by("-number").first()
        if newest is not None and seen != newest.digest:
            return False
        if newest is not None and newest.digest == digest:
            return True
        last = ShopRevision.objects.aggregate(last=Max("number"))["last"] or 0
        ShopRevision.objects.create(
            number=last + 1,
            text=edited.text,
            digest=digest,
            person_name=account.get_full_name(),
            note=note[:300],
        )
    return True


def jobs_with(instrument: str) -> Iterable[Job]:
    """Open jobs with a reading by an instrument."""
    named = f'"instrument":"{instrument}"'
    return Job.objects.filter(closed=False, entries__document__contains=named).distinct()


def record_zero_check(*, instrument: str, passed: bool, account: Account, note: str) -> int:
    """Write a zero check into every open job that the instrument read in; how many these are.

    A failed one puts what it read since its last good check in doubt.
    """
    count = 0
    for job in jobs_with(instrument):
        event = Event(
            id=new_id(),
            kind=EventKind.ZERO_CHECK,
            instrument=instrument,
            value="passed" if passed else "failed",
            person=commitment_for(job=job, account=account),
            time=timezone.now(),
            note=note,
        )
        append_entries(job=job, entries=(event,))
        count += 1
    return count
