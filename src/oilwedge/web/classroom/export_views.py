"""A class as tables for other programs."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_safe

from oilwedge.web.classroom.class_views import task_or_404
from oilwedge.web.classroom.exporting import places_csv, readings_csv
from oilwedge.web.people.access import Right, needs
from oilwedge.web.record.exporting import NamesIn


@require_safe
@needs(Right.CLASSES)
def readings(request: HttpRequest, pk: int) -> HttpResponse:
    """Every reading, one row each; ``?names=no`` leaves the names in the shop."""
    names = NamesIn.SHOP if request.GET.get("names") == "no" else NamesIn.ARCHIVE
    return _csv(readings_csv(task_or_404(pk), names=names), name=f"class-{pk}-readings.csv")


@require_safe
@needs(Right.CLASSES)
def places(request: HttpRequest, pk: int) -> HttpResponse:
    """Places down, benches across."""
    return _csv(places_csv(task_or_404(pk)), name=f"class-{pk}-places.csv")


def _csv(data: bytes, *, name: str) -> HttpResponse:
    answer = HttpResponse(data, content_type="text/csv; charset=utf-8")
    answer["Content-Disposition"] = f'attachment; filename="{name}"'
    return answer
