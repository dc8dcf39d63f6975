"""Who sits where, and more benches."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from class_roles import refuses_all_but_leads
from django.test import Client

from oilwedge.web.classroom.closing import close_class
from oilwedge.web.record.models import Job


def test_only_leads_see_them(task: Any, as_person: Callable[[str], Client]) -> None:
    url = f"/classes/{task.pk}/seats"
    refuses_all_but_leads(as_person, url)
    refuses_all_but_leads(as_person, url, method="post", data={"links": "1"})


def test_who_waits_and_for_whom_is_said(
    begin_class: Callable[..., Any], as_person: Callable[[str], Client]
) -> None:
    task = begin_class(["pia"], links=2)
    page = as_person("lena").get(f"/classes/{task.pk}/seats").content.decode()
    assert "2 benches wait for a pupil" in page
    assert "Make 2 links to print" in page
    assert page.count("No pupil yet") == 2
    assert "Pol Invented" in page  # has no bench yet, so is offered


def test_benches_are_added(
    begin_class: Callable[..., Any], people: Any, as_person: Callable[[str], Client]
) -> None:
    task = begin_class(["pia"])
    sent = {"links": "1", "pupils": [str(people["pol"].pk)]}
    page = as_person("lena").post(f"/classes/{task.pk}/seats", sent, follow=True)
    assert "2 benches more" in page.content.decode()
    jobs = Job.objects.filter(task=task, is_reference=False).order_by("number")
    assert [job.number[-2:] for job in jobs] == ["01", "02", "03"]
    assert [job.pupil for job in jobs] == [people["pia"], people["pol"], None]


@pytest.mark.parametrize(
    ("sent", "sentence"), [({"links": "x"}, "in digits"), ({"links": ""}, "Tick a pupil")]
)
def test_what_cannot_be_is_said(
    sent: Any, sentence: str, task: Any, as_person: Callable[[str], Client]
) -> None:
    answer = as_person("lena").post(f"/classes/{task.pk}/seats", sent)
    assert answer.status_code == 422
    assert sentence in answer.content.decode()


def test_a_closed_class_takes_nobody_in(
    task: Any, people: Any, as_person: Callable[[str], Client]
) -> None:
    close_class(task, by=people["lena"])
    answer = as_person("lena").post(f"/classes/{task.pk}/seats", {"links": "1"})
    assert answer.status_code == 422
    assert Job.objects.filter(task=task).count() == 3
