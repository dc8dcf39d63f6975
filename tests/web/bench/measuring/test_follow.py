"""A second screen that follows the job."""

from collections.abc import Callable
from typing import Any

from django.test import Client

from oilwedge.web.record.models import Job

NOW = "/jobs/J1/measure/now"


def test_it_shows_the_set_in_which_readings_come_in(
    make_job: Callable[..., Job], shop_revision: Any, as_person: Callable[[str], Client]
) -> None:
    make_job()
    ben, vera = as_person("ben"), as_person("vera")
    assert "Rod journal 1" in vera.get("/jobs/J1/measure/follow").content.decode()
    tag = vera.get(NOW)["ETag"]
    assert vera.get(NOW, headers={"If-None-Match": tag}).status_code == 304
    ben.post(
        "/jobs/J1/measure/rod_shell_bore/1/",
        {"action": "take", "at": "front/square", "typed": "48.010", "unit": "mm"},
    )
    answer = vera.get(NOW, headers={"If-None-Match": tag})
    assert answer.status_code == 200
    text = answer.content.decode()
    assert "Rod bearing bore 1" in text
    assert "48.010 mm" in text


def test_roles(
    make_job: Callable[..., Job], shop_revision: Any, as_person: Callable[[str], Client]
) -> None:
    make_job()
    for url in (NOW, "/jobs/J1/measure/follow"):
        seen = {n: as_person(n).get(url).status_code for n in ("ben", "vera", "pia")}
        assert seen == {"ben": 200, "vera": 200, "pia": 404}
        assert Client().get(url).status_code == 302
