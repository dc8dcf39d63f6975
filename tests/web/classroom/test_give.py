"""A bench without a pupil is given to one who has an account."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from class_roles import NOT_LEADS
from django.test import Client

from oilwedge.web.people.models import Invitation
from oilwedge.web.record.models import Job


@pytest.fixture
def free(begin_class: Callable[..., Any]) -> Any:
    task = begin_class(["pia"], links=1)
    return Job.objects.get(task=task, pupil=None, is_reference=False)


def url(job: Any) -> str:
    return f"/classes/benches/{job.number}/pupil"


def test_nobody_else_gives_a_bench(
    free: Any, people: Any, as_person: Callable[[str], Client]
) -> None:
    for name in NOT_LEADS:
        answer = as_person(name).post(url(free), {"pupil": people["pol"].pk})
        assert answer.status_code in {403, 404}
    own = Job.objects.get(pupil=people["pia"])
    assert as_person("pia").post(url(own), {"pupil": people["pol"].pk}).status_code == 403
    free.refresh_from_db()
    assert free.pupil is None


def test_the_pupil_has_it_and_the_link_ends(
    free: Any, people: Any, as_person: Callable[[str], Client]
) -> None:
    client = as_person("lena")
    client.post(f"/classes/{free.task_id}/links")
    assert Invitation.objects.count() == 1
    client.post(url(free), {"pupil": people["pol"].pk})
    free.refresh_from_db()
    assert free.pupil == people["pol"]
    assert not Invitation.objects.exists()


@pytest.mark.parametrize("who", ["ben", "lena", None])
def test_only_a_pupil_can_have_it(
    who: str | None, free: Any, people: Any, as_person: Callable[[str], Client]
) -> None:
    chosen = people[who].pk if who else "x"
    page = as_person("lena").post(url(free), {"pupil": chosen}, follow=True).content.decode()
    assert "no such pupil" in page
    free.refresh_from_db()
    assert free.pupil is None


def test_a_bench_with_a_pupil_stays_theirs(
    free: Any, people: Any, as_person: Callable[[str], Client]
) -> None:
    own = Job.objects.get(pupil=people["pia"])
    page = as_person("lena").post(url(own), {"pupil": people["pol"].pk}, follow=True)
    assert "has a pupil already" in page.content.decode()
    own.refresh_from_db()
    assert own.pupil == people["pia"]


def test_a_job_of_the_shop_is_no_bench(
    make_job: Callable[..., Any], people: Any, as_person: Callable[[str], Client]
) -> None:
    assert (
        as_person("lena").post(url(make_job("J1")), {"pupil": people["pol"].pk}).status_code == 404
    )
