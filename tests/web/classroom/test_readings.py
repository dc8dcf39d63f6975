"""All readings of a class as a plain table."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable
from typing import Any

import pytest
from class_entries import take
from class_roles import refuses_all_but_leads
from django.test import Client

from oilwedge.usecases.class_readings import HEADER
from oilwedge.web.classroom.opening import open_repeat
from oilwedge.web.record.models import KnownHead


def rows(answer: Any) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(answer.content.decode("utf-8-sig"))))


def test_only_leads_take_it_out(task: Any, as_person: Callable[[str], Client]) -> None:
    refuses_all_but_leads(as_person, f"/classes/{task.pk}/readings.csv")


def test_one_row_stands_for_each_reading(
    task: Any, people: Any, bench_of: Callable[..., Any], as_person: Callable[[str], Client]
) -> None:
    first = bench_of(task, "pia")
    again = open_repeat(first, task=task, pupil=str(people["pol"].pk), by=people["lena"])
    take(bench_of(task, ""))
    take(first, count=12)
    take(again, count=1)
    answer = as_person("lena").get(f"/classes/{task.pk}/readings.csv")
    found = rows(answer)
    assert tuple(found[0]) == HEADER
    assert [one["role"] for one in found] == ["reference"] * 16 + ["pupil"] * 13
    one = found[16]
    assert (one["bench"], one["person"], one["repeat of"]) == (first.number, "Pia Invented", "")
    assert (one["feature"], one["number"], one["place"], one["direction"], one["repeat"]) == (
        "rod_journal", "1", "front", "along", "1",
    )  # fmt: skip
    assert float(one["value (m)"]) == pytest.approx(47.972e-3, abs=1e-9)
    assert (one["as typed"], one["unit"], one["instrument"]) == ("47.972", "mm", "mic")
    assert found[-1]["repeat of"] == first.number
    assert KnownHead.objects.filter(job_number=first.number).exists()  # its chain must pass it


def test_names_may_stay_in_the_shop(
    task: Any, people: Any, bench_of: Callable[..., Any], as_person: Callable[[str], Client]
) -> None:
    take(bench_of(task, "pia"), count=2)
    answer = as_person("lena").get(f"/classes/{task.pk}/readings.csv?names=no")
    assert b"Invented" not in answer.content
    assert {one["person"] for one in rows(answer)} == {f"person {people['pia'].pk}"}


def test_no_cell_is_taken_for_a_formula(
    task: Any, people: Any, bench_of: Callable[..., Any], as_person: Callable[[str], Client]
) -> None:
    people["pia"].full_name = "=1+1"
    people["pia"].save()
    take(bench_of(task, "pia"), count=1)
    answer = as_person("lena").get(f"/classes/{task.pk}/readings.csv")
    assert rows(answer)[0]["person"] == "'=1+1"
