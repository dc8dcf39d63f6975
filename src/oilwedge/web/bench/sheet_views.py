"""The build sheet on the page and as PDF, and blank measuring sheets."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.utils.safestring import mark_safe

from oilwedge.report.document import Document
from oilwedge.report.html import document_html
from oilwedge.usecases.blank_sheets import LimitsShown
from oilwedge.web.bench.job_page import results_hidden
from oilwedge.web.bench.sheets import (
    SheetChoice,
    blank_document,
    choice_of,
    sheet_document,
)
from oilwedge.web.faults import answer_fault
from oilwedge.web.look.unit_choice import unit_of
from oilwedge.web.people.access import Right, job_view, signed_in
from oilwedge.web.record.known_heads import SHEET, remember_head
from oilwedge.web.record.models import Job

NOT_YET = "The results of this class are not shown yet; the build sheet comes with them."


def _choice(request: HttpRequest) -> SheetChoice:
    return choice_of(paper=request.GET.get("paper", ""), unit=unit_of(request))


@job_view(Right.SEE_JOB)
def sheet(request: HttpRequest, job: Job) -> HttpResponse:
    """What the sheet will say, and the way to the PDF."""
    if results_hidden(job, signed_in(request)):
        return answer_fault(request, sentence=NOT_YET, status=404)
    choice = _choice(request)
    today = timezone.now().astimezone().date()
    document = sheet_document(job, account=signed_in(request), choice=choice, today=today)
    context = {"job": job, "choice": choice, "document": document}
    context["body"] = mark_safe(document_html(document))
    return render(request, "bench/sheet.html", context)


@job_view(Right.SEE_JOB)
def sheet_pdf(request: HttpRequest, job: Job) -> HttpResponse:
    """The build sheet as PDF; its head is remembered."""
    if results_hidden(job, signed_in(request)):
        return answer_fault(request, sentence=NOT_YET, status=404)
    account, today = signed_in(request), timezone.now().astimezone().date()
    document = sheet_document(job, account=account, choice=_choice(request), today=today)
    response = _pdf(document, name=f"{job.number}-build-sheet.pdf")
    remember_head(job, reason=SHEET)
    return response


@job_view(Right.SEE_JOB)
def blank_pdf(request: HttpRequest, job: Job) -> HttpResponse:
    """Blank measuring sheets as PDF; without limits for who measures blind."""
    hidden = results_hidden(job, signed_in(request))
    limits = LimitsShown.HIDDEN if hidden else LimitsShown.LAST_PAGE
    document = blank_document(job, choice=_choice(request), limits=limits)
    return _pdf(document, name=f"{job.number}-measuring-sheets.pdf")


def _pdf(document: Document, *, name: str) -> HttpResponse:
    from oilwedge.report.pdf import render_pdf  # heavy: only when a sheet is asked for

    data = render_pdf(document, created=timezone.now())
    response = HttpResponse(data, content_type="application/pdf")
    response["Content-Disposition"] = f'attachment; filename="{name}"'
    return response
