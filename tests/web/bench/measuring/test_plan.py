"""The plan that a script measures by without a network."""

import gzip
import json
from collections.abc import Callable
from typing import Any

from django.test import Client

from oilwedge.web.record.models import Job

URL = "/jobs/J2/measure/plan.json"


def test_it_holds_every_open_set_in_order_and_is_small(
    make_job: Callable[..., Job], shop_revision: Any, as_person: Callable[[str], Client]
) -> None:
    make_job("J2", engine="four")
    answer = as_person("ben").get(URL)
    plan = answer.json()
    assert len(answer.content) <= 40_000
    assert len(plan["sets"]) == 33
    assert [one["feature"] for one in plan["sets"][:2]] == ["rod_journal", "rod_journal"]
    assert plan["features"]["rod_journal"]["situation"]["nominal"]["mm"] == "47.980"
    assert {one["drawing"] for one in plan["features"].values()} <= set(plan["drawings"])


def test_it_says_nothing_of_limits(
    make_job: Callable[..., Job], shop_revision: Any, as_person: Callable[[str], Client]
) -> None:
    make_job("J1")
    text = as_person("ben").get("/jobs/J1/measure/plan.json").content.decode()
    assert "2.1e-05" not in text
    assert "4.9e-05" not in text


def test_the_same_plan_is_not_sent_twice(
    make_job: Callable[..., Job], shop_revision: Any, as_person: Callable[[str], Client]
) -> None:
    make_job("J2", engine="four")
    client = as_person("ben")
    tag = client.get(URL)["ETag"]
    assert client.get(URL, headers={"If-None-Match": tag}).status_code == 304
    client.post("/jobs/J2/measure/rod_journal/1/", {"action": "skip:x", "at": "front/along"})
    assert client.get(URL, headers={"If-None-Match": tag}).status_code == 200


def test_it_travels_compressed(
    make_job: Callable[..., Job], shop_revision: Any, as_person: Callable[[str], Client]
) -> None:
    make_job("J2", engine="four")
    client = as_person("ben")
    answer = client.get(URL, headers={"accept-encoding": "gzip"})
    assert len(answer.content) < 10_000
    assert json.loads(gzip.decompress(answer.content))["job"] == "J2"
    again = {"accept-encoding": "gzip", "If-None-Match": answer["ETag"]}
    assert client.get(URL, headers=again).status_code == 304


def test_roles(
    make_job: Callable[..., Job], shop_revision: Any, as_person: Callable[[str], Client]
) -> None:
    make_job("J2", engine="four")
    seen = {n: as_person(n).get(URL).status_code for n in ("lena", "vera", "pia")}
    assert seen == {"lena": 200, "vera": 403, "pia": 404}
    assert Client().get(URL, headers={"accept": "application/json"}).status_code == 401
