"""Who sits where: more benches, links for new pupils, a bench given to somebody, repeats."""

from __future__ import annotations

from django.conf import settings
from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.safestring import mark_safe
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST

from oilwedge.errors import InputError
from oilwedge.report.qr_code import qr_svg
from oilwedge.web.bench.saying import FieldError
from oilwedge.web.classroom.benches import benches_of
from oilwedge.web.classroom.class_views import task_or_404
from oilwedge.web.classroom.opening import MOST_BENCHES, add_benches, open_repeat
from oilwedge.web.classroom.seating import SeatLink, assign, linked, make_links, pupils
from oilwedge.web.people.access import Right, job_view, needs, signed_in
from oilwedge.web.people_pages.entering import address_for_others
from oilwedge.web.record.models import Job


@needs(Right.CLASSES)
def seats(request: HttpRequest, pk: int) -> HttpResponse:
    """Which bench waits for a pupil, and more benches."""
    task, fault = task_or_404(pk), ""
    if request.method == "POST":
        alone = settings.MODE == "alone"
        links = "" if alone else request.POST.get("links", "")
        try:
            added = add_benches(task, pupil_keys=request.POST.getlist("pupils"), links=links)
        except FieldError as error:
            fault = str(error)
        else:
            messages.success(request, f"{added} {'bench' if added == 1 else 'benches'} more.")
            return redirect("classroom:seats", task.pk)
    benches = [one for one in benches_of(task) if not one.job.is_reference]
    there = {one.job.pupil_id for one in benches}
    context = {
        "task": task,
        "benches": benches,
        "waiting": [one for one in benches if one.job.pupil is None and not one.job.closed],
        "linked": linked(task, now=timezone.now()),
        "others": [one for one in pupils() if one.pk not in there],
        "fault": fault,
        "alone": settings.MODE == "alone",
        "most": MOST_BENCHES,
    }
    return render(request, "classroom/seats.html", context, status=422 if fault else 200)


@require_POST
@never_cache
@needs(Right.CLASSES)
def links(request: HttpRequest, pk: int) -> HttpResponse:
    """A sheet to print with a link for each bench without a pupil; shown once."""
    task = task_or_404(pk)
    if settings.MODE == "alone":
        messages.warning(
            request, "Nobody else can log in here. Start it with oilwedge serve --lan."
        )
        return redirect("classroom:seats", task.pk)
    made = make_links(task, by=signed_in(request), now=timezone.now())
    if not made:
        messages.warning(request, "Every bench has a pupil.")
        return redirect("classroom:seats", task.pk)
    sheet = [_on_sheet(request, one) for one in made]
    return render(request, "classroom/links.html", {"task": task, "links": sheet})


def _on_sheet(request: HttpRequest, link: SeatLink) -> dict[str, object]:
    address = address_for_others(request, "people:invitation", link.token)
    title = f"QR code of the link for bench {link.job.number}"
    code = mark_safe(qr_svg(address, title=title))
    return {"job": link.job, "address": address, "code": code}


@require_POST
@job_view(Right.CLASSES)
def give(request: HttpRequest, job: Job) -> HttpResponse:
    """Give a bench without a pupil to one who has an account."""
    _of_class(job)
    chosen = request.POST.get("pupil", "")
    try:
        account = assign(job, pupil=int(chosen) if chosen.isdecimal() else 0)
    except InputError as error:
        messages.error(request, str(error))
    else:
        messages.success(request, f"Bench {job.number} is {account.get_full_name()}'s now.")
    return redirect("classroom:bench", job.number)


@require_POST
@job_view(Right.CLASSES)
def repeat(request: HttpRequest, job: Job) -> HttpResponse:
    """Let somebody else measure the same parts again, blind."""
    task = _of_class(job).task
    try:
        if task is None:
            raise FieldError("pupil", "This is no bench of a class.")
        pupil = request.POST.get("pupil", "")
        made = open_repeat(job, task=task, pupil=pupil, by=signed_in(request))
    except (FieldError, InputError) as error:
        messages.error(request, str(error))
    else:
        messages.success(request, f"Bench {made.number} is open for the repeat.")
    return redirect("classroom:bench", job.number)


def _of_class(job: Job) -> Job:
    if job.task_id is None:
        raise Http404("There is no such bench.")
    return job
