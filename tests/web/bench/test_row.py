"""What one job waits for, fetched into the list."""

from __future__ import annotations


def test_a_row_says_what_the_job_waits_for(as_person, make_job):
    make_job("J1")
    row = as_person("ben").get("/jobs/J1/row", headers={"HX-Request": "true"}).content.decode()
    assert row.strip().startswith("<li")
    assert "readings of the plan" in row
    assert "hx-get" not in row  # known now


def test_without_script_a_row_is_the_job_itself(as_person, make_job):
    make_job("J1")
    assert as_person("ben").get("/jobs/J1/row")["Location"] == "/jobs/J1/"


def test_fits_that_are_being_measured_are_not_counted(as_person, make_job, fill):
    job = make_job("J1")
    fill(job, leave=1)
    row = as_person("ben").get("/jobs/J1/row", headers={"HX-Request": "true"}).content.decode()
    assert "work-tally" not in row or "too" not in row


def test_rows_are_for_those_who_see_the_work(statuses, make_job):
    make_job("J1")
    assert statuses("/jobs/J1/row") == {"lena": 302, "ben": 302, "vera": 302, "pia": 404}
