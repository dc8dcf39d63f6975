"""The addresses of the interface for other programs."""

from __future__ import annotations

from django.urls import URLPattern, URLResolver, path

from oilwedge.web.api.description import description
from oilwedge.web.api.interface import api

api_urls: tuple[list[URLPattern | URLResolver], str, str] = (
    [path("docs", description, name="openapi-view"), *api.urls[0]],
    "api",
    "api",
)
