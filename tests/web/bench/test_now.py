"""The part of a job's page that changes: asked for again and again, sent when it changed."""

from __future__ import annotations

from oilwedge.job.entry import Event, EventKind

HTMX = {"HX-Request": "true"}


def tag_of(client, number: str = "J1") -> str:
    answer = client.get(f"/jobs/{number}/now", headers=HTMX)
    assert answer.status_code == 200
    return answer["ETag"]


def status_of(client, tag: str, number: str = "J1") -> int:
    headers = {**HTMX, "If-None-Match": tag}
    return client.get(f"/jobs/{number}/now", headers=headers).status_code


def test_nothing_is_sent_while_nothing_changed(as_person, make_job):
    make_job("J1")
    client = as_person("ben")
    answer = client.get("/jobs/J1/now", headers={**HTMX, "If-None-Match": tag_of(client)})
    assert (answer.status_code, answer.content) == (304, b"")


def test_an_entry_changes_the_tag(as_person, people, make_job):
    from oilwedge.web.bench.saying import say

    job = make_job("J1")
    client = as_person("ben")
    tag = tag_of(client)
    say(job=job, account=people["ben"], event=Event(id="", kind=EventKind.NOTE, value="seen"))
    assert status_of(client, tag) == 200


def test_a_parked_entry_changes_the_tag(as_person, make_job):
    from oilwedge.web.record.models import Parked

    job = make_job("J1")
    client = as_person("ben")
    tag = tag_of(client)
    Parked.objects.create(job=job, entry_id="b-1", document={}, reason="closed")
    assert status_of(client, tag) == 200


def test_another_shop_changes_the_tag(as_person, make_job, shop_revision):
    from oilwedge.web.record.models import ShopRevision

    make_job("J1")
    client = as_person("ben")
    tag = tag_of(client)
    ShopRevision.objects.create(number=2, text=shop_revision.text + "\n# more", digest="d" * 64)
    assert status_of(client, tag) == 200


def test_another_unit_has_another_tag(as_person, make_job):
    make_job("J1")
    client = as_person("ben")
    tag = tag_of(client)
    client.get("/jobs/J1/?unit=in")
    assert status_of(client, tag) == 200


def test_the_part_carries_its_own_tag_for_the_next_question(as_person, make_job):
    make_job("J1")
    client = as_person("ben")
    answer = client.get("/jobs/J1/now", headers=HTMX)
    assert answer["ETag"].strip('"') in answer.content.decode()
    assert "<html" not in answer.content.decode()


def test_without_script_the_address_is_the_job(as_person, make_job):
    make_job("J1")
    answer = as_person("ben").get("/jobs/J1/now")
    assert (answer.status_code, answer["Location"]) == (302, "/jobs/J1/")


def test_pupils_of_other_benches_get_nothing(as_person, bench_of):
    bench_of("pia", "C1")
    assert as_person("pol").get("/jobs/C1/now", headers=HTMX).status_code == 404


def test_showing_the_results_changes_the_tag_of_a_pupil(as_person, bench_of):
    job = bench_of("pia", "C1")
    client = as_person("pia")
    tag = tag_of(client, "C1")
    type(job.task).objects.filter(pk=job.task_id).update(shows_results=True)
    assert status_of(client, tag, "C1") == 200
