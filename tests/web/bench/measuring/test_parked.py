"""What the record refused stays in sight until somebody settles it."""

import json
from collections.abc import Callable
from typing import Any

import pytest
from django.test import Client

from oilwedge.web.record.models import Job, Parked

URL = "/jobs/J1/parked"


@pytest.fixture
def parked(
    make_job: Callable[..., Job],
    shop_revision: Any,
    people: dict[str, Any],
    as_person: Callable[[str], Client],
) -> Parked:
    """Ben's reading that came when the job was closed."""
    job = make_job()
    Job.objects.filter(pk=job.pk).update(closed=True)
    entry = {
        "id": "b-1",
        "device_time": "2031-03-01T09:00:00Z",
        "author": people["ben"].pk,
        "kind": "reading",
        "feature": "rod_journal",
        "number": 1,
        "place": "front",
        "direction": "along",
        "typed": "47.972",
        "unit": "mm",
    }
    body = {"device_now": "2031-03-01T09:05:00Z", "entries": [entry]}
    as_person("ben").post("/jobs/J1/entries", json.dumps(body), content_type="application/json")
    return Parked.objects.get()


def test_it_is_shown_with_author_and_reason(
    parked: Parked, as_person: Callable[[str], Client]
) -> None:
    text = as_person("lena").get(URL).content.decode()
    for words in ("rod journal 1 front along 47.972 mm", "Ben Invented", "is closed"):
        assert words in text


def test_it_is_taken_in_when_what_stood_against_it_is_gone(
    parked: Parked,
    as_person: Callable[[str], Client],
    readings_in: Callable[[str], list[Any]],
) -> None:
    client = as_person("lena")
    action = {"action": f"again:{parked.pk}"}
    assert "is closed" in client.post(URL, action).content.decode()
    Job.objects.update(closed=False)
    assert client.post(URL, action).status_code == 302
    found = readings_in("J1")
    assert [one.id for one in found] == ["b-1"]
    parked.refresh_from_db()
    assert parked.settled_how == "taken in by Lena Invented"
    assert (parked.received_at - found[0].time).total_seconds() == pytest.approx(300)
    assert "settled by somebody else" in client.post(URL, action).content.decode()


def test_it_is_left_out_by_who_typed_it_or_a_lead_and_stays_listed(
    parked: Parked, as_person: Callable[[str], Client], people: dict[str, Any]
) -> None:
    people["ben2"] = people["lena"]
    action = {"action": f"leave:{parked.pk}"}
    assert as_person("vera").post(URL, action).status_code == 403
    assert as_person("ben").post(URL, action).status_code == 302
    assert "left out by Ben Invented" in as_person("lena").get(URL).content.decode()


def test_somebody_elses_is_not_settled(
    parked: Parked, as_person: Callable[[str], Client], people: dict[str, Any]
) -> None:
    Parked.objects.update(author=people["lena"])
    for action in ("again", "leave"):
        answer = as_person("ben").post(URL, {"action": f"{action}:{parked.pk}"})
        assert "Only who typed it" in answer.content.decode()
    assert as_person("ben").post(URL, {"action": "x"}).status_code == 200


def test_roles(parked: Parked, as_person: Callable[[str], Client]) -> None:
    seen = {n: as_person(n).get(URL).status_code for n in ("lena", "ben", "vera", "pia")}
    assert seen == {"lena": 200, "ben": 200, "vera": 403, "pia": 404}
    assert Client().get(URL).status_code == 302


def test_its_place_is_one_touch_away_and_a_row_of_a_table_is_not_tried_again(
    parked: Parked, as_person: Callable[[str], Client]
) -> None:
    Job.objects.update(closed=False)
    client = as_person("lena")
    page = client.get(URL).content.decode()
    assert f'value="again:{parked.pk}"' in page
    address = "/jobs/J1/measure/rod_journal/1/?at=front%2Falong"
    assert f'href="{address}"' in page
    assert "front, along" in client.get(address).content.decode()
    document = {k: v for k, v in parked.document.items() if k != "device_now"}
    Parked.objects.update(document={**document, "number": "9"})
    page = client.get(URL).content.decode()
    assert f'value="again:{parked.pk}"' not in page
    assert "/measure/rod_journal/9/" not in page
