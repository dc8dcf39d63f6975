"""What changes on a set's page, for who follows it."""

from collections.abc import Callable
from typing import Any

import pytest
from django.test import Client

from oilwedge.web.record.models import Job

URL = "/jobs/J1/measure/rod_journal/1/now"
SET = "/jobs/J1/measure/rod_journal/1/"
JSON = {"accept": "application/json"}


@pytest.fixture
def job(make_job: Callable[..., Job], shop_revision: Any) -> Job:
    return make_job()


def take(client: Client, at: str, text: str) -> None:
    client.post(SET, {"action": "take", "at": at, "typed": text, "unit": "mm"})


def test_nothing_is_sent_where_nothing_changed(
    job: Job, as_person: Callable[[str], Client]
) -> None:
    client = as_person("vera")
    for headers in ({}, JSON):
        first = client.get(URL, headers=headers)
        again = client.get(URL, headers={**headers, "If-None-Match": first["ETag"]})
        assert (first.status_code, again.status_code, again.content) == (200, 304, b"")
        take(as_person("ben"), "front/along", "47.972" if headers else "47.970")
        later = client.get(URL, headers={**headers, "If-None-Match": first["ETag"]})
        assert later.status_code == 200


def test_typed_values_are_seen_and_results_only_when_complete(
    job: Job, as_person: Callable[[str], Client]
) -> None:
    ben, vera = as_person("ben"), as_person("vera")
    for index, at in enumerate(("front/along", "front/across", "rear/along", "rear/across")):
        take(ben, at, f"47.97{index}")
        text = vera.get(URL).content.decode()
        assert f"47.97{index} mm" in text
        assert "Ben Invented" in text
        assert ("What it shows</h2>" in text) == (index == 3)
    answer = vera.get(URL, headers=JSON)
    found = answer.json()
    assert "47.972 ±" in found["result"].replace("\u00a0", " ").replace("\u202f", " ") or (
        "mean" in found["result"]
    )
    assert found["sets"][0]["slots"][0]["reading"]["text"] == "47.970 mm"
    assert len(answer.content) < 15_000


def test_roles_and_what_is_not_there(job: Job, as_person: Callable[[str], Client]) -> None:
    seen = {n: as_person(n).get(URL).status_code for n in ("lena", "ben", "vera", "pia")}
    assert seen == {"lena": 200, "ben": 200, "vera": 200, "pia": 404}
    assert as_person("ben").get("/jobs/J1/measure/nothing/1/now").status_code == 404
    assert Client().get(URL, headers=JSON).status_code == 401
