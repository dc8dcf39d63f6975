"""The shelf: instruments, strips and stock, edited field by field or as a file."""

from __future__ import annotations

import hashlib

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from oilwedge.usecases.shelf import (
    Edited,
    Section,
    edit_file,
    edit_item,
    instrument_rows,
    item_fields,
    key_from_name,
    remove_item,
    stock_rows,
    strip_rows,
)
from oilwedge.web.engines.flow import differing_lines
from oilwedge.web.people.access import Right, needs, signed_in
from oilwedge.web.record.judged import current_shop
from oilwedge.web.record.models import ShopRevision
from oilwedge.web.shelf.flow import keep_revision, record_zero_check, shop_text

SINGULAR = {
    Section.INSTRUMENTS: "instrument",
    Section.STRIPS: "strip",
    Section.STOCK: "part in stock",
}


def _section(word: str) -> Section:
    try:
        return Section(word)
    except ValueError:
        raise Http404 from None


def _seen() -> str:
    text = shop_text()
    return hashlib.sha256(text.encode()).hexdigest() if text else ""


@require_GET
@needs(Right.SHELF_SEE)
def shelf_list(request: HttpRequest) -> HttpResponse:
    """Everything on the shelf."""
    shop = current_shop()
    context = {
        "shop": shop,
        "instruments": instrument_rows(shop, today=timezone.localdate()),
        "strips": strip_rows(shop),
        "stock": stock_rows(shop),
        "revisions": ShopRevision.objects.count(),
    }
    return render(request, "shelf/list.html", context)


@require_http_methods(["GET", "POST"])
@needs(Right.SHELF_CHANGE)
def item(request: HttpRequest, section: str, key: str = "") -> HttpResponse:
    """One thing on the shelf: its fields; without a key a new one."""
    part = _section(section)
    known = {field.key for field in item_fields(shop_text(), section=part, key=key) if field.typed}
    if key and not known:
        raise Http404
    if request.method == "GET":
        fields = item_fields(shop_text(), section=part, key=key)
        return _form(request, Edited(text="", fields=fields), section=part, key=key)
    typed_key = key or request.POST.get("key", "").strip() or _made_key(request, part)
    edited = edit_item(shop_text(), section=part, key=typed_key, typed=request.POST.dict())
    taken = not key and any(f.typed for f in item_fields(shop_text(), section=part, key=typed_key))
    if taken:
        sentence = f"key: '{typed_key}' is taken; choose another one."
        edited = Edited(text="", fields=edited.fields, faults=(sentence,))
    if edited.fine and _kept(request, edited, note=f"{SINGULAR[part]} {typed_key}"):
        return redirect("shelf:list")
    return _form(request, edited, section=part, key=key, status=422)


def _made_key(request: HttpRequest, section: Section) -> str:
    """A key for something new, made from its name; empty where it has none."""
    name = request.POST.get("title", "").strip()
    taken = getattr(current_shop(), section.value)
    return key_from_name(name, taken=taken) if name else ""


def _kept(request: HttpRequest, edited: Edited, *, note: str) -> bool:
    seen = request.POST.get("seen", "")
    if keep_revision(edited, account=signed_in(request), note=note, seen=seen):
        messages.success(request, f"Kept: {note}.")
        return True
    messages.error(
        request, "Somebody else changed the shelf meanwhile. Look at it, then send yours again."
    )
    return False


def _form(
    request: HttpRequest, edited: Edited, *, section: Section, key: str, status: int = 200
) -> HttpResponse:
    context = {
        "edited": edited,
        "section": section.value,
        "singular": SINGULAR[section],
        "key": key,
        "typed_key": request.POST.get("key", ""),
        "seen": _seen(),
        "is_instrument": section is Section.INSTRUMENTS,
    }
    return render(request, "shelf/item.html", context, status=status)


@require_POST
@needs(Right.SHELF_CHANGE)
def remove(request: HttpRequest, section: str, key: str) -> HttpResponse:
    """Take one thing off the shelf; old revisions keep it."""
    part = _section(section)
    edited = remove_item(shop_text(), section=part, key=key)
    if not edited.fine:
        for sentence in edited.faults:
            messages.error(request, sentence)
        return redirect("shelf:item", section=section, key=key)
    _kept(request, edited, note=f"{SINGULAR[part]} {key} taken off")
    return redirect("shelf:list")


@require_POST
@needs(Right.CHANGE_JOB)
def zero_check(request: HttpRequest, key: str) -> HttpResponse:
    """Record that an instrument's zero was checked, in every open job that it read in."""
    if key not in current_shop().instruments:
        raise Http404
    passed = request.POST.get("value") == "passed"
    note = request.POST.get("note", "").strip()[:300]
    count = record_zero_check(instrument=key, passed=passed, account=signed_in(request), note=note)
    jobs = "no open job" if count == 0 else f"{count} open job{'s' if count > 1 else ''}"
    word = "passed" if passed else "failed: what it read since its last good check is in doubt"
    messages.success(request, f"Zero check {word}. Written into {jobs}.")
    return redirect("shelf:list")


@require_http_methods(["GET", "POST"])
@needs(Right.SHELF_CHANGE)
def file(request: HttpRequest) -> HttpResponse:
    """The shop file as text, or one that was sent."""
    if request.method == "GET":
        return render(
            request, "shelf/file.html", {"edited": Edited(text=shop_text()), "seen": _seen()}
        )
    sent = request.FILES.get("file")
    text = sent.read().decode("utf-8-sig", "replace") if sent else request.POST.get("text", "")
    edited = edit_file(text)
    if edited.fine and _kept(request, edited, note="the whole file"):
        return redirect("shelf:list")
    return render(request, "shelf/file.html", {"edited": edited, "seen": _seen()}, status=422)


@require_GET
@needs(Right.SHELF_SEE)
def revisions(request: HttpRequest) -> HttpResponse:
    """Every shop file that held, with what changed."""
    number = request.GET.get("number", "")
    one = get_object_or_404(ShopRevision, number=number) if number.isdecimal() else None
    before = ShopRevision.objects.filter(number=one.number - 1).first() if one else None
    lines = differing_lines(before.text if before else "", one.text) if one else ()
    context = {
        "revisions": ShopRevision.objects.defer("text").order_by("-number")[:200],
        "one": one,
        "lines": lines,
    }
    return render(request, "shelf/revisions.html", context)
