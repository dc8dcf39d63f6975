"""Add what somebody says on a page to the record of a job."""

from __future__ import annotations

import functools
from collections.abc import Callable
from dataclasses import replace
from typing import Concatenate, ParamSpec

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone

from oilwedge.errors import Fault, InputError
from oilwedge.job.entry import Event
from oilwedge.job.record import Appended
from oilwedge.web.people.models import Account
from oilwedge.web.record.models import Job
from oilwedge.web.record.store import append_entries, commitment_for, new_id

P = ParamSpec("P")
JobAnswer = Callable[Concatenate[HttpRequest, Job, P], HttpResponse]
LONGEST_TEXT = 500


class FieldError(Exception):
    """A sentence that belongs to one field of a form."""

    def __init__(self, field: str, sentence: str) -> None:
        super().__init__(sentence)
        self.field = field


def say(*, job: Job, account: Account, event: Event) -> Appended:
    """Add an event that somebody says now; id, person and time are filled in here."""
    stamped = replace(
        event,
        id=new_id(),
        person=commitment_for(job=job, account=account),
        time=timezone.now(),
    )
    return append_entries(job=job, entries=(stamped,))


def typed(text: object, *, what: str, longest: int = LONGEST_TEXT) -> str:
    """What was typed, without blanks round it; InputError where nothing or too much was."""
    words = " ".join(str(text or "").split())
    if not words:
        raise InputError(Fault(given="", allowed=f"nothing was typed; {what}"))
    if len(words) > longest or "\x00" in words:
        raise InputError(
            Fault(given=f"{words[:20]}…", allowed=f"{what}, in up to {longest} characters")
        )
    return words


def when_posted(view: JobAnswer[P]) -> JobAnswer[P]:
    """Mark a view that takes a form and shows none: who comes without one is led to the job."""

    @functools.wraps(view)
    def guarded(
        request: HttpRequest, job: Job, /, *args: P.args, **kwargs: P.kwargs
    ) -> HttpResponse:
        if request.method != "POST":
            return redirect("bench:job", number=job.number)
        return view(request, job, *args, **kwargs)

    return guarded
