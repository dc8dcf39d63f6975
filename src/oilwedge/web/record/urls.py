"""Data in and out: addresses."""

from __future__ import annotations

from django.urls import URLPattern, URLResolver

app_name = "record"
urlpatterns: list[URLPattern | URLResolver] = []
