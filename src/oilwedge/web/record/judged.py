"""What the record of a job says: its engine, its judgement, and the summary that is kept of it.

All of it follows from the head of the chain, the digests of engine and shop, and the names, so it
is computed once for these and kept: the judgement in memory, the summary in the database.
"""

from __future__ import annotations

import functools
import threading
from collections.abc import Hashable
from typing import Any

from django.db import IntegrityError

from oilwedge import __version__
from oilwedge.job.entry import Entry
from oilwedge.usecases.job_summary import summary
from oilwedge.usecases.judgement import Judgement
from oilwedge.usecases.judging import judge
from oilwedge.usecases.length_face import LengthFace
from oilwedge.usecases.measuring import Depth, SetProgress, sets
from oilwedge.usecases.opening import (
    DEFAULT_SHOP,
    Engine,
    Shop,
    engine_of_text,
    shop_of_text,
    with_people,
)
from oilwedge.usecases.planning.plan import Plan, make_plan
from oilwedge.web.record.attention import (
    asked_json,
    doubt_sentences,
    doubted_json,
    in_shop_words,
    sets_json,
)
from oilwedge.web.record.models import EngineText, Job, KnownHead, ShopRevision, StoredVerdict
from oilwedge.web.record.store import entries_of, people_of, writing

_JUDGING = threading.Lock()  # two pages that want the same judgement wait for one


@functools.lru_cache(maxsize=64)
def _engine(digest: str) -> Engine:
    kept = EngineText.objects.get(digest=digest)
    return engine_of_text(kept.text, file=f"{kept.name}.toml")


def engine_of(job: Job) -> Engine:
    """The engine file that holds for a job now."""
    return _engine(job.engine_id)


def engine_of_digest(digest: str) -> Engine:
    """An engine file that is kept."""
    return _engine(digest)


@functools.lru_cache(maxsize=16)
def _shop(number: int, digest: str) -> Shop:
    del digest
    return shop_of_text(ShopRevision.objects.get(number=number).text, file="shop.toml")


def current_shop() -> Shop:
    """The shop as its newest revision says; general kinds of instruments before there is one."""
    newest = ShopRevision.objects.order_by("-number").values_list("number", "digest").first()
    return _shop(*newest) if newest is not None else DEFAULT_SHOP


def shop_for(job: Job) -> Shop:
    """The shop, with the names of the people in a job's record."""
    return with_people(current_shop(), people=people_of(job))


@functools.lru_cache(maxsize=64)
def _judgement(key: tuple[Hashable, ...], job_id: int) -> Judgement:
    del key
    job = Job.objects.select_related("engine").get(pk=job_id)
    return judge(
        engine=engine_of(job),
        shop=shop_for(job),
        entries=entries_of(job),
        job_number=job.number,
        head=job.head,
    )


def judged(job: Job) -> Judgement:
    """Every fit of a job, judged by what its record says."""
    names = tuple(people_of(job).items())
    key = (job.head, job.engine_id, current_shop().digest, names, __version__)
    with _JUDGING:
        return _judgement(key, job.pk)


def judged_entries(job: Job, *, entries: tuple[Entry, ...]) -> Judgement:
    """A judgement of other entries than the record's: of its state at an earlier time."""
    return judge(engine=engine_of(job), shop=shop_for(job), entries=entries)


def stored_summary(job: Job) -> dict[str, Any] | None:
    """The summary that is kept for the job as it stands; None when it has to be computed."""
    kept = StoredVerdict.objects.filter(**_inputs(job)).values_list("document", flat=True).first()
    return kept if isinstance(kept, dict) else None


def summary_of(job: Job) -> dict[str, Any]:
    """The summary of a job's judgement, from the store or computed and stored."""
    kept = stored_summary(job)
    if kept is not None:
        return kept
    document = summary_in(job, unit=engine_of(job).unit)
    try:
        with writing():
            StoredVerdict.objects.create(**_inputs(job), document=document)
            _forget_passed(job)
    except IntegrityError:  # another page was quicker
        pass
    return document


def _forget_passed(job: Job) -> None:
    """Let go of verdicts on a state that passed, save those that stand on a sheet or went out.

    Each can be computed again from the record; kept after every reading they would outgrow it.
    """
    told = KnownHead.objects.filter(job_number=job.number).values("head")
    passed = StoredVerdict.objects.filter(job_id=job.pk).exclude(head=job.head)
    passed.exclude(head__in=told).delete()


def summary_in(job: Job, *, unit: str) -> dict[str, Any]:
    """A summary in a unit of choice; a fit whose readings are not whole yet says so."""
    planned = planned_sets(job)
    judgement = judged(job)
    face = LengthFace(unit=unit)
    document = summary(judgement, face=face, planned=planned)
    document["sets"] = sets_json(planned)
    document["asked"] = asked_json(judgement, face=face)
    document["doubts"] = doubt_sentences(judgement)
    document["notes"] = list(judgement.notes)
    document["doubted"] = doubted_json(judgement, entries=entries_of(job))
    begun = {(one.feature, one.number) for one in planned if one.taken and not one.complete}
    for line in document["fits"]:
        features = judgement.engine.fits[line["fit"]].features
        line["being_measured"] = any((key, line["number"]) in begun for key in features)
    return in_shop_words(document, words=judgement.shop.words)


def planned_sets(job: Job) -> tuple[SetProgress, ...]:
    """The sets of the job's plan and how far each is; in class the ones of the task."""
    task = job.task
    depth = Depth(task.depth) if task is not None else Depth.QUICK
    wanted = tuple(task.features.split()) if task is not None else ()
    shop = current_shop()
    planned = _planned((job.head, job.engine_id, shop.digest, depth), job.pk)
    return tuple(one for one in planned if not wanted or one.feature in wanted)


@functools.lru_cache(maxsize=128)
def _planned(key: tuple[str, str, str, Depth], job_id: int) -> tuple[SetProgress, ...]:
    job = Job.objects.get(pk=job_id)
    _, _, shop_digest, depth = key
    return sets(
        engine=engine_of(job),
        shop=current_shop(),
        entries=entries_of(job),
        depth=depth,
        plan=_plan(job.engine_id, shop_digest, depth),
    )


@functools.lru_cache(maxsize=64)
def _plan(engine_digest: str, shop_digest: str, depth: Depth) -> Plan:
    del shop_digest  # part of the key: another shop plans with other instruments
    return make_plan(engine=engine_of_digest(engine_digest), shop=current_shop(), depth=depth)


def _inputs(job: Job) -> dict[str, Any]:
    return {
        "job_id": job.pk,
        "head": job.head,
        "engine_digest": job.engine_id,
        "shop_digest": current_shop().digest,
        "rule": engine_of(job).rule.name.lower(),
        "version": __version__,
    }
