"""The jobs in hand, newest change first, each with what it waits for."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from django.core.paginator import Page, Paginator
from django.db.models import Q, QuerySet

from oilwedge import __version__
from oilwedge.report.state_sign import StateSign
from oilwedge.web.bench.fit_lines import UNSEEN
from oilwedge.web.bench.moments import moment
from oilwedge.web.people.access import sees_job
from oilwedge.web.people.models import Account, Role
from oilwedge.web.record.judged import current_shop, summary_of
from oilwedge.web.record.models import Job, StoredVerdict

ON_A_PAGE = 25
Json = dict[str, Any]


@dataclass(frozen=True, kw_only=True, slots=True)
class Tally:
    """How many fits are in one state."""

    state: StateSign
    count: int


@dataclass(frozen=True, kw_only=True, slots=True)
class WorkRow:
    """One job of the list. ``waits_for`` is empty while nothing was judged for it yet."""

    job: Job
    when: str
    waits_for: str
    tally: tuple[Tally, ...]
    known: bool


@dataclass(frozen=True, kw_only=True, slots=True)
class WorkList:
    """A page of the list."""

    rows: tuple[WorkRow, ...]
    page: Page[Job]
    closed: bool
    search: str
    empty_shop: bool


def work_list(*, account: Account, closed: bool, search: str, page: str) -> WorkList:
    """The jobs that somebody sees, without judging any of them; three queries."""
    jobs = _searched(_visible(account).filter(closed=closed), search.strip())
    found = Paginator(jobs.order_by("-changed_at", "-pk"), ON_A_PAGE).get_page(page)
    on_page = list(found.object_list)
    summaries = _stored(on_page)
    return WorkList(
        rows=tuple(_row(job, summaries.get(job.pk)) for job in on_page),
        page=found,
        closed=closed,
        search=search.strip(),
        empty_shop=not on_page and not Job.objects.exists(),
    )


def work_row(job: Job, *, account: Account) -> WorkRow:
    """One row, judged if it has to be."""
    return _row(job, summary_of(job) if sees_job(account, job) else None)


def _visible(account: Account) -> QuerySet[Job]:
    """Benches of a class stand on the page of the class; a pupil sees the own ones."""
    if account.role == Role.PUPIL:
        return Job.objects.filter(pupil=account)
    return Job.objects.filter(task=None)


def _searched(jobs: QuerySet[Job], text: str) -> QuerySet[Job]:
    if not text:
        return jobs
    return jobs.filter(
        Q(number__icontains=text) | Q(title__icontains=text) | Q(engine_name__icontains=text)
    )


def _stored(jobs: Sequence[Job]) -> dict[int, Json]:
    """The summaries that hold for these jobs now, in one query."""
    kept = StoredVerdict.objects.filter(
        job__in=[job.pk for job in jobs],
        head__in=[job.head for job in jobs],
        shop_digest=current_shop().digest,
        version=__version__,
    ).values_list("job_id", "head", "engine_digest", "document")
    by_input = {tuple(row[:3]): row[3] for row in kept}
    wanted = {job.pk: by_input.get((job.pk, job.head, job.engine_id)) for job in jobs}
    return {key: document for key, document in wanted.items() if document is not None}


def _row(job: Job, summary: Json | None) -> WorkRow:
    return WorkRow(
        job=job,
        when=moment(job.changed_at),
        waits_for=summary["waits_for"] if summary is not None else "",
        tally=_tally(summary["fits"]) if summary is not None else (),
        known=summary is not None,
    )


def _tally(fits: Sequence[Json]) -> tuple[Tally, ...]:
    """Worst first; what is being measured or was not measured is not counted."""
    counts: dict[StateSign, int] = {}
    for one in fits:
        if one["state"] not in UNSEEN and not one["being_measured"]:
            sign = StateSign(one["sign"])
            counts[sign] = counts.get(sign, 0) + 1
    return tuple(Tally(state=state, count=count) for state, count in counts.items())
