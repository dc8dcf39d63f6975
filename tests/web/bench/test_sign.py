"""Signing the record as it stands."""

from __future__ import annotations

import json

ADDRESS = "/jobs/J1/sign"


def test_a_signature_names_the_head_that_it_stands_under(as_person, make_job):
    job = make_job("J1")
    head = job.head
    answer = as_person("ben").post(ADDRESS, {"statement": "Checked.", "head": head})
    assert answer["Location"] == "/jobs/J1/"
    entry = json.loads(job.entries.last().document)
    assert (entry["kind"], entry["value"]) == ("signed", "Checked.")
    assert head[:16] in entry["note"]


def test_the_page_shows_what_is_signed(as_person, make_job):
    job = make_job("J1")
    page = as_person("ben").get(ADDRESS).content.decode()
    assert job.head in page
    assert "Sign as Ben Invented" in page


def test_a_record_that_grew_meanwhile_is_not_signed(as_person, make_job, fill):
    job = make_job("J1")
    head = job.head
    fill(job)
    answer = as_person("ben").post(ADDRESS, {"statement": "Checked.", "head": head})
    assert answer.status_code == 400
    assert "grew while you read it" in answer.content.decode()


def test_nothing_is_signed_without_words(as_person, make_job):
    job = make_job("J1")
    answer = as_person("ben").post(ADDRESS, {"statement": " ", "head": job.head})
    assert answer.status_code == 400


def test_who_may_sign(statuses, make_job):
    make_job("J1")
    assert statuses(ADDRESS) == {"lena": 200, "ben": 200, "vera": 403, "pia": 404}
    post = {"statement": "Checked.", "head": ""}
    assert statuses(ADDRESS, post=post) == {"lena": 400, "ben": 400, "vera": 403, "pia": 404}
