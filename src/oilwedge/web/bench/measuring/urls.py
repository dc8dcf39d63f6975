"""Measuring: addresses."""

from __future__ import annotations

from django.urls import URLPattern, URLResolver, path

from oilwedge.web.bench.measuring import sync_views, views, worker_views

app_name = "measure"
urlpatterns: list[URLPattern | URLResolver] = [
    path("service-worker.js", worker_views.worker, name="worker"),
    path("offline", worker_views.offline, name="offline"),
    path("jobs/<number>/measure/", views.next_set, name="next"),
    path("jobs/<number>/measure/plan.json", views.plan, name="plan"),
    path("jobs/<number>/measure/blind", views.blind, name="blind"),
    path("jobs/<number>/measure/follow", views.follow, name="follow"),
    path("jobs/<number>/measure/now", views.job_now, name="job_now"),
    path("jobs/<number>/measure/<feature>/<int:n>/", views.measure_set, name="set"),
    path("jobs/<number>/measure/<feature>/<int:n>/now", views.set_now, name="now"),
    path("jobs/<number>/entries", sync_views.entries, name="entries"),
    path("jobs/<number>/unsent", sync_views.unsent, name="unsent"),
    path("jobs/<number>/parked", sync_views.parked, name="parked"),
]
