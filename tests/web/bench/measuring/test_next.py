"""To the next set with an open place."""

from collections.abc import Callable
from typing import Any

from django.test import Client

from oilwedge.web.record.models import ClassTask, Job


def test_it_leads_to_the_first_open_set_and_behind_another(
    make_job: Callable[..., Job], shop_revision: Any, as_person: Callable[[str], Client]
) -> None:
    make_job()
    client = as_person("ben")
    assert client.get("/jobs/J1/measure/")["Location"] == "/jobs/J1/measure/rod_journal/1/"
    behind = client.get("/jobs/J1/measure/?after=rod_journal/1")
    assert behind["Location"] == "/jobs/J1/measure/rod_shell_bore/1/"
    assert client.get("/jobs/J1/measure/?after=x/999999999999999").status_code == 302


def test_a_class_measures_what_its_task_names(
    make_job: Callable[..., Job],
    shop_revision: Any,
    people: dict[str, Any],
    as_person: Callable[[str], Client],
) -> None:
    job = make_job()
    task = ClassTask.objects.create(
        title="bores", engine=job.engine, features="rod_shell_bore", made_by=people["lena"]
    )
    Job.objects.filter(pk=job.pk).update(task=task, pupil=people["pia"])
    answer = as_person("pia").get("/jobs/J1/measure/")
    assert answer["Location"] == "/jobs/J1/measure/rod_shell_bore/1/"
    assert as_person("pol").get("/jobs/J1/measure/").status_code == 404


def test_when_all_is_read_it_leads_back_to_the_job(
    make_job: Callable[..., Job], shop_revision: Any, as_person: Callable[[str], Client]
) -> None:
    make_job()
    client = as_person("ben")
    for feature, places in (
        ("rod_journal", ("front/along", "front/across", "rear/along", "rear/across")),
        ("rod_shell_bore", ("front/square", "rear/square")),
        ("rod_strip", ("front/", "rear/")),
    ):
        for at in places:
            url = f"/jobs/J1/measure/{feature}/1/"
            client.post(url, {"action": "skip:not needed", "at": at})
    answer = client.get("/jobs/J1/measure/", follow=True)
    assert "Everything that was planned is read." in answer.content.decode()


def test_roles(
    make_job: Callable[..., Job], shop_revision: Any, as_person: Callable[[str], Client]
) -> None:
    make_job()
    seen = {n: as_person(n).get("/jobs/J1/measure/").status_code for n in ("lena", "vera", "pia")}
    assert seen == {"lena": 302, "vera": 403, "pia": 404}
    assert Client().get("/jobs/J1/measure/").status_code == 302
