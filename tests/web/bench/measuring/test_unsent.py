"""A file of unsent readings, brought by hand."""

import json
from collections.abc import Callable
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client

from oilwedge.web.record.models import Job

URL = "/jobs/J1/unsent"


def saved(author: int, *, job: str = "J1", **fields: Any) -> bytes:
    entry = {
        "id": "b-1",
        "device_time": "2031-03-01T09:00:00Z",
        "author": author,
        "kind": "reading",
        "feature": "rod_journal",
        "number": 1,
        "place": "front",
        "direction": "along",
        "typed": "47.972",
        "unit": "mm",
        **fields,
    }
    document = {
        "format": "oilwedge unsent readings 1",
        "job": job,
        "device_now": "2031-03-01T10:00:00Z",
        "entries": [entry],
    }
    return json.dumps(document).encode()


def bring(client: Client, data: bytes) -> Any:
    return client.post(URL, {"file": SimpleUploadedFile("unsent.json", data)})


@pytest.fixture
def job(make_job: Callable[..., Job], shop_revision: Any) -> Job:
    return make_job()


def test_a_file_is_settled_once_and_says_what_became_of_it(
    job: Job,
    people: dict[str, Any],
    as_person: Callable[[str], Client],
    readings_in: Callable[[str], list[Any]],
) -> None:
    client = as_person("ben")
    data = saved(people["ben"].pk)
    assert "stored" in bring(client, data).content.decode()
    assert "already there" in bring(client, data).content.decode()
    assert "other author" in bring(as_person("lena"), data).content.decode()
    assert len(readings_in("J1")) == 1


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"hello", "no file of unsent readings"),
        (b"[1]", "no file of unsent readings"),
        (b"\xff\xd8\xff\xe0", "no file of unsent readings"),
        (b"[" * 100_000, "no file of unsent readings"),
        (b" " * (2**20 + 1), "larger than 1 MB"),
        (saved(1, job="J9"), "readings of job J9"),
    ],
)
def test_another_file_is_refused_in_one_sentence(
    job: Job, as_person: Callable[[str], Client], data: bytes, words: str
) -> None:
    answer = bring(as_person("ben"), data)
    assert answer.status_code == 422
    assert words in answer.content.decode()


def test_no_file_is_said_at_the_field(job: Job, as_person: Callable[[str], Client]) -> None:
    assert as_person("ben").post(URL, {}).status_code == 422


def test_roles(job: Job, as_person: Callable[[str], Client]) -> None:
    seen = {n: as_person(n).get(URL).status_code for n in ("lena", "ben", "vera", "pia")}
    assert seen == {"lena": 200, "ben": 200, "vera": 403, "pia": 404}
    assert Client().get(URL).status_code == 302
