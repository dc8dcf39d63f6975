"""The switch that lets pupils see the results of their own bench."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from class_entries import take
from class_roles import refuses_all_but_leads
from django.test import Client


def test_only_leads_switch_it(task: Any, as_person: Callable[[str], Client]) -> None:
    url = f"/classes/{task.pk}/results"
    refuses_all_but_leads(as_person, url, method="post", data={"shown": "yes"})
    task.refresh_from_db()
    assert not task.shows_results
    assert as_person("lena").get(url).status_code == 405


def test_pupils_see_verdicts_and_no_more_when_it_is_switched_back(
    task: Any, bench_of: Callable[..., Any], as_person: Callable[[str], Client]
) -> None:
    own = bench_of(task, "pia")
    take(own)
    lead, pupil = as_person("lena"), as_person("pia")
    page = f"/jobs/{own.number}/"
    assert "You measure blind" in pupil.get(page).content.decode()
    lead.post(f"/classes/{task.pk}/results", {"shown": "yes"})
    assert "You measure blind" not in pupil.get(page).content.decode()
    lead.post(f"/classes/{task.pk}/results", {"shown": "no"})
    assert "You measure blind" in pupil.get(page).content.decode()


def test_a_class_that_is_not_there_is_not_found(as_person: Callable[[str], Client]) -> None:
    assert as_person("lena").post("/classes/999999/results").status_code == 404
