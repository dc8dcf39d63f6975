"""Answers to what the record asked back."""

from __future__ import annotations

import json

import pytest


def asked_of(job) -> dict:
    from oilwedge.web.record.judged import summary_of

    return summary_of(job)["asked"][0]


def form_of(one: dict, **more: str) -> dict[str, str]:
    return {
        "feature": one["feature"],
        "number": str(one["number"]),
        "reading": one["reading"],
        **more,
    }


def last(job) -> dict:
    return json.loads(job.entries.order_by("-sequence").first().document)


def test_a_reading_that_is_right_is_confirmed(as_person, four):
    one = asked_of(four)
    answer = as_person("ben").post(f"/jobs/{four.number}/answer", form_of(one))
    assert answer["Location"] == f"/jobs/{four.number}/"
    assert (last(four)["kind"], last(four)["value"]) == ("confirmed", one["reading"])
    four.refresh_from_db()
    from oilwedge.web.record.judged import summary_of

    assert not summary_of(four)["asked"]


def test_the_same_answer_twice_gets_a_sentence(as_person, four):
    client, form = as_person("ben"), form_of(asked_of(four))
    client.post(f"/jobs/{four.number}/answer", form)
    again = client.post(f"/jobs/{four.number}/answer", form)
    assert again.status_code == 400
    assert "nobody asks this any more" in again.content.decode().lower()


@pytest.fixture
def undersize(make_job):
    """A rod journal whose readings all lie 0.25 mm under its nominal size."""
    from oilwedge.job.entry import Reading
    from oilwedge.web.record.store import append_entries

    job = make_job("J1")
    readings = [
        Reading(
            id=f"r-{place}-{direction}",
            feature="rod_journal",
            number=1,
            place=place,
            direction=direction,
            value_m=0.04773,
            text="47.730",
            unit="mm",
        )
        for place in ("front", "rear")
        for direction in ("up and down", "across")
    ]
    append_entries(job=job, entries=readings)
    return job


def test_a_size_is_stated(as_person, undersize):
    one = asked_of(undersize)
    assert one["size"] == ""  # it may be 0.25 mm or 0.010 in; nobody chooses for them
    form = form_of(one, size="0.25 mm under")
    as_person("ben").post("/jobs/J1/answer", form)
    assert (last(undersize)["kind"], last(undersize)["value"]) == ("size", "0.25 mm under")
    assert last(undersize)["step_m"] == pytest.approx(0.00025)


def test_a_size_that_is_none_gets_a_sentence(as_person, undersize):
    form = form_of(asked_of(undersize), size="ground")
    answer = as_person("ben").post("/jobs/J1/answer", form)
    assert answer.status_code == 400
    assert "does not say which size" in answer.content.decode()
    assert undersize.entries.count() == undersize.count


@pytest.mark.parametrize("number", ["", "x", "99", "-1"])
def test_an_answer_to_nothing_gets_a_sentence(as_person, four, number):
    form = {"feature": "rod_journal", "number": number, "reading": ""}
    assert as_person("ben").post(f"/jobs/{four.number}/answer", form).status_code == 400


def test_who_may_answer(statuses, four):
    post = {"feature": "", "number": "", "reading": ""}
    found = statuses(f"/jobs/{four.number}/answer", post=post)
    assert found == {"lena": 400, "ben": 400, "vera": 403, "pia": 404}


def test_a_look_at_the_address_leads_to_the_job(as_person, four):
    answer = as_person("ben").get(f"/jobs/{four.number}/answer")
    assert answer["Location"] == f"/jobs/{four.number}/"
