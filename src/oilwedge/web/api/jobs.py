"""Jobs for other programs: what they are, what was measured, what it means."""

from __future__ import annotations

import json
from typing import Annotated, Any

from django.core.paginator import Paginator
from django.http import HttpRequest
from django.utils import timezone
from ninja import Path, Query, Router

from oilwedge.usecases.judgement_json import judgement_json
from oilwedge.usecases.length_face import LengthFace
from oilwedge.web.api.answers import (
    EntriesAnswer,
    EntryAnswer,
    JobAnswer,
    JobsAnswer,
    OutcomeAnswer,
    Sent,
    Sentence,
    SettledAnswer,
)
from oilwedge.web.api.door import ByToken, RefusedError, account_of, job_of, jobs_of
from oilwedge.web.api.scopes import Scope
from oilwedge.web.bench.measuring.sync_flow import MOST_ENTRIES, read_parcel, settle
from oilwedge.web.people.models import Role
from oilwedge.web.record.judged import judged
from oilwedge.web.record.models import Job
from oilwedge.web.record.store import people_of

REFUSALS = {401: Sentence, 403: Sentence, 422: Sentence, 503: Sentence}
OF_JOB = {**REFUSALS, 404: Sentence}
MOST_ENTRIES_READ = 1000
router = Router(tags=["jobs"])
Number = Annotated[str, Path(description="number of the job", max_length=40)]


def _answer(job: Job) -> JobAnswer:
    return JobAnswer(
        number=job.number,
        title=job.title,
        engine=job.engine_name,
        engine_digest=job.engine_id,
        opened_at=job.opened_at,
        changed_at=job.changed_at,
        closed=job.closed,
        classwork=job.task_id is not None,
        count=job.count,
        head=job.head,
    )


@router.get(
    "/jobs",
    auth=ByToken(Scope.READ),
    response={200: JobsAnswer, **REFUSALS},
    summary="The jobs, page by page",
    operation_id="list_jobs",
)
def list_jobs(
    request: HttpRequest,
    page: Annotated[int, Query(ge=1, le=1_000_000)] = 1,
    size: Annotated[int, Query(ge=1, le=200)] = 50,
    closed: Annotated[bool | None, Query(description="only closed ones, or only open ones")] = None,
) -> JobsAnswer:
    """Answer one page; a page behind the last one is empty."""
    jobs = jobs_of(account_of(request))
    if closed is not None:
        jobs = jobs.filter(closed=closed)
    paged = Paginator(jobs, size)
    shown = paged.page(page).object_list if page <= paged.num_pages else []
    return JobsAnswer(
        jobs=[_answer(job) for job in shown], page=page, pages=paged.num_pages, total=paged.count
    )


@router.get(
    "/jobs/{number}",
    auth=ByToken(Scope.READ),
    response={200: JobAnswer, **OF_JOB},
    summary="One job",
    operation_id="show_job",
)
def show_job(request: HttpRequest, number: Number) -> JobAnswer:
    """Answer the job in short."""
    return _answer(job_of(account_of(request), number))


@router.get(
    "/jobs/{number}/entries",
    auth=ByToken(Scope.READ),
    response={200: EntriesAnswer, **OF_JOB},
    summary="The record of a job",
    operation_id="list_entries",
)
def list_entries(
    request: HttpRequest,
    number: Number,
    after: Annotated[int, Query(ge=0, le=2**31 - 1, description="go on behind this place")] = 0,
    limit: Annotated[int, Query(ge=1, le=MOST_ENTRIES_READ)] = 500,
) -> EntriesAnswer:
    """Answer entries in order of the chain, from which its heads can be computed again."""
    job = job_of(account_of(request), number)
    rows = job.entries.filter(sequence__gt=after, sequence__lte=job.count).order_by("sequence")
    return EntriesAnswer(
        entries=[
            EntryAnswer(
                sequence=row.sequence,
                received_at=row.received_at,
                head=row.head,
                entry=json.loads(row.document),
            )
            for row in rows[:limit]
        ],
        count=job.count,
        head=job.head,
        people=dict(people_of(job)),
    )


@router.post(
    "/jobs/{number}/entries",
    auth=ByToken(Scope.MEASURE),
    response={200: SettledAnswer, **OF_JOB},
    summary="Add entries to a job",
    operation_id="send_entries",
)
def send_entries(request: HttpRequest, number: Number, sent: Sent) -> SettledAnswer:
    """Settle each entry by itself, in order, as those of the measuring page.

    An entry whose outcome is "stored" or "already there" is committed before the answer; sent
    again with the same id it is stored once.
    """
    account = account_of(request)
    job = job_of(account, number)
    entries = [{**entry, "author": account.pk} for entry in sent.entries[: MOST_ENTRIES + 1]]
    body = json.dumps({"device_now": sent.device_now.isoformat(), "entries": entries})
    parcel = read_parcel(body.encode())
    settled = settle(job=job, account=account, parcel=parcel, received=timezone.now())
    job.refresh_from_db(fields=["count", "head"])
    return SettledAnswer(
        outcomes=[OutcomeAnswer(**one.as_json()) for one in settled],
        count=job.count,
        head=job.head,
    )


@router.get(
    "/jobs/{number}/judgement",
    auth=ByToken(Scope.READ),
    response={200: dict[str, Any], **OF_JOB},
    summary="The verdicts of a job",
    operation_id="show_judgement",
)
def show_judgement(request: HttpRequest, number: Number) -> dict[str, Any]:
    """Answer every fit with its verdict and why, as docs/formats/judgement.md says."""
    account = account_of(request)
    job = job_of(account, number)
    if account.role == Role.PUPIL and not (job.task is not None and job.task.shows_results):
        raise RefusedError(403, "The verdicts are shown once the teacher shows them.")
    judgement = judged(job)
    return judgement_json(judgement=judgement, face=LengthFace(unit=judgement.engine.unit))
