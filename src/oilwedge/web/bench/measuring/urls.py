"""Measuring: addresses."""

from __future__ import annotations

from django.urls import URLPattern, URLResolver

app_name = "measure"
urlpatterns: list[URLPattern | URLResolver] = []
