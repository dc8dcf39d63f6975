"""The engine file of a job: which one holds, and what another one would change."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET, require_POST

from oilwedge.usecases.engine_revisions import compare_engines
from oilwedge.usecases.length_face import LengthFace
from oilwedge.web.engines.flow import differing_lines, kept_files, revisions_of
from oilwedge.web.look.unit_choice import unit_of
from oilwedge.web.people.access import Right, job_view, signed_in
from oilwedge.web.record.judged import engine_of, engine_of_digest, shop_for
from oilwedge.web.record.models import EngineText, Job
from oilwedge.web.record.store import change_engine, commitment_for, entries_of


@require_GET
@job_view(Right.CHANGE_JOB)
def of_job(request: HttpRequest, job: Job) -> HttpResponse:
    """The file that holds now, those before it, and others that could."""
    other = EngineText.objects.filter(digest=request.GET.get("new", "")).first()
    changes = None
    if other is not None and other.digest != job.engine_id:
        changes = compare_engines(
            engine_of(job),
            engine_of_digest(other.digest),
            face=LengthFace(unit=unit_of(request)),
            shop=shop_for(job),
            entries=entries_of(job),
        )
    context = {
        "job": job,
        "revisions": revisions_of(job),
        "others": [one for one in kept_files(words="") if one.digest != job.engine_id],
        "other": other,
        "changes": changes,
        "lines": differing_lines(job.engine.text, other.text) if other is not None else (),
    }
    return render(request, "engines/job.html", context)


@require_POST
@job_view(Right.CHANGE_JOB)
def change(request: HttpRequest, job: Job) -> HttpResponse:
    """Let another engine file hold for the job from now on."""
    other = EngineText.objects.filter(digest=request.POST.get("new", "")).first()
    if other is None or other.digest == job.engine_id:
        messages.error(request, "Choose another engine file than the one that holds.")
        return redirect("engines:job", number=job.number)
    person = commitment_for(job=job, account=signed_in(request))
    note = request.POST.get("note", "").strip()[:300]
    change_engine(job=job, engine=other, person=person, note=note)
    messages.success(request, f"From now on {other.name} ({other.digest[:8]}) holds for this job.")
    return redirect("bench:job", number=job.number)
