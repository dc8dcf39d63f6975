"""A lead makes a link, hands it on, and can take it back."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import pytest
from django.test import Client
from django.utils import timezone

from oilwedge.web.people.models import Invitation, Role
from oilwedge.web.people_pages.inviting import make_invitation

URL = "/people/invite"


def link_in(page: str) -> str:
    found = re.search(r'value="(https?://[^"]+/invitation/[^"]+)"', page)
    assert found, "no link on the page"
    return found[1]


def test_the_link_is_shown_once_with_its_code(as_person: Callable[[str], Client]) -> None:
    client = as_person("lena")
    answer = client.post(URL, {"role": "builder", "full_name": " Nina  Invented "})
    page = answer.content.decode()
    link = link_in(page)
    assert "<title>QR code of the link for Nina Invented</title>" in page
    assert "no-store" in answer["Cache-Control"]
    made = Invitation.objects.get()
    assert (made.role, made.full_name) == (Role.BUILDER, "Nina Invented")
    token = link.rpartition("/")[2]
    assert token not in made.token_hash  # only its hash is kept
    assert token not in client.get("/people/").content.decode()
    assert Client().get(f"/invitation/{token}").status_code == 200


def test_the_link_is_one_that_a_phone_can_reach(
    as_person: Callable[[str], Client], settings: Any
) -> None:
    settings.ALLOWED_HOSTS = ["192.0.2.20", "bench.test", "127.0.0.1", "localhost"]
    client = as_person("lena")
    sent = {"role": "viewer", "full_name": ""}
    page = client.post(URL, sent, headers={"Host": "localhost:8470"}).content.decode()
    assert link_in(page).startswith("http://192.0.2.20:8470/invitation/")
    page = client.post(URL, sent, headers={"Host": "bench.test:8470"}).content.decode()
    assert link_in(page).startswith("http://bench.test:8470/invitation/")


def test_there_are_four_roles_and_no_other(as_person: Callable[[str], Client]) -> None:
    client = as_person("lena")
    assert client.get(URL).content.decode().count('type="radio"') == len(Role)
    assert client.post(URL, {"role": "owner"}).status_code == 200
    assert not Invitation.objects.exists()


def test_a_bench_for_one_machine_invites_nobody(
    as_person: Callable[[str], Client], settings: Any
) -> None:
    settings.MODE, settings.PORT = "alone", "80"
    answer = as_person("lena").post(URL, {"role": "builder"}, headers={"Host": "127.0.0.1:80"})
    assert "oilwedge serve --lan" in answer.content.decode()
    assert not Invitation.objects.exists()


def test_a_link_is_taken_back(as_person: Callable[[str], Client], people: Any) -> None:
    client = as_person("lena")
    token = make_invitation(role=Role.LEAD, full_name="Nina", by=people["lena"], now=timezone.now())
    made = Invitation.objects.get()
    assert "Take back" in client.get("/people/").content.decode()
    page = client.post(f"/people/links/{made.pk}/withdraw", follow=True).content.decode()
    assert "does not work any more" in page
    assert client.get(f"/invitation/{token}").status_code == 410


def test_a_used_link_is_not_taken_back(as_person: Callable[[str], Client], people: Any) -> None:
    make_invitation(role=Role.LEAD, full_name="", by=people["lena"], now=timezone.now())
    Invitation.objects.update(used_at=timezone.now(), used_by=people["ben"])
    made = Invitation.objects.get()
    client = as_person("lena")
    page = client.post(f"/people/links/{made.pk}/withdraw", follow=True).content.decode()
    assert "used or taken back already" in page
    assert Invitation.objects.filter(pk=made.pk).exists()


@pytest.mark.parametrize("name", ["invite", "link"])
def test_a_browser_shows_it_well(
    name: str,
    live_server: Any,
    as_person: Callable[[str], Client],
    page_at: Callable[..., Any],
    lend_session: Callable[..., None],
    axe: Callable[..., None],
    fits_the_screen: Callable[..., None],
    picture: Callable[..., Any],
) -> None:
    for size, scheme in (("phone", "light"), ("phone", "dark"), ("desktop", "light")):
        page = page_at(size, scheme=scheme)
        lend_session(page, as_person("lena"), live_server.url)
        page.goto(f"{live_server.url}{URL}")
        if name == "link":
            page.get_by_role("button", name="Make the link").click()
            page.get_by_label("The link", exact=True).wait_for()
        axe(page)
        fits_the_screen(page)
        picture(page, f"people-{name}-{size}-{scheme}")
