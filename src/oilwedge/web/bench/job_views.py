"""The page of one job, and the part of it that changes while people measure."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse, HttpResponseNotModified
from django.shortcuts import redirect, render

from oilwedge.web.bench.answering import answer
from oilwedge.web.bench.change_list import begun_since, start_of_yesterday
from oilwedge.web.bench.job_page import job_page, page_tag
from oilwedge.web.bench.job_story import job_story
from oilwedge.web.bench.saying import when_posted
from oilwedge.web.look.unit_choice import unit_of
from oilwedge.web.people.access import Right, job_view, signed_in
from oilwedge.web.record.models import Job


@job_view(Right.SEE_JOB)
def job(request: HttpRequest, job: Job) -> HttpResponse:
    """One job: the crank, what to do next, the fits, what people said."""
    account, unit = signed_in(request), unit_of(request)
    context = {
        "page": job_page(job, account=account, unit=unit),
        "tag": page_tag(job, account=account, unit=unit),
        "story": job_story(job),
        "begun": begun_since(job, start_of_yesterday()),
        "job": job,
        "unit": unit,
    }
    return render(request, "bench/job.html", context)


@job_view(Right.SEE_JOB)
def now(request: HttpRequest, job: Job) -> HttpResponse:
    """What changes, for a page that asks again and again; nothing while nothing changed."""
    account, unit = signed_in(request), unit_of(request)
    tag = f'"{page_tag(job, account=account, unit=unit)}"'
    response: HttpResponse = HttpResponseNotModified()
    if request.headers.get("If-None-Match") != tag:
        if not request.htmx:  # type: ignore[attr-defined]
            return redirect("bench:job", number=job.number)
        page = job_page(job, account=account, unit=unit)
        context = {"page": page, "tag": tag.strip('"'), "job": job, "unit": unit}
        response = render(request, "bench/part_now.html", context)
    response["ETag"] = tag
    return response


@job_view(Right.MEASURE)
@when_posted
def answered(request: HttpRequest, job: Job) -> HttpResponse:
    """An answer to a question that the record asked back."""
    answer(
        job=job,
        account=signed_in(request),
        feature=request.POST.get("feature", ""),
        number=request.POST.get("number", ""),
        reading=request.POST.get("reading", ""),
        size=request.POST.get("size", ""),
    )
    return redirect("bench:job", number=job.number)
