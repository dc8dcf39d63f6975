"""The classes of the shop, and a new one."""

from __future__ import annotations

from django.conf import settings
from django.contrib import messages
from django.db.models import Count, Q
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_safe

from oilwedge.web.bench.opening import offered_engines
from oilwedge.web.bench.saying import FieldError
from oilwedge.web.classroom.opening import (
    MOST_BENCHES,
    WantedClass,
    depth_from,
    feature_choices,
    open_class,
)
from oilwedge.web.classroom.seating import pupils
from oilwedge.web.people.access import Right, needs, signed_in
from oilwedge.web.record.models import ClassTask, EngineText


@require_safe
@needs(Right.CLASSES)
def listed(request: HttpRequest) -> HttpResponse:
    """All classes, the newest first; those that are closed below."""
    tasks = ClassTask.objects.select_related("engine", "made_by").order_by("-made_at", "-pk")
    counted = tasks.annotate(benches=Count("job", filter=Q(job__is_reference=False)))
    context = {
        "running": counted.filter(closed_at=None),
        "closed": counted.exclude(closed_at=None),
    }
    return render(request, "classroom/list.html", context)


@needs(Right.CLASSES)
def new(request: HttpRequest) -> HttpResponse:
    """First the engine file and how much is measured, then the rest."""
    if request.method == "POST":
        return _open(request)
    engine = EngineText.objects.filter(digest=request.GET.get("engine", ""), on_list=True).first()
    if engine is None:
        return render(request, "classroom/new_engine.html", {"engines": offered_engines()})
    depth = request.GET.get("depth", "")
    return _form(request, engine, depth=depth, wanted=None, fault=None)


def _open(request: HttpRequest) -> HttpResponse:
    sent = request.POST
    wanted = WantedClass(
        title=sent.get("title", ""),
        engine=sent.get("engine", ""),
        depth=sent.get("depth", ""),
        features=sent.getlist("features"),
        pupils=sent.getlist("pupils"),
        links=sent.get("links", "") if settings.MODE != "alone" else "",
        reference=sent.get("reference") == "yes",
    )
    try:
        task = open_class(wanted, by=signed_in(request))
    except FieldError as error:
        engine = EngineText.objects.filter(digest=wanted.engine, on_list=True).first()
        if engine is None:
            return redirect("classroom:new")
        return _form(request, engine, depth=wanted.depth, wanted=wanted, fault=error)
    if wanted.links.strip() not in ("", "0"):
        return redirect("classroom:seats", task.pk)
    messages.success(request, "The class is open. Everybody finds their bench on logging in.")
    return redirect("classroom:show", task.pk)


def _form(
    request: HttpRequest,
    engine: EngineText,
    *,
    depth: str,
    wanted: WantedClass | None,
    fault: FieldError | None,
) -> HttpResponse:
    choices = feature_choices(engine.digest, depth=depth_from(depth))
    context = {
        "engine": engine,
        "depth": depth_from(depth).value,
        "choices": choices,
        "ticked": wanted.features if wanted is not None else [one.key for one in choices],
        "pupils": pupils(),
        "wanted": wanted,
        "faults": {fault.field: str(fault)} if fault is not None else {},
        "alone": settings.MODE == "alone",
        "most": MOST_BENCHES,
    }
    return render(request, "classroom/new.html", context, status=422 if fault else 200)
