"""Closing a job: what is left to do stands in the way, and only a lead goes past it."""

from __future__ import annotations

import json

import pytest

ADDRESS = "/jobs/J1/close"
WAYS = {"rod_journal": ("along", "across"), "rod_shell_bore": ("square",)}


@pytest.fixture
def done(make_job, fill, as_person):
    """A job with every reading of its plan, decided and signed."""
    from oilwedge.web.record.judged import summary_of

    job = make_job("J1")
    fill(job)
    client = as_person("ben")
    for _ in range(50):
        job.refresh_from_db()
        step = summary_of(job)["next_step"]
        if step["kind"] != "decide":
            break
        about = f"{step['fit']} {step['number']}"
        form = {"kind": "decision", "about": about, "text": "left as it is"}
        client.post("/jobs/J1/notes", form)
    client.post("/jobs/J1/sign", {"statement": "Checked.", "head": job.head})
    job.refresh_from_db()
    return job


def test_what_is_left_is_listed_with_ways_to_it(as_person, make_job):
    make_job("J1")
    page = as_person("ben").get(ADDRESS).content.decode()
    assert "readings of the plan" in page.lower()
    assert "The signature" in page
    assert "A lead may close it all the same" in page


def test_a_builder_does_not_close_with_work_left(as_person, make_job):
    job = make_job("J1")
    answer = as_person("ben").post(ADDRESS, {"reason": "sold"})
    assert answer.status_code == 400
    job.refresh_from_db()
    assert not job.closed


def test_a_lead_closes_with_a_reason_that_is_a_decision(as_person, make_job):
    job = make_job("J1")
    assert as_person("lena").post(ADDRESS, {"reason": "sold as it is"})["Location"] == "/jobs/J1/"
    job.refresh_from_db()
    assert job.closed
    decision, closed = [json.loads(one.document) for one in job.entries.order_by("sequence")][-2:]
    assert (decision["kind"], closed["kind"]) == ("decision", "closed")
    assert "sold as it is" in decision["value"]
    assert "of the plan" in decision["note"]


def test_a_lead_gives_a_reason(as_person, make_job):
    job = make_job("J1")
    assert as_person("lena").post(ADDRESS, {"reason": " "}).status_code == 400
    job.refresh_from_db()
    assert not job.closed


def test_a_builder_closes_what_is_done(as_person, done):
    page = as_person("ben").get(ADDRESS).content.decode()
    assert "Nothing is left to do" in page
    as_person("ben").post(ADDRESS)
    done.refresh_from_db()
    assert done.closed


def test_closing_twice_gets_a_sentence(as_person, done):
    as_person("ben").post(ADDRESS)
    answer = as_person("ben").post(ADDRESS)
    assert answer.status_code == 400
    assert "is closed" in answer.content.decode()


def test_who_may_close(statuses, make_job):
    make_job("J1")
    assert statuses(ADDRESS) == {"lena": 200, "ben": 200, "vera": 403, "pia": 404}


def test_every_fit_that_is_not_right_wants_a_decision_first(as_person, make_job):
    from oilwedge.metrology.reading import Reading
    from oilwedge.web.record.judged import summary_of
    from oilwedge.web.record.store import append_entries

    job = make_job("J1")
    sizes = {
        "rod_journal": (47.98, ("front", "rear")),
        "rod_shell_bore": (48.10, ("front", "rear")),
    }
    readings = [
        Reading(
            id=f"{feature}-{place}-{direction}",
            feature=feature,
            number=1,
            place=place,
            direction=direction,
            value_m=value * 1e-3,
            text=f"{value}",
            unit="mm",
        )
        for feature, (value, places) in sizes.items()
        for place in places
        for direction in WAYS[feature]
    ]
    append_entries(job=job, entries=readings)
    job.refresh_from_db()
    fits = {(one["fit"], one["number"]): one for one in summary_of(job)["fits"]}
    assert fits["rod_bearing", 1]["undecided"]
    page = as_person("ben").get(ADDRESS).content.decode()
    assert "A decision on rod bearing 1" in page
    assert "/jobs/J1/notes?kind=decision&amp;about=rod_bearing%201" in page
    form = as_person("ben").get("/jobs/J1/notes?kind=decision&about=rod_bearing%201")
    assert 'value="rod_bearing 1" selected' in form.content.decode()
    said = {"kind": "decision", "about": "rod_bearing 1", "text": "new shells"}
    as_person("ben").post("/jobs/J1/notes", said)
    assert "A decision on rod bearing 1" not in as_person("ben").get(ADDRESS).content.decode()
