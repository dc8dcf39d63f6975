"""Whose engine it is."""

from __future__ import annotations

ADDRESS = "/jobs/J1/owner"


def test_the_owner_is_named_outside_the_chain(as_person, make_job):
    job = make_job("J1")
    as_person("ben").post(ADDRESS, {"owner": "Olaf Invented"})
    assert "Olaf Invented" in as_person("vera").get("/jobs/J1/").content.decode()
    assert not any("Olaf" in one.document for one in job.entries.all())


def test_the_last_word_counts(as_person, make_job):
    make_job("J1")
    client = as_person("ben")
    client.post(ADDRESS, {"owner": "Olaf Invented"})
    client.post(ADDRESS, {"owner": "Olga Invented"})
    page = client.get("/jobs/J1/").content.decode()
    assert "Olga Invented" in page
    assert "Olaf Invented" not in page


def test_no_name_gets_a_sentence(as_person, make_job):
    make_job("J1")
    answer = as_person("ben").post(ADDRESS, {"owner": " "})
    assert answer.status_code == 400
    assert "write the owner" in answer.content.decode()


def test_who_may_name_the_owner(statuses, make_job):
    make_job("J1")
    assert statuses(ADDRESS) == {"lena": 200, "ben": 200, "vera": 403, "pia": 404}
