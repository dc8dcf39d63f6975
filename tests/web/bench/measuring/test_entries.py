"""What a browser sends is settled entry by entry, and nothing of it is lost."""

import datetime
import json
from collections.abc import Callable
from typing import Any

import pytest
from django.test import Client
from django.utils import timezone

from oilwedge.web.record import store
from oilwedge.web.record.models import Job, Parked, ShopRevision

URL = "/jobs/J1/entries"
JSON = {"accept": "application/json"}
NOW = datetime.datetime(2031, 3, 1, 9, 0, tzinfo=datetime.UTC)


@pytest.fixture
def job(make_job: Callable[..., Job], shop_revision: ShopRevision) -> Job:
    return make_job()


@pytest.fixture
def reading(people: dict[str, Any]) -> Callable[..., dict[str, Any]]:
    """A reading as a page sends it: ``reading("b-1", typed="47.972")``."""

    def made(id: str, **fields: Any) -> dict[str, Any]:
        return {
            "id": id,
            "device_time": NOW.isoformat(),
            "author": people["ben"].pk,
            "kind": "reading",
            "feature": "rod_journal",
            "number": 1,
            "place": "front",
            "direction": "along",
            "typed": "47.972",
            "unit": "mm",
            "resolved": "47.972 mm",
            "instrument": "mic",
            **fields,
        }

    return made


def post(client: Client, *entries: Any, device_now: datetime.datetime = NOW) -> Any:
    body = {"device_now": device_now.isoformat(), "entries": list(entries)}
    return client.post(URL, json.dumps(body), content_type="application/json", headers=JSON)


def outcomes(answer: Any) -> list[str]:
    assert answer.status_code == 200, answer.content
    return [one["outcome"] for one in answer.json()["outcomes"]]


def test_an_entry_is_stored_once_however_often_it_comes(
    job: Job,
    as_person: Callable[[str], Client],
    reading: Callable[..., Any],
    readings_in: Callable[[str], list[Any]],
) -> None:
    client = as_person("ben")
    answer = post(client, reading("b-1"))
    assert outcomes(answer) == ["stored"]
    assert outcomes(post(client, reading("b-1"))) == ["already there"]
    assert len(readings_in("J1")) == 1
    job.refresh_from_db()
    assert (answer.json()["count"], answer.json()["head"]) == (job.count, job.head)


def test_each_entry_is_settled_by_itself_in_order(
    job: Job,
    as_person: Callable[[str], Client],
    reading: Callable[..., Any],
    readings_in: Callable[[str], list[Any]],
) -> None:
    answer = post(
        as_person("ben"),
        reading("b-1"),
        reading("b-2", feature="nothing"),
        reading("b-3", typed="1.889", resolved=""),
        reading("b-4", author=999),
        reading("b-1", typed="47.999", resolved=""),
        reading("", typed="47.9"),
        "nonsense",
        reading("b-5", place="rear", typed="47.970", resolved="47.970 mm"),
    )
    assert outcomes(answer) == [
        "stored",
        "parked",
        "ask back",
        "other author",
        "parked",
        "refused",
        "refused",
        "stored",
    ]
    assert [one.id for one in readings_in("J1")] == ["b-1", "b-5"]
    asked = answer.json()["outcomes"][2]["sentence"]
    assert "did you mean inches" in asked.casefold()


def test_a_confirmed_value_is_stored_with_its_question(
    job: Job,
    as_person: Callable[[str], Client],
    reading: Callable[..., Any],
    events_in: Callable[[str], list[Any]],
) -> None:
    entry = reading("b-1", typed="1.889", resolved="1.889 mm", confirmed=True)
    assert outcomes(post(as_person("ben"), entry)) == ["stored"]
    assert [one.kind.value for one in events_in("J1")] == ["confirmed"]


def test_a_closed_job_parks_with_author_and_reason_once(
    job: Job,
    as_person: Callable[[str], Client],
    reading: Callable[..., Any],
    readings_in: Callable[[str], list[Any]],
) -> None:
    Job.objects.filter(pk=job.pk).update(closed=True)
    client = as_person("ben")
    for _ in range(2):
        answer = post(client, reading("b-1"))
        assert outcomes(answer) == ["parked"]
        assert "closed" in answer.json()["outcomes"][0]["sentence"]
    parked = Parked.objects.get()
    assert (parked.author_name, parked.document["typed"]) == ("Ben Invented", "47.972")
    assert not readings_in("J1")


def test_a_removed_instrument_parks_and_is_named(
    job: Job, as_person: Callable[[str], Client], reading: Callable[..., Any]
) -> None:
    answer = post(as_person("ben"), reading("b-1", instrument="sold_mic"))
    assert outcomes(answer) == ["parked"]
    assert "sold_mic" in Parked.objects.get().reason


def test_two_people_who_replace_the_same_reading_are_told(
    job: Job,
    people: dict[str, Any],
    as_person: Callable[[str], Client],
    reading: Callable[..., Any],
) -> None:
    ben, lena = as_person("ben"), as_person("lena")
    post(ben, reading("b-1"))
    assert outcomes(post(ben, reading("b-2", replaces="b-1"))) == ["stored"]
    other = reading("b-3", replaces="b-1", author=people["lena"].pk)
    answer = post(lena, other)
    assert outcomes(answer) == ["parked"]
    assert "two people" in answer.json()["outcomes"][0]["sentence"].casefold()


