"""Who may do what: the one table of rights, and the marks that every view wears."""

from __future__ import annotations

import functools
from collections.abc import Callable
from enum import Enum
from typing import Any, Concatenate, ParamSpec, Protocol, TypeVar
from urllib.parse import urlsplit

from django.apps import apps
from django.contrib.auth.models import AnonymousUser
from django.contrib.auth.views import redirect_to_login
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseBase, JsonResponse
from django.shortcuts import redirect, render
from django.urls import NoReverseMatch, reverse
from django.utils.cache import patch_cache_control

from oilwedge.web.people.models import Account, Role


class OwnedJob(Protocol):
    """What is asked here of a job: whose bench it stands on."""

    pupil_id: int | None
    task_id: int | None


P = ParamSpec("P")
J = TypeVar("J", bound=OwnedJob)
View = Callable[Concatenate[HttpRequest, P], HttpResponseBase]
JobView = Callable[Concatenate[HttpRequest, J, P], HttpResponseBase]


class Right(Enum):
    """What a view lets somebody do, to be read after "Your account may not". OPEN: everybody."""

    OPEN = "open this page"
    SEE_WORK = "see the work in hand"
    SEE_JOB = "see jobs"
    MEASURE = "add readings"
    CHANGE_JOB = "open or change jobs"
    LEAD_JOB = "open a closed job again, close one with work left or show results early"
    RECORD_STEP = "say what was done to parts, write notes or sign"
    ENGINE_FILES = "see or change engine files"
    SHELF_SEE = "see the shelf"
    SHELF_CHANGE = "change the shelf"
    PEOPLE = "invite, change or remove people"
    CLASSES = "lead classes"
    EXPORT = "take data out of the shop"
    IMPORT = "bring data into the shop"
    OWN_ACCOUNT = "change an account"


_LEAD = frozenset(Right)
_BUILDER = _LEAD - {Right.PEOPLE, Right.CLASSES, Right.SHELF_CHANGE, Right.LEAD_JOB}
_VIEWER = frozenset(
    {
        Right.OPEN,
        Right.SEE_WORK,
        Right.SEE_JOB,
        Right.SHELF_SEE,
        Right.EXPORT,
        Right.OWN_ACCOUNT,
    }
)
_PUPIL = frozenset({Right.OPEN, Right.SEE_JOB, Right.MEASURE, Right.RECORD_STEP, Right.OWN_ACCOUNT})
RIGHTS = {Role.LEAD: _LEAD, Role.BUILDER: _BUILDER, Role.VIEWER: _VIEWER, Role.PUPIL: _PUPIL}


def may(account: Account | AnonymousUser, right: Right) -> bool:
    """Whether somebody has a right at all."""
    if right is Right.OPEN:
        return True
    if not isinstance(account, Account) or not account.is_active:
        return False
    return right in RIGHTS[Role(account.role)]


def sees_job(account: Account | AnonymousUser, job: OwnedJob) -> bool:
    """Whether a job is there for somebody: a pupil sees their own bench, a viewer no class."""
    if not isinstance(account, Account) or not account.is_active:
        return False
    if account.role == Role.PUPIL:
        return job.pupil_id == account.pk
    if account.role == Role.VIEWER:
        return job.task_id is None
    return True


def signed_in(request: HttpRequest) -> Account:
    """The account behind a request whose view needs one."""
    account = request.user
    if not isinstance(account, Account):  # the marks below let nobody else through
        raise Http404
    return account


def wants_json(request: HttpRequest) -> bool:
    """Whether a script asked, which cannot be sent to a page to log in."""
    return request.headers.get("Accept", "").startswith("application/json")


