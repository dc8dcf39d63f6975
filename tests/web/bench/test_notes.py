"""Notes and decisions."""

from __future__ import annotations

import json

import pytest

ADDRESS = "/jobs/J1/notes"


def last(job) -> dict:
    return json.loads(job.entries.order_by("-sequence").first().document)


def test_a_note_is_in_the_record(as_person, make_job):
    job = make_job("J1")
    answer = as_person("ben").post(ADDRESS, {"kind": "note", "text": " scored\n rear "})
    assert answer["Location"] == "/jobs/J1/"
    assert (last(job)["kind"], last(job)["value"]) == ("note", "scored rear")


def test_a_decision_names_its_fit(as_person, make_job):
    job = make_job("J1")
    form = {"kind": "decision", "about": "rod_bearing 1", "text": "grind it"}
    as_person("ben").post(ADDRESS, form)
    entry = last(job)
    found = (entry["kind"], entry["subject"], entry["number"])
    assert found == ("decision", "rod_bearing", 1)
    assert "grind it" in as_person("vera").get("/jobs/J1/").content.decode()


def test_the_form_comes_with_the_fit_that_was_looked_at(as_person, make_job):
    make_job("J1")
    query = {"kind": "decision", "about": "rod_bearing 1"}
    page = as_person("ben").get(ADDRESS, query).content.decode()
    assert '<option value="rod_bearing 1" selected>' in page


@pytest.mark.parametrize("text", ["", "  ", "x" * 501, "a\x00b"])
def test_no_words_or_too_many_get_a_sentence(as_person, make_job, text):
    job = make_job("J1")
    answer = as_person("ben").post(ADDRESS, {"kind": "note", "text": text})
    assert answer.status_code == 400
    assert "write the note" in answer.content.decode()
    job.refresh_from_db()
    assert job.count == 1


def test_a_fit_that_is_not_there_gets_a_sentence(as_person, make_job):
    make_job("J1")
    form = {"kind": "decision", "about": "wings 1", "text": "off"}
    assert as_person("ben").post(ADDRESS, form).status_code == 400


def test_who_may_note(statuses, make_job):
    make_job("J1")
    assert statuses(ADDRESS) == {"lena": 200, "ben": 200, "vera": 403, "pia": 404}
    found = statuses(ADDRESS, post={"kind": "note", "text": "seen"})
    assert found == {"lena": 302, "ben": 302, "vera": 403, "pia": 404}
