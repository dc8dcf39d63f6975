"""Classes: addresses."""

from __future__ import annotations

from django.urls import URLPattern, URLResolver, path

from oilwedge.web.classroom import (
    bench_views,
    class_views,
    export_views,
    list_views,
    seat_views,
    switch_views,
)

app_name = "classroom"
urlpatterns: list[URLPattern | URLResolver] = [
    path("", list_views.listed, name="list"),
    path("new", list_views.new, name="new"),
    path("mine", bench_views.mine, name="mine"),
    path("benches/<number>/", bench_views.bench, name="bench"),
    path("benches/<number>/pupil", seat_views.give, name="give"),
    path("benches/<number>/repeat", seat_views.repeat, name="repeat"),
    path("<int:pk>/", class_views.show, name="show"),
    path("<int:pk>/now", class_views.now, name="now"),
    path("<int:pk>/sets/<feature>/<int:n>/", class_views.one_set, name="set"),
    path("<int:pk>/seats", seat_views.seats, name="seats"),
    path("<int:pk>/links", seat_views.links, name="links"),
    path("<int:pk>/results", switch_views.results, name="results"),
    path("<int:pk>/close", switch_views.close, name="close"),
    path("<int:pk>/readings.csv", export_views.readings, name="readings"),
    path("<int:pk>/places.csv", export_views.places, name="places"),
]
