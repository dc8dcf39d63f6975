"""A new job: from the list of engine files, from an uploaded one, and what cannot be."""

from __future__ import annotations

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile


@pytest.fixture
def kept(engine_text, db):
    from oilwedge.usecases.opening import engine_of_text
    from oilwedge.web.record.store import keep_engine

    engine = engine_of_text(engine_text, file="engine.toml")
    return keep_engine(name=engine.name, digest=engine.digest, text=engine_text)


def upload(text: bytes, name: str = "engine.toml") -> SimpleUploadedFile:
    return SimpleUploadedFile(name, text)


def test_who_may_begin_a_job(statuses):
    assert statuses("/jobs/new") == {"lena": 200, "ben": 200, "vera": 403, "pia": 403}


def test_a_job_begins_with_a_file_of_the_list(as_person, kept):
    from oilwedge.web.record.models import Job

    form = {"engine": kept.digest, "number": "A-17", "title": "The tractor"}
    answer = as_person("ben").post("/jobs/new", form)
    assert answer["Location"] == "/jobs/A-17/"
    job = Job.objects.get(number="A-17")
    assert (job.title, job.engine_id, job.count) == ("The tractor", kept.digest, 1)


def test_a_job_without_a_number_gets_the_next_free_one(as_person, kept):
    answer = as_person("ben").post("/jobs/new", {"engine": kept.digest})
    assert answer["Location"].endswith("-0001/")


def test_the_owner_stands_outside_the_chain(as_person, kept):
    from oilwedge.web.record.models import Job, PersonalDatum

    form = {"engine": kept.digest, "number": "A1", "owner": "Olaf Invented"}
    as_person("ben").post("/jobs/new", form)
    job = Job.objects.get(number="A1")
    assert not any("Olaf" in one.document for one in job.entries.all())
    datum = job.personal.get(kind=PersonalDatum.Kind.OWNER)
    assert datum.text == "Olaf Invented"
    assert datum.commitment in job.entries.last().document
    assert "Olaf Invented" in as_person("ben").get("/jobs/A1/").content.decode()


def test_an_engine_file_is_brought_along(as_person, engine_text):
    form = {"upload": upload(engine_text.encode()), "number": "A1"}
    assert as_person("ben").post("/jobs/new", form)["Location"] == "/jobs/A1/"


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"\xff\xfe\x00", "is no text"),
        (b"format = 1\n[engine\n", "engine.toml"),
        (b"# " + b"x" * 2**20, "larger than 1 MB"),
    ],
)
def test_a_file_that_is_no_engine_file_gets_a_sentence(as_person, data, said):
    from oilwedge.web.record.models import Job

    answer = as_person("ben").post("/jobs/new", {"upload": upload(data), "title": "kept"})
    page = answer.content.decode()
    assert answer.status_code == 400
    assert said in page
    assert 'value="kept"' in page  # what was typed is still there
    assert not Job.objects.exists()


@pytest.mark.parametrize(
    "number", ["a/b", "a b", "x" * 41, "new", "import", ".", "..", "../etc", "ü?"]
)
def test_a_number_that_cannot_stand_in_an_address_gets_a_sentence(as_person, kept, number):
    answer = as_person("ben").post("/jobs/new", {"engine": kept.digest, "number": number})
    assert answer.status_code == 400
    assert "letters, digits, hyphens" in answer.content.decode()


def test_a_number_that_is_taken_gets_a_sentence(as_person, kept, make_job):
    make_job("J1")
    answer = as_person("ben").post("/jobs/new", {"engine": kept.digest, "number": "J1"})
    assert answer.status_code == 400
    assert "there already" in answer.content.decode()


@pytest.mark.parametrize("engine", ["", "0" * 64])
def test_without_an_engine_there_is_no_job(as_person, kept, engine):
    answer = as_person("ben").post("/jobs/new", {"engine": engine})
    assert answer.status_code == 400
    assert "Choose an engine file" in answer.content.decode()
