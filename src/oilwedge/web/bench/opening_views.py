"""The page of a new job."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render

from oilwedge.web.bench.opening import Wanted, offered_engines, open_wanted
from oilwedge.web.bench.saying import FieldError
from oilwedge.web.people.access import Right, needs


@needs(Right.CHANGE_JOB)
def new(request: HttpRequest) -> HttpResponse:
    """The form, and a new job from it."""
    wanted = _wanted(request)
    fault: FieldError | None = None
    if request.method == "POST":
        try:
            return redirect("bench:job", number=open_wanted(wanted).number)
        except FieldError as error:
            fault = error
    engines = offered_engines()
    only = engines[0].digest if len(engines) == 1 else ""
    context = {
        "engines": engines,
        "wanted": wanted,
        "chosen": wanted.engine or request.GET.get("engine", "") or only,
        "faults": {fault.field: str(fault)} if fault else {},
    }
    return render(request, "bench/new.html", context, status=400 if fault else 200)


def _wanted(request: HttpRequest) -> Wanted:
    post = request.POST
    return Wanted(
        number=post.get("number", ""),
        title=post.get("title", ""),
        owner=post.get("owner", ""),
        engine=post.get("engine", ""),
        upload=request.FILES.get("upload"),
    )
