"""Saying what a part is or what was done to it; what ends readings is asked once more."""

from __future__ import annotations

import json

import pytest

ADDRESS = "/jobs/J1/parts/step"
GROUND = {"what": "work ground", "subject": "rod_journals", "number": "", "size": "0.25 mm under"}


def last(job) -> dict:
    return json.loads(job.entries.order_by("-sequence").first().document)


@pytest.mark.parametrize(
    ("form", "kind", "value"),
    [
        ({"what": "condition re-used", "subject": "rod_shells"}, "condition", "re-used"),
        ({"what": "size", "subject": "rod_journals", "size": "0.25 mm under"}, "size", "0.25"),
        ({"what": "work replaced", "subject": "rod_shells", "number": "1"}, "work", "replaced"),
        ({"what": "work refitted", "subject": "rod_caps"}, "work", "refitted"),
    ],
)
def test_what_was_done_is_in_the_record(as_person, make_job, form, kind, value):
    job = make_job("J1")
    answer = as_person("ben").post(ADDRESS, form)
    assert answer["Location"] == "/jobs/J1/parts/"
    entry = last(job)
    assert entry["kind"] == kind
    assert value in entry["value"]
    assert entry["person"].startswith("who-")


@pytest.mark.parametrize("word", ["passed", "failed"])
def test_a_zero_check_is_in_the_record(as_person, make_job, shop_revision, word):
    from oilwedge.web.record.judged import current_shop

    job = make_job("J1")
    key = next(iter(current_shop().instruments))
    as_person("ben").post(ADDRESS, {"what": f"zero check {word}", "subject": key, "note": "0.01"})
    entry = last(job)
    found = (entry["kind"], entry["instrument"], entry["value"])
    assert found == ("zero_check", key, word)


def test_work_that_ends_readings_says_which_and_asks_once_more(as_person, make_job, fill):
    job = make_job("J1")
    fill(job)
    before = job.count
    page = as_person("ben").post(ADDRESS, GROUND).content.decode()
    assert "stop judging" in page
    assert "rod journal 1" in page
    job.refresh_from_db()
    assert job.count == before


def test_said_twice_it_is_done(as_person, make_job, fill):
    job = make_job("J1")
    fill(job)
    as_person("ben").post(ADDRESS, {**GROUND, "sure": "yes"})
    entry = last(job)
    assert (entry["value"], entry["step_m"]) == ("ground to 0.25 mm under", 0.00025)
    page = as_person("ben").get("/jobs/J1/").content.decode()
    assert "to be measured again" in page


@pytest.mark.parametrize(
    ("form", "said"),
    [
        ({"what": "", "subject": "rod_shells"}, "Choose what it is"),
        ({"what": "condition broken", "subject": "rod_shells"}, "new, machined or re-used"),
        ({"what": "work eaten", "subject": "rod_shells"}, "the work is"),
        ({"what": "condition new", "subject": "wings"}, "no part or feature"),
        ({"what": "condition new", "subject": ""}, "no part or feature"),
        ({"what": "condition new", "subject": "rod_shells", "number": "9"}, "numbers are 1 to 1"),
        ({"what": "condition new", "subject": "rod_shells", "number": "x"}, "whole number"),
        ({"what": "condition new", "subject": "rod_shells", "number": "9" * 30}, "whole number"),
        ({"what": "size", "subject": "rod_journals", "size": "smaller"}, "which size"),
        ({"what": "zero check passed", "subject": "wings"}, "names an instrument"),
        ({"what": "zero check perhaps", "subject": "micrometer"}, "passed or failed"),
    ],
)
def test_what_cannot_be_gets_a_sentence_and_changes_nothing(as_person, make_job, form, said):
    job = make_job("J1")
    answer = as_person("ben").post(ADDRESS, form)
    assert answer.status_code == 400
    assert said in answer.content.decode()
    job.refresh_from_db()
    assert job.count == 1


def test_a_closed_job_refuses_in_a_sentence(as_person, make_job):
    make_job("J1", closed=True)
    answer = as_person("ben").post(ADDRESS, {"what": "condition new", "subject": "rod_shells"})
    assert answer.status_code == 400
    assert "is closed" in answer.content.decode()


def test_who_may_say_it(statuses, make_job):
    make_job("J1")
    found = statuses(ADDRESS, post={"what": "condition new", "subject": "rod_shells"})
    assert found == {"lena": 302, "ben": 302, "vera": 403, "pia": 404}


def test_a_pupil_says_it_of_the_own_bench(as_person, bench_of):
    bench_of("pia", "C1")
    form = {"what": "condition new", "subject": "rod_shells"}
    assert as_person("pia").post("/jobs/C1/parts/step", form).status_code == 302
    assert as_person("pol").post("/jobs/C1/parts/step", form).status_code == 404