def home_of(account: Account | AnonymousUser) -> str:
    """Where somebody starts: the work in hand; a pupil at the own bench, or at the list of them."""
    name, args = "bench:work", list[str]()
    if isinstance(account, Account) and not may(account, Right.SEE_WORK):
        # The record stands above this module, so its jobs are asked for by name.
        jobs = apps.get_model("record", "Job").objects.filter(pupil=account)
        job = jobs.order_by("closed", "-changed_at").first()
        name, args = ("bench:job", [job.number]) if job is not None else ("people:me", [])
        if jobs.filter(closed=False).count() > 1:
            name, args = "classroom:mine", []
    try:
        return reverse(name, args=args)
    except NoReverseMatch:  # a bench put together without that room
        return "/"


def _to_login(request: HttpRequest) -> HttpResponseBase:
    """Lead to the page to log in, and from there back: to a page, not to what a form sent."""
    page = request.get_full_path()
    came_from = request.headers.get("HX-Current-URL") or request.headers.get("Referer", "")
    by_script = bool(request.headers.get("HX-Request"))
    if by_script or request.method not in ("GET", "HEAD"):
        parts = urlsplit(came_from)
        ours = parts.netloc == request.get_host()
        page = parts._replace(scheme="", netloc="", fragment="").geturl() if ours else "/"
    answer = redirect_to_login(page)
    if by_script:  # a part of a page would get the whole page to log in put into it
        return HttpResponse(status=401, headers={"HX-Redirect": answer.url})
    return answer


def _refusal(request: HttpRequest, right: Right) -> HttpResponseBase | None:
    """What to answer somebody without the right; None for who has it."""
    if may(request.user, right):
        return None
    if not request.user.is_authenticated:
        if wants_json(request):
            sentence = "Your session is over. What you typed is kept here; log in to send it."
            return JsonResponse({"sentence": sentence}, status=401)
        return _to_login(request)
    sentence = f"Your account may not {right.value}. Ask a lead of the shop."
    if wants_json(request):
        return JsonResponse({"sentence": sentence}, status=403)
    home = home_of(request.user)
    if right is Right.SEE_WORK and home != request.path and request.method == "GET":
        return redirect(home)  # what is in hand for a pupil is the own bench
    context = {"title": "Not yours", "text": sentence, "back": home}
    return render(request, "oilwedge/plain.html", context, status=403)


def _kept_private(answer: HttpResponseBase) -> HttpResponseBase:
    """Nobody but this browser keeps the page, and it asks again before it shows it again."""
    if "Cache-Control" not in answer.headers:
        patch_cache_control(answer, private=True, no_cache=True)
    return answer


def needs(right: Right) -> Callable[[View[P]], View[P]]:
    """Mark a view with the right that it needs."""

    def mark(view: View[P]) -> View[P]:
        @functools.wraps(view)
        def guarded(request: HttpRequest, /, *args: P.args, **kwargs: P.kwargs) -> HttpResponseBase:
            answer = _refusal(request, right) or view(request, *args, **kwargs)
            return answer if right is Right.OPEN else _kept_private(answer)

        guarded.right = right  # type: ignore[attr-defined]
        return guarded

    return mark


def job_view(right: Right) -> Callable[[JobView[J, P]], Callable[..., HttpResponseBase]]:
    """Mark a view of one job: it gets the job in the place of its number.

    A job that somebody may not see answers as one that is not there, so that numbers cannot be
    tried out.
    """

    def mark(view: JobView[J, P]) -> Callable[..., HttpResponseBase]:
        @functools.wraps(view)
        def guarded(request: HttpRequest, number: str, *args: Any, **rest: Any) -> HttpResponseBase:
            if not request.user.is_authenticated:
                return _refusal(request, right) or HttpResponse(status=403)
            jobs = apps.get_model("record", "Job").objects.select_related("engine")
            job: Any = jobs.filter(number=number).first()
            if job is None or not sees_job(request.user, job):
                raise Http404("There is no such job.")
            return _kept_private(_refusal(request, right) or view(request, job, *args, **rest))

        guarded.right = right  # type: ignore[attr-defined]
        guarded.of_job = True  # type: ignore[attr-defined]
        return guarded

    return mark


open_to_all = needs(Right.OPEN)
