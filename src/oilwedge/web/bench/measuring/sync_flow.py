"""What a browser sends, settled entry by entry: stored, there already, parked, or asked back.

An entry whose outcome is "stored" or "already there" is committed before the answer goes out. One
that the record refuses is parked: kept with its author and the reason, in the way of nothing.
"""

from __future__ import annotations

import datetime
import json
import re
from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum
from typing import Any

from oilwedge.errors import Fault, InputError
from oilwedge.job.record import Appended
from oilwedge.usecases.measuring import AskBack, SentEntry, entries_from, sent_from
from oilwedge.web.people.models import Account
from oilwedge.web.record.judged import current_shop, engine_of
from oilwedge.web.record.models import Job, JobEntry, Parked
from oilwedge.web.record.store import (
    append_entries,
    commitment_for,
    entries_of,
    says_faults,
    writing,
)

MOST_ENTRIES = 200
MOST_BYTES = 2**20
LONGEST_ID = 80
DEVICE_NOW = "device_now"  # kept with what is parked: how long it had waited when it came


class Outcome(Enum):
    """What became of one entry."""

    STORED = "stored"
    ALREADY_THERE = "already there"
    PARKED = "parked"
    ASK_BACK = "ask back"
    OTHER_AUTHOR = "other author"
    REFUSED = "refused"


@dataclass(frozen=True, kw_only=True, slots=True)
class Settled:
    """One entry and what became of it, in a sentence where there is something to say."""

    id: str
    outcome: Outcome
    sentence: str = ""

    def as_json(self) -> dict[str, str]:
        """As the browser gets it."""
        return {"id": self.id, "outcome": self.outcome.value, "sentence": self.sentence}


@dataclass(frozen=True, kw_only=True, slots=True)
class Parcel:
    """What one request brought: the clock of the device, and the entries as they came."""

    device_now: datetime.datetime
    documents: tuple[Any, ...]


def read_parcel(body: bytes) -> Parcel:
    """The parcel in the body of a request; raises InputError in one sentence."""
    if len(body) > MOST_BYTES:
        raise _error("this is more than 1 MB at once", "send the readings in several parts")
    try:
        document = json.loads(body, parse_constant=_no_number)
    except (ValueError, RecursionError):
        raise _error("this is no JSON", "send the list as the page does") from None
    entries = document.get("entries") if isinstance(document, dict) else None
    if not isinstance(entries, list):
        raise _error("'entries' is a list", "send the list as the page does")
    if len(entries) > MOST_ENTRIES:
        raise _error(f"at most {MOST_ENTRIES} entries come at once", "send them in several parts")
    return Parcel(device_now=read_clock(document.get(DEVICE_NOW)), documents=tuple(entries))


def _no_number(word: str) -> float:
    raise ValueError(word)  # NaN and Infinity are no JSON


def read_clock(text: object) -> datetime.datetime:
    """The time on the device when it sent; InputError for none with a zone."""
    try:
        time = datetime.datetime.fromisoformat(text) if isinstance(text, str) else None
        if time is not None and time.tzinfo is not None:
            return time.astimezone(datetime.UTC)
    except (ValueError, OverflowError):
        pass
    raise _error(f"'{DEVICE_NOW}' is the time on the device, with its zone", "send it anew")


def settle(
    *, job: Job, account: Account, parcel: Parcel, received: datetime.datetime
) -> tuple[Settled, ...]:
    """Settle each entry by itself, in the order in which they came.

    Raises :class:`RecordError` when the record is out of reach; what was settled before it stays,
    and is "already there" when it comes again.
    """
    return tuple(
        settle_one(
            job=job,
            account=account,
            document=document,
            received=received,
            device_now=parcel.device_now,
        )
        for document in parcel.documents
    )


