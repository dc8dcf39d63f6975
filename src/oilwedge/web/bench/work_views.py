"""The first page: the work in hand."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render

from oilwedge.web.bench.opening import offered_engines
from oilwedge.web.bench.work_list import work_list, work_row
from oilwedge.web.people.access import Right, job_view, needs, signed_in
from oilwedge.web.record.models import Job


@needs(Right.SEE_WORK)
def work(request: HttpRequest) -> HttpResponse:
    """The open jobs, or the closed ones; in an empty shop, where to begin."""
    found = work_list(
        account=signed_in(request),
        closed=request.GET.get("all") == "closed",
        search=request.GET.get("search", ""),
        page=request.GET.get("page", "1"),
    )
    if found.empty_shop:
        return render(request, "bench/first.html", {"engines": offered_engines()})
    return render(request, "bench/work.html", {"list": found})


@job_view(Right.SEE_WORK)
def row(request: HttpRequest, job: Job) -> HttpResponse:
    """What one job waits for, fetched into the list while that was not known."""
    if not request.htmx:  # type: ignore[attr-defined]
        return redirect("bench:job", number=job.number)
    found = work_row(job, account=signed_in(request))
    return render(request, "bench/part_row.html", {"row": found})
