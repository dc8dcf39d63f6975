"""The sheet of links: each brings one pupil to one bench, once."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import pytest
from class_roles import refuses_all_but_leads
from django.test import Client

from oilwedge.web.people.models import Account, Invitation, Role
from oilwedge.web.record.models import Job

NEW = {"full_name": "Nora Invented", "username": "nora"}
PASSWORD = "rod journals at eight"


@pytest.fixture
def waiting(begin_class: Callable[..., Any]) -> Any:
    return begin_class(["pia"], links=2)


def tokens(page: bytes) -> list[str]:
    return re.findall(r"/invitation/([\w-]{30,})<", page.decode())


def join(token: str, **said: str) -> Any:
    sent = {**NEW, **said, "password": PASSWORD, "again": PASSWORD}
    client = Client()
    return client, client.post(f"/invitation/{token}", sent)


def test_only_leads_make_them(waiting: Any, as_person: Callable[[str], Client]) -> None:
    refuses_all_but_leads(as_person, f"/classes/{waiting.pk}/links", method="post")
    assert not Invitation.objects.exists()
    assert as_person("lena").get(f"/classes/{waiting.pk}/links").status_code == 405


def test_a_link_brings_a_new_pupil_to_its_bench(
    waiting: Any, as_person: Callable[[str], Client]
) -> None:
    answer = as_person("lena").post(f"/classes/{waiting.pk}/links")
    assert "no-store" in answer["Cache-Control"]
    first, second = tokens(answer.content)
    assert answer.content.decode().count("<title>QR code of the link for bench") == 2
    client, joined = join(second)
    pupil = Account.objects.get(username="nora")
    assert pupil.role == Role.PUPIL
    number = f"C{waiting.pk}-03"  # the second of the two benches that waited
    assert Job.objects.get(number=number).pupil == pupil
    assert joined.headers["Location"] == f"/jobs/{number}/"
    assert client.get(f"/jobs/{number}/").status_code == 200
    assert client.get(f"/jobs/C{waiting.pk}-02/").status_code == 404
    assert Client().get(f"/invitation/{second}").status_code == 410
    assert Client().get(f"/invitation/{first}").status_code == 200


def test_new_links_end_the_old_ones(waiting: Any, as_person: Callable[[str], Client]) -> None:
    client, url = as_person("lena"), f"/classes/{waiting.pk}/links"
    old = tokens(client.post(url).content)
    new = tokens(client.post(url).content)
    assert [Client().get(f"/invitation/{one}").status_code for one in old] == [410, 410]
    assert [Client().get(f"/invitation/{one}").status_code for one in new] == [200, 200]
    page = client.get(f"/classes/{waiting.pk}/seats").content.decode()
    assert page.count("made, not used yet") == 2
    assert not any(one in page for one in new)


def test_a_bench_is_taken_once(
    waiting: Any, people: Any, as_person: Callable[[str], Client]
) -> None:
    client = as_person("lena")
    token = tokens(client.post(f"/classes/{waiting.pk}/links").content)[0]
    Job.objects.filter(number=f"C{waiting.pk}-02").update(pupil=people["pol"])
    join(token)
    assert Job.objects.get(number=f"C{waiting.pk}-02").pupil == people["pol"]


def test_other_invitations_bring_no_bench(
    waiting: Any, people: Any, as_person: Callable[[str], Client]
) -> None:
    from django.utils import timezone

    from oilwedge.web.people_pages.inviting import make_invitation

    as_person("lena").post(f"/classes/{waiting.pk}/links")
    token = make_invitation(role=Role.PUPIL, full_name="", by=people["lena"], now=timezone.now())
    join(token)
    assert Job.objects.filter(task=waiting, pupil=None, is_reference=False).count() == 2


def test_where_nobody_waits_none_is_made(task: Any, as_person: Callable[[str], Client]) -> None:
    page = as_person("lena").post(f"/classes/{task.pk}/links", follow=True)
    assert "Every bench has a pupil" in page.content.decode()
    assert not Invitation.objects.exists()


def test_one_machine_makes_none(
    waiting: Any, as_person: Callable[[str], Client], settings: Any
) -> None:
    settings.MODE, settings.PORT = "alone", "80"
    url, here = f"/classes/{waiting.pk}/links", {"Host": "127.0.0.1:80"}
    page = as_person("lena").post(url, follow=True, headers=here)
    assert "serve --lan" in page.content.decode()
    assert not Invitation.objects.exists()
