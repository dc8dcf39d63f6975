"""What the page of a job shows: the crank, what comes next, the sets, the fits, who takes part."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from django.urls import reverse

from oilwedge import __version__
from oilwedge.report.crank_parts import CrankDrawing
from oilwedge.report.state_sign import StateSign
from oilwedge.usecases.job_summary import crank_from
from oilwedge.web.bench.addresses import fit_address, set_address
from oilwedge.web.bench.fit_lines import FitGroup, fit_groups
from oilwedge.web.people.access import Right, may
from oilwedge.web.people.models import Account, Role
from oilwedge.web.record.judged import current_shop, engine_of, summary_in, summary_of
from oilwedge.web.record.models import Job

Json = dict[str, Any]


@dataclass(frozen=True, kw_only=True, slots=True)
class NextButton:
    """The one large button: what to do next. ``address`` is empty where nothing is to be done."""

    words: str
    label: str
    address: str
    icon: str


@dataclass(frozen=True, kw_only=True, slots=True)
class SetLine:
    """One set of the plan with its way in."""

    title: str
    stage: str
    taken: int
    planned: int
    open: int
    address: str


@dataclass(frozen=True, kw_only=True, slots=True)
class JobPage:
    """All that changes on the page of a job."""

    job: Job
    unit: str
    crank: CrankDrawing
    links: Mapping[str, str]
    next: NextButton
    sets_open: tuple[SetLine, ...]
    sets_done: tuple[SetLine, ...]
    wrong_groups: tuple[FitGroup, ...]
    right_groups: tuple[FitGroup, ...]
    being_measured: tuple[str, ...]
    not_measured: int
    questions: tuple[Json, ...]
    doubts: tuple[str, ...]
    notes: tuple[str, ...]
    readings: Json
    all_right: bool
    hidden: bool

    @property
    def right_count(self) -> int:
        """How many fits are in the groups that are right altogether."""
        return sum(len(group.right) for group in self.right_groups)

    @property
    def measured(self) -> bool:
        """Whether there is any result to put on a sheet."""
        return bool(self.wrong_groups or self.right_groups)


def results_hidden(job: Job, account: Account) -> bool:
    """Whether verdicts are kept from somebody altogether: from a pupil, until the teacher shows."""
    task = job.task
    return account.role == Role.PUPIL and task is not None and not task.shows_results


def document_in(job: Job, *, unit: str) -> Json:
    """The summary of a job in a unit: the stored one where it has that unit."""
    stored = summary_of(job)
    return stored if stored["unit"] == unit else summary_in(job, unit=unit)


def shows_line(job: Job, line: Json, *, account: Account) -> bool:
    """Whether a fit's result may be seen: not before its sets are whole.

    A lead may switch that off for a job that is no bench of a class, and then sees it early.
    """
    early = not job.blind and job.task_id is None and account.role == Role.LEAD
    return early or not line["being_measured"]


def job_page(job: Job, *, account: Account, unit: str) -> JobPage:
    """The page as this account sees it; from the stored summary, without judging."""
    document = document_in(job, unit=unit)
    hidden = results_hidden(job, account)
    measures = may(account, Right.MEASURE) and not job.closed
    shown = (
        [] if hidden else [one for one in document["fits"] if shows_line(job, one, account=account)]
    )
    held_back = [one for one in document["fits"] if one not in shown]
    sets = tuple(_set_line(job, one) for one in document["sets"])
    groups = fit_groups(job, shown, engine=engine_of(job), unit=unit)
    return JobPage(
        job=job,
        unit=unit,
        crank=_crank(job, document, held_back=held_back),
        links=_links(job, document, measures=measures, hidden=hidden),
        next=_next(job, document, account=account, hidden=hidden),
        sets_open=tuple(one for one in sets if one.open),
        sets_done=tuple(one for one in sets if not one.open),
        wrong_groups=tuple(one for one in groups if one.wrong),
        right_groups=tuple(one for one in groups if not one.wrong),
        being_measured=() if hidden else tuple(one["label"] for one in held_back),
        not_measured=sum(one["state"] == "not_measured" for one in shown),
        questions=tuple(_question(job, one) for one in document["asked"]),
        doubts=tuple(document["doubts"]),
        notes=tuple(document["notes"]),
        readings=_counted(document["readings"]),
        all_right=document["all_right"] and not hidden and not held_back,
        hidden=hidden,
    )


def page_tag(job: Job, *, account: Account, unit: str) -> str:
    """What changes whenever the page of a job does: the name of its state for a browser."""
    parked = job.parked.filter(settled_at=None).count()
    erased = job.personal.exclude(erased_at=None).count()
    parts: Sequence[object] = (
        job.head,
        job.engine_id,
        job.closed,
        job.blind,
        results_hidden(job, account),
        current_shop().digest,
        parked,
        erased,
        account.role,
        unit,
        __version__,
    )
    return hashlib.sha256(repr(parts).encode()).hexdigest()[:32]


def _counted(readings: Json) -> Json:
    taken = readings["planned"] - readings["open"] - readings["skipped"]
    return {**readings, "taken": taken}


def _crank(job: Job, document: Json, *, held_back: Sequence[Json]) -> CrankDrawing:
    hidden = {(one["fit"], one["number"]) for one in held_back}
    marks = [
        {**one, "sign": StateSign.NOT_MEASURED.value}
        if (one["fit"], one["number"]) in hidden
        else one
        for one in document["crank"]
    ]
    return crank_from({"crank": marks}, engine=engine_of(job))


def _links(job: Job, document: Json, *, measures: bool, hidden: bool) -> dict[str, str]:
    """Where touching a bearing leads: to its first open set; to its fit for who only looks."""
    links: dict[str, str] = {}
    fits = engine_of(job).fits
    open_sets = [(one["feature"], one["number"]) for one in document["sets"] if one["open"]]
    for bearing in document["crank"]:
        fit, number, feature = bearing["fit"], bearing["number"], bearing["feature"]
        if measures and feature:
            of_fit = fits[fit].features if fit else ()
            wanted = [key for key, own in open_sets if own == number and key in of_fit]
            first = wanted[0] if wanted else feature
            links[bearing["key"]] = set_address(job, feature=first, number=number)
        elif fit and not hidden:
            links[bearing["key"]] = fit_address(job, fit=fit, number=number)
    return links


def _set_line(job: Job, one: Json) -> SetLine:
    return SetLine(
        title=one["title"],
        stage=one["stage"],
        taken=one["taken"],
        planned=one["taken"] + one["skipped"] + one["open"],
        open=one["open"],
        address=set_address(job, feature=one["feature"], number=one["number"]),
    )


def _question(job: Job, one: Json) -> Json:
    again = set_address(
        job,
        feature=one["feature"],
        number=one["number"],
        place=one["place"],
        direction=one["direction"],
    )
    return {**one, "again": again}


def _next(job: Job, document: Json, *, account: Account, hidden: bool) -> NextButton:
    step = _DONE if job.closed else document["next_step"]
    if step["kind"] == "check zero" and document["doubted"][0]["checked"]:
        step = {**step, "kind": "read again"}
    button = _STEPS[step["kind"]]
    needed = Right.CHANGE_JOB if step["kind"] == "close" else _NEEDS.get(step["kind"])
    allowed = needed is None or may(account, needed)
    if not allowed or (hidden and step["kind"] == "decide"):
        return NextButton(words=step["words"], label="", address="", icon="next")
    return replace(
        button,
        words="" if step["words"].endswith("of the plan") else step["words"],
        label=button.label.format(what=_what(document)),
        address=_step_address(job, step, document),
    )


_DONE = {"kind": "none", "words": "nothing: it is closed"}
_STEPS = {
    "measure": NextButton(words="", label="Measure: {what}", address="", icon="measure"),
    "answer": NextButton(words="", label="Answer: {what}", address="", icon="pen"),
    "check zero": NextButton(words="", label="Check the zero", address="", icon="look"),
    "read again": NextButton(words="", label="Read again: {what}", address="", icon="redo"),
    "decide": NextButton(words="", label="Look at {what}", address="", icon="window"),
    "sign": NextButton(words="", label="Sign the job", address="", icon="pen"),
    "close": NextButton(words="", label="Close the job", address="", icon="lock"),
    "none": NextButton(words="", label="Build sheet", address="", icon="print"),
}
_NEEDS = {
    "measure": Right.MEASURE,
    "answer": Right.MEASURE,
    "check zero": Right.RECORD_STEP,
    "read again": Right.MEASURE,
    "sign": Right.RECORD_STEP,
    "none": Right.EXPORT,
}


def _what(document: Json) -> str:
    """The set or fit that the next step is about, in words."""
    step = document["next_step"]
    if step["fit"]:
        found = (
            one["label"]
            for one in document["fits"]
            if (one["fit"], one["number"]) == (step["fit"], step["number"])
        )
    else:
        found = (
            one["title"]
            for one in (*document["sets"], *document["asked"], *document["doubted"])
            if (one["feature"], one["number"]) == (step["feature"], step["number"])
        )
    return next(found, "go on")


def _step_address(job: Job, step: Json, document: Json) -> str:
    match step["kind"]:
        case "measure":
            return set_address(job, feature=step["feature"], number=step["number"])
        case "read again":
            one = document["doubted"][0]
            return set_address(
                job,
                feature=one["feature"],
                number=one["number"],
                place=one["place"],
                direction=one["direction"],
            )
        case "answer":
            return "#questions"
        case "check zero":
            return reverse("bench:parts", args=[job.number]) + "#zero"
        case "decide":
            return fit_address(job, fit=step["fit"], number=step["number"])
        case "sign":
            return reverse("bench:sign", args=[job.number])
        case "close":
            return reverse("bench:close", args=[job.number])
        case _:
            return reverse("bench:sheet", args=[job.number])
