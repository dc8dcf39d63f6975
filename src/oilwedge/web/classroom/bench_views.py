"""One bench by itself, and the benches of who looks."""

from __future__ import annotations

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from oilwedge.web.classroom.own_bench import own_bench
from oilwedge.web.classroom.seating import pupils
from oilwedge.web.look.unit_choice import unit_of
from oilwedge.web.people.access import Right, job_view, may, needs, signed_in
from oilwedge.web.record.models import Job


@require_safe
@needs(Right.OWN_ACCOUNT)  # everybody has benches of their own, or none
def mine(request: HttpRequest) -> HttpResponse:
    """The benches of who looks, with the way to measure."""
    jobs = Job.objects.filter(pupil=signed_in(request), task__isnull=False)
    benches = jobs.select_related("task").order_by("closed", "-serial")
    return render(request, "classroom/mine.html", {"benches": benches})


@require_safe
@job_view(Right.SEE_JOB)
def bench(request: HttpRequest, job: Job) -> HttpResponse:
    """One bench: how far it is and how its values compare, where that may be seen."""
    account = signed_in(request)
    leads = may(account, Right.CLASSES)
    found = own_bench(job, account=account, unit=unit_of(request))
    if found is None or (job.pupil_id != account.pk and not leads):
        raise Http404("There is no such job.")
    others = [one for one in pupils() if one.pk != job.pupil_id] if leads else []
    context = {"job": job, "page": found, "leads": leads, "others": others}
    return render(request, "classroom/bench.html", context)
