"""The page of a fit, and its budget one touch deeper."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.safestring import mark_safe

from oilwedge.report.html import document_html
from oilwedge.usecases.budget_document import budget_document
from oilwedge.usecases.length_face import LengthFace
from oilwedge.usecases.trade_words import in_trade_words
from oilwedge.web.bench.film_part import film_part
from oilwedge.web.bench.fit_page import fit_hidden, fit_page, found_fit
from oilwedge.web.look.unit_choice import unit_of
from oilwedge.web.people.access import Right, job_view, signed_in
from oilwedge.web.record.judged import current_shop, judged
from oilwedge.web.record.models import Job


@job_view(Right.SEE_JOB)
def fit(request: HttpRequest, job: Job, fit: str, n: int) -> HttpResponse:
    """One fit: the number, the ways compared, what would decide it."""
    account = signed_in(request)
    page = fit_page(job, account=account, fit=fit, number=n, unit=unit_of(request))
    context = {"job": job, "fit": page, "words": current_shop().words}
    if page.state is not None:
        context["film"] = film_part(job, account=account, fit=fit, number=n)
    return render(request, "bench/fit.html", context)


@job_view(Right.SEE_JOB)
def budget(request: HttpRequest, job: Job, fit: str, n: int) -> HttpResponse:
    """What may be wrong with the number, line by line, and the chances."""
    result, unit = found_fit(job, fit=fit, number=n), unit_of(request)
    if fit_hidden(job, account=signed_in(request), fit=fit, number=n, unit=unit):
        return redirect("bench:fit", job.number, fit, n)
    face = LengthFace(unit=unit, show_k=True)
    document = budget_document(judgement=judged(job), label=f"{fit} {n}", face=face)
    document = in_trade_words(document, words=current_shop().words)
    context = {
        "job": job,
        "label": result.label,
        "key": fit,
        "number": n,
        "body": mark_safe(document_html(document, first_level=1)),
    }
    return render(request, "bench/budget.html", context)
