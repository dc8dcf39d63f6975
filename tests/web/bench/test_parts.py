"""The page of parts: what is said of them, and what was said, newest first."""

from __future__ import annotations


def test_parts_and_instruments_stand_to_choose_from(as_person, make_job, shop_revision):
    make_job("J1")
    page = as_person("ben").get("/jobs/J1/parts/").content.decode()
    assert '<option value="rod_journals">' in page
    assert "Zero is off" in page


def test_what_was_said_is_shown_with_who_said_it(as_person, make_job):
    make_job("J1")
    client = as_person("ben")
    client.post("/jobs/J1/parts/step", {"what": "condition new", "subject": "rod_shells"})
    page = client.get("/jobs/J1/parts/").content.decode()
    assert "Rod shells: new" in page
    assert "Ben Invented" in page


def test_a_viewer_reads_and_says_nothing(as_person, make_job):
    make_job("J1")
    page = as_person("vera").get("/jobs/J1/parts/").content.decode()
    assert "Put it into the record" not in page


def test_a_closed_job_takes_no_word(as_person, make_job):
    make_job("J1", closed=True)
    assert "Put it into the record" not in as_person("ben").get("/jobs/J1/parts/").content.decode()


def test_who_sees_the_parts(statuses, make_job):
    make_job("J1")
    found = statuses("/jobs/J1/parts/")
    assert found == {"lena": 200, "ben": 200, "vera": 200, "pia": 404}
