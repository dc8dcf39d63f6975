"""The budget of a fit, one touch deeper."""

from __future__ import annotations


def test_the_budget_says_what_may_be_wrong_and_the_chances(as_person, four):
    address = f"/jobs/{four.number}/fits/rod_bearing/3/budget"
    page = as_person("ben").get(address).content.decode()
    assert "what may be wrong" in page
    assert "k = " in page
    assert "Chance that it is inside both build limits" in page


def test_what_is_hidden_has_no_budget(as_person, four):
    address = f"/jobs/{four.number}/fits/rod_bearing/1/budget"
    answer = as_person("ben").get(address)
    assert answer["Location"] == f"/jobs/{four.number}/fits/rod_bearing/1/"


def test_a_pupil_gets_no_budget_before_it_is_shown(as_person, bench_of, fill):
    fill(bench_of("pia", "C1"))
    assert as_person("pia").get("/jobs/C1/fits/rod_bearing/1/budget").status_code == 302


def test_a_fit_that_is_not_there_has_no_budget(as_person, make_job):
    make_job("J1")
    assert as_person("ben").get("/jobs/J1/fits/rod_bearing/9/budget").status_code == 404


def test_who_sees_a_budget(statuses, make_job):
    make_job("J1")
    found = statuses("/jobs/J1/fits/rod_bearing/1/budget")
    assert found == {"lena": 200, "ben": 200, "vera": 200, "pia": 404}
