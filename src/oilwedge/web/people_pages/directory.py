"""The people of the shop: who they are, what they may do, whether they come in."""

from __future__ import annotations

from collections.abc import Callable

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from oilwedge.errors import InputError
from oilwedge.web.people.access import Right, needs
from oilwedge.web.people.accounts import LONE_USERNAME
from oilwedge.web.people.models import Account, Role
from oilwedge.web.people_pages.changing import change_role, erase, switch_off, switch_on
from oilwedge.web.people_pages.entering import end_sessions
from oilwedge.web.people_pages.forms import RoleForm
from oilwedge.web.people_pages.inviting import open_links


@require_safe
@needs(Right.PEOPLE)
def directory(request: HttpRequest) -> HttpResponse:
    """Everybody with an account, and the links that are under way."""
    accounts = Account.objects.filter(erased_at=None)
    context = {
        "accounts": accounts.filter(is_active=True),
        "switched_off": accounts.filter(is_active=False),
        "erased": Account.objects.exclude(erased_at=None).count(),
        "links": open_links(now=timezone.now()),
        "lone": LONE_USERNAME,
    }
    return render(request, "people/list.html", context)


@require_safe
@needs(Right.PEOPLE)
def person(request: HttpRequest, pk: int) -> HttpResponse:
    """One account and what a lead can change in it."""
    account = get_object_or_404(Account, pk=pk, erased_at=None)
    context = {
        "account": account,
        "form": RoleForm(initial={"role": account.role}),
        "lone": account.username == LONE_USERNAME,
    }
    return render(request, "people/person.html", context)


@require_POST
@needs(Right.PEOPLE)
def set_role(request: HttpRequest, pk: int) -> HttpResponse:
    """Give somebody another role."""
    account = get_object_or_404(Account, pk=pk, erased_at=None)
    form = RoleForm(request.POST)
    if not form.is_valid():
        messages.error(request, "Choose one of the four roles.")
        return redirect("people:person", pk)
    role = Role(form.cleaned_data["role"])
    said = f"{account.get_full_name()} is {role.label} now."
    return _changed(request, account, lambda: change_role(account, role=role), said=said)


@require_POST
@needs(Right.PEOPLE)
def set_active(request: HttpRequest, pk: int) -> HttpResponse:
    """Let somebody in no more, or again."""
    account = get_object_or_404(Account, pk=pk, erased_at=None)
    name = account.get_full_name()
    if request.POST.get("active") == "yes":
        said = f"{name} can log in again."
        return _changed(request, account, lambda: switch_on(account), said=said)
    said = f"{name} cannot log in any more. Everything that {name} entered stays."
    return _changed(request, account, lambda: switch_off(account), said=said)


@require_POST
@needs(Right.PEOPLE)
def log_out_everywhere(request: HttpRequest, pk: int) -> HttpResponse:
    """End somebody's sessions on every device: a phone was lost, a tablet was left open."""
    account = get_object_or_404(Account, pk=pk, erased_at=None)
    ended = end_sessions(account, but=request.session.session_key or "")
    count = "one session" if ended == 1 else f"{ended} sessions"
    messages.success(request, f"Ended {count} of {account.get_full_name()}.")
    return redirect("people:person", pk)


@needs(Right.PEOPLE)
def erase_person(request: HttpRequest, pk: int) -> HttpResponse:
    """Ask once more, then take a name out of the shop for ever."""
    account = get_object_or_404(Account, pk=pk, erased_at=None)
    sure = request.POST.get("sure") == "yes"
    if request.method == "POST" and sure:
        try:
            jobs = erase(account)
        except InputError as error:
            messages.error(request, str(error))
            return redirect("people:person", pk)
        count = "one job" if jobs == 1 else f"{jobs} jobs"
        messages.success(request, f"The name is erased, in the accounts and in {count}.")
        return redirect("people:list")
    fault = "Say that you are sure." if request.method == "POST" else ""
    return render(request, "people/erase.html", {"account": account, "fault": fault})


def _changed(
    request: HttpRequest, account: Account, change: Callable[[], object], *, said: str
) -> HttpResponse:
    try:
        change()
    except InputError as error:
        messages.error(request, str(error))
    else:
        messages.success(request, said)
    return redirect("people:person", account.pk)
