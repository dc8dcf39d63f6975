"""The pages of faults: what happened, in one sentence, and a way back."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render
from django.template.loader import get_template

_SENTENCES = {
    400: "The bench does not understand this request. Nothing was changed.",
    403: "Your account may not do this. Ask a lead of the shop.",
    404: "There is no such page or job, or it is not yours to see.",
}


def bad_request(request: HttpRequest, exception: Exception) -> HttpResponse:
    """400."""
    return _answer(request, 400)


def not_yours(request: HttpRequest, exception: Exception) -> HttpResponse:
    """403."""
    return _answer(request, 403)


def not_here(request: HttpRequest, exception: Exception) -> HttpResponse:
    """404: the same page for what does not exist and for what is not somebody's to see."""
    return _answer(request, 404)


def our_fault(request: HttpRequest) -> HttpResponse:
    """500: a page that needs nothing which may be broken."""
    return HttpResponse(get_template("500.html").render(), status=500)


def _answer(request: HttpRequest, status: int) -> HttpResponse:
    if request.headers.get("Accept", "").startswith("application/json"):
        return JsonResponse({"sentence": _SENTENCES[status]}, status=status)
    return render(request, f"{status}.html", {"sentence": _SENTENCES[status]}, status=status)
