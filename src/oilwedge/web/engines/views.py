"""Engine files: the list, one file, a new one from layout, edit, compare."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from oilwedge.errors import EngineFileError
from oilwedge.usecases.engine_answers import engine_from_answers
from oilwedge.web.engines.fields import LAYOUT_FIELDS
from oilwedge.web.engines.flow import (
    check_text,
    differing_lines,
    keep_text,
    kept_files,
    sent_text,
)
from oilwedge.web.people.access import Right, needs
from oilwedge.web.record.models import EngineText


@require_GET
@needs(Right.ENGINE_FILES)
def file_list(request: HttpRequest) -> HttpResponse:
    """The engine files that are kept."""
    words = request.GET.get("words", "").strip()
    return render(request, "engines/list.html", {"files": kept_files(words=words), "words": words})


@require_GET
@needs(Right.ENGINE_FILES)
def show(request: HttpRequest, digest: str) -> HttpResponse:
    """One engine file as it was written."""
    kept = get_object_or_404(EngineText, digest=digest)
    context = {
        "file": kept,
        "checked": check_text(kept.text),
        "lines": kept.text.splitlines(),
        "jobs": kept.job_set.filter(task=None).order_by("-changed_at")[:10],
    }
    return render(request, "engines/show.html", context)


@require_GET
@needs(Right.ENGINE_FILES)
def download(request: HttpRequest, digest: str) -> HttpResponse:
    """The text of an engine file, to be kept elsewhere."""
    kept = get_object_or_404(EngineText, digest=digest)
    response = HttpResponse(kept.text, content_type="application/toml; charset=utf-8")
    response["Content-Disposition"] = f'attachment; filename="engine-{digest[:8]}.toml"'
    return response


@require_http_methods(["GET", "POST"])
@needs(Right.ENGINE_FILES)
def new(request: HttpRequest) -> HttpResponse:
    """A new engine file from layout and counts; it goes on to be edited."""
    made = engine_from_answers(request.POST.dict()) if request.method == "POST" else None
    if made is not None and made.text:
        return render(
            request, "engines/edit.html", {"checked": check_text(made.text), "fresh": True}
        )
    faults = made.faults if made is not None else {}
    fields = [field.filled(request.POST, faults) for field in LAYOUT_FIELDS]
    context = {"fields": fields, "faulty": bool(faults)}
    return render(request, "engines/new.html", context, status=422 if faults else 200)


@require_http_methods(["GET", "POST"])
@needs(Right.ENGINE_FILES)
def edit(request: HttpRequest) -> HttpResponse:
    """Edit a file in the page, or take one that was sent; faults stand at their lines."""
    if request.method == "GET":
        kept = EngineText.objects.filter(digest=request.GET.get("from", "")).first()
        checked = check_text(kept.text) if kept is not None else None
        return render(request, "engines/edit.html", {"checked": checked})
    try:
        text = sent_text(request.POST.get("text", ""), request.FILES.get("file"))
    except EngineFileError as error:
        return render(request, "engines/edit.html", {"unread": str(error)}, status=422)
    checked = check_text(text)
    if not checked.fine or "check" in request.POST:
        context = {"checked": checked, "was_checked": True}
        status = 200 if checked.fine else 422
        return render(request, "engines/edit.html", context, status=status)
    kept = keep_text(checked)
    messages.success(request, f"{kept.name}: kept.")
    return redirect("engines:show", digest=kept.digest)


@require_GET
@needs(Right.ENGINE_FILES)
def compare(request: HttpRequest) -> HttpResponse:
    """Two engine files side by side: the lines that differ."""
    found = [
        EngineText.objects.filter(digest=request.GET.get(key, "")).first() for key in ("old", "new")
    ]
    old, other = found
    lines = differing_lines(old.text, other.text) if old and other else ()
    context = {"old": old, "new": other, "lines": lines, "files": kept_files(words="")}
    return render(request, "engines/compare.html", context)


@require_POST
@needs(Right.ENGINE_FILES)
def offer(request: HttpRequest, digest: str) -> HttpResponse:
    """Offer a file for new jobs, or no longer."""
    kept = get_object_or_404(EngineText, digest=digest)
    kept.on_list = request.POST.get("offer") == "yes"
    kept.save(update_fields=["on_list"])
    return redirect("engines:show", digest=digest)
