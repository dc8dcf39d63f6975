"""Who may do what: the one table of rights, and the marks that every view wears."""

from __future__ import annotations

import functools
from collections.abc import Callable
from enum import Enum
from typing import Any, Concatenate, ParamSpec

from django.contrib.auth.models import AnonymousUser
from django.contrib.auth.views import redirect_to_login
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseBase, JsonResponse
from django.shortcuts import render

from oilwedge.web.people.models import Account, Role
from oilwedge.web.record.models import Job

P = ParamSpec("P")
View = Callable[Concatenate[HttpRequest, P], HttpResponseBase]
JobView = Callable[Concatenate[HttpRequest, Job, P], HttpResponseBase]


class Right(Enum):
    """What a view lets somebody do. OPEN needs no account."""

    OPEN = "open"
    SEE_WORK = "see the work in hand"
    SEE_JOB = "see a job"
    MEASURE = "add readings"
    CHANGE_JOB = "change a job"
    RECORD_STEP = "say what was done to parts, note, sign"
    ENGINE_FILES = "see and change engine files"
    SHELF_SEE = "see the shelf"
    SHELF_CHANGE = "change the shelf"
    PEOPLE = "invite and remove people"
    CLASSES = "lead classes"
    EXPORT = "take data out"
    IMPORT = "bring data in"
    OWN_ACCOUNT = "change one's own account"


_LEAD = frozenset(Right)
_BUILDER = _LEAD - {Right.PEOPLE, Right.CLASSES, Right.SHELF_CHANGE}
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


def sees_job(account: Account | AnonymousUser, job: Job) -> bool:
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


def _refusal(request: HttpRequest, right: Right) -> HttpResponseBase | None:
    """What to answer somebody without the right; None for who has it."""
    if may(request.user, right):
        return None
    if not request.user.is_authenticated:
        if wants_json(request):
            sentence = "Your session is over. What you typed is kept here; log in to send it."
            return JsonResponse({"sentence": sentence}, status=401)
        return redirect_to_login(request.get_full_path())
    sentence = f"Your account may not {right.value}. Ask a lead of the shop."
    if wants_json(request):
        return JsonResponse({"sentence": sentence}, status=403)
    return render(
        request, "oilwedge/plain.html", {"title": "Not yours", "text": sentence}, status=403
    )


def needs(right: Right) -> Callable[[View[P]], View[P]]:
    """Mark a view with the right that it needs."""

    def mark(view: View[P]) -> View[P]:
        @functools.wraps(view)
        def guarded(request: HttpRequest, /, *args: P.args, **kwargs: P.kwargs) -> HttpResponseBase:
            return _refusal(request, right) or view(request, *args, **kwargs)

        guarded.right = right  # type: ignore[attr-defined]
        return guarded

    return mark


def job_view(right: Right) -> Callable[[JobView[P]], Callable[..., HttpResponseBase]]:
    """Mark a view of one job: it gets the job in the place of its number.

    A job that somebody may not see answers as one that is not there, so that numbers cannot be
    tried out.
    """

    def mark(view: JobView[P]) -> Callable[..., HttpResponseBase]:
        @functools.wraps(view)
        def guarded(request: HttpRequest, number: str, *args: Any, **rest: Any) -> HttpResponseBase:
            if not request.user.is_authenticated:
                return _refusal(request, right) or HttpResponse(status=403)
            job = Job.objects.select_related("engine").filter(number=number).first()
            if job is None or not sees_job(request.user, job):
                raise Http404("There is no such job.")
            return _refusal(request, right) or view(request, job, *args, **rest)

        guarded.right = right  # type: ignore[attr-defined]
        guarded.of_job = True  # type: ignore[attr-defined]
        return guarded

    return mark


open_to_all = needs(Right.OPEN)
