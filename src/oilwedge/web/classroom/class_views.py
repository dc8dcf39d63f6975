"""A class on one page, the part of it that changes, and one set of it."""

from __future__ import annotations

from django.http import Http404, HttpRequest, HttpResponse, HttpResponseNotModified
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_safe

from oilwedge.web.classroom.benches import benches_of
from oilwedge.web.classroom.board import board, board_tag
from oilwedge.web.classroom.set_table import SIGNS, set_table
from oilwedge.web.look.unit_choice import unit_of
from oilwedge.web.people.access import Right, needs
from oilwedge.web.record.models import ClassTask

LEGEND = {
    "agrees": SIGNS["agrees"],
    "differs": SIGNS["differs"],
    "begun": SIGNS["nothing to compare with"],
    "unread": SIGNS["not read"],
}


def task_or_404(pk: int) -> ClassTask:
    """The class of a key."""
    return get_object_or_404(ClassTask.objects.select_related("engine"), pk=pk)


@require_safe
@needs(Right.CLASSES)
def show(request: HttpRequest, pk: int) -> HttpResponse:
    """All benches on one page."""
    task, unit, now = task_or_404(pk), unit_of(request), timezone.now()
    benches = benches_of(task)
    context = {
        "task": task,
        "board": board(task, benches=benches, now=now, unit=unit),
        "tag": board_tag(task, benches=benches, now=now, unit=unit),
        "waiting": sum(one.waits for one in benches),
        "signs": LEGEND,
    }
    return render(request, "classroom/show.html", context)


@require_safe
@needs(Right.CLASSES)
def now(request: HttpRequest, pk: int) -> HttpResponse:
    """What changes, for a page that asks again and again; nothing while nothing changed."""
    task, unit, moment = task_or_404(pk), unit_of(request), timezone.now()
    benches = benches_of(task)
    tag = board_tag(task, benches=benches, now=moment, unit=unit)
    response: HttpResponse = HttpResponseNotModified()
    if request.headers.get("If-None-Match") != f'"{tag}"':
        if not request.htmx:  # type: ignore[attr-defined]
            return redirect("classroom:show", task.pk)
        found = board(task, benches=benches, now=moment, unit=unit)
        context = {"task": task, "board": found, "tag": tag, "signs": LEGEND}
        response = render(request, "classroom/part_now.html", context)
    response["ETag"] = f'"{tag}"'
    return response


@require_safe
@needs(Right.CLASSES)
def one_set(request: HttpRequest, pk: int, feature: str, n: int) -> HttpResponse:
    """One set: every bench at every place, against the reference."""
    task = task_or_404(pk)
    unit = unit_of(request)
    found = set_table(task, benches=benches_of(task), feature=feature, number=n, unit=unit)
    if found is None:
        raise Http404("The class does not measure that.")
    return render(request, "classroom/set.html", {"task": task, "table": found})
