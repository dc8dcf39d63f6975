"""Invitations: a lead makes a link, somebody opens it and comes in."""

from __future__ import annotations

from django.conf import settings
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.safestring import mark_safe
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_POST

from oilwedge.errors import InputError
from oilwedge.report.qr_code import qr_svg
from oilwedge.web.people.access import Right, home_of, needs, open_to_all, signed_in
from oilwedge.web.people.models import Account, Invitation, Role
from oilwedge.web.people_pages.entering import address_for_others, enter
from oilwedge.web.people_pages.forms import InviteForm, JoinForm, NewPasswordForm
from oilwedge.web.people_pages.inviting import (
    LinkOverError,
    Standing,
    accept_invitation,
    accept_new_password,
    find_link,
    make_invitation,
    make_password_link,
)

ASK_AGAIN = "Ask a lead of the shop for a new one."


@sensitive_post_parameters("password", "again")
@never_cache
@open_to_all
def answer_link(request: HttpRequest, token: str) -> HttpResponse:
    """The page behind a link. Opening it uses nothing up, so a preview cannot; sending it does."""
    link, standing = find_link(token, now=timezone.now())
    if link is None:
        return _over(request, standing)
    form: NewPasswordForm = (
        NewPasswordForm(request.POST or None)
        if link.used_by is not None
        else JoinForm(request.POST or None, initial={"full_name": link.full_name})
    )
    if request.method == "POST" and form.is_valid():
        try:
            account = _accept(token, form)
        except LinkOverError:
            return _over(request, Standing.USED)
        except InputError as error:
            form.take_faults(error)
        else:
            enter(request, account)
            return redirect(home_of(account))
    context = {"form": form, "link": link, "role": Role(link.role).label}
    return render(request, "people/invitation.html", context)


def _accept(token: str, form: NewPasswordForm) -> Account:
    now, password = timezone.now(), form.cleaned_data["password"]
    if not isinstance(form, JoinForm):
        return accept_new_password(token, password=password, now=now)
    return accept_invitation(
        token,
        username=form.cleaned_data["username"],
        full_name=form.cleaned_data["full_name"],
        password=password,
        now=now,
    )


def _over(request: HttpRequest, standing: Standing) -> HttpResponse:
    text = f"{standing.value} {ASK_AGAIN}"
    context = {"title": "This link is over", "text": text, "back": "/login"}
    context["back_words"] = "To the page to log in"
    return render(request, "oilwedge/plain.html", context, status=410)


@never_cache
@needs(Right.PEOPLE)
def invite(request: HttpRequest) -> HttpResponse:
    """Make an invitation; its link is shown once, to be handed on."""
    if settings.MODE == "alone":
        return render(request, "people/invite_alone.html")
    form = InviteForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        name = " ".join(form.cleaned_data["full_name"].split())
        token = make_invitation(
            role=Role(form.cleaned_data["role"]),
            full_name=name,
            by=signed_in(request),
            now=timezone.now(),
        )
        return _show_link(request, token, whom=name or "somebody new")
    return render(request, "people/invite.html", {"form": form})


@require_POST
@never_cache
@needs(Right.PEOPLE)
def password_link(request: HttpRequest, pk: int) -> HttpResponse:
    """Make a link with which somebody sets a new password; it is shown once."""
    account = get_object_or_404(Account, pk=pk, erased_at=None, is_active=True)
    if not account.has_usable_password():
        messages.warning(request, "This account has no password: it comes in at the machine.")
        return redirect("people:person", pk)
    token = make_password_link(account, by=signed_in(request), now=timezone.now())
    return _show_link(request, token, whom=account.get_full_name(), account=account)


def _show_link(
    request: HttpRequest, token: str, *, whom: str, account: Account | None = None
) -> HttpResponse:
    address = address_for_others(request, "people:invitation", token)
    context = {
        "address": address,
        "code": mark_safe(qr_svg(address, title=f"QR code of the link for {whom}")),
        "whom": whom,
        "account": account,
    }
    return render(request, "people/link.html", context)


@require_POST
@needs(Right.PEOPLE)
def withdraw(request: HttpRequest, pk: int) -> HttpResponse:
    """Take a link back that nobody used yet."""
    gone, _ = Invitation.objects.filter(pk=pk, used_at=None).delete()
    if gone:
        messages.success(request, "The link does not work any more.")
    else:
        messages.warning(request, "This link was used or taken back already.")
    return redirect("people:list")
