"""The addresses of the interface for other programs."""

from __future__ import annotations

from django.urls import URLPattern, URLResolver

api_urls: tuple[list[URLPattern | URLResolver], str, str] = ([], "api", "api")
