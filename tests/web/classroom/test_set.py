"""One set of a class: benches by places, and repeats by a second person."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from class_entries import take
from class_roles import refuses_all_but_leads
from django.test import Client

from oilwedge.web.classroom.opening import open_repeat


def words(answer: Any) -> str:
    return " ".join(answer.content.decode().replace("\N{NO-BREAK SPACE}", " ").split())


def test_only_leads_see_it(task: Any, as_person: Callable[[str], Client]) -> None:
    refuses_all_but_leads(as_person, f"/classes/{task.pk}/sets/rod_journal/1/")


def test_each_bench_stands_at_each_place(twenty: Any, as_person: Callable[[str], Client]) -> None:
    page = words(as_person("lena").get(f"/classes/{twenty.pk}/sets/rod_journal/4/"))
    assert page.count('<th scope="row">') == 21
    assert page.count("not read") >= 15 * 4
    for place in ("Front, along", "Front, across", "Rear, along", "Rear, across"):
        assert f'<th scope="col">{place}</th>' in page
    assert "47.974 mm ±" in page


def test_a_repeat_is_held_against_the_first_bench(
    task: Any, people: Any, bench_of: Callable[..., Any], as_person: Callable[[str], Client]
) -> None:
    first = bench_of(task, "pia")
    again = open_repeat(first, task=task, pupil=str(people["pol"].pk), by=people["lena"])
    take(bench_of(task, ""))
    take(first, off_mm=0.02)
    take(again, off_mm=0.021)
    page = words(as_person("lena").get(f"/classes/{task.pk}/sets/rod_journal/1/"))
    table = page.split("Measured again by somebody else")[1]
    assert f"{first.number} again by Pol Invented" in table
    assert table.count("+1 µm") == 4  # the second less the first, though both differ
    assert "agrees" in table
    assert "differs" not in table


def test_a_set_that_the_class_does_not_measure_is_not_there(
    task: Any, as_person: Callable[[str], Client]
) -> None:
    client = as_person("lena")
    for path in ("main_journal/1", "rod_journal/5", "nothing/1"):
        assert client.get(f"/classes/{task.pk}/sets/{path}/").status_code == 404
