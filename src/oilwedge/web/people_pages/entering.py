"""Coming in and going out: sessions that end, and where somebody is led to."""

from __future__ import annotations

import datetime

from django.conf import settings
from django.contrib.auth import SESSION_KEY, login
from django.contrib.sessions.models import Session
from django.http import HttpRequest
from django.urls import reverse
from django.utils import timezone
from django.utils.http import url_has_allowed_host_and_scheme

from oilwedge.web.people.access import home_of
from oilwedge.web.people.models import Account

SESSION_LIFE = datetime.timedelta(hours=12)
PREFETCH_HEADERS = ("Sec-Purpose", "Purpose", "X-Purpose", "X-Moz")
LOOPBACK = ("127.0.0.1", "localhost")


def enter(request: HttpRequest, account: Account) -> None:
    """Let somebody in: under a new session key, for twelve hours whatever is done in them."""
    now = timezone.now()
    login(request, account, backend="django.contrib.auth.backends.ModelBackend")
    request.session.set_expiry(now + SESSION_LIFE)
    Session.objects.filter(expire_date__lt=now).delete()  # of those that ended by themselves


def end_sessions(account: Account, *, but: str = "") -> int:
    """End the sessions of somebody on every device, but the one of this key; gives how many."""
    ended = 0
    for session in Session.objects.exclude(session_key=but).iterator():
        if session.get_decoded().get(SESSION_KEY) == str(account.pk):
            session.delete()
            ended += 1
    return ended


def asked_for(request: HttpRequest) -> str:
    """The page that somebody was led away from to log in: one of this bench, else none."""
    page = request.POST.get("next") or request.GET.get("next") or ""
    safe = url_has_allowed_host_and_scheme(
        page, allowed_hosts={request.get_host()}, require_https=request.is_secure()
    )
    return page if safe else ""


def way_in(request: HttpRequest, account: Account) -> str:
    """Where somebody goes on after coming in."""
    return asked_for(request) or home_of(account)


def is_looked_at_ahead(request: HttpRequest) -> bool:
    """Whether a browser only fetches a page in case it will be opened, or for a preview of it.

    Sec-Purpose is that of the Fetch standard, the others are older spellings of it.
    """
    said = " ".join(request.headers.get(name, "") for name in PREFETCH_HEADERS).lower()
    return any(word in said for word in ("prefetch", "prerender", "preview"))


def address_for_others(request: HttpRequest, page: str, *args: str) -> str:
    """The whole address of a page as another device reaches it.

    Who sits at the shop's machine came by ``localhost``, which means nothing on a phone.
    """
    name_of_host, colon, port = request.get_host().partition(":")
    outside = [one for one in settings.ALLOWED_HOSTS if one not in LOOPBACK]
    if name_of_host in LOOPBACK and outside:
        name_of_host = outside[0]
    return f"{request.scheme}://{name_of_host}{colon}{port}{reverse(page, args=args)}"
