"""The page of a fit: its number, its window, what is wrong, what it rests on."""

from __future__ import annotations

import pytest


def page_of(as_person, address: str, name: str = "ben") -> str:
    return as_person(name).get(address).content.decode()


def test_a_fit_shows_its_number_state_and_window(as_person, four):
    page = page_of(as_person, f"/jobs/{four.number}/fits/rod_bearing/3/")
    assert '<p class="big-number">0.044 <small>± 0.005 mm</small></p>' in page
    assert "loose" in page
    assert "by strip" in page
    assert "0.021 to 0.049 mm" in page


def test_a_fit_says_what_is_wrong_and_what_to_do(as_person, four):
    page = page_of(as_person, f"/jobs/{four.number}/fits/main_bearing/4/")
    assert "too tight" in page


def test_ways_that_disagree_have_no_number_of_their_own(as_person, four):
    page = page_of(as_person, f"/jobs/{four.number}/fits/main_bearing/2/")
    assert "no average is taken" in page
    assert "big-number" not in page


def test_a_learner_finds_the_words(as_person, four):
    page = page_of(as_person, f"/jobs/{four.number}/fits/rod_bearing/3/")
    assert "What this is" in page
    assert "Hourglass" in page


def test_neighbours_and_readings_stand_below(as_person, four):
    page = page_of(as_person, f"/jobs/{four.number}/fits/rod_bearing/3/")
    assert f'href="/jobs/{four.number}/fits/rod_bearing/4/"' in page
    assert "readings behind it" in page


def test_a_fit_that_is_being_measured_shows_no_number(as_person, four):
    page = page_of(as_person, f"/jobs/{four.number}/fits/rod_bearing/1/")
    assert "It is being measured" in page
    assert "big-number" not in page
    assert "readings behind it" not in page


def test_a_fit_that_is_being_measured_is_no_neighbour(as_person, four):
    page = page_of(as_person, f"/jobs/{four.number}/fits/rod_bearing/3/")
    assert "/fits/rod_bearing/1/" not in page


def test_a_pupil_sees_no_number_before_it_is_shown(as_person, bench_of, fill):
    fill(bench_of("pia", "C1"))
    page = page_of(as_person, "/jobs/C1/fits/rod_bearing/1/", "pia")
    assert "big-number" not in page


def test_a_fit_of_an_unmeasured_engine_says_what_is_missing(as_person, make_job):
    make_job("J1")
    page = page_of(as_person, "/jobs/J1/fits/rod_bearing/1/")
    assert "not measured" in page


@pytest.mark.parametrize("path", ["rod_bearing/99", "nothing/1", "rod_bearing/0"])
def test_a_fit_that_is_not_there_is_not_found(as_person, make_job, path):
    make_job("J1")
    assert as_person("ben").get(f"/jobs/J1/fits/{path}/").status_code == 404


def test_who_sees_a_fit(statuses, make_job):
    make_job("J1")
    found = statuses("/jobs/J1/fits/rod_bearing/1/")
    assert found == {"lena": 200, "ben": 200, "vera": 200, "pia": 404}
