"""What everybody changes in their own account."""

from __future__ import annotations

from django.contrib import messages
from django.contrib.auth import update_session_auth_hash
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_POST

from oilwedge.web.people.access import Right, may, needs, signed_in
from oilwedge.web.people.models import Account, Role
from oilwedge.web.people_pages.entering import end_sessions
from oilwedge.web.people_pages.forms import NameForm, OwnPasswordForm
from oilwedge.web.people_pages.inviting import withdraw_links_to


@needs(Right.OWN_ACCOUNT)
def me(request: HttpRequest) -> HttpResponse:
    """The own account; sent as a form, the name changes."""
    account = signed_in(request)
    form = NameForm(request.POST or None, initial={"full_name": account.full_name})
    if request.method == "POST" and form.is_valid():
        account.full_name = form.cleaned_data["full_name"]
        account.save(update_fields=["full_name"])
        messages.success(request, "Your name is changed.")
        return redirect("people:me")
    return _page(request, account, name_form=form, password_form=OwnPasswordForm(account))


@sensitive_post_parameters()
@never_cache
@require_POST
@needs(Right.OWN_ACCOUNT)
def password(request: HttpRequest) -> HttpResponse:
    """Change the own password; sessions on other devices end with it."""
    account = signed_in(request)
    if not account.has_usable_password():
        messages.warning(request, "This account has no password: it comes in at the machine.")
        return redirect("people:me")
    form = OwnPasswordForm(account, request.POST)
    if not form.is_valid():
        name_form = NameForm(initial={"full_name": account.full_name})
        return _page(request, account, name_form=name_form, password_form=form)
    form.save()
    update_session_auth_hash(request, account)  # with a new key for this session
    end_sessions(account, but=request.session.session_key or "")
    withdraw_links_to(account)
    messages.success(request, "Your password is changed. Other devices are logged out.")
    return redirect("people:me")


@require_POST
@needs(Right.OWN_ACCOUNT)
def log_out_others(request: HttpRequest) -> HttpResponse:
    """End the own sessions on every other device."""
    ended = end_sessions(signed_in(request), but=request.session.session_key or "")
    count = "one session" if ended == 1 else f"{ended} sessions"
    messages.success(request, f"Ended {count} on other devices. This one stays.")
    return redirect("people:me")


def _page(
    request: HttpRequest, account: Account, *, name_form: NameForm, password_form: OwnPasswordForm
) -> HttpResponse:
    context = {
        "account": account,
        "role": Role(account.role).label,
        "name_form": name_form,
        "password_form": password_form if account.has_usable_password() else None,
        "may_have_tokens": may(account, Right.EXPORT),
    }
    return render(request, "people/me.html", context)
