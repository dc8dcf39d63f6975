"""What the browser needs to start without a network: the service worker and its last page."""

from __future__ import annotations

import functools
from pathlib import Path

from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import render
from django.views.decorators.http import require_GET

import oilwedge.web.look
from oilwedge.web.people.access import open_to_all

_SCRIPT = Path(oilwedge.web.look.__path__[0]) / "static/oilwedge/js/service-worker.js"


@functools.cache
def _script() -> str:
    return _SCRIPT.read_text(encoding="utf-8")


@require_GET
@open_to_all
def worker(request: HttpRequest) -> HttpResponseBase:
    """The service worker, from the root so that all pages are in its reach."""
    response = HttpResponse(_script(), content_type="text/javascript; charset=utf-8")
    response["Service-Worker-Allowed"] = "/"
    response["Cache-Control"] = "no-cache"
    return response


@require_GET
@open_to_all
def offline(request: HttpRequest) -> HttpResponseBase:
    """The page in the place of one that cannot be reached: what waits on this device."""
    response = render(request, "measure/offline.html")
    response["Cache-Control"] = "no-cache"
    return response
