"""What a person sees when something went wrong: a plain page, or one sentence for a script."""

from __future__ import annotations

import logging
from collections.abc import Callable

from django.core.exceptions import PermissionDenied, SuspiciousOperation
from django.db import DatabaseError, IntegrityError, InterfaceError
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseBase, JsonResponse
from django.shortcuts import render
from django.template.loader import render_to_string

from oilwedge.errors import InputError, OilwedgeError
from oilwedge.web.record.database_sentences import said_in_words
from oilwedge.web.record.store import RecordError

_LOG = logging.getLogger(__name__)


class FaultsMiddleware:
    """Answers errors that no view answered: bad input 400, a record out of reach 503."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        """Pass the request on."""
        return self.get_response(request)

    def process_exception(self, request: HttpRequest, error: Exception) -> HttpResponse | None:
        """One sentence for an error of ours; others go on to the page 500."""
        if isinstance(error, Http404 | PermissionDenied | SuspiciousOperation):
            return None  # an answer, and no fault
        if isinstance(error, RecordError):
            return answer_fault(request, sentence=str(error), status=503)
        if isinstance(error, DatabaseError | InterfaceError) and not isinstance(
            error, IntegrityError
        ):
            return answer_fault(request, sentence=said_in_words(error), status=503)
        if isinstance(error, InputError):
            return answer_fault(request, sentence=str(error), status=400)
        if isinstance(error, OilwedgeError):
            return answer_fault(request, sentence=str(error), status=400)
        _LOG.error("a fault of oilwedge at %s", request.path, exc_info=error)
        return None


def answer_fault(request: HttpRequest, *, sentence: str, status: int) -> HttpResponse:
    """The sentence as a page with a way back, or as JSON where a script asked."""
    if request.headers.get("Accept", "").startswith("application/json"):
        return JsonResponse({"sentence": sentence}, status=status)
    back = request.headers.get("Referer", "")
    if not back.startswith(f"{request.scheme}://{request.get_host()}/"):
        back = "/"
    context = {"title": "This did not work", "text": sentence, "back": back}
    try:
        return render(request, "oilwedge/plain.html", context, status=status)
    except (DatabaseError, InterfaceError):  # who asks cannot be looked up either
        return HttpResponse(render_to_string("oilwedge/plain.html", context), status=status)


def csrf_failure(request: HttpRequest, reason: str = "") -> HttpResponse:
    """A form that was open for too long, or came from somewhere else."""
    del reason
    sentence = (
        "This form was open for too long or came from another page. Nothing was changed. Go back,"
        " load the page again and send it once more."
    )
    return answer_fault(request, sentence=sentence, status=403)
