"""A pupil's own benches."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.test import Client

from oilwedge.web.classroom.closing import close_class, show_results

URL = "/classes/mine"


def test_a_pupil_finds_the_own_benches_and_no_others(
    begin_class: Callable[..., Any],
    bench_of: Callable[..., Any],
    as_person: Callable[[str], Client],
) -> None:
    first, second = begin_class(), begin_class(["pia"])
    page = as_person("pia").get(URL).content.decode()
    for task in (first, second):
        number = bench_of(task, "pia").number
        assert f'href="/jobs/{number}/measure/"' in page
        assert f'href="/jobs/{number}/"' in page
    assert bench_of(first, "pol").number not in page
    assert bench_of(first, "").number not in page
    assert "Pol Invented" not in page


def test_a_closed_bench_is_not_measured(
    task: Any, people: Any, as_person: Callable[[str], Client]
) -> None:
    close_class(task, by=people["lena"])
    page = as_person("pia").get(URL).content.decode()
    assert "/measure/" not in page
    assert "closed" in page


def test_the_way_to_the_results_is_there_once_they_are_shown(
    task: Any, as_person: Callable[[str], Client]
) -> None:
    client = as_person("pia")
    assert "How it compares" not in client.get(URL).content.decode()
    show_results(task, shown=True)
    assert "How it compares" in client.get(URL).content.decode()


def test_who_has_no_bench_is_told_so(task: Any, as_person: Callable[[str], Client]) -> None:
    for name in ("ben", "vera", "lena"):
        assert "You have no bench" in as_person(name).get(URL).content.decode()


def test_who_is_not_in_is_led_to_the_login(db: None) -> None:
    assert Client().get(URL).headers["Location"] == "/login?next=/classes/mine"
