"""A reading or an answer that came as a plain form, without script."""

from __future__ import annotations

import datetime
import secrets
from dataclasses import dataclass, replace

from django.http import HttpRequest, QueryDict

from oilwedge.errors import Fault, InputError
from oilwedge.usecases.measuring import (
    AskBack,
    How,
    MeasureSet,
    Resolved,
    SentEntry,
    SignNeeded,
    SlotView,
    resolve,
    situation_of,
)
from oilwedge.web.bench.measuring.memory import degrees, leave_questions, remember
from oilwedge.web.bench.measuring.sync_flow import take_in, unrevealing, words_of
from oilwedge.web.people.models import Account
from oilwedge.web.record.judged import current_shop, engine_of
from oilwedge.web.record.models import Job
from oilwedge.web.record.store import entries_of

_SIGNS = {"larger": "+", "smaller": "-"}
REASONS = ("cannot be reached", "damaged there", "no instrument for it", "not needed")


@dataclass(frozen=True, kw_only=True, slots=True)
class Asked:
    """What the page asks before it takes a value, or why it did not.

    ``kind``: "fault" (a sentence at the field), "resolved" (take what it means?), "doubt" (it
    cannot be; keep it all the same?), "sign" (larger or smaller than zero?), "reason" (why is the
    place left out?).
    """

    kind: str
    sentence: str
    typed: str = ""
    shown: str = ""
    alternatives: tuple[tuple[str, str], ...] = ()  # what to type for it, and what it is
    choices: tuple[str, ...] = ()


def new_form_id() -> str:
    """An id for the entry that a form will make: sent twice, stored once."""
    return f"b-{secrets.token_hex(12)}"


def take_form(
    request: HttpRequest, *, job: Job, account: Account, found: MeasureSet, now: datetime.datetime
) -> Asked | None:
    """Take what a form says; None when it is in the record, else what the page asks."""
    form = request.POST
    action, _, rest = form.get("action", "take").partition(":")
    if action == "later":
        leave_questions(request, job=job.number, feature=found.feature)
        return None
    carried = ("unit", "instrument", "setting", "part_c", "instrument_c")
    said = {name: form[name] for name in carried if name in form}
    remember(request, feature=found.feature, values=said)
    if action == "setting":
        anew = int(form.get("setting", "1")) + 1 if form.get("setting", "1").isdecimal() else 2
        remember(request, feature=found.feature, values={"setting": str(anew)})
        return None
    if action == "skip" and not rest and not form.get("note", "").strip():
        return Asked(kind="reason", sentence="", typed=form.get("typed", ""), choices=REASONS)
    try:
        sent = _sent(form, action=action, rest=rest, account=account, found=found, now=now)
        if sent is None:
            return None
        if sent.kind == "reading" and not sent.confirmed and not sent.resolved:
            asked = _before_taking(job, sent)
            if asked is not None:
                return asked
        take_in(job=job, account=account, sent=sent, received=now, device_now=sent.device_time)
    except AskBack as asked_back:
        return Asked(
            kind="doubt", sentence=unrevealing(words_of(asked_back)), typed=form.get("typed", "")
        )
    except InputError as error:
        return Asked(kind="fault", sentence=str(error), typed=form.get("typed", ""))
    return None


def _sent(
    form: QueryDict,
    *,
    action: str,
    rest: str,
    account: Account,
    found: MeasureSet,
    now: datetime.datetime,
) -> SentEntry | None:
    """The entry that a form stands for; None where it only carried what is remembered."""
    entry = SentEntry(
        id=form.get("id", "")[:80] or new_form_id(),
        kind="reading",
        device_time=_made(form.get("made", ""), now=now),
        author=str(account.pk),
        feature=found.feature,
        number=found.number,
        note=form.get("note", "")[:500],
    )
    if action in {"condition", "size"}:
        subject, _, value = rest.rpartition(":")
        subject = subject if action == "condition" else found.feature
        return replace(
            entry, kind=action, feature="", subject=subject, number=None, value=value or rest
        )
    if action == "zero":
        instrument = form.get("instrument", "")
        return replace(entry, kind="zero check", feature="", instrument=instrument, value=rest)
    slot = found.slot(form.get("at", ""))
    if slot is None:
        raise InputError(Fault(given=form.get("at", ""), allowed="this set has no such place"))
    entry = replace(entry, place=slot.place, direction=slot.direction)
    if action == "skip":
        return replace(entry, kind="skip", note=rest or entry.note)
    if action == "remember":
        return None
    return _reading(entry, form, action=action, rest=rest)


def _reading(entry: SentEntry, form: QueryDict, *, action: str, rest: str) -> SentEntry:
    typed = form.get("typed", "").strip()[:200]
    if action == "bar":
        typed = rest
    elif action == "width" and typed:
        typed = f"width {typed}"
    elif action in _SIGNS:
        typed = _SIGNS[action] + typed
    fitting = form.get("fitting", "1")
    return replace(
        entry,
        typed=typed,
        unit=form.get("unit", ""),
        resolved=form.get("resolved", "") if action in {"sure", "keep"} else "",
        instrument=form.get("instrument", ""),
        fitting=int(fitting) if fitting.isdecimal() and 0 < int(fitting) < 1000 else 1,
        setting=form.get("setting", "1")[:12] or "1",
        replaces=form.get("replaces", ""),
        confirmed=action == "keep",
        part_c=degrees(form.get("part_c", "")),
        instrument_c=degrees(form.get("instrument_c", "")),
    )


def _made(text: str, *, now: datetime.datetime) -> datetime.datetime:
    """When the form was made: the same each time that it is sent."""
    try:
        made = datetime.datetime.fromisoformat(text)
    except ValueError:
        return now
    return made if made.tzinfo is not None else now


def _before_taking(job: Job, sent: SentEntry) -> Asked | None:
    """What has to be asked before a value is taken: it means something else than it looks."""
    try:
        resolved = _resolved(job, sent)
    except SignNeeded as needed:
        return Asked(kind="sign", sentence=words_of(needed), typed=sent.typed)
    if resolved.doubt:
        return Asked(
            kind="doubt",
            sentence=unrevealing(resolved.doubt),
            typed=sent.typed,
            shown=resolved.shown,
            alternatives=_in_the_other_unit(job, sent),
        )
    if resolved.how is How.AS_TYPED and not resolved.alternatives:
        return None
    return Asked(
        kind="resolved",
        sentence="",
        typed=sent.typed,
        shown=resolved.shown,
        alternatives=tuple(
            (f"{sent.typed}.0" if "=" in one else one, one) for one in resolved.alternatives
        ),
    )


def _in_the_other_unit(job: Job, sent: SentEntry) -> tuple[tuple[str, str], ...]:
    """The same number in inches for one in millimetres, or the other way, where that can be."""
    other = "mm" if sent.unit in {"in", "thou"} else "in"
    meant = f"{sent.typed} {other}"
    try:
        resolved = _resolved(job, replace(sent, typed=meant))
    except InputError:  # the text names a unit itself
        return ()
    return () if resolved.doubt else ((meant, resolved.shown),)


def _resolved(job: Job, sent: SentEntry) -> Resolved:
    situation = situation_of(
        engine=engine_of(job),
        shop=current_shop(),
        entries=entries_of(job),
        feature=sent.feature,
        number=sent.number or 1,
        place=sent.place,
        direction=sent.direction,
        instrument=sent.instrument,
    )
    return resolve(sent.typed, unit=sent.unit, situation=situation)


def slot_at(found: MeasureSet, at: str) -> SlotView | None:
    """The place that an address names, else the first open one; None when all are read."""
    return found.slot(at) or found.next_slot
