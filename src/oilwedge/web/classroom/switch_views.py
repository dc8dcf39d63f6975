"""Show results to the pupils, and close a class."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from oilwedge.web.classroom.benches import benches_of
from oilwedge.web.classroom.board import board
from oilwedge.web.classroom.class_views import task_or_404
from oilwedge.web.classroom.closing import close_class, show_results
from oilwedge.web.look.unit_choice import unit_of
from oilwedge.web.people.access import Right, needs, signed_in


@require_POST
@needs(Right.CLASSES)
def results(request: HttpRequest, pk: int) -> HttpResponse:
    """Let pupils see what came of their own bench, or no more."""
    task = task_or_404(pk)
    shown = request.POST.get("shown") == "yes"
    show_results(task, shown=shown)
    said = "Pupils see the results of their own bench now." if shown else "Results are hidden."
    messages.success(request, said)
    return redirect("classroom:show", task.pk)


@needs(Right.CLASSES)
def close(request: HttpRequest, pk: int) -> HttpResponse:
    """Say what is left, ask once more, then close every bench."""
    task = task_or_404(pk)
    if request.method == "POST":
        closed = close_class(task, by=signed_in(request))
        count = "one bench was" if closed == 1 else f"{closed} benches were"
        messages.success(request, f"The class is closed; {count} closed with it.")
        return redirect("classroom:show", task.pk)
    found = board(task, benches=benches_of(task), now=timezone.now(), unit=unit_of(request))
    return render(request, "classroom/close.html", {"task": task, "board": found})
