"""The page of the record: every entry, newest first."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from oilwedge.web.bench.entry_lines import record_page
from oilwedge.web.people.access import Right, job_view
from oilwedge.web.record.models import Job


@job_view(Right.SEE_JOB)
def record(request: HttpRequest, job: Job) -> HttpResponse:
    """Every entry of the job with its state."""
    context = {"job": job, "record": record_page(job, page=request.GET.get("page", "1"))}
    return render(request, "bench/record.html", context)
