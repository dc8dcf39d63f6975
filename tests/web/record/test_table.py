"""A table of readings sent to a job's page."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client

from oilwedge.job.personal import is_commitment
from oilwedge.web.record.models import Job
from oilwedge.web.record.store import entries_of, people_of

pytestmark = pytest.mark.django_db
AsPerson = Callable[[str], Client]
MakeJob = Callable[..., Job]

GOOD = """feature,number,place,direction,value [mm],person
rod journal,1,front,across,47.972,ada
rod journal,1,rear,across,47.970,ada
"""
BAD = GOOD + "rod journal,9,front,across,47.970,ada\n"


def send(client: Client, text: str | bytes, *, name: str = "readings.csv", **fields: str) -> str:
    data = text.encode() if isinstance(text, str) else text
    answer = client.post("/jobs/J1/table", {"table": SimpleUploadedFile(name, data), **fields})
    return f"{answer.status_code} {answer.content.decode()}"


def test_a_table_adds_its_readings_with_names_outside_the_chain(
    as_person: AsPerson, make_job: MakeJob
) -> None:
    job = make_job("J1")
    assert "2 entries were added" in send(as_person("ben"), GOOD)
    job.refresh_from_db()
    people = {entry.person for entry in entries_of(job) if entry.person}
    assert all(is_commitment(person) for person in people)
    assert list(people_of(job).values()) == ["ada"]


def test_the_same_table_twice_adds_nothing(as_person: AsPerson, make_job: MakeJob) -> None:
    job = make_job("J1")
    client = as_person("ben")
    send(client, GOOD)
    job.refresh_from_db()
    count = job.count
    assert "2 were there already" in send(client, GOOD)
    job.refresh_from_db()
    assert job.count == count


def test_one_bad_row_keeps_all_out_and_is_named(as_person: AsPerson, make_job: MakeJob) -> None:
    job = make_job("J1")
    page = send(as_person("ben"), BAD)
    assert page.startswith("422")
    assert "Nothing was taken" in page
    assert "row 4" in page
    job.refresh_from_db()
    assert job.count == 1


def test_the_good_rows_can_be_kept(as_person: AsPerson, make_job: MakeJob) -> None:
    job = make_job("J1")
    page = send(as_person("ben"), BAD, keep="1")
    assert "2 entries were added" in page
    assert "1 row was not taken" in page
    job.refresh_from_db()
    assert job.count == 3


@pytest.mark.parametrize(
    ("data", "name"),
    [(b"", "readings.csv"), (b"\x89PNG\r\n\x1a\n", "photo.png"), (b"a,b\n1,2\n", "other.csv")],
)
def test_a_file_that_is_no_table_gets_a_sentence(
    as_person: AsPerson, make_job: MakeJob, data: bytes, name: str
) -> None:
    job = make_job("J1")
    assert send(as_person("ben"), data, name=name).startswith("422")
    job.refresh_from_db()
    assert job.count == 1


def test_no_file_at_all_gets_a_sentence(as_person: AsPerson, make_job: MakeJob) -> None:
    make_job("J1")
    answer = as_person("ben").post("/jobs/J1/table", {})
    assert answer.status_code == 422
    assert "o file was chosen" in answer.content.decode()


@pytest.mark.parametrize(("name", "status"), [("vera", 403), ("pia", 404)])
def test_who_may_not_change_a_job_brings_nothing_in(
    as_person: AsPerson, make_job: MakeJob, name: str, status: int
) -> None:
    make_job("J1")
    assert as_person(name).get("/jobs/J1/table").status_code == status
