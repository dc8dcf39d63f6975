"""What comes from a browser's own store: the list by script, a file by hand, what was parked."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponseBase, JsonResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST

from oilwedge.errors import InputError
from oilwedge.web.bench.measuring.page_flow import job_address
from oilwedge.web.bench.measuring.parked_flow import (
    leave_out,
    parked_of,
    try_again,
)
from oilwedge.web.bench.measuring.sync_flow import MOST_BYTES, read_parcel, settle, words_of
from oilwedge.web.bench.measuring.unsent_flow import settle_file
from oilwedge.web.people.access import Right, job_view, signed_in
from oilwedge.web.record.models import Job


@require_POST
@job_view(Right.MEASURE)
def entries(request: HttpRequest, job: Job) -> HttpResponseBase:
    """Settle a list of entries; each by itself, in order, committed before the answer."""
    length = request.headers.get("Content-Length", "0")
    if length.isdecimal() and int(length) > MOST_BYTES:
        sentence = "This is more than 1 MB at once; send the readings in several parts."
        return JsonResponse({"sentence": sentence}, status=413)
    try:
        parcel = read_parcel(request.body)
    except InputError as error:
        return JsonResponse({"sentence": words_of(error)}, status=400)
    account = signed_in(request)
    settled = settle(job=job, account=account, parcel=parcel, received=timezone.now())
    job.refresh_from_db(fields=["count", "head"])
    return JsonResponse(
        {
            "outcomes": [one.as_json() for one in settled],
            "count": job.count,
            "head": job.head,
        }
    )


@require_http_methods(["GET", "POST"])
@job_view(Right.MEASURE)
def unsent(request: HttpRequest, job: Job) -> HttpResponseBase:
    """A file of unsent readings, settled as if the page had sent them."""
    context = {"job": job, "job_address": job_address(job), "settled": None, "fault": ""}
    status = 200
    if request.method == "POST":
        try:
            context["settled"] = settle_file(
                request.FILES.get("file"),
                job=job,
                account=signed_in(request),
                received=timezone.now(),
            )
        except InputError as error:
            context["fault"], status = words_of(error), 422
    return render(request, "measure/unsent.html", context, status=status)


@require_http_methods(["GET", "POST"])
@job_view(Right.MEASURE)
def parked(request: HttpRequest, job: Job) -> HttpResponseBase:
    """What the record refused: by whom, why; to try again or to leave out."""
    context = {"job": job, "job_address": job_address(job), "fault": ""}
    if request.method == "POST":
        account, now = signed_in(request), timezone.now()
        action, _, key = request.POST.get("action", "").partition(":")
        act = {"again": try_again, "leave": leave_out}.get(action)
        if act is not None and key.isdecimal() and len(key) < 16:
            context["fault"] = act(job=job, account=account, key=int(key), now=now)
            if not context["fault"]:
                return redirect("measure:parked", job.number)
    context["waiting"], context["settled"] = parked_of(job, account=signed_in(request))
    return render(request, "measure/parked.html", context)
