"""What a person sees when the record is out of reach: a sentence, a way back, no inside."""

from __future__ import annotations

import pytest
from django.db import InterfaceError, OperationalError

from oilwedge.web.bench import job_views, work_views


@pytest.mark.parametrize(
    ("error", "said"),
    [
        (OperationalError("database is locked"), "The record is busy"),
        (OperationalError("database or disk is full"), "disk of the shop's machine is full"),
        (OperationalError("could not connect to server"), "cannot be reached"),
        (InterfaceError("connection already closed"), "cannot be reached"),
    ],
)
def test_a_record_out_of_reach_gets_a_sentence(as_person, make_job, monkeypatch, error, said):
    make_job("J1")

    def broken(*args: object, **more: object) -> None:
        raise error

    monkeypatch.setattr(job_views, "job_page", broken)
    answer = as_person("ben").get("/jobs/J1/")
    assert answer.status_code == 503
    assert said in answer.content.decode().replace("&#x27;", "'")
    assert "Traceback" not in answer.content.decode()


def test_a_page_stands_even_when_nobody_can_be_looked_up(as_person, monkeypatch):
    from django.contrib.sessions.backends.db import SessionStore

    client = as_person("ben")

    def gone(self: object, *args: object) -> None:
        raise OperationalError("could not connect to server")

    monkeypatch.setattr(SessionStore, "load", gone)
    answer = client.get("/")
    assert answer.status_code == 503
    assert "cannot be reached" in answer.content.decode()


def test_a_script_gets_the_sentence_alone(as_person, monkeypatch, db):
    def broken(*args: object, **more: object) -> None:
        raise OperationalError("database is locked")

    monkeypatch.setattr(work_views, "work_list", broken)
    answer = as_person("ben").get("/", headers={"Accept": "application/json"})
    assert (answer.status_code, answer["Content-Type"]) == (503, "application/json")
    assert "busy" in answer.json()["sentence"]


def test_what_is_not_there_stands_in_no_log(as_person, db, caplog):
    as_person("ben").get("/jobs/J9/")
    assert not [one for one in caplog.records if one.name == "oilwedge.web.faults"]
