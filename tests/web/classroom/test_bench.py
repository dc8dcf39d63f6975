"""One bench by itself: blind for its pupil until the teacher shows results."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from class_entries import take
from django.test import Client

from oilwedge.web.classroom.closing import show_results


def url(job: Any) -> str:
    return f"/classes/benches/{job.number}/"


@pytest.fixture
def measured(task: Any, bench_of: Callable[..., Any]) -> Any:
    """Pia read one place 0.02 mm too large, pol all but the last set, the reference is whole."""
    take(bench_of(task, ""))
    take(bench_of(task, "pia"), odd=(2,))
    take(bench_of(task, "pol"), count=14)
    return task


def test_a_pupil_measures_blind(
    measured: Any, bench_of: Callable[..., Any], as_person: Callable[[str], Client]
) -> None:
    page = as_person("pia").get(url(bench_of(measured, "pia"))).content.decode()
    assert "You measure blind" in page
    assert "4 of 4 sets are done" in page
    for told in ("differs", "agrees", "µm", "47.9", "Mark"):
        assert told not in page


def test_after_results_are_shown_a_pupil_sees_the_own_differences(
    measured: Any, bench_of: Callable[..., Any], as_person: Callable[[str], Client]
) -> None:
    show_results(measured, shown=True)
    page = as_person("pia").get(url(bench_of(measured, "pia"))).content.decode()
    assert "1 of 16 places differs from the reference: rod journal 1, rear, along" in page
    assert "+20" in page
    assert "<strong>15 of 16</strong>" in page
    for told in ("Pol", "Lena Invented measured", bench_of(measured, "pol").number):
        assert told not in page


def test_a_set_that_is_not_whole_stays_hidden_from_its_pupil(
    measured: Any, bench_of: Callable[..., Any], as_person: Callable[[str], Client]
) -> None:
    show_results(measured, shown=True)
    own = bench_of(measured, "pol")
    page = as_person("pol").get(url(own)).content.decode()
    assert "Rod journal 3" in page
    assert "Rod journal 4" not in page
    assert "Mark" not in page
    assert "Rod journal 4" not in as_person("lena").get(url(own)).content.decode()


@pytest.mark.parametrize("shown", [False, True])
def test_a_pupil_gets_nobody_elses_bench(
    shown: bool, measured: Any, bench_of: Callable[..., Any], as_person: Callable[[str], Client]
) -> None:
    show_results(measured, shown=shown)
    client = as_person("pia")
    there_is_none = client.get("/classes/benches/C999-01/")
    for job in (bench_of(measured, "pol"), bench_of(measured, "")):
        answer = client.get(url(job))
        assert answer.status_code == there_is_none.status_code == 404
        for page in (f"/jobs/{job.number}/", f"/jobs/{job.number}/measure/"):
            assert client.get(page).status_code == 404


def test_builder_and_viewer_see_no_bench_of_a_class(
    measured: Any, bench_of: Callable[..., Any], as_person: Callable[[str], Client]
) -> None:
    for name in ("ben", "vera"):
        assert as_person(name).get(url(bench_of(measured, "pia"))).status_code == 404


def test_a_lead_sees_it_all_the_time(
    measured: Any, bench_of: Callable[..., Any], as_person: Callable[[str], Client]
) -> None:
    page = as_person("lena").get(url(bench_of(measured, "pia"))).content.decode()
    assert "Pia Invented" in page
    assert "1 of 16 places differs" in page


def test_the_reference_is_not_compared_with_itself(
    measured: Any, bench_of: Callable[..., Any], as_person: Callable[[str], Client]
) -> None:
    page = as_person("lena").get(url(bench_of(measured, ""))).content.decode()
    assert "the set that the class is held against" in page


def test_a_job_of_the_shop_is_no_bench(
    make_job: Callable[..., Any], as_person: Callable[[str], Client]
) -> None:
    job = make_job("J1")
    assert as_person("lena").get(url(job)).status_code == 404


def test_the_unit_can_be_changed(
    measured: Any, bench_of: Callable[..., Any], as_person: Callable[[str], Client]
) -> None:
    page = as_person("lena").get(url(bench_of(measured, "pia")), {"unit": "in"}).content.decode()
    assert "+0.8 thou" in page.replace("\N{NO-BREAK SPACE}", " ")  # 20 µm are 0.79 thousandths


def test_who_is_not_in_is_led_to_the_login(measured: Any, bench_of: Callable[..., Any]) -> None:
    assert "/login" in Client().get(url(bench_of(measured, "pia"))).headers["Location"]