def test_the_time_is_the_servers_even_where_the_phones_clock_is_hours_off(
    job: Job,
    as_person: Callable[[str], Client],
    reading: Callable[..., Any],
    readings_in: Callable[[str], list[Any]],
) -> None:
    typed_at = NOW
    sent_at = NOW + datetime.timedelta(minutes=30)
    post(as_person("ben"), reading("b-1", device_time=typed_at.isoformat()), device_now=sent_at)
    found = readings_in("J1")[0]
    expected = timezone.now() - datetime.timedelta(minutes=30)
    assert abs(found.time - expected) < datetime.timedelta(minutes=1)
    assert found.device_time == typed_at


@pytest.mark.parametrize(
    ("body", "status"),
    [
        (b"{", 400),
        (b"[]", 400),
        (b'{"entries": []}', 400),
        (b'{"device_now": "yesterday", "entries": []}', 400),
        (b'{"device_now": "2031-03-01T09:00:00", "entries": []}', 400),
        (b'{"device_now": "2031-03-01T09:00:00Z", "entries": {}}', 400),
        (b'{"device_now": "2031-03-01T09:00:00Z", "entries": [NaN]}', 400),
        (b'{"device_now": "2031-03-01T09:00:00Z", "entries": [' + b"1," * 200 + b"1]}", 400),
        (b"[" * 100_000, 400),
        (b" " * (2**20 + 1), 413),
        (b'{"device_now": "2031-03-01T09:00:00Z", "entries": []}', 200),
    ],
)
def test_a_parcel_that_is_none_is_refused_in_one_sentence(
    job: Job, as_person: Callable[[str], Client], body: bytes, status: int
) -> None:
    answer = as_person("ben").post(URL, body, content_type="application/json", headers=JSON)
    assert answer.status_code == status
    if status != 200:
        assert answer.json()["sentence"].count(".") == 1


def test_what_no_database_holds_is_parked_without_it(
    job: Job, as_person: Callable[[str], Client], reading: Callable[..., Any]
) -> None:
    body = json.dumps(
        {
            "device_now": NOW.isoformat(),
            "entries": [reading("b-1", note="\ud800 and \x00", feature="nothing")],
        }
    )
    answer = as_person("ben").post(URL, body, content_type="application/json", headers=JSON)
    assert outcomes(answer) == ["parked"]
    assert Parked.objects.get().document["note"] == "? and \ufffd"


def test_a_typed_backslash_and_an_endless_number_are_parked_and_block_nothing(
    job: Job, as_person: Callable[[str], Client], reading: Callable[..., Any]
) -> None:
    typed = reading("b-1", note="\\u0000 and \\\x00", feature="nothing")
    endless = json.dumps(reading("b-2", part_c="much")).replace('"much"', "1e999")
    entries = f"[{json.dumps(typed)}, {endless}, {json.dumps(reading('b-3'))}]"
    body = f'{{"device_now": "{NOW.isoformat()}", "entries": {entries}}}'
    answer = as_person("ben").post(URL, body, content_type="application/json", headers=JSON)
    assert outcomes(answer) == ["parked", "parked", "stored"]
    assert Parked.objects.get(entry_id="b-1").document["note"] == "\\u0000 and \\\ufffd"
    assert Parked.objects.get(entry_id="b-2").document["part_c"] == "Infinity"


def test_roles_and_sessions(
    job: Job, as_person: Callable[[str], Client], reading: Callable[..., Any]
) -> None:
    assert post(Client(), reading("b-1")).status_code == 401
    assert post(as_person("vera"), reading("b-1")).status_code == 403
    assert post(as_person("pia"), reading("b-1")).status_code == 404
    assert as_person("ben").get(URL).status_code == 405
    assert "log in" in post(Client(), reading("b-1")).json()["sentence"]


def test_a_record_out_of_reach_answers_503_and_what_was_settled_stays(
    job: Job,
    as_person: Callable[[str], Client],
    reading: Callable[..., Any],
    readings_in: Callable[[str], list[Any]],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    from django.db import OperationalError

    write, count = store._write, 0

    def fails_the_second_time(*args: Any) -> None:
        nonlocal count
        count += 1
        if count == 2:
            raise OperationalError("database is locked")
        write(*args)

    monkeypatch.setattr(store, "_write", fails_the_second_time)
    client = as_person("ben")
    both = (
        reading("b-1"),
        reading("b-2", place="rear", typed="47.970", resolved="47.970 mm"),
    )
    answer = post(client, *both)
    assert answer.status_code == 503
    assert "send again" in answer.json()["sentence"]
    assert outcomes(post(client, *both)) == ["already there", "stored"]
    assert len(readings_in("J1")) == 2


def test_events_come_the_same_way(
    job: Job,
    as_person: Callable[[str], Client],
    reading: Callable[..., Any],
    events_in: Callable[[str], list[Any]],
    people: dict[str, Any],
) -> None:
    bare = {"device_time": NOW.isoformat(), "author": people["ben"].pk}
    answer = post(
        as_person("ben"),
        {**bare, "id": "b-1", "kind": "condition", "subject": "rod_journals", "value": "new"},
        {**bare, "id": "b-2", "kind": "zero check", "instrument": "mic", "value": "passed"},
        {
            **bare,
            "id": "b-3",
            "kind": "skip",
            "feature": "rod_journal",
            "number": 1,
            "place": "front",
            "direction": "along",
            "note": "damaged there",
        },
    )
    assert outcomes(answer) == ["stored"] * 3
    assert [one.kind.value for one in events_in("J1")] == ["condition", "zero check", "skipped"]
