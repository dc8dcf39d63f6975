"""The page of a class."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from class_entries import take
from class_roles import refuses_all_but_leads
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext


def words(answer: Any) -> str:
    return " ".join(answer.content.decode().replace("\N{NO-BREAK SPACE}", " ").split())


def test_only_leads_see_a_class(task: Any, as_person: Callable[[str], Client]) -> None:
    refuses_all_but_leads(as_person, f"/classes/{task.pk}/")
    refuses_all_but_leads(as_person, f"/classes/{task.pk + 1}/")  # there or not, it says the same
    assert as_person("lena").get(f"/classes/{task.pk + 1}/").status_code == 404


def test_all_twenty_stand_on_one_page(twenty: Any, as_person: Callable[[str], Client]) -> None:
    page = words(as_person("lena").get(f"/classes/{twenty.pk}/"))
    assert page.count('<li id="bench-') == 20
    assert '<span class="number">5</span> done' in page
    assert '<span class="number">15</span> measuring' in page
    assert "All 12 places read so far agree with the reference." in page
    assert "1 of 12 places differs from the reference: rod journal 1, rear, across, by +" in page


def test_who_is_stuck_is_named_with_the_set(
    twenty: Any, as_person: Callable[[str], Client]
) -> None:
    page = words(as_person("lena").get(f"/classes/{twenty.pk}/"))
    assert "Stuck, nothing entered for ten minutes or more: " in page
    stuck = page.split("ten minutes or more: ")[1].split("</p>")[0]
    assert stuck.count("<a ") == 1
    assert "at rod journal 4" in stuck
    assert page.count('class="stuck"') == 1


def test_the_crank_says_agreement_to_those_who_do_not_see_it(
    twenty: Any, as_person: Callable[[str], Client]
) -> None:
    page = words(as_person("lena").get(f"/classes/{twenty.pk}/"))
    assert "rod 1: differs; main 2: not read; rod 2: agrees" in page
    assert "readings disagree" not in page


def test_twenty_take_no_more_queries_than_two(
    task: Any, twenty: Any, as_person: Callable[[str], Client]
) -> None:
    client = as_person("lena")
    counts = []
    for one in (task, twenty, task, twenty):
        with CaptureQueriesContext(
            connection,
        ) as asked:
            client.get(f"/classes/{one.pk}/")
        counts.append(len(asked))
    assert counts[1] <= counts[0]
    assert counts[2] == counts[3] < counts[0]  # the records were compared already
    assert counts[2] < 10


def test_the_reference_counts_once_it_is_whole(
    task: Any, bench_of: Callable[..., Any], as_person: Callable[[str], Client]
) -> None:
    client, url = as_person("lena"), f"/classes/{task.pk}/"
    take(bench_of(task, "pia"))
    take(bench_of(task, ""), count=15)
    page = words(client.get(url))
    assert "Your reference is not complete (3 of 4 sets)" in page
    assert "Nothing to compare yet." in page  # the median of one bench says nothing


def test_a_pupil_is_held_against_a_whole_reference(
    task: Any, bench_of: Callable[..., Any], as_person: Callable[[str], Client]
) -> None:
    take(bench_of(task, "pia"), odd=(0,))
    take(bench_of(task, ""))
    page = words(as_person("lena").get(f"/classes/{task.pk}/"))
    assert "1 of 16 places differs from the reference" in page
    assert "15 of 16" in page


def test_an_instrument_that_left_the_shop_breaks_nothing(
    task: Any, bench_of: Callable[..., Any], as_person: Callable[[str], Client]
) -> None:
    from dataclasses import replace

    from class_entries import NOON, PLACES, reading

    from oilwedge.web.record.store import append_entries

    gone = replace(reading(PLACES[0], 47.99, time=NOON), instrument="sold_micrometer")
    append_entries(job=bench_of(task, "pia"), entries=[gone])
    take(bench_of(task, ""))
    page = words(as_person("lena").get(f"/classes/{task.pk}/"))
    assert '<span class="number">1</span> measuring' in page
    assert "Nothing to compare yet." in page


def test_benches_without_a_pupil_are_pointed_at(
    begin_class: Callable[..., Any], as_person: Callable[[str], Client]
) -> None:
    task = begin_class(["pia"], links=1)
    assert "1 bench waits for a pupil" in words(as_person("lena").get(f"/classes/{task.pk}/"))
    task = begin_class(["pia"], links=2)
    assert "2 benches wait for a pupil" in words(as_person("lena").get(f"/classes/{task.pk}/"))


def test_an_erased_name_stands_nowhere(
    twenty: Any, people: Any, as_person: Callable[[str], Client]
) -> None:
    from oilwedge.web.people_pages.changing import erase

    erase(people["pol"])
    page = words(as_person("lena").get(f"/classes/{twenty.pk}/"))
    assert "Pol Invented" not in page
