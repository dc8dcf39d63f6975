"""Engine files: addresses."""

from __future__ import annotations

from django.urls import URLPattern, URLResolver

app_name = "engines"
urlpatterns: list[URLPattern | URLResolver] = []