def settle_one(
    *,
    job: Job,
    account: Account,
    document: object,
    received: datetime.datetime,
    device_now: datetime.datetime,
) -> Settled:
    """Settle one entry; a refusal parks it."""
    id = document.get("id") if isinstance(document, Mapping) else None
    if not isinstance(id, str) or not 0 < len(id) <= LONGEST_ID or not id.isprintable():
        sentence = f"An entry has an id of up to {LONGEST_ID} characters; this one was left here."
        return Settled(id=str(id)[:LONGEST_ID], outcome=Outcome.REFUSED, sentence=sentence)
    assert isinstance(document, Mapping)
    if str(document.get("author", "")) != str(account.pk):
        sentence = (
            "Somebody else typed this on this device. It is kept here until they log in and send"
            " it themselves."
        )
        return Settled(id=id, outcome=Outcome.OTHER_AUTHOR, sentence=sentence)
    parked = _parked_before(job, id)
    if parked is not None:
        return parked
    try:
        sent = sent_from(document)
        outcome = take_in(
            job=job, account=account, sent=sent, received=received, device_now=device_now
        )
    except AskBack as asked:
        return Settled(id=id, outcome=Outcome.ASK_BACK, sentence=unrevealing(words_of(asked)))
    except InputError as refusal:
        sent_at = {**document, DEVICE_NOW: device_now.isoformat()}
        return _park(job=job, account=account, document=sent_at, reason=_reason(refusal))
    return Settled(id=id, outcome=Outcome.STORED if outcome.added else Outcome.ALREADY_THERE)


@says_faults
def take_in(
    *,
    job: Job,
    account: Account,
    sent: SentEntry,
    received: datetime.datetime,
    device_now: datetime.datetime,
) -> Appended:
    """Check one entry against the record as it stands and add it, under one lock.

    Raises AskBack for a value that cannot be, InputError for what the record refuses.
    """
    person = commitment_for(job=job, account=account)
    with writing():
        job = Job.objects.select_for_update().get(pk=job.pk)
        new = entries_from(
            sent,
            engine=engine_of(job),
            shop=current_shop(),
            entries=entries_of(job),
            person=person,
            received=received,
            device_now=device_now,
        )
        return append_entries(job=job, entries=new)


def words_of(error: InputError) -> str:
    """Its sentences without the text that was given, which stands beside them on the page."""
    return " ".join(
        Fault(given="", allowed=one.allowed, action=one.action).sentence() for one in error.faults
    )


_LIMIT = re.compile(r"; its largest limit is [^;]*[^;.]")


def unrevealing(sentence: str) -> str:
    """A question about a value without the limit in it: nobody is to read towards the answer."""
    return _LIMIT.sub("", sentence)


def _reason(error: InputError) -> str:
    """Its sentences with what was given, for who looks at it days later."""
    return " ".join(one.sentence() for one in error.faults)


@says_faults
def _parked_before(job: Job, id: str) -> Settled | None:
    """What was parked before and waits still is parked now; in the record counts for more."""
    if JobEntry.objects.filter(job=job, entry_id=id).exists():
        return None
    parked = Parked.objects.filter(job=job, entry_id=id).first()
    if parked is None:
        return None
    sentence = parked.reason
    if parked.settled_at is not None:
        sentence = f"{parked.reason} It was {parked.settled_how}."
    return Settled(id=id, outcome=Outcome.PARKED, sentence=sentence)


@says_faults
def _park(*, job: Job, account: Account, document: Mapping[str, Any], reason: str) -> Settled:
    with writing():
        parked, _ = Parked.objects.get_or_create(
            job=job,
            entry_id=document["id"],
            defaults={
                "author": account,
                "author_name": account.get_full_name(),
                "document": _keepable(document),
                "reason": reason,
            },
        )
    return Settled(id=parked.entry_id, outcome=Outcome.PARKED, sentence=parked.reason)


# The escape itself, and not a typed backslash (which is written as two) with u0000 behind it.
_CHARACTER_0 = re.compile(r"(?<!\\)((?:\\\\)*)\\u0000")


def _keepable(document: Mapping[str, Any]) -> Any:
    """The same without what no database holds: half characters, character 0, endless numbers."""
    text = json.dumps(document, ensure_ascii=False).encode("utf-8", "replace").decode()
    return json.loads(_CHARACTER_0.sub("\\1\ufffd", text), parse_constant=str)


def _error(allowed: str, action: str) -> InputError:
    return InputError(Fault(given="", allowed=allowed, action=action))
