"""Measuring: the page of a set, the pages that follow it, and the plan for the script."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseBase, JsonResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.gzip import gzip_page
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from oilwedge.errors import UnknownNameError
from oilwedge.usecases.measuring import MeasureSet
from oilwedge.web.bench.measuring.form_flow import take_form
from oilwedge.web.bench.measuring.page_flow import (
    job_address,
    newest_set,
    now_json,
    now_page,
    now_tag,
    set_page,
)
from oilwedge.web.bench.measuring.plan_flow import next_open, script_plan, set_of, sets_of
from oilwedge.web.people.access import Right, job_view, signed_in, wants_json
from oilwedge.web.people.models import Account, Role
from oilwedge.web.record.models import Job

COMPACT = {"ensure_ascii": False, "separators": (",", ":")}
ACCOUNT_HEADER = "X-Oilwedge-Account"  # the service worker keeps pages for this account only


def _found(job: Job, feature: str, n: int) -> MeasureSet:
    try:
        return set_of(job, feature=feature, number=n)
    except UnknownNameError as error:
        raise Http404(str(error)) from None


def _for_account(response: HttpResponse, account: Account) -> HttpResponse:
    response[ACCOUNT_HEADER] = str(account.pk)
    response["Cache-Control"] = "no-cache, private"
    return response


@require_GET
@job_view(Right.MEASURE)
def next_set(request: HttpRequest, job: Job) -> HttpResponseBase:
    """To the next set with an open place, or back to the job when all is read."""
    after = request.GET.get("after", "").rpartition("/")
    behind = (after[0], int(after[2])) if after[2].isdecimal() and len(after[2]) < 6 else None
    found = next_open(sets_of(job), after=behind)
    if found is not None:
        return redirect("measure:set", job.number, found.feature, found.number)
    messages.success(request, "Everything that was planned is read.")
    address = job_address(job)
    if address == request.path:
        return render(request, "measure/all_read.html", {"job": job})
    return redirect(address)


@gzip_page  # its form's token is masked anew each time, so that its length tells nothing
@require_http_methods(["GET", "POST"])
@job_view(Right.MEASURE)
def measure_set(request: HttpRequest, job: Job, feature: str, n: int) -> HttpResponseBase:
    """One set: the field, the drawing, what was read; a POST is a plain form."""
    if request.GET.get("follow") == "1":
        return redirect("measure:follow", job.number)
    found = _found(job, feature, n)
    account, now = signed_in(request), timezone.now()
    asked = None
    if request.method == "POST":
        asked = take_form(request, job=job, account=account, found=found, now=now)
        if asked is None:
            return redirect(_after_form(request, job, found))
        job.refresh_from_db()
    page = set_page(request, job=job, account=account, found=found, asked=asked, now=now)
    status = 422 if asked is not None and asked.kind == "fault" else 200
    return _for_account(render(request, "measure/set.html", page, status=status), account)


def _after_form(request: HttpRequest, job: Job, found: MeasureSet) -> str:
    """Back to the set: to its next open place, or where only something was remembered."""
    if request.POST.get("action") == "remember":
        return f"{request.path}?at={request.POST.get('at', '')}"
    return request.path


@gzip_page
@require_GET
@job_view(Right.SEE_JOB)
def set_now(request: HttpRequest, job: Job, feature: str, n: int) -> HttpResponseBase:
    """The changing part of a set's page, by ETag."""
    return _now(request, job, feature, n)


def _has(request: HttpRequest, tag: str) -> bool:
    """Whether the browser has this already; a tag of what was compressed has W/ before it."""
    return request.headers.get("If-None-Match", "").removeprefix("W/") == tag


def _now(request: HttpRequest, job: Job, feature: str, n: int) -> HttpResponseBase:
    account = signed_in(request)
    tag = now_tag(request, job=job, account=account, place=f"{feature}/{n}")
    if _has(request, tag):
        response = HttpResponse(status=304)
    else:
        _found(job, feature, n)
        page = now_page(request, job=job, account=account, feature=feature, number=n)
        if wants_json(request):
            answer = now_json(request, job=job, account=account, page=page)
            response = JsonResponse(answer, json_dumps_params=COMPACT)
        else:
            response = render(request, "measure/part_now.html", page)
    response["ETag"], response["Cache-Control"] = tag, "no-cache, private"
    response["Vary"] = "Accept, Cookie"
    return response


@require_GET
@job_view(Right.SEE_JOB)
def follow(request: HttpRequest, job: Job) -> HttpResponseBase:
    """A second screen: the set in which readings come in now."""
    where = newest_set(job)
    page = {"job": job, "job_address": job_address(job)}
    if where is not None:
        account = signed_in(request)
        page |= now_page(request, job=job, account=account, feature=where[0], number=where[1])
    return render(request, "measure/follow.html", page)


@gzip_page
@require_GET
@job_view(Right.SEE_JOB)
def job_now(request: HttpRequest, job: Job) -> HttpResponseBase:
    """The changing part of the second screen."""
    where = newest_set(job)
    return _now(request, job, *where) if where is not None else HttpResponse(status=204)


@gzip_page
@require_GET
@job_view(Right.MEASURE)
def plan(request: HttpRequest, job: Job) -> HttpResponseBase:
    """All sets of the job that are not complete, so that a script goes on without a network."""
    account = signed_in(request)
    tag = now_tag(request, job=job, account=account, place="plan")
    if _has(request, tag):
        response = HttpResponse(status=304)
    else:
        wanted = [(one.feature, one.number) for one in sets_of(job) if not one.complete]
        name = account.get_full_name()
        answer = script_plan(job, account_id=account.pk, account_name=name, wanted=wanted)
        response = JsonResponse(answer, json_dumps_params=COMPACT)
    response["ETag"], response["Cache-Control"] = tag, "no-cache, private"
    return response


@require_POST
@job_view(Right.CHANGE_JOB)
def blind(request: HttpRequest, job: Job) -> HttpResponseBase:
    """A lead hides or shows results before a set is complete, on jobs that are no class's."""
    account = signed_in(request)
    if account.role != Role.LEAD or job.task_id is not None:
        sentence = "Only a lead changes this, and never in a class."
        context = {"title": "Not yours", "text": sentence, "back": job_address(job)}
        return render(request, "oilwedge/plain.html", context, status=403)
    Job.objects.filter(pk=job.pk).update(blind=request.POST.get("blind") == "yes")
    back = request.POST.get("back", "")
    own = back.startswith(f"/jobs/{job.number}/")
    return redirect(back if own else job_address(job))
