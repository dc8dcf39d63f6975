"""The same parts are measured again by somebody else, blind."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from class_roles import NOT_LEADS
from django.test import Client

from oilwedge.job.entry import Event, EventKind
from oilwedge.web.classroom.closing import close_class
from oilwedge.web.classroom.models import Seat
from oilwedge.web.record.models import Job
from oilwedge.web.record.store import entries_of


def url(job: Any) -> str:
    return f"/classes/benches/{job.number}/repeat"


def test_nobody_else_opens_a_repeat(
    task: Any, people: Any, bench_of: Callable[..., Any], as_person: Callable[[str], Client]
) -> None:
    own = bench_of(task, "pia")
    for name in NOT_LEADS:
        answer = as_person(name).post(url(own), {"pupil": people["pol"].pk})
        assert answer.status_code in {403, 404}
    assert not Seat.objects.exists()


def test_it_is_a_bench_of_its_own_and_says_what_it_repeats(
    task: Any, people: Any, bench_of: Callable[..., Any], as_person: Callable[[str], Client]
) -> None:
    own = bench_of(task, "pia")
    page = as_person("lena").post(url(own), {"pupil": people["pol"].pk}, follow=True)
    again = Job.objects.get(number=f"C{task.pk}-03")
    assert f"{again.number} is open for the repeat" in page.content.decode()
    assert (again.task, again.pupil, again.blind) == (task, people["pol"], True)
    assert again.seat.repeat_of == own
    notes = [one for one in entries_of(again) if isinstance(one, Event)]
    assert (notes[-1].kind, notes[-1].value) == (EventKind.NOTE, f"repeat of {own.number}")
    assert str(own.number) in again.title
    assert as_person("pol").get(f"/jobs/{again.number}/").status_code == 200
    assert as_person("pia").get(f"/jobs/{again.number}/").status_code == 404


@pytest.mark.parametrize(
    ("who", "sentence"),
    [("pia", "Somebody else has to"), ("ben", "no such pupil"), ("", "Choose who measures")],
)
def test_who_cannot_repeat_it_is_said(
    who: str,
    sentence: str,
    task: Any,
    people: Any,
    bench_of: Callable[..., Any],
    as_person: Callable[[str], Client],
) -> None:
    chosen = str(people[who].pk) if who else ""
    page = as_person("lena").post(url(bench_of(task, "pia")), {"pupil": chosen}, follow=True)
    assert sentence in page.content.decode()
    assert Job.objects.filter(task=task).count() == 3


def test_a_closed_class_has_no_more_repeats(
    task: Any, people: Any, bench_of: Callable[..., Any], as_person: Callable[[str], Client]
) -> None:
    close_class(task, by=people["lena"])
    sent = {"pupil": people["pol"].pk}
    page = as_person("lena").post(url(bench_of(task, "pia")), sent, follow=True)
    assert "The class is closed" in page.content.decode()
