"""The pages of faults that no view of its own answers."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from oilwedge.web.faults import answer_fault


def bad_request(request: HttpRequest, exception: Exception | None = None) -> HttpResponse:
    """A request that no browser of ours sends."""
    del exception
    return answer_fault(request, sentence="This request could not be understood.", status=400)


def not_yours(request: HttpRequest, exception: Exception | None = None) -> HttpResponse:
    """Something that this account may not do."""
    del exception
    sentence = "Your account may not do this. Ask a lead of the shop."
    return answer_fault(request, sentence=sentence, status=403)


def not_here(request: HttpRequest, exception: Exception | None = None) -> HttpResponse:
    """An address with nothing behind it, or nothing that this account may see."""
    del exception
    sentence = "There is nothing at this address. It may have been removed, or it is not yours."
    return answer_fault(request, sentence=sentence, status=404)


def our_fault(request: HttpRequest) -> HttpResponse:
    """A fault of the program; nothing of its inside is shown."""
    if request.headers.get("Accept", "").startswith("application/json"):
        sentence = "This is a fault of oilwedge and not of yours. Nothing was changed."
        return answer_fault(request, sentence=sentence, status=500)
    return render(request, "500.html", status=500)
