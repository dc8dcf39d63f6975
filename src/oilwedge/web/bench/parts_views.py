"""The page of parts and zero checks."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render

from oilwedge.errors import InputError
from oilwedge.web.bench.parts import (
    CONDITIONS,
    WORKS,
    StepSaid,
    events_of,
    parts_page,
    record_step,
    what_it_ends,
)
from oilwedge.web.bench.saying import when_posted
from oilwedge.web.people.access import Right, job_view, signed_in
from oilwedge.web.record.models import Job


@job_view(Right.SEE_JOB)
def parts(request: HttpRequest, job: Job) -> HttpResponse:
    """What the parts are and what was done to them."""
    return _page(request, job, said=_said(request), fault="")


@job_view(Right.RECORD_STEP)
@when_posted
def step(request: HttpRequest, job: Job) -> HttpResponse:
    """Say what was done; what ends readings is asked once more."""
    said = _said(request)
    try:
        entries = events_of(job, said, account=signed_in(request))
    except InputError as error:
        return _page(request, job, said=said, fault=str(error))
    ends = what_it_ends(job, entries)
    if ends and request.POST.get("sure") != "yes":
        return render(request, "bench/step_sure.html", {"job": job, "said": said, "ends": ends})
    record_step(job, entries)
    messages.success(request, "It is in the record.")
    return redirect("bench:parts", number=job.number)


def _page(request: HttpRequest, job: Job, *, said: StepSaid, fault: str) -> HttpResponse:
    context = {
        "job": job,
        "page": parts_page(job),
        "said": said,
        "fault": fault,
        "conditions": CONDITIONS,
        "works": WORKS,
    }
    return render(request, "bench/parts.html", context, status=400 if fault else 200)


def _said(request: HttpRequest) -> StepSaid:
    post = request.POST
    return StepSaid(
        what=post.get("what", ""),
        subject=post.get("subject", ""),
        number=post.get("number", ""),
        size=post.get("size", ""),
        note=post.get("note", ""),
    )
