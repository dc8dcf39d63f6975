"""The oil films of a job: all bearings, on request, from what the record says; nothing written."""

from __future__ import annotations

import sys

import pytest

from oilwedge.web.bench import films

ADDRESS = "/jobs/{}/film/"


@pytest.fixture(autouse=True)
def _nothing_kept():
    films.forget_films()
    yield
    films.forget_films()


@pytest.fixture
def quick(monkeypatch):
    """Few virtual builds: the pages are what is looked at here."""
    monkeypatch.setattr(films, "DRAWS", 0)


def page_of(as_person, number: str, name: str = "ben") -> str:
    return as_person(name).get(ADDRESS.format(number)).content.decode()


@pytest.mark.slow
def test_all_bearings_stand_beside_each_other(as_person, four, quick):
    page = page_of(as_person, four.number)
    assert "Big end 4" in page
    assert "At mid-limit" in page
    assert f'href="/jobs/{four.number}/film/rod_bearing/4/"' in page
    assert page.count("<figure") == 3  # one for each condition of the duty
    assert "does not overrule the maker&#x27;s limits" in page
    assert "What it rests on" in page


@pytest.mark.slow
def test_ways_that_disagree_give_no_film_and_say_so(as_person, four, quick):
    page = page_of(as_person, four.number)
    assert "No answer for main bearing 2: its readings disagree" in page
    assert f"/jobs/{four.number}/film/main_bearing/2/" not in page


@pytest.mark.slow
def test_a_fit_that_is_being_measured_is_left_out(as_person, four, quick):
    page = page_of(as_person, four.number)
    assert f"/jobs/{four.number}/film/rod_bearing/1/" not in page
    assert "No answer for big end 1: it is still being measured" in page


@pytest.mark.slow
def test_a_second_look_computes_nothing_and_the_record_stays_as_it_is(
    as_person, four, quick, monkeypatch
):
    before = (four.head, four.count)
    first = page_of(as_person, four.number)
    monkeypatch.setattr(films, "_computed", lambda *given: pytest.fail("computed again"))
    assert page_of(as_person, four.number).count("<figure") == first.count("<figure")
    four.refresh_from_db()
    assert (four.head, four.count) == before


@pytest.mark.slow
def test_a_new_entry_makes_them_anew(as_person, four, quick):
    assert "Big end 4" in page_of(as_person, four.number)
    as_person("lena").post(f"/jobs/{four.number}/notes", {"kind": "note", "text": "seen"})
    four.refresh_from_db()
    from oilwedge.web.people.models import Account

    assert films.kept_films(four, account=Account.objects.get(username="ben")) is None


def test_missing_duty_is_named_with_the_way_to_get_it(as_person, make_job):
    make_job("J1", engine="four")
    page = page_of(as_person, "J1")
    assert "The length of the rod between its centres" in page
    assert "measure the rod from bore to bore" in page
    assert 'href="/jobs/J1/engine/"' in page


def test_a_viewer_sees_what_is_missing_and_no_way_to_change_it(as_person, make_job):
    make_job("J1", engine="four")
    page = page_of(as_person, "J1", "vera")
    assert "The length of the rod between its centres" in page
    assert 'href="/jobs/J1/engine/"' not in page


def test_without_numba_one_sentence_says_so(as_person, four, monkeypatch):
    for name in ("orbit", "path_kernel"):
        monkeypatch.delitem(sys.modules, f"oilwedge.film.{name}", raising=False)
    monkeypatch.setitem(sys.modules, "numba", None)
    answer = as_person("ben").get(ADDRESS.format(four.number))
    page = answer.content.decode()
    assert answer.status_code == 200
    assert "cannot be calculated" in page
    assert "Numba is needed" in page


def test_a_pupil_gets_no_film_before_results_are_shown(as_person, bench_of, fill):
    fill(bench_of("pia", "C1"))
    answer = as_person("pia").get(ADDRESS.format("C1"))
    assert answer.status_code == 404
    assert "not shown yet" in answer.content.decode()


def test_a_pupil_gets_it_when_results_are_shown(as_person, bench_of):
    bench_of("pia", "C1", shows_results=True)
    assert as_person("pia").get(ADDRESS.format("C1")).status_code == 200


def test_somebody_elses_bench_is_not_there(as_person, bench_of):
    bench_of("pia", "C1", shows_results=True)
    assert as_person("pol").get(ADDRESS.format("C1")).status_code == 404
    assert as_person("vera").get(ADDRESS.format("C1")).status_code == 404


def test_who_is_not_logged_in_is_sent_to_log_in(client, make_job):
    make_job("J1")
    answer = client.get(ADDRESS.format("J1"))
    assert answer.status_code == 302
    assert "/login" in answer["Location"]


def test_who_sees_the_films(statuses, make_job):
    make_job("J1")
    assert statuses(ADDRESS.format("J1")) == {"lena": 200, "ben": 200, "vera": 200, "pia": 404}
