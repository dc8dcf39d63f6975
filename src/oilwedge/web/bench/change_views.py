"""What changed in a job since yesterday, or since a time of choice."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from oilwedge.web.bench.change_list import begun_since, change_list, since_of
from oilwedge.web.look.unit_choice import unit_of
from oilwedge.web.people.access import Right, job_view, signed_in
from oilwedge.web.record.models import Job


@job_view(Right.SEE_JOB)
def changes(request: HttpRequest, job: Job) -> HttpResponse:
    """The list, as a part of the job's page or as a page of its own."""
    since = since_of(request.GET.get("since", ""))
    lines = change_list(job, account=signed_in(request), unit=unit_of(request), since=since)
    template = "bench/part_changes.html" if request.htmx else "bench/changes.html"  # type: ignore[attr-defined]
    context = {"job": job, "lines": lines, "since": since, "begun": begun_since(job, since)}
    return render(request, template, context)
