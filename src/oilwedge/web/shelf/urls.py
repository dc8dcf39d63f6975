"""The shelf: addresses."""

from __future__ import annotations

from django.urls import URLPattern, URLResolver

app_name = "shelf"
urlpatterns: list[URLPattern | URLResolver] = []
