"""Jobs out and in: the zip of a job, its readings as a table, and the page to bring a job in."""

from __future__ import annotations

from django.conf import settings
from django.core.files.uploadedfile import UploadedFile
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_safe

from oilwedge.errors import Fault, JobFileError, ReadingsError
from oilwedge.usecases.importing.imported import BadRows
from oilwedge.web.people.access import Right, job_view, needs
from oilwedge.web.record.exchange_flow import NumberTakenError, Outcome, import_archive
from oilwedge.web.record.exporting import NamesIn, export_csv, export_job, export_xlsx
from oilwedge.web.record.models import Job
from oilwedge.web.record.table_flow import take_table

XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"


@require_safe
@job_view(Right.EXPORT)
def job_zip(request: HttpRequest, job: Job) -> HttpResponse:
    """The whole job as one zip."""
    data = export_job(job, names=_names(request))
    return _file(data, name=f"job-{job.number}.zip", media_type="application/zip")


@require_safe
@job_view(Right.EXPORT)
def readings_csv(request: HttpRequest, job: Job) -> HttpResponse:
    """The readings as CSV."""
    data = export_csv(job, names=_names(request))
    return _file(data, name=f"job-{job.number}.csv", media_type="text/csv; charset=utf-8")


@require_safe
@job_view(Right.EXPORT)
def readings_xlsx(request: HttpRequest, job: Job) -> HttpResponse:
    """The readings as a spreadsheet."""
    data = export_xlsx(job, names=_names(request))
    return _file(data, name=f"job-{job.number}.xlsx", media_type=XLSX)


@require_http_methods(["GET", "HEAD", "POST"])
@job_view(Right.CHANGE_JOB)
def table(request: HttpRequest, job: Job) -> HttpResponse:
    """The page to add a table of readings to a job, and what became of it."""
    context: dict[str, object] = {"job": job}
    sent = request.FILES.get("table")
    if request.method != "POST":
        return render(request, "record/table.html", context)
    keep = BadRows.KEEP_GOOD if "keep" in request.POST else BadRows.REFUSE_ALL
    try:
        if sent is None:
            raise ReadingsError(Fault(given="", allowed="no file was chosen"))
        taken = take_table(job, data=sent.read(), name=sent.name or "table", bad_rows=keep)
    except (ReadingsError, JobFileError) as error:
        context["faults"] = [fault.sentence() for fault in error.faults]
        return render(request, "record/table.html", context, status=422)
    context |= {"taken": taken, "name": sent.name}
    return render(request, "record/table.html", context, status=422 if taken.refused else 200)


@require_http_methods(["GET", "HEAD", "POST"])
@needs(Right.IMPORT)
def bring_in(request: HttpRequest) -> HttpResponse:
    """The page to bring in a job, and what becomes of the zip."""
    number = request.POST.get("number", "").strip()
    context: dict[str, object] = {"number": number}
    if request.method != "POST":
        return render(request, "record/import.html", context)
    try:
        brought = import_archive(_uploaded(request), number=number)
    except NumberTakenError as error:
        context |= {"fault": error.faults[0].sentence(), "number": error.free, "at_number": True}
    except JobFileError as error:
        context["fault"] = error.faults[0].sentence()
    else:
        if brought.outcome is Outcome.NEW:
            return redirect("bench:job", brought.job.number)
        return render(request, "record/brought.html", {"brought": brought})
    return render(request, "record/import.html", context, status=422)


def _names(request: HttpRequest) -> NamesIn:
    return NamesIn.SHOP if request.GET.get("names") == "no" else NamesIn.ARCHIVE


def _uploaded(request: HttpRequest) -> bytes:
    upload = request.FILES.get("archive")
    if not isinstance(upload, UploadedFile):
        raise _refusal("choose the zip of a job first")
    size, limit = upload.size or 0, settings.ARCHIVE_LIMIT_BYTES
    if size > limit:
        raise _refusal(
            f"the file has {size / 2**20:.0f} MB, and a job may have up to {limit // 2**20} MB"
        )
    data: bytes = upload.read()
    return data


def _refusal(sentence: str) -> JobFileError:
    return JobFileError(Fault(given="", allowed=sentence))


def _file(data: bytes, *, name: str, media_type: str) -> HttpResponse:
    answer = HttpResponse(data, content_type=media_type)
    ascii_name = name.encode("ascii", "replace").decode().replace("?", "_")
    answer["Content-Disposition"] = f'attachment; filename="{ascii_name}"'
    answer["Cache-Control"] = "no-store"
    return answer
