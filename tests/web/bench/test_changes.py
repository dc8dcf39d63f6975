"""What changed since yesterday, or since a day of choice."""

from __future__ import annotations

import datetime

import pytest
from django.utils import timezone

HTMX = {"HX-Request": "true"}


@pytest.fixture
def older(make_job, fill, monkeypatch):
    """A job that was begun three days ago and measured now."""
    from oilwedge.web.record import store

    three_days = datetime.timedelta(days=3)
    now = timezone.now
    monkeypatch.setattr(store.timezone, "now", lambda: now() - three_days)
    job = make_job("J1")
    monkeypatch.undo()
    fill(job)
    return job


def test_what_came_since_yesterday_is_told(as_person, older):
    page = as_person("ben").get("/jobs/J1/changes").content.decode()
    assert "new reading" in page


def test_a_job_that_was_begun_since_is_new_altogether(as_person, make_job):
    make_job("J1")
    page = as_person("ben").get("/jobs/J1/changes").content.decode()
    assert "The job was begun since then" in page


def test_nothing_came_since_tomorrow(as_person, older):
    tomorrow = (timezone.now() + datetime.timedelta(days=1)).date().isoformat()
    page = as_person("ben").get("/jobs/J1/changes", {"since": tomorrow}).content.decode()
    assert "Nothing came since then" in page


@pytest.mark.parametrize("since", ["yesterday", "2031-99-01", "0001-01-01", "9" * 50])
def test_a_day_that_is_none_gets_a_sentence(as_person, make_job, since):
    make_job("J1")
    answer = as_person("ben").get("/jobs/J1/changes", {"since": since})
    assert answer.status_code in (200, 400)
    if answer.status_code == 400:
        assert "is written like 2031-03-01" in answer.content.decode()


def test_a_script_gets_the_part_alone(as_person, older):
    assert "<html" not in as_person("ben").get("/jobs/J1/changes", headers=HTMX).content.decode()


def test_a_pupil_reads_no_verdict_in_the_changes(as_person, bench_of, fill, monkeypatch):
    job = bench_of("pia", "C1")
    opened = timezone.now() - datetime.timedelta(days=3)
    type(job).objects.filter(pk=job.pk).update(opened_at=opened)
    fill(job)
    page = as_person("pia").get("/jobs/C1/changes").content.decode()
    assert "was not measured, is" not in page


def test_who_sees_the_changes(statuses, make_job):
    make_job("J1")
    found = statuses("/jobs/J1/changes")
    assert found == {"lena": 200, "ben": 200, "vera": 200, "pia": 404}
