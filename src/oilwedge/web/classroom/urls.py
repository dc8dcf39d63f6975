"""Classes: addresses."""

from __future__ import annotations

from django.urls import URLPattern, URLResolver

app_name = "classroom"
urlpatterns: list[URLPattern | URLResolver] = []
