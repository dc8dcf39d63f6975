"""Engine files: addresses."""

from __future__ import annotations

from django.urls import URLPattern, URLResolver, path

from oilwedge.web.engines import job_views, views

app_name = "engines"
urlpatterns: list[URLPattern | URLResolver] = [
    path("engines/", views.file_list, name="list"),
    path("engines/new", views.new, name="new"),
    path("engines/edit", views.edit, name="edit"),
    path("engines/compare", views.compare, name="compare"),
    path("engines/<slug:digest>/", views.show, name="show"),
    path("engines/<slug:digest>/offer", views.offer, name="offer"),
    path("engines/<slug:digest>.toml", views.download, name="download"),
    path("jobs/<str:number>/engine/", job_views.of_job, name="job"),
    path("jobs/<str:number>/engine/change", job_views.change, name="change"),
]
