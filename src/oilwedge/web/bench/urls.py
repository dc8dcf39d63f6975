"""Pages of a job: addresses."""

from __future__ import annotations

from django.urls import URLPattern, URLResolver

app_name = "bench"
urlpatterns: list[URLPattern | URLResolver] = []
