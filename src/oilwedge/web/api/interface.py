"""The interface for other programs, version 1: put together, with its faults in one sentence."""

from __future__ import annotations

from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from ninja import NinjaAPI
from ninja.errors import HttpError, ValidationError

from oilwedge import __version__
from oilwedge.errors import InputError
from oilwedge.web.api import files, jobs
from oilwedge.web.api.door import RefusedError
from oilwedge.web.record.store import RecordError

api = NinjaAPI(
    title="oilwedge",
    version="1",
    description=(
        f"Jobs, readings and verdicts of a shop, for other programs (oilwedge {__version__})."
        " Send a key from the page of your account as 'Authorization: Bearer ...'. A key acts"
        " with the role of its account and sees the jobs that the account sees."
    ),
    urls_namespace="api",
    openapi_url="/v1/openapi.json",
    docs_url=None,  # a page of our own: the usual one needs scripts that our policy refuses
)
api.add_router("/v1", jobs.router)
api.add_router("/v1", files.router)


def _said(request: HttpRequest, sentence: str, *, status: int) -> HttpResponse:
    answer = api.create_response(request, {"sentence": sentence}, status=status)
    answer["Cache-Control"] = "no-store"
    if status == 401:
        answer["WWW-Authenticate"] = "Bearer"
    return answer


@api.exception_handler(RefusedError)
def _refused(request: HttpRequest, error: RefusedError) -> HttpResponse:
    return _said(request, str(error), status=error.status)


@api.exception_handler(ValidationError)
def _not_valid(request: HttpRequest, error: ValidationError) -> HttpResponse:
    return _said(request, " ".join(map(_words, error.errors[:5])), status=422)


@api.exception_handler(HttpError)
def _not_readable(request: HttpRequest, error: HttpError) -> HttpResponse:
    del error
    return _said(request, "The body of the request is no JSON object; send one.", status=422)


@api.exception_handler(InputError)
def _not_usable(request: HttpRequest, error: InputError) -> HttpResponse:
    return _said(request, " ".join(str(error).splitlines()), status=422)


@api.exception_handler(RecordError)
def _out_of_reach(request: HttpRequest, error: RecordError) -> HttpResponse:
    return _said(request, str(error), status=503)


@api.exception_handler(Http404)
def _not_there(request: HttpRequest, error: Http404) -> HttpResponse:
    del error
    return _said(request, "There is nothing at this address.", status=404)


def _words(error: dict[str, Any]) -> str:
    """One fault as a sentence: where it is, and what is allowed there."""
    place = [str(one) for one in error.get("loc", ()) if one not in ("body", "query", "path")]
    where = ".".join(place[1:] if place[:1] == ["sent"] else place)
    said = str(error.get("msg", "this cannot be used")).rstrip(".")
    return f"{where}: {said}." if where else f"{said}."
