"""Pages of a job: addresses."""

from __future__ import annotations

from django.urls import URLPattern, URLResolver, path

from oilwedge.web.bench import (
    change_views,
    closing_views,
    film_views,
    fit_views,
    job_views,
    opening_views,
    parts_views,
    photo_views,
    record_views,
    sheet_views,
    work_views,
)

app_name = "bench"
urlpatterns: list[URLPattern | URLResolver] = [
    path("", work_views.work, name="work"),
    path("jobs/new", opening_views.new, name="new"),
    path("jobs/<number>/", job_views.job, name="job"),
    path("jobs/<number>/row", work_views.row, name="row"),
    path("jobs/<number>/now", job_views.now, name="now"),
    path("jobs/<number>/answer", job_views.answered, name="answer"),
    path("jobs/<number>/changes", change_views.changes, name="changes"),
    path("jobs/<number>/fits/<fit>/<int:n>/", fit_views.fit, name="fit"),
    path("jobs/<number>/fits/<fit>/<int:n>/budget", fit_views.budget, name="budget"),
    path("jobs/<number>/film/", film_views.film, name="film"),
    path("jobs/<number>/film/<fit>/<int:n>/", film_views.film_bearing, name="film_bearing"),
    path("jobs/<number>/record/", record_views.record, name="record"),
    path("jobs/<number>/parts/", parts_views.parts, name="parts"),
    path("jobs/<number>/parts/step", parts_views.step, name="step"),
    path("jobs/<number>/notes", closing_views.notes, name="notes"),
    path("jobs/<number>/sign", closing_views.sign, name="sign"),
    path("jobs/<number>/close", closing_views.close, name="close"),
    path("jobs/<number>/reopen", closing_views.reopen, name="reopen"),
    path("jobs/<number>/owner", closing_views.owner, name="owner"),
    path("jobs/<number>/photos", photo_views.photos, name="photos"),
    path("jobs/<number>/photos/<sha256>", photo_views.photo, name="photo"),
    path("jobs/<number>/sheet/", sheet_views.sheet, name="sheet"),
    path("jobs/<number>/sheet.pdf", sheet_views.sheet_pdf, name="sheet_pdf"),
    path("jobs/<number>/blank.pdf", sheet_views.blank_pdf, name="blank_pdf"),
]
