"""The oil film of one bearing: its drawings, its numbers, what it means and does not mean."""

from __future__ import annotations

import pytest

from oilwedge.web.bench import films


@pytest.fixture(autouse=True)
def _nothing_kept(monkeypatch):
    films.forget_films()
    monkeypatch.setattr(films, "DRAWS", 0)
    yield
    films.forget_films()


def page_of(as_person, address: str, name: str = "ben") -> str:
    return as_person(name).get(address).content.decode()


@pytest.mark.slow
def test_a_bearing_has_its_drawings_numbers_and_meaning(as_person, four):
    page = page_of(as_person, f"/jobs/{four.number}/film/rod_bearing/3/")
    assert "How big end 3 will run" in page or "How rod bearing 3" in page
    assert page.count("<figure") == 5
    for title in ("journal path", "film and load", "film against clearance"):
        assert title in page
    assert "at mid-limit" in page
    assert "does not overrule the maker&#x27;s limits" in page


@pytest.mark.slow
def test_the_thinnest_condition_comes_first_and_others_can_be_chosen(as_person, four):
    address = f"/jobs/{four.number}/film/rod_bearing/3/"
    page = page_of(as_person, address)
    assert '<a href="?at=top%20speed" aria-current="true">top speed</a>' in page
    other = page_of(as_person, f"{address}?at=hot%20idle")
    assert '<a href="?at=hot%20idle" aria-current="true">hot idle</a>' in other
    unknown = page_of(as_person, f"{address}?at=moonlight")
    assert '<a href="?at=top%20speed" aria-current="true">top speed</a>' in unknown


@pytest.mark.slow
def test_a_bearing_without_an_answer_says_so(as_person, four):
    page = page_of(as_person, f"/jobs/{four.number}/film/main_bearing/2/")
    assert "There is no film of this bearing" in page
    assert "<figure" not in page


@pytest.mark.slow
def test_the_fit_tells_the_sentence_once_it_is_known(as_person, four):
    fit = f"/jobs/{four.number}/fits/rod_bearing/3/"
    assert "It is calculated when you ask for it" in page_of(as_person, fit)
    page_of(as_person, f"/jobs/{four.number}/film/rod_bearing/3/")
    page = page_of(as_person, fit)
    assert "runs on" in page
    assert "It is calculated when you ask for it" not in page


def test_what_is_hidden_has_no_film(as_person, four):
    answer = as_person("ben").get(f"/jobs/{four.number}/film/rod_bearing/1/")
    assert answer.status_code == 302
    assert answer["Location"] == f"/jobs/{four.number}/fits/rod_bearing/1/"


def test_a_pupil_gets_no_film_before_results_are_shown(as_person, bench_of, fill):
    fill(bench_of("pia", "C1"))
    assert as_person("pia").get("/jobs/C1/film/rod_bearing/1/").status_code == 302
    assert "How it will run" not in page_of(as_person, "/jobs/C1/", "pia")


def test_missing_duty_leads_to_what_is_missing(as_person, make_job):
    make_job("J1", engine="four")
    answer = as_person("ben").get("/jobs/J1/film/rod_bearing/1/")
    assert answer["Location"] == "/jobs/J1/film/"
    page = page_of(as_person, "/jobs/J1/fits/rod_bearing/1/")
    assert "What is missing, and how to get it" in page


@pytest.mark.parametrize("path", ["rod_bearing/99", "nothing/1", "top_ring_gap/1", "rod_bearing/0"])
def test_a_film_that_cannot_be_is_not_found(as_person, four, path):
    assert as_person("ben").get(f"/jobs/{four.number}/film/{path}/").status_code == 404


def test_a_fit_that_is_no_bearing_has_no_film_on_its_page(as_person, four):
    page = page_of(as_person, f"/jobs/{four.number}/fits/crank_end_float/1/")
    assert "<h2>Limits</h2>" in page
    assert "How it will run" not in page


def test_who_sees_the_film_of_a_bearing(statuses, make_job):
    make_job("J1", engine="four")
    found = statuses("/jobs/J1/film/rod_bearing/1/")
    assert found == {"lena": 302, "ben": 302, "vera": 302, "pia": 404}
