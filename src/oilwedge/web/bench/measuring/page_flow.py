"""What stands on the page of a set: for the page itself, and for who follows it."""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from typing import Any

from django.http import HttpRequest
from django.template.loader import render_to_string
from django.urls import NoReverseMatch, reverse

from oilwedge.job.entry import Reading
from oilwedge.usecases.measuring import MeasureSet, SetProgress, SlotView
from oilwedge.web.bench.measuring.form_flow import Asked, new_form_id, slot_at
from oilwedge.web.bench.measuring.memory import UNITS, questions_left, remembered
from oilwedge.web.bench.measuring.plan_flow import (
    bar_texts,
    drawing_of,
    next_open,
    script_plan,
    set_of,
    sets_of,
    size_words,
    slots_json,
)
from oilwedge.web.bench.measuring.result_flow import SetResult, result_of, shows_result
from oilwedge.web.look.unit_choice import unit_of
from oilwedge.web.people.models import Account, Role
from oilwedge.web.record.judged import current_shop, engine_of
from oilwedge.web.record.models import Job
from oilwedge.web.record.store import commitment_for, entries_of, people_of


@dataclass(frozen=True, kw_only=True, slots=True)
class Mode:
    """What the next value at a place does: it fills it, replaces what is there, or is one more."""

    name: str
    replaces: str = ""
    fitting: int = 1


def mode_of(found: MeasureSet, *, slot: SlotView | None, again: str) -> Mode:
    """From what stands at the place and what was asked for ("same" or "refit")."""
    if slot is None or slot.reading is None:
        refit = again == "refit"
        return Mode(name="refit" if refit else "next", fitting=found.fitting + (1 if refit else 0))
    if again == "same":
        return Mode(name="again", fitting=slot.reading.fitting)
    if again == "refit":
        return Mode(name="refit", fitting=found.fitting + 1)
    return Mode(name="replace", replaces=slot.reading.id, fitting=slot.reading.fitting)


def set_page(
    request: HttpRequest,
    *,
    job: Job,
    account: Account,
    found: MeasureSet,
    asked: Asked | None,
    now: datetime.datetime,
) -> dict[str, Any]:
    """All that the page of a set shows."""
    values = request.POST if asked is not None else request.GET
    slot = slot_at(found, values.get("at", ""))
    entries = entries_of(job)
    person = commitment_for(job=job, account=account)
    kept = remembered(request, found=found, entries=entries, person=person)
    planned = sets_of(job)
    strip = next((one for one in found.strips if one.key == kept.instrument), None)
    key = (found.feature, found.number)
    return {
        **_shared(job, account=account, found=found, planned=planned, unit=kept.unit),
        "slot": slot,
        "mode": mode_of(found, slot=slot, again=values.get("again", "")),
        "again": values.get("again", ""),
        "drawing": drawing_of(found, here=slot),
        "kept": kept,
        "instrument_titles": [(one.key, _title(one)) for one in found.instruments]
        + [(one.key, one.title) for one in found.strips],
        "bars": bar_texts(strip.bars_m) if strip is not None else (),
        "strip": strip,
        "nominal": found.nominal.get(kept.unit, ""),
        "question": None
        if asked is not None or (slot is not None and slot.reading is not None)
        else _question(request, job=job, found=found),
        "sizes": size_words(job, feature=found.feature),
        "units": UNITS,
        "undo": _last(found, person=person),
        "asked": asked,
        "form_id": new_form_id(),
        "made": now.isoformat(),
        "reason": values.get("note", ""),
        "may_unblind": account.role == Role.LEAD and job.task_id is None,
        "plan": script_plan(
            job, account_id=account.pk, account_name=account.get_full_name(), wanted=[key]
        ),
        "script": script_addresses(job, kept_unit=kept.unit, kept_instrument=kept.instrument),
    }


def script_addresses(job: Job, *, kept_unit: str, kept_instrument: str) -> dict[str, str]:
    """Where the page's script sends and asks, and what it starts from."""
    number = job.number
    return {
        "entries": reverse("measure:entries", args=[number]),
        "plan": reverse("measure:plan", args=[number]),
        "sets": reverse("measure:next", args=[number]),
        "job": job_address(job),
        "unsent": reverse("measure:unsent", args=[number]),
        "worker": reverse("measure:worker"),
        "login": _address("people:login") or "/login",
        "certificate": _address("people:certificate") or "/certificate",
        "unit": kept_unit,
        "instrument": kept_instrument,
    }


def _address(name: str, *args: object) -> str:
    try:
        return reverse(name, args=args)
    except NoReverseMatch:  # a bench put together without that room
        return ""


