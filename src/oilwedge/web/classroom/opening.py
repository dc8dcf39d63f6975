"""Begin a class: one task, one bench (a job) for each pupil, and one for the reference."""

from __future__ import annotations

import functools
from collections.abc import Sequence
from dataclasses import dataclass

from oilwedge.errors import JobFileError
from oilwedge.job.entry import Event, EventKind
from oilwedge.usecases.measuring import Depth
from oilwedge.usecases.planning.plan import Plan, make_plan
from oilwedge.web.bench.saying import FieldError, say
from oilwedge.web.classroom.models import Seat
from oilwedge.web.classroom.seating import pupil_account, pupils
from oilwedge.web.people.models import Account
from oilwedge.web.record.judged import current_shop, engine_of_digest
from oilwedge.web.record.models import ClassTask, EngineText, Job
from oilwedge.web.record.store import open_job, says_faults, writing

MOST_BENCHES = 60
LONGEST_TITLE = 100  # of a class: a repeat's title adds the number of its bench


@dataclass(frozen=True, kw_only=True, slots=True)
class WantedClass:
    """What the form of a new class says, as typed."""

    title: str
    engine: str
    depth: str
    features: Sequence[str]
    pupils: Sequence[str]
    links: str
    reference: bool


@dataclass(frozen=True, kw_only=True, slots=True)
class FeatureChoice:
    """A feature of the plan to be ticked: how many readings it is for each pupil."""

    key: str
    title: str
    stage: str
    readings: int


def plan_for(engine_digest: str, *, depth: Depth) -> Plan:
    """The measuring plan of an engine file with what the shop has."""
    return _plan(engine_digest, current_shop().digest, depth)


@functools.lru_cache(maxsize=32)
def _plan(engine_digest: str, shop_digest: str, depth: Depth) -> Plan:
    del shop_digest  # part of the key: another shop plans with other instruments
    return make_plan(engine=engine_of_digest(engine_digest), shop=current_shop(), depth=depth)


def feature_choices(engine_digest: str, *, depth: Depth) -> tuple[FeatureChoice, ...]:
    """What can be measured, in planned order."""
    plan = plan_for(engine_digest, depth=depth)
    found: dict[str, FeatureChoice] = {}
    for step in plan.steps:
        for one in step.measurements:
            found.setdefault(
                one.feature.key,
                FeatureChoice(
                    key=one.feature.key,
                    title=one.feature.title,
                    stage=step.stage.value,
                    readings=one.readings,
                ),
            )
    return tuple(found.values())


def depth_from(text: str) -> Depth:
    """The depth that a form names; the quick one for anything else."""
    return Depth.FULL if text == Depth.FULL.value else Depth.QUICK


@says_faults
def open_class(wanted: WantedClass, *, by: Account) -> ClassTask:
    """Make the task, its reference bench and a bench for each pupil and each link to come.

    Raises FieldError with the field that cannot be used; then nothing was made.
    """
    title = _title(wanted.title)
    engine = EngineText.objects.filter(digest=wanted.engine, on_list=True).first()
    if engine is None:
        raise FieldError("engine", "Choose an engine file.")
    depth = depth_from(wanted.depth)
    planned = [one.key for one in feature_choices(engine.digest, depth=depth)]
    features = [key for key in planned if key in wanted.features]
    if not features:
        raise FieldError("features", "Tick at least one thing to measure.")
    accounts, links = _pupils(wanted.pupils), _count(wanted.links)
    if not accounts and not links:
        raise FieldError("links", "A class needs at least one pupil or one link for a new one.")
    with writing():
        task = ClassTask.objects.create(
            title=title,
            engine=engine,
            features=" ".join(features),
            depth=depth.value,
            made_by=by,
        )
        if wanted.reference:
            job = _open(task, number=f"{_prefix(task)}-00", title=f"{title}, reference")
            Job.objects.filter(pk=job.pk).update(is_reference=True)
        _open_benches(task, accounts, links)
    return task


@says_faults
def add_benches(task: ClassTask, *, pupil_keys: Sequence[str], links: str) -> int:
    """More benches for a class that runs; FieldError where it cannot be."""
    accounts, count = _pupils(pupil_keys), _count(links)
    if task.closed_at is not None:
        raise FieldError("links", "The class is closed. Begin a new one.")
    if not accounts and not count:
        raise FieldError("links", "Tick a pupil, or say for how many new ones.")
    with writing():
        _open_benches(task, accounts, count)
    return len(accounts) + count


@says_faults
def open_repeat(of: Job, *, task: ClassTask, pupil: str, by: Account) -> Job:
    """A bench for the same parts, to be measured blind by somebody else; its record says so."""
    if not pupil.isdecimal():
        raise FieldError("pupil", "Choose who measures it again.")
    account = pupil_account(int(pupil))
    if of.pupil_id == account.pk:
        raise FieldError("pupil", "Somebody else has to measure it again. Choose another pupil.")
    if task.closed_at is not None:
        raise FieldError("pupil", "The class is closed.")
    words = f"repeat of {of.number}"
    with writing():
        job = _open(task, number=_next_number(task), title=f"{task.title}, {words}")
        Job.objects.filter(pk=job.pk).update(pupil=account)
        Seat.objects.create(job=job, repeat_of=of)
        say(job=job, account=by, event=Event(id="", kind=EventKind.NOTE, value=words))
    return job


def _title(text: str) -> str:
    title = " ".join(text.split())
    if not title or len(title) > LONGEST_TITLE or not title.isprintable():
        raise FieldError("title", f"Give the class a name, of up to {LONGEST_TITLE} letters.")
    return title


def _pupils(keys: Sequence[str]) -> list[Account]:
    wanted = [int(key) for key in keys if key.isdecimal() and len(key) < 19]
    return list(pupils().filter(pk__in=wanted))


def _count(text: str) -> int:
    text = text.strip() or "0"
    if not text.isdecimal() or int(text) > MOST_BENCHES:
        raise FieldError("links", f"Say how many in digits, 0 to {MOST_BENCHES}.")
    return int(text)


def _open_benches(task: ClassTask, accounts: Sequence[Account], links: int) -> None:
    there = Job.objects.filter(task=task).count()
    if there + len(accounts) + links > MOST_BENCHES:
        raise FieldError("links", f"A class has up to {MOST_BENCHES} benches.")
    for pupil in (*accounts, *[None] * links):
        job = _open(task, number=_next_number(task), title=task.title)
        Job.objects.filter(pk=job.pk).update(pupil=pupil)


def _prefix(task: ClassTask) -> str:
    return f"C{task.pk}"


def _next_number(task: ClassTask) -> str:
    count = Job.objects.filter(task=task, is_reference=False).count()
    return f"{_prefix(task)}-{count + 1:02d}"


def _open(task: ClassTask, *, number: str, title: str) -> Job:
    try:
        job = open_job(number=number, engine=task.engine, title=title, blind=True)
    except JobFileError as error:
        raise FieldError("title", str(error)) from None
    job.task = task
    Job.objects.filter(pk=job.pk).update(task=task)
    return job
