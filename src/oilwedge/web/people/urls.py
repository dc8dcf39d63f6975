"""Coming in, going out, people and what they may do: addresses."""

from __future__ import annotations

from django.urls import URLPattern, URLResolver

app_name = "people"
urlpatterns: list[URLPattern | URLResolver] = []
