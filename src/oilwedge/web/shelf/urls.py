"""The shelf: addresses."""

from __future__ import annotations

from django.urls import URLPattern, URLResolver, path

from oilwedge.web.shelf import views

app_name = "shelf"
urlpatterns: list[URLPattern | URLResolver] = [
    path("", views.shelf_list, name="list"),
    path("file", views.file, name="file"),
    path("revisions", views.revisions, name="revisions"),
    path("check/<slug:key>", views.zero_check, name="check"),
    path("<slug:section>/new", views.item, name="new"),
    path("<slug:section>/<slug:key>/", views.item, name="item"),
    path("<slug:section>/<slug:key>/remove", views.remove, name="remove"),
]
