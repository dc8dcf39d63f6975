"""The page of a job: the crank to touch, what to do next, what is hidden while it is measured."""

from __future__ import annotations

import re

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from oilwedge.job.entry import Event, EventKind


def page_of(as_person, number: str, name: str = "ben", **query: str) -> str:
    return as_person(name).get(f"/jobs/{number}/", query).content.decode()


def test_who_sees_a_job(statuses, make_job):
    make_job("J1")
    assert statuses("/jobs/J1/") == {"lena": 200, "ben": 200, "vera": 200, "pia": 404}


def test_a_number_that_is_not_there_looks_like_one_that_is_not_yours(as_person, make_job):
    make_job("J1")
    pia = as_person("pia")
    pages = [pia.get(address).content.decode() for address in ("/jobs/J1/", "/jobs/J9/")]
    one, other = (re.sub(r'(value="|Token": ")\w+"', "", page) for page in pages)
    assert one == other


def test_a_pupil_sees_the_own_bench_and_no_other(as_person, bench_of):
    bench_of("pia", "C1")
    assert as_person("pia").get("/jobs/C1/").status_code == 200
    assert as_person("pol").get("/jobs/C1/").status_code == 404
    assert as_person("vera").get("/jobs/C1/").status_code == 404


def test_every_bearing_is_a_way_into_measuring_it(as_person, make_job):
    make_job("J1", engine="four")
    page = page_of(as_person, "J1")
    for feature, count in (("rod_journal", 4), ("main_journal", 5)):
        for number in range(1, count + 1):
            assert f'href="/jobs/J1/measure/{feature}/{number}/"' in page


def test_for_who_only_looks_a_bearing_leads_to_its_fit(as_person, make_job):
    make_job("J1")
    page = page_of(as_person, "J1", "vera")
    assert 'href="/jobs/J1/fits/rod_bearing/1/"' in page
    assert "Touch a bearing" not in page


def test_a_new_job_says_what_to_measure_first(as_person, make_job):
    make_job("J1")
    assert "Measure: " in page_of(as_person, "J1")


def test_a_measured_job_asks_for_the_signature(as_person, make_job, fill):
    fill(make_job("J1"))
    page = page_of(as_person, "J1")
    assert "Build sheet" in page
    assert "waits for" in page


def test_a_viewer_is_not_sent_to_measure(as_person, make_job):
    make_job("J1")
    page = page_of(as_person, "J1", "vera")
    assert "button-large" not in page
    assert "waits for" in page


def test_a_fit_is_hidden_until_its_sets_are_whole(as_person, make_job, fill):
    job = make_job("J1")
    fill(job, leave=1)
    page = page_of(as_person, "J1")
    assert "Being measured" in page
    fill_rest = as_person("ben").get("/jobs/J1/fits/rod_bearing/1/").content.decode()
    assert "being measured" in fill_rest or "big-number" in fill_rest


def test_a_lead_may_see_results_early_where_that_was_switched(as_person, make_job, fill):
    job = make_job("J1", blind=False)
    fill(job, leave=1)
    assert "Being measured" not in page_of(as_person, "J1", "lena")
    assert "Being measured" in page_of(as_person, "J1", "ben")


def test_a_pupil_sees_no_verdict_before_it_is_shown(as_person, bench_of, fill):
    job = bench_of("pia", "C1")
    fill(job)
    page = page_of(as_person, "C1", "pia")
    assert "You measure blind" in page
    assert "fit-value" not in page
    assert "state-right" not in page


def test_a_pupil_sees_the_verdicts_once_they_are_shown(as_person, bench_of, fill):
    fill(bench_of("pia", "C1", shows_results=True))
    assert "You measure blind" not in page_of(as_person, "C1", "pia")


def test_a_closed_job_says_so_and_takes_nothing(as_person, make_job):
    make_job("J1", closed=True)
    page = page_of(as_person, "J1")
    assert "This job is closed" in page
    assert "Measure: " not in page
    assert "/measure/rod_journal/1/" not in page.split("Measurements")[0]


def test_a_question_is_asked_back_with_its_answers(as_person, four):
    page = page_of(as_person, four.number)
    assert "turn of 0.50 mm" in page
    assert "It is right as it was read" in page
    assert "Read it again" in page


def test_what_was_refused_stays_in_sight(as_person, four):
    assert f"/jobs/{four.number}/parked" in page_of(as_person, four.number)


def test_notes_and_people_stand_on_the_page(as_person, people, make_job):
    from oilwedge.web.bench.saying import say

    job = make_job("J1")
    note = Event(id="", kind=EventKind.NOTE, value="scored <b>rear</b>")
    say(job=job, account=people["ben"], event=note)
    page = page_of(as_person, "J1")
    assert "scored &lt;b&gt;rear&lt;/b&gt;" in page
    assert "Ben Invented" in page


@pytest.mark.parametrize("unit", ["mm", "in", "thou"])
def test_the_unit_is_switched_at_a_touch(as_person, four, unit):
    assert f" {unit}" in page_of(as_person, four.number, unit=unit)


def test_the_page_judges_nothing_when_a_summary_is_stored(as_person, four, monkeypatch):
    from oilwedge.web.record import judged

    client = as_person("ben")
    client.get(f"/jobs/{four.number}/")
    judged._judgement.cache_clear()
    monkeypatch.setattr(judged, "judge", None)
    assert client.get(f"/jobs/{four.number}/").status_code == 200


def test_more_readings_ask_the_database_no_more_often(as_person, make_job, fill):
    def asked(number: str) -> int:
        client = as_person("ben")
        client.get(f"/jobs/{number}/")
        with CaptureQueriesContext(connection) as queries:
            client.get(f"/jobs/{number}/")
        return len(queries)

    make_job("J1")
    job = make_job("J2", engine="four")
    fill(job)
    assert asked("J2") <= asked("J1")


def test_the_page_speaks_the_words_of_the_shop(as_person, make_job, shop_revision):
    from oilwedge.web.record.models import ShopRevision

    make_job("J1", engine="four")
    assert "Crank end float" in page_of(as_person, "J1")
    text = shop_revision.text + '\n[words]\nend_float = "end play"\nshell = "insert"\n'
    ShopRevision.objects.create(number=2, text=text, digest="d" * 64)
    page = page_of(as_person, "J1")
    assert "end play" in page
    assert "end float" not in page.lower()
    fit = as_person("ben").get("/jobs/J1/fits/crank_end_float/1/").content.decode()
    assert "Crank end play" in fit


def test_after_a_good_zero_check_the_doubted_reading_is_read_again(as_person, demo_shop):
    client = as_person("ben")
    assert "Check the zero" in page_of(as_person, "demo-3")
    from oilwedge.web.record.judged import judged
    from oilwedge.web.record.models import Job

    doubted = judged(Job.objects.get(number="demo-3")).standing.doubted[0]
    form = {"what": "zero check passed", "subject": doubted.instrument}
    client.post("/jobs/demo-3/parts/step", form)
    page = page_of(as_person, "demo-3")
    assert "Read again: " in page
    where = f"/jobs/demo-3/measure/{doubted.reading.feature}/{doubted.reading.number}/"
    assert where in page
