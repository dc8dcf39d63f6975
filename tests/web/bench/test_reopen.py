"""Opening a closed job again."""

from __future__ import annotations

import json

ADDRESS = "/jobs/J1/reopen"


def test_a_lead_opens_it_again_with_a_reason(as_person, make_job):
    job = make_job("J1")
    as_person("lena").post("/jobs/J1/close", {"reason": "sold"})
    assert as_person("lena").post(ADDRESS, {"reason": "came back"})["Location"] == "/jobs/J1/"
    job.refresh_from_db()
    assert not job.closed
    entry = json.loads(job.entries.order_by("-sequence").first().document)
    assert (entry["kind"], entry["note"]) == ("reopened", "came back")


def test_a_reason_is_needed(as_person, make_job):
    job = make_job("J1")
    as_person("lena").post("/jobs/J1/close", {"reason": "sold"})
    assert as_person("lena").post(ADDRESS, {"reason": ""}).status_code == 400
    job.refresh_from_db()
    assert job.closed


def test_who_may_open_again(statuses, make_job):
    make_job("J1", closed=True)
    assert statuses(ADDRESS) == {"lena": 200, "ben": 403, "vera": 403, "pia": 404}
