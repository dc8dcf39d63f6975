"""While results are hidden no page of a bench tells its pupil what the readings mean."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import pytest
from class_entries import take
from django.test import Client

from oilwedge.web.classroom.closing import show_results

PAGES = (
    "",
    "now",
    "changes",
    "fits/rod_journal_taper/1/",
    "fits/rod_journal_taper/1/budget",
    "record/",
    "parts/",
    "notes",
    "measure/rod_journal/1/",
)
# The sign of a verdict, or what follows from the readings: a mean of 47.982 mm, a taper of 0.020.
TOLD = re.compile(r"state-(?!not-measured)[a-z-]+|47\.982|\b0\.020? ?(?:±|mm)")


@pytest.fixture
def own(task: Any, bench_of: Callable[..., Any]) -> Any:
    """A bench on which every journal is read, one with a taper."""
    take(bench_of(task, ""))
    job = bench_of(task, "pia")
    take(job, odd=(2, 3))
    return job


@pytest.mark.parametrize("page", PAGES)
def test_a_pupil_is_told_nothing(page: str, own: Any, as_person: Callable[[str], Client]) -> None:
    headers = {"HX-Request": "true"} if page in ("now", "changes") else {}
    answer = as_person("pia").get(f"/jobs/{own.number}/{page}", headers=headers, follow=True)
    found = TOLD.search(answer.content.decode())
    assert found is None, answer.content.decode()[found.start() - 200 : found.end() + 100]


def test_the_search_finds_what_it_looks_for(
    own: Any, task: Any, as_person: Callable[[str], Client]
) -> None:
    show_results(task, shown=True)
    answer = as_person("pia").get(f"/jobs/{own.number}/")
    assert TOLD.search(answer.content.decode())
