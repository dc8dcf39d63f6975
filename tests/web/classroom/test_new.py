"""A new class: the engine file, what is measured, who measures."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from class_roles import refuses_all_but_leads
from django.test import Client

from oilwedge.web.record.models import ClassTask, Job

URL = "/classes/new"


@pytest.fixture
def form(engine_kept: Any, people: Any) -> dict[str, Any]:
    return {
        "engine": engine_kept.digest,
        "depth": "quick",
        "title": "Evening class",
        "features": ["main_journal", "rod_journal"],
        "pupils": [str(people["pia"].pk), str(people["pol"].pk)],
        "links": "2",
        "reference": "yes",
    }


def test_only_leads_begin_a_class(form: Any, as_person: Callable[[str], Client]) -> None:
    refuses_all_but_leads(as_person, URL)
    refuses_all_but_leads(as_person, URL, method="post", data=form)
    assert not ClassTask.objects.exists()


def test_the_engine_comes_first(engine_kept: Any, as_person: Callable[[str], Client]) -> None:
    client = as_person("lena")
    assert f'value="{engine_kept.digest}"' in client.get(URL).content.decode()
    page = client.get(URL, {"engine": engine_kept.digest}).content.decode()
    assert page.index("Rod journal") < page.index("Rod bearing bore") < page.index("by strip")
    assert "16 reading" in page  # four journals, two places, two directions


def test_the_full_plan_is_offered_when_it_is_chosen(
    engine_kept: Any, as_person: Callable[[str], Client]
) -> None:
    client = as_person("lena")
    page = client.get(URL, {"engine": engine_kept.digest, "depth": "full"}).content.decode()
    assert "48 reading" in page  # three places, four directions, four journals
    assert "full plan" in page


def test_everybody_gets_a_bench(form: Any, people: Any, as_person: Callable[[str], Client]) -> None:
    answer = as_person("lena").post(URL, form)
    task = ClassTask.objects.get()
    assert answer.headers["Location"] == f"/classes/{task.pk}/seats"  # links are to be printed
    assert task.features == "rod_journal main_journal"  # in planned order, not as sent
    jobs = Job.objects.filter(task=task).order_by("number")
    assert [job.number for job in jobs] == [f"C{task.pk}-{n:02d}" for n in range(5)]
    assert [job.is_reference for job in jobs] == [True, False, False, False, False]
    assert [job.pupil for job in jobs] == [None, people["pia"], people["pol"], None, None]
    assert all(job.blind and job.count == 1 for job in jobs)


def test_without_links_the_class_is_shown(form: Any, as_person: Callable[[str], Client]) -> None:
    answer = as_person("lena").post(URL, form | {"links": "", "reference": ""})
    task = ClassTask.objects.get()
    assert answer.headers["Location"] == f"/classes/{task.pk}/"
    assert not Job.objects.filter(is_reference=True).exists()


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ({"title": "  "}, "Give the class a name"),
        ({"features": []}, "Tick at least one thing"),
        ({"features": ["nothing such"]}, "Tick at least one thing"),
        ({"pupils": [], "links": "0"}, "at least one pupil"),
        ({"links": "many"}, "Say how many in digits"),
        ({"links": "61"}, "0 to 60"),
        ({"links": "59"}, "up to 60 benches"),
        ({"links": "-1"}, "Say how many in digits"),
    ],
)
def test_what_cannot_be_is_said_at_its_field_and_nothing_is_made(
    change: Any, sentence: str, form: Any, as_person: Callable[[str], Client]
) -> None:
    answer = as_person("lena").post(URL, form | change)
    assert answer.status_code == 422
    assert sentence in answer.content.decode()
    assert not ClassTask.objects.exists()
    assert not Job.objects.exists()


def test_who_is_no_pupil_gets_no_bench(
    form: Any, people: Any, as_person: Callable[[str], Client]
) -> None:
    as_person("lena").post(URL, form | {"pupils": [str(people["ben"].pk)], "links": "1"})
    assert Job.objects.filter(is_reference=False).get().pupil is None


def test_an_unknown_engine_leads_back_to_the_choice(
    form: Any, as_person: Callable[[str], Client]
) -> None:
    answer = as_person("lena").post(URL, form | {"engine": "0" * 64})
    assert answer.headers["Location"] == URL


def test_a_bench_for_one_machine_has_no_links(
    form: Any, as_person: Callable[[str], Client], settings: Any
) -> None:
    settings.MODE, settings.PORT = "alone", "80"
    client, here = as_person("lena"), {"Host": "127.0.0.1:80"}
    page = client.get(URL, {"engine": form["engine"]}, headers=here).content.decode()
    assert "serve --lan" in page
    client.post(URL, form, headers=here)
    assert Job.objects.filter(is_reference=False).count() == 2


def test_a_number_that_is_taken_is_said(
    form: Any, make_job: Any, begin_class: Any, as_person: Callable[[str], Client]
) -> None:
    last = begin_class()
    make_job(f"C{last.pk + 1}-01")
    answer = as_person("lena").post(URL, form)
    if ClassTask.objects.filter(pk=last.pk + 1).exists():  # a database may skip keys
        assert answer.status_code == 302
    else:
        assert "is there already" in answer.content.decode()
