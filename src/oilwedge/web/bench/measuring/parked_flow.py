"""What the record refused and keeps in sight: tried again, or left out by somebody who says so."""

from __future__ import annotations

import datetime
from urllib.parse import urlencode

from django.urls import reverse

from oilwedge.errors import InputError
from oilwedge.usecases.measuring import sent_from
from oilwedge.web.bench.measuring.sync_flow import DEVICE_NOW, read_clock, take_in, words_of
from oilwedge.web.people.models import Account, Role
from oilwedge.web.record.judged import engine_of
from oilwedge.web.record.models import Job, Parked
from oilwedge.web.record.store import says_faults, writing

GONE = "This was settled by somebody else in the meantime."
FROM_A_TABLE = "This came from a table of readings: mend its row and bring the table in again."
NOT_YOURS = "Only who typed it, or a lead, settles this."


@says_faults
def parked_of(job: Job, *, account: Account) -> tuple[list[Parked], list[Parked]]:
    """What waits, and the last that was settled; a pupil sees what is their own."""
    rows = Parked.objects.filter(job=job).select_related("author").order_by("received_at", "pk")
    if account.role == Role.PUPIL:
        rows = rows.filter(author=account)
    waiting = [one for one in rows if one.settled_at is None]
    settled = [one for one in rows if one.settled_at is not None]
    return waiting, settled[-50:]


def typed_words(parked: Parked) -> str:
    """What was typed, in a few words."""
    document = parked.document if isinstance(parked.document, dict) else {}
    names = ("feature", "subject", "number", "place", "direction", "typed", "value", "unit")
    words = [str(document.get(name) or "") for name in names]
    return " ".join(word.replace("_", " ") for word in words if word)[:200] or "unreadable"


def comes_again(parked: Parked) -> bool:
    """Whether it can be tried again as it is; a row of a table is mended in the table."""
    return isinstance(parked.document, dict) and DEVICE_NOW in parked.document


def place_address(parked: Parked) -> str:
    """The page on which its reading is typed anew; empty for what is no reading of the engine."""
    document = parked.document if isinstance(parked.document, dict) else {}
    feature, number = str(document.get("feature") or ""), str(document.get("number") or "")
    known = engine_of(parked.job).features.get(feature)
    if known is None or not number.isdecimal() or int(number) not in known.numbers:
        return ""
    spot = "/".join(str(document.get(name) or "") for name in ("place", "direction")).strip("/")
    address = reverse("measure:set", args=[parked.job.number, feature, int(number)])
    return f"{address}?{urlencode({'at': spot})}" if spot else address


@says_faults
def try_again(*, job: Job, account: Account, key: int, now: datetime.datetime) -> str:
    """Take a parked entry in; empty when it is in the record now, else why not."""
    parked = (
        Parked.objects.select_related("author").filter(job=job, pk=key, settled_at=None).first()
    )
    if parked is None:
        return GONE
    if not _settles(account, parked):
        return NOT_YOURS
    if DEVICE_NOW not in parked.document:
        return FROM_A_TABLE
    author = parked.author or account
    try:
        document = dict(parked.document)
        device_now = read_clock(document.pop(DEVICE_NOW, None))
        take_in(
            job=job,
            account=author,
            sent=sent_from(document),
            received=parked.received_at,
            device_now=device_now,
        )
    except InputError as refusal:
        return words_of(refusal)
    _settle(parked, how=f"taken in by {account.get_full_name()}", now=now)
    return ""


@says_faults
def leave_out(*, job: Job, account: Account, key: int, now: datetime.datetime) -> str:
    """Leave a parked entry out of the record; it stays in the list of what was settled."""
    parked = Parked.objects.filter(job=job, pk=key, settled_at=None).first()
    if parked is None:
        return GONE
    if not _settles(account, parked):
        return NOT_YOURS
    _settle(parked, how=f"left out by {account.get_full_name()}", now=now)
    return ""


def _settles(account: Account, parked: Parked) -> bool:
    return parked.author_id in (account.pk, None) or account.role == Role.LEAD


def _settle(parked: Parked, *, how: str, now: datetime.datetime) -> None:
    with writing():
        parked.settled_at, parked.settled_how = now, how[:120]
        parked.save(update_fields=["settled_at", "settled_how"])
