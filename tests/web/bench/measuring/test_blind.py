"""Who may see results before a set is complete."""

from collections.abc import Callable
from typing import Any

from django.test import Client

from oilwedge.web.record.models import ClassTask, Job

URL = "/jobs/J1/measure/blind"


def test_only_a_lead_switches_it_and_never_in_a_class(
    make_job: Callable[..., Job],
    shop_revision: Any,
    people: dict[str, Any],
    as_person: Callable[[str], Client],
) -> None:
    job = make_job()
    seen = {
        n: as_person(n).post(URL, {"blind": "no"}).status_code
        for n in ("ben", "vera", "pia", "lena")
    }
    assert seen == {"ben": 403, "vera": 403, "pia": 404, "lena": 302}
    job.refresh_from_db()
    assert job.blind is False
    as_person("lena").post(URL, {"blind": "yes"})
    task = ClassTask.objects.create(title="t", engine=job.engine, made_by=people["lena"])
    Job.objects.filter(pk=job.pk).update(task=task)
    assert as_person("lena").post(URL, {"blind": "no"}).status_code == 403
    job.refresh_from_db()
    assert job.blind is True


def test_it_leads_back_within_the_job_only(
    make_job: Callable[..., Job], shop_revision: Any, as_person: Callable[[str], Client]
) -> None:
    make_job()
    client = as_person("lena")
    back = "/jobs/J1/measure/rod_journal/1/"
    assert client.post(URL, {"blind": "no", "back": back})["Location"] == back
    for evil in ("https://elsewhere.test/", "//elsewhere.test/jobs/J1/", "/jobs/J12/"):
        assert client.post(URL, {"blind": "no", "back": evil})["Location"] == "/jobs/J1/"
    assert client.get(URL).status_code == 405