def job_address(job: Job) -> str:
    """The page of a job."""
    return _address("bench:job", job.number) or reverse("measure:next", args=[job.number])


def _title(instrument: Any) -> str:
    return f"{instrument.title} (calibration overdue)" if instrument.overdue else instrument.title


def _question(request: HttpRequest, *, job: Job, found: MeasureSet) -> dict[str, Any] | None:
    """What is asked before the first value: the size it is at, then what its parts are."""
    if job.closed or found.complete:
        return None
    if questions_left(request, job=job.number, feature=found.feature):
        return None
    if found.size_to_ask:
        return {"kind": "size"}
    part = next(iter(found.parts_to_ask), None)
    return {"kind": "condition", "part": part} if part is not None else None


def _last(found: MeasureSet, *, person: str) -> SlotView | None:
    """The place of the last reading that this person took of this set, for undo."""
    own = [one for one in found.slots if one.reading is not None and one.reading.person == person]
    newest = datetime.datetime.min.replace(tzinfo=datetime.UTC)
    return max(own, key=lambda one: _time(one.reading, newest), default=None)


def _time(reading: Reading | None, newest: datetime.datetime) -> datetime.datetime:
    time = reading.time if reading is not None else None
    return time if time is not None and time.tzinfo is not None else newest


def _shared(
    job: Job,
    *,
    account: Account,
    found: MeasureSet,
    planned: tuple[SetProgress, ...],
    unit: str,
) -> dict[str, Any]:
    """What the page of a set and the pages that follow it have in common."""
    following = next_open(planned, after=(found.feature, found.number))
    if following is not None and (following.feature, following.number) == (
        found.feature,
        found.number,
    ):
        following = None
    shows = shows_result(job=job, account=account, found=found)
    return {
        "job": job,
        "job_address": job_address(job),
        "set": found,
        "slots": slots_json(found, people=people_of(job)),
        "done": sum(slot.state.value != "open" for slot in found.slots),
        "all_done": sum(one.taken + one.skipped for one in planned),
        "all_planned": sum(one.planned for one in planned),
        "following": following,
        "result": result_of(job, found=found, unit=unit) if shows else None,
        "hidden": not shows,
    }


def shown_unit(request: HttpRequest) -> str:
    """The unit that somebody types in (``?in=``), else the one that they read in everywhere."""
    asked = request.GET.get("in", "")
    return asked if asked in UNITS else unit_of(request)


def now_page(
    request: HttpRequest, *, job: Job, account: Account, feature: str, number: int
) -> dict[str, Any]:
    """The changing part of a set's page, for who follows."""
    found = set_of(job, feature=feature, number=number)
    return _shared(
        job, account=account, found=found, planned=sets_of(job), unit=shown_unit(request)
    )


def now_json(request: HttpRequest, *, job: Job, account: Account, page: dict[str, Any]) -> Any:
    """The same for the page's script: the set as it stands, and its result as drawn here."""
    found: MeasureSet = page["set"]
    key = (found.feature, found.number)
    plan = script_plan(
        job, account_id=account.pk, account_name=account.get_full_name(), wanted=[key]
    )
    situation = plan.pop("features")[found.feature]["situation"]
    plan["sets"][0].setdefault("situation", situation)  # a size that was stated moves its nominal
    del plan["drawings"]
    result: SetResult | None = page["result"]
    plan["result"] = (
        render_to_string("measure/part_result.html", page, request) if result is not None else ""
    )
    plan["hidden"] = page["hidden"]
    plan["progress"] = f"here, {page['all_done']} of {page['all_planned']} in the job"
    return plan


def now_tag(request: HttpRequest, *, job: Job, account: Account, place: str) -> str:
    """Changes when anything on a following page does."""
    task = job.task
    parts = (
        job.head[:20],
        job.engine_id[:10],
        current_shop().digest[:10],
        place,
        shown_unit(request),
        str(account.pk),
        f"{job.closed}{job.blind}{task is not None and task.shows_results}",
        "json" if request.headers.get("Accept", "").startswith("application/json") else "page",
    )
    return '"' + "-".join(part.encode("ascii", "replace").decode() for part in parts) + '"'


def newest_set(job: Job) -> tuple[str, int] | None:
    """The set of the newest reading, for who follows the whole job."""
    features = engine_of(job).features
    last = next(
        (
            one
            for one in reversed(entries_of(job))
            if isinstance(one, Reading)
            and one.feature in features
            and one.number in features[one.feature].numbers
        ),
        None,
    )
    if last is not None:
        return (last.feature, last.number)
    first = next_open(sets_of(job))
    return (first.feature, first.number) if first is not None else None
