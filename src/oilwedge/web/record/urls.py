"""Data in and out: addresses."""

from __future__ import annotations

from django.urls import URLPattern, URLResolver, path

from oilwedge.web.record import views

app_name = "record"
urlpatterns: list[URLPattern | URLResolver] = [
    path("jobs/import", views.bring_in, name="import"),
    path("jobs/<str:number>/export.zip", views.job_zip, name="zip"),
    path("jobs/<str:number>/table", views.table, name="table"),
    path("jobs/<str:number>/readings.csv", views.readings_csv, name="csv"),
    path("jobs/<str:number>/readings.xlsx", views.readings_xlsx, name="xlsx"),
]
