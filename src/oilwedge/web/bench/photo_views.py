"""Photos of a job: taking one in, and showing it."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render

from oilwedge.web.bench.photos import shown_choices, take_photo
from oilwedge.web.bench.saying import FieldError
from oilwedge.web.people.access import Right, job_view, signed_in
from oilwedge.web.record.models import Job
from oilwedge.web.record.photo_files import photo_path

YEAR_S = 365 * 24 * 3600


@job_view(Right.CHANGE_JOB)
def photos(request: HttpRequest, job: Job) -> HttpResponse:
    """The form, and a photo from it."""
    fault = ""
    if request.method == "POST":
        try:
            take_photo(
                job=job,
                account=signed_in(request),
                upload=request.FILES.get("photo"),
                about=request.POST.get("about", ""),
                note=request.POST.get("note", ""),
            )
        except FieldError as error:
            fault = str(error)
        else:
            messages.success(request, "The photo is in the record.")
            return redirect("bench:job", number=job.number)
    context = {"job": job, "choices": shown_choices(job), "fault": fault, "said": request.POST}
    return render(request, "bench/photos.html", context, status=400 if fault else 200)


@job_view(Right.SEE_JOB)
def photo(request: HttpRequest, job: Job, sha256: str) -> HttpResponse:
    """The bytes of a photo of this job."""
    row = job.photos.filter(sha256=sha256).first()
    path = photo_path(sha256) if row is not None else None
    if row is None or path is None or not path.is_file():
        raise Http404("There is no such photo.")
    response = HttpResponse(path.read_bytes(), content_type=row.media_type)
    response["Cache-Control"] = f"private, max-age={YEAR_S}, immutable"
    response["X-Content-Type-Options"] = "nosniff"
    return response
