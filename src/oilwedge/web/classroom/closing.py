"""The two switches of a class: whether pupils see results, and the end of it."""

from __future__ import annotations

from django.utils import timezone

from oilwedge.job.entry import Event, EventKind
from oilwedge.web.bench.saying import say
from oilwedge.web.classroom.seating import withdraw_links
from oilwedge.web.people.models import Account
from oilwedge.web.record.models import ClassTask, Job
from oilwedge.web.record.store import ClosedJobError, says_faults, writing


@says_faults
def show_results(task: ClassTask, *, shown: bool) -> None:
    """Let pupils see the verdicts and differences of their own bench, or no more."""
    with writing():
        task.shows_results = shown
        task.save(update_fields=["shows_results"])


@says_faults
def close_class(task: ClassTask, *, by: Account) -> int:
    """Close every open bench, with an entry in its record; gives how many. Open links end."""
    closed = 0
    with writing():
        withdraw_links(task)
        for job in Job.objects.filter(task=task, closed=False).order_by("serial"):
            try:
                event = Event(id="", kind=EventKind.CLOSED, note="the class was closed")
                say(job=job, account=by, event=event)
            except ClosedJobError:  # somebody was quicker
                continue
            closed += 1
        task.closed_at = timezone.now()
        task.save(update_fields=["closed_at"])
    return closed
