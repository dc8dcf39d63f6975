"""The oil films of a job: all bearings, and one."""

from __future__ import annotations

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.safestring import SafeString, mark_safe

from oilwedge.report.document import Document, Figure
from oilwedge.report.html import block_html, document_html
from oilwedge.usecases.film_pages import bearing_film_page, engine_film_page
from oilwedge.usecases.length_face import LengthFace
from oilwedge.usecases.trade_words import in_trade_words
from oilwedge.web.bench.films import FILM_FITS, films_of, missing_of
from oilwedge.web.bench.fit_page import fit_hidden, found_fit
from oilwedge.web.bench.job_page import results_hidden
from oilwedge.web.faults import answer_fault
from oilwedge.web.look.unit_choice import unit_of
from oilwedge.web.people.access import Right, job_view, signed_in
from oilwedge.web.record.judged import current_shop
from oilwedge.web.record.models import Job

NOT_YET = "The results of this class are not shown yet; the oil film comes with them."


@job_view(Right.SEE_JOB)
def film(request: HttpRequest, job: Job) -> HttpResponse:
    """All bearings of the engine beside each other."""
    account = signed_in(request)
    if results_hidden(job, account):
        return answer_fault(request, sentence=NOT_YET, status=404)
    context = {"job": job, "missing": missing_of(job), "words": current_shop().words}
    if not context["missing"]:
        found = films_of(job, account=account)
        face = LengthFace(unit=unit_of(request))
        page = engine_film_page(films=found.films, window=found.window, face=face)
        context |= {"trouble": found.trouble, "page": page, "basis": _html(page.basis)}
        context["conditions"] = [
            (one, _figures((one.figure,)) if one.figure is not None else [])
            for one in page.conditions
        ]
    return render(request, "bench/film.html", context)


@job_view(Right.SEE_JOB)
def film_bearing(request: HttpRequest, job: Job, fit: str, n: int) -> HttpResponse:
    """One bearing: its path, film and load, pressure, and what clearance does."""
    account, unit = signed_in(request), unit_of(request)
    result = found_fit(job, fit=fit, number=n)
    if fit not in FILM_FITS:
        raise Http404("The film of such a fit is not calculated.")
    if fit_hidden(job, account=account, fit=fit, number=n, unit=unit):
        return redirect("bench:fit", job.number, fit, n)
    if missing_of(job):
        return redirect("bench:film", job.number)
    found, face = films_of(job, account=account), LengthFace(unit=unit)
    page = bearing_film_page(
        films=found.films,
        window=found.window,
        fit_key=fit,
        number=n,
        condition=request.GET.get("at", ""),
        face=face,
    )
    context = {"job": job, "key": fit, "number": n, "label": result.label, "page": page}
    context |= {"trouble": found.trouble, "words": current_shop().words}
    if page is not None:
        context |= {"figures": _figures(page.figures), "numbers": _html(page.numbers)}
    return render(request, "bench/film_bearing.html", context)


def _html(document: Document) -> SafeString:
    return mark_safe(document_html(in_trade_words(document, words=current_shop().words)))


def _figures(figures: tuple[Figure, ...]) -> list[SafeString]:
    document = in_trade_words(Document(title="", blocks=figures), words=current_shop().words)
    return [mark_safe(block_html(one)) for one in document.blocks]
