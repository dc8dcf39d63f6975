"""The end of a class: every bench is closed, and its record says so."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from class_entries import take
from class_roles import refuses_all_but_leads
from django.test import Client

from oilwedge.job.entry import Event, EventKind
from oilwedge.web.bench.closing import close as close_job
from oilwedge.web.people.models import Invitation
from oilwedge.web.record.models import Job
from oilwedge.web.record.store import ClosedJobError, entries_of
from oilwedge.web.record.verify import verify_shop


def test_only_leads_close_it(task: Any, as_person: Callable[[str], Client]) -> None:
    url = f"/classes/{task.pk}/close"
    refuses_all_but_leads(as_person, url)
    refuses_all_but_leads(as_person, url, method="post")
    assert not Job.objects.filter(closed=True).exists()


def test_it_asks_first(task: Any, bench_of: Any, as_person: Callable[[str], Client]) -> None:
    take(bench_of(task, "pia"), count=3)
    page = as_person("lena").get(f"/classes/{task.pk}/close").content.decode()
    assert "0 of 2 benches are done, 1 still measures, 1 did not begin" in page
    assert not Job.objects.filter(closed=True).exists()


def test_every_bench_is_closed_with_an_entry(
    task: Any, people: Any, bench_of: Callable[..., Any], as_person: Callable[[str], Client]
) -> None:
    close_job(job=bench_of(task, "pol"), account=people["lena"], reason="broke off")
    page = as_person("lena").post(f"/classes/{task.pk}/close", follow=True).content.decode()
    assert "2 benches were closed" in page
    task.refresh_from_db()
    assert task.closed_at is not None
    for job in Job.objects.filter(task=task):
        last = entries_of(job)[-1]
        assert isinstance(last, Event)
        assert (job.closed, last.kind) == (True, EventKind.CLOSED)
        assert last.person in dict(job.personal.values_list("commitment", "text"))
    with pytest.raises(ClosedJobError):
        take(bench_of(task, "pia"), count=1)


def test_the_record_verifies_after_it(
    task: Any, bench_of: Any, as_person: Callable[[str], Client]
) -> None:
    take(bench_of(task, "pia"))
    as_person("lena").post(f"/classes/{task.pk}/close")
    assert verify_shop().findings == ()
    page = as_person("lena").get(f"/classes/{task.pk}/close").content.decode()
    assert "closed already" in page


def test_links_that_nobody_used_end_with_it(
    begin_class: Callable[..., Any], as_person: Callable[[str], Client]
) -> None:
    task, client = begin_class(["pia"], links=2), as_person("lena")
    client.post(f"/classes/{task.pk}/links")
    assert Invitation.objects.count() == 2
    client.post(f"/classes/{task.pk}/close")
    assert not Invitation.objects.exists()
    assert (
        "Every bench has a pupil"
        in client.post(f"/classes/{task.pk}/links", follow=True).content.decode()
    )
