"""Where a request may come from: this shop's own pages, at an address that is the shop's."""

from __future__ import annotations

from collections.abc import Callable
from urllib.parse import urlsplit

from django.conf import settings
from django.http import HttpRequest, HttpResponse, HttpResponseBase, JsonResponse

SAFE_METHODS = frozenset({"GET", "HEAD", "OPTIONS", "TRACE"})
LONE_NAMES = ("127.0.0.1", "localhost", "[::1]")
FOREIGN_PAGE = "This came from a page that is not the bench's own. Nothing was changed."
FOREIGN_HOST = "This bench is open on its own machine only, at the address that oilwedge printed."


class OriginMiddleware:
    """Refuses what another site makes a browser send.

    It stands beside the CSRF token and does not need a session: a foreign page is turned away
    before anything reads its form. In the mode for one machine the host is checked with its
    port, so that a name which an attacker points at 127.0.0.1 gets nothing either.
    """

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        """Pass the request on, or answer 403 in one sentence."""
        if not _host_is_ours(request):
            return _refuse(request, FOREIGN_HOST)
        if request.method not in SAFE_METHODS and not _page_is_ours(request):
            return _refuse(request, FOREIGN_PAGE)
        return self.get_response(request)


def _host_is_ours(request: HttpRequest) -> bool:
    """Whether the host is this machine itself, where only this machine is served."""
    if settings.MODE != "alone":
        return True  # ALLOWED_HOSTS holds the names
    host = request.get_host().lower()
    return host in {f"{name}:{settings.PORT}" for name in LONE_NAMES}


def _page_is_ours(request: HttpRequest) -> bool:
    """Whether the page that sent this, as far as the browser says, is one of the bench.

    A program that is no browser names no page; it has no session of somebody else's either.
    """
    if request.headers.get("Sec-Fetch-Site", "") == "cross-site":
        return False
    page = request.headers.get("Origin") or request.headers.get("Referer")
    if page is None:
        return True
    try:
        parts = urlsplit(page)
    except ValueError:
        return False
    return (parts.scheme, parts.netloc.lower()) == (request.scheme, request.get_host().lower())


def _refuse(request: HttpRequest, sentence: str) -> HttpResponseBase:
    if request.headers.get("Accept", "").startswith("application/json"):
        return JsonResponse({"sentence": sentence}, status=403)
    return HttpResponse(sentence, status=403, content_type="text/plain; charset=utf-8")
