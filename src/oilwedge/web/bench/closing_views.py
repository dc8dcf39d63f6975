"""Pages of notes, signatures, closing, opening again and the owner."""

from __future__ import annotations

from collections.abc import Callable

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render

from oilwedge.web.bench import closing
from oilwedge.web.bench.opening import name_owner, owner_of
from oilwedge.web.bench.saying import FieldError
from oilwedge.web.people.access import Right, job_view, may, signed_in
from oilwedge.web.record.judged import engine_of
from oilwedge.web.record.models import Job
from oilwedge.web.record.store import people_of


def _fault_of(act: Callable[[], None]) -> str:
    """Do it; empty, or the sentence of what cannot be."""
    try:
        act()
    except FieldError as error:
        return str(error)
    return ""


def _answer(
    request: HttpRequest, job: Job, *, template: str, done: str, fault: str, context: object
) -> HttpResponse:
    """Back to the job when it is done; else the form with its fault."""
    if request.method == "POST" and not fault:
        messages.success(request, done)
        return redirect("bench:job", number=job.number)
    page = {"job": job, "fault": fault, "said": request.POST, "form": context}
    return render(request, template, page, status=400 if fault else 200)


@job_view(Right.RECORD_STEP)
def notes(request: HttpRequest, job: Job) -> HttpResponse:
    """A note or a decision."""
    said = request.POST or request.GET
    fault = ""
    if request.method == "POST":
        fault = _fault_of(
            lambda: closing.add_note(
                job=job,
                account=signed_in(request),
                kind=request.POST.get("kind", ""),
                about=request.POST.get("about", ""),
                text=request.POST.get("text", ""),
            )
        )
    context = {
        "choices": closing.about_choices(engine_of(job)),
        "about": said.get("about", ""),
        "kind": said.get("kind", "note"),
    }
    return _answer(
        request, job, template="bench/notes.html", done="It is noted.", fault=fault, context=context
    )


@job_view(Right.RECORD_STEP)
def sign(request: HttpRequest, job: Job) -> HttpResponse:
    """Sign the record as it stands."""
    fault = ""
    if request.method == "POST":
        fault = _fault_of(
            lambda: closing.sign(
                job=job,
                account=signed_in(request),
                statement=request.POST.get("statement", ""),
                head=request.POST.get("head", ""),
            )
        )
    context = {"statement": request.POST.get("statement", closing.STATEMENT)}
    return _answer(
        request, job, template="bench/sign.html", done="Signed.", fault=fault, context=context
    )


@job_view(Right.CHANGE_JOB)
def close(request: HttpRequest, job: Job) -> HttpResponse:
    """Close the job, or see what is left to do first."""
    account, fault = signed_in(request), ""
    reason = request.POST.get("reason", "")
    if request.method == "POST":
        fault = _fault_of(lambda: closing.close(job=job, account=account, reason=reason))
    done = request.method == "POST" and not fault
    context = {
        "left": () if done else closing.what_is_open(job),
        "may_anyway": may(account, Right.LEAD_JOB),
    }
    return _answer(
        request,
        job,
        template="bench/close.html",
        done="The job is closed.",
        fault=fault,
        context=context,
    )


@job_view(Right.LEAD_JOB)
def reopen(request: HttpRequest, job: Job) -> HttpResponse:
    """Open a closed job again."""
    account, fault = signed_in(request), ""
    reason = request.POST.get("reason", "")
    if request.method == "POST":
        fault = _fault_of(lambda: closing.reopen(job=job, account=account, reason=reason))
    return _answer(
        request,
        job,
        template="bench/reopen.html",
        done="The job is open again.",
        fault=fault,
        context=None,
    )


@job_view(Right.CHANGE_JOB)
def owner(request: HttpRequest, job: Job) -> HttpResponse:
    """Whose engine it is."""
    fault, name = "", request.POST.get("owner", "")
    if request.method == "POST":
        fault = _fault_of(lambda: name_owner(job=job, text=name))
    context = {"owner": owner_of(job, names=people_of(job))}
    return _answer(
        request,
        job,
        template="bench/owner.html",
        done="The owner is noted.",
        fault=fault,
        context=context,
    )
