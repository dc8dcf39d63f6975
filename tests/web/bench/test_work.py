"""The first page: what is in hand, for whom, and how quickly it knows."""

from __future__ import annotations

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext


def test_an_empty_shop_begins_with_a_new_job(as_person):
    page = as_person("ben").get("/").content.decode()
    assert "New job" in page
    assert "oilwedge says of every running fit whether it is right" in page


def test_who_may_not_begin_a_job_gets_no_button(as_person):
    assert "New job" not in as_person("vera").get("/").content.decode()


def test_nobody_sees_work_without_logging_in(client, make_job):
    make_job("J1")
    answer = client.get("/")
    assert answer.status_code == 302
    assert "/login" in answer["Location"]


def test_jobs_stand_with_what_they_wait_for(as_person, make_job):
    from oilwedge.web.record.judged import summary_of

    job = make_job("J1", title="The tractor")
    summary_of(job)
    page = as_person("vera").get("/").content.decode()
    assert "The tractor" in page
    assert "readings of the plan" in page


def test_a_job_that_was_not_judged_is_fetched_by_itself(as_person, make_job):
    make_job("J1")
    page = as_person("ben").get("/").content.decode()
    assert 'hx-get="/jobs/J1/row"' in page
    assert 'href="/jobs/J1/"' in page  # and there is a link without script


def test_a_pupil_is_led_to_the_own_bench(as_person, bench_of):
    bench_of("pia", "C1")
    answer = as_person("pia").get("/")
    assert (answer.status_code, answer["Location"]) == (302, "/jobs/C1/")


def test_benches_of_a_class_stand_on_the_page_of_the_class(as_person, bench_of, make_job):
    bench_of("pia", "C1")
    make_job("J1")
    page = as_person("lena").get("/").content.decode()
    assert "/jobs/J1/" in page
    assert "/jobs/C1/" not in page


@pytest.mark.parametrize("search", ["tractor", "J1", "wren", "TRACTOR"])
def test_a_job_is_found_by_number_words_or_engine(as_person, make_job, search):
    make_job("J1", title="The tractor")
    make_job("X2", engine="four", title="The boat")
    page = as_person("ben").get("/", {"search": search}).content.decode()
    assert "/jobs/J1/" in page
    assert "/jobs/X2/" not in page


def test_closed_jobs_stand_apart(as_person, make_job):
    make_job("J1")
    make_job("J2", closed=True)
    assert "/jobs/J2/" not in as_person("ben").get("/").content.decode()
    page = as_person("ben").get("/", {"all": "closed"}).content.decode()
    assert "/jobs/J2/" in page
    assert "/jobs/J1/" not in page


def test_twenty_five_jobs_stand_on_a_page(as_person, make_job):
    for number in range(27):
        make_job(f"J{number}")
    first = as_person("ben").get("/").content.decode()
    second = as_person("ben").get("/", {"page": "2"}).content.decode()
    assert first.count("work-number") == 25
    assert second.count("work-number") == 2
    assert "Page 1 of 2" in first


@pytest.mark.parametrize("page", ["0", "-1", "99", "x", "1e9"])
def test_a_page_that_is_not_there_shows_one_that_is(as_person, make_job, page):
    make_job("J1")
    assert "/jobs/J1/" in as_person("ben").get("/", {"page": page}).content.decode()


def test_more_jobs_ask_the_database_no_more_often(as_person, make_job):
    def asked() -> int:
        client = as_person("ben")
        with CaptureQueriesContext(
            connection,
        ) as queries:
            client.get("/")
        return len(queries)

    make_job("J0")
    one = asked()
    for number in range(1, 12):
        make_job(f"J{number}")
    assert asked() == one
