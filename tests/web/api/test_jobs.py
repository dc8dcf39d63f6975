"""Other programs read jobs, add readings and get verdicts, as their account would."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from django.test import Client
from record_entries import reading

from oilwedge.job.record import EMPTY_HEAD, digest_text, head_after
from oilwedge.web.api.scopes import Scope
from oilwedge.web.people.models import Account
from oilwedge.web.record.models import ClassTask, EngineText, Job, Parked
from oilwedge.web.record.store import append_entries, commitment_for, people_of

MakeJob = Callable[..., Job]
WithKey = Callable[..., Callable[..., Any]]
NOW = "2031-03-01T10:00:00+01:00"
pytestmark = pytest.mark.django_db


def sent(id: str, **fields: object) -> dict[str, object]:
    return {
        "id": id, "device_time": NOW, "kind": "reading", "feature": "rod_journal", "number": 1,
        "place": "front", "direction": "along", "typed": "47.972", "unit": "mm",
        "instrument": "mic", "setting": "1", "fitting": 1, **fields,
    }  # fmt: skip


@pytest.fixture
def benches(make_job: MakeJob, people: dict[str, Account], shop_revision: object) -> None:
    """A job of the shop, a closed one, and the benches of two pupils."""
    job = make_job("J1")
    make_job("J2", closed=True)
    task = ClassTask.objects.create(title="task", engine=job.engine, made_by=people["lena"])
    make_job("C1", task=task, pupil=people["pia"])
    make_job("C2", task=task, pupil=people["pol"])


@pytest.mark.parametrize(
    ("name", "numbers"),
    [
        ("lena", {"J1", "J2", "C1", "C2"}),
        ("ben", {"J1", "J2", "C1", "C2"}),
        ("vera", {"J1", "J2"}),
        ("pia", {"C1"}),
    ],
)
def test_a_program_sees_the_jobs_of_its_account(
    benches: None, program: WithKey, name: str, numbers: set[str]
) -> None:
    call = program(name)
    listed = call("get", "/jobs").json()
    assert {job["number"] for job in listed["jobs"]} == numbers
    assert listed["total"] == len(numbers)
    for number in ("J1", "J2", "C1", "C2", "J9"):
        for path in ("", "/entries", "/engine", "/judgement"):
            answer = call("get", f"/jobs/{number}{path}")
            if number not in numbers:
                assert answer.status_code == 404
                assert answer.json() == {"sentence": "There is no such job."}
        if name != "vera":
            body = {"device_now": NOW, "entries": []}
            seen = call("post", f"/jobs/{number}/entries", body).status_code
            assert seen == (200 if number in numbers else 404)


def test_jobs_come_page_by_page(benches: None, program: WithKey) -> None:
    call = program("ben")
    first = call("get", "/jobs?size=3").json()
    assert (len(first["jobs"]), first["page"], first["pages"], first["total"]) == (3, 1, 2, 4)
    assert len(call("get", "/jobs?size=3&page=2").json()["jobs"]) == 1
    assert call("get", "/jobs?size=3&page=9").json()["jobs"] == []
    assert [job["number"] for job in call("get", "/jobs?closed=true").json()["jobs"]] == ["J2"]
    for wrong in ("size=0", "size=201", "page=0", "page=x", "closed=perhaps"):
        answer = call("get", f"/jobs?{wrong}")
        assert answer.status_code == 422
        assert set(answer.json()) == {"sentence"}


def test_the_chain_can_be_computed_from_what_is_answered(
    benches: None, program: WithKey, people: dict[str, Account]
) -> None:
    job = Job.objects.get(number="J1")
    who = commitment_for(job=job, account=people["ben"])
    append_entries(job=job, entries=[reading(f"r{n}", person=who) for n in range(5)])
    call = program("vera")
    answered = call("get", "/jobs/J1/entries").json()
    rest = call("get", "/jobs/J1/entries?after=2&limit=3").json()
    assert [one["sequence"] for one in rest["entries"]] == [3, 4, 5]
    assert (answered["count"], answered["head"]) == (6, job.head)
    assert answered["people"] == {who: "Ben Invented"}
    import json

    head = EMPTY_HEAD
    for one in answered["entries"]:
        text = json.dumps(one["entry"], sort_keys=True, separators=(",", ":"), ensure_ascii=False)
        head = head_after(head, digest_text(text))
        assert one["head"] == head
    assert head == job.head


def test_readings_are_settled_one_by_one_and_stored_once(
    benches: None, program: WithKey, people: dict[str, Account]
) -> None:
    call = program("ben", Scope.MEASURE)
    body = {
        "device_now": NOW,
        "entries": [
            sent("p-1"),
            sent("p-2", typed="479.72"),
            sent("p-3", feature="no_such"),
            sent("p-4", author=people["lena"].pk, place="middle"),  # a key acts for its account
        ],
    }
    answer = call("post", "/jobs/J1/entries", body)
    assert answer.status_code == 200
    outcomes = {one["id"]: one["outcome"] for one in answer.json()["outcomes"]}
    assert outcomes == {
        "p-1": "stored", "p-2": "ask back", "p-3": "parked", "p-4": "stored",
    }  # fmt: skip
    again = call("post", "/jobs/J1/entries", body).json()
    assert again["outcomes"][0]["outcome"] == "already there"
    job = Job.objects.get(number="J1")
    assert (again["count"], again["head"]) == (job.count, job.head)
    assert job.entries.filter(entry_id="p-1").count() == 1
    assert list(people_of(job).values()) == ["Ben Invented"]
    assert Parked.objects.get().author == people["ben"]


def test_a_closed_job_parks_what_comes(benches: None, program: WithKey) -> None:
    call = program("ben")
    answer = call("post", "/jobs/J2/entries", {"device_now": NOW, "entries": [sent("x")]}).json()
    assert answer["outcomes"][0]["outcome"] == "parked"
    assert "closed" in answer["outcomes"][0]["sentence"]


@pytest.mark.parametrize(
    "body",
    [
        "no json", "[]", "{}", '{"entries": []}', '{"device_now": "now", "entries": []}',
        '{"device_now": "2031-03-01T10:00:00", "entries": []}',
        '{"device_now": "2031-03-01T10:00:00Z", "entries": [1]}',
        '{"device_now": "2031-03-01T10:00:00Z", "entries": {}}', "\u0000", "",
    ],
)  # fmt: skip
def test_a_body_that_cannot_be_used_is_refused_in_one_sentence(
    benches: None, program: WithKey, body: str
) -> None:
    answer = program("ben")("post", "/jobs/J1/entries", body)
    assert answer.status_code == 422
    assert set(answer.json()) == {"sentence"}
    assert "\n" not in answer.json()["sentence"]


def test_more_than_two_hundred_entries_come_in_parts(benches: None, program: WithKey) -> None:
    body = {"device_now": NOW, "entries": [sent(f"p-{n}") for n in range(300)]}
    answer = program("ben")("post", "/jobs/J1/entries", body)
    assert answer.status_code == 422
    assert "200" in answer.json()["sentence"]


def test_a_judgement_is_answered_whole(benches: None, program: WithKey) -> None:
    job = Job.objects.get(number="J1")
    append_entries(job=job, entries=[reading("r1", place="front")])
    answer = program("vera")("get", "/jobs/J1/judgement")
    assert answer.status_code == 200
    document = answer.json()
    assert document["oilwedge_judgement"] == 1
    assert document["job"] == {"number": "J1", "head": job.head}
    assert document["fits"]


def test_a_pupil_reads_no_verdict_before_the_teacher_shows_it(
    benches: None, program: WithKey
) -> None:
    call = program("pia")
    assert call("get", "/jobs/C1/judgement").status_code == 403
    ClassTask.objects.update(shows_results=True)
    assert call("get", "/jobs/C1/judgement").status_code == 200


def test_engine_files_come_and_go(benches: None, program: WithKey, four_text: str) -> None:
    call = program("ben")
    kept = EngineText.objects.get()
    assert call("get", f"/engines/{kept.digest}").json()["text"] == kept.text
    assert call("get", "/jobs/J1/engine").json()["digest"] == kept.digest
    added = call("post", "/engines", {"text": four_text})
    assert added.status_code == 200
    assert call("post", "/engines", {"text": four_text}).json() == added.json()
    assert len(call("get", "/engines").json()["engines"]) == 2
    bad = call("post", "/engines", {"text": "format = 1\n[engine]\nname = 3\n"})
    assert bad.status_code == 422
    assert "text, line" in bad.json()["sentence"]
    assert call("get", f"/engines/{'0' * 64}").status_code == 404
    assert call("get", "/engines/x").status_code == 422


def test_the_shop_file_is_answered(program: WithKey, db: None) -> None:
    call = program("vera")
    assert call("get", "/shop").json() == {"number": 0, "digest": "", "text": ""}


def test_the_description_is_there_for_everybody_and_needs_no_network(client: Client) -> None:
    schema = client.get("/api/v1/openapi.json").json()
    for path, item in schema["paths"].items():
        for method, said in item.items():
            assert {"200", "401", "403", "422", "503"} <= set(said["responses"]), (path, method)
            assert said["security"], (path, method)
            assert ("404" in said["responses"]) == ("{" in path), (path, method)
    page = client.get("/api/docs").content.decode()
    for path in schema["paths"]:
        assert path in page
    for word in ("://", "<script>", "<style", " style=", "onclick"):
        assert word not in page.replace("http://www.w3.org/2000/svg", "")
