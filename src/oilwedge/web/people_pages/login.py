"""Log in, log out, and the start address of a bench for one machine."""

from __future__ import annotations

from django.conf import settings
from django.contrib.auth import logout
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_POST, require_safe

from oilwedge.web.people.access import home_of, open_to_all
from oilwedge.web.people.accounts import ensure_lone_lead
from oilwedge.web.people.models import Account
from oilwedge.web.people.start_tokens import consume_start_token
from oilwedge.web.people_pages.authority_file import authority_bytes
from oilwedge.web.people_pages.entering import asked_for, enter, is_looked_at_ahead, way_in
from oilwedge.web.people_pages.forms import LoginForm

_NEW_ADDRESS = (
    "Press Enter in the window in which oilwedge runs, or stop it there and start it again:"
    " it prints a new address."
)
START_OVER = (
    "This address was used already, or it is older than ten minutes; it lets in one browser, once."
    f" {_NEW_ADDRESS}"
)
START_LAN = "This bench is open to the shop's network, and everybody logs in with their own name."


@sensitive_post_parameters("password")
@never_cache
@open_to_all
def log_in(request: HttpRequest) -> HttpResponse:
    """The page to log in. After five wrong passwords for a name from one address it is locked."""
    if isinstance(request.user, Account):
        return redirect(way_in(request, request.user))
    form = LoginForm(request, request.POST if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid():
        account = form.get_user()
        enter(request, account)
        return redirect(way_in(request, account))
    context = {
        "form": form,
        "next": asked_for(request),
        "alone": settings.MODE == "alone",
        "new_address": _NEW_ADDRESS,
        "has_certificate": authority_bytes() is not None,
    }
    return render(request, "people/login.html", context)


@require_POST
@never_cache
@open_to_all
def log_out(request: HttpRequest) -> HttpResponse:
    """End this session. What the browser kept of pages goes; readings not yet sent stay in it."""
    logout(request)
    answer = redirect("people:login")
    answer["Clear-Site-Data"] = '"cache"'  # "storage" would take unsent readings with it
    return answer


@require_safe
@never_cache
@open_to_all
def start(request: HttpRequest, token: str) -> HttpResponse:
    """Let in whoever sits at the machine, once for each start address.

    A browser that only looks ahead uses nothing up. The answer is a redirect, so that the token
    stands in no history and is sent to no other page.
    """
    if request.method == "HEAD" or is_looked_at_ahead(request):
        return HttpResponse(status=204)
    if settings.MODE == "alone" and consume_start_token(token, now=timezone.now()):
        enter(request, ensure_lone_lead())
        return redirect(home_of(request.user))
    if request.user.is_authenticated:  # reloaded, or taken from a bookmark
        return redirect(home_of(request.user))
    text = START_OVER if settings.MODE == "alone" else START_LAN
    context = {"title": "This address is over", "text": text, "back": "/login"}
    context["back_words"] = "To the page to log in"
    return render(request, "oilwedge/plain.html", context, status=410)
