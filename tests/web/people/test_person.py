"""What a lead changes in somebody's account; a lead is always left."""

from __future__ import annotations

import threading
from collections.abc import Callable
from typing import Any

import pytest
from bench_fixtures import PASSWORD
from django.db import connections
from django.test import Client
from django.utils import timezone

from oilwedge.web.people.accounts import ensure_lone_lead
from oilwedge.web.people.models import Account, ApiToken, Invitation, Role
from oilwedge.web.people_pages.changing import LastLeadError, change_role
from oilwedge.web.people_pages.inviting import make_invitation, make_password_link


def said(client: Client, url: str, sent: dict[str, str]) -> str:
    return client.post(url, sent, follow=True).content.decode()


def in_again(account: Account) -> Account:
    return Account.objects.get(pk=account.pk)


def test_the_page_shows_one_account(as_person: Callable[[str], Client], people: Any) -> None:
    page = as_person("lena").get(f"/people/{people['ben'].pk}/").content.decode()
    assert "Ben Invented" in page
    assert 'value="builder"' in page
    assert "Let in no more" in page


def test_a_role_is_changed(as_person: Callable[[str], Client], people: Any) -> None:
    url = f"/people/{people['ben'].pk}/role"
    assert "Ben Invented is viewer now" in said(as_person("lena"), url, {"role": "viewer"})
    assert in_again(people["ben"]).role == Role.VIEWER


def test_the_new_role_holds_for_sessions_that_are_open(
    as_person: Callable[[str], Client], people: Any
) -> None:
    ben = as_person("ben")
    assert ben.get("/people/").status_code == 403
    change_role(people["ben"], role=Role.LEAD)
    assert ben.get("/people/").status_code == 200


def test_a_role_that_is_none_changes_nothing(
    as_person: Callable[[str], Client], people: Any
) -> None:
    page = said(as_person("lena"), f"/people/{people['ben'].pk}/role", {"role": "owner"})
    assert "one of the four roles" in page
    assert in_again(people["ben"]).role == Role.BUILDER


@pytest.mark.parametrize(
    ("path", "sent"),
    [("role", {"role": "builder"}), ("active", {"active": "no"}), ("erase", {"sure": "yes"})],
)
def test_the_last_lead_stays_one(
    as_person: Callable[[str], Client], people: Any, path: str, sent: dict[str, str]
) -> None:
    client = as_person("lena")
    page = said(client, f"/people/{people['lena'].pk}/{path}", sent)
    assert "only lead of the shop" in page
    lena = in_again(people["lena"])
    assert (lena.role, lena.is_active, lena.full_name) == (Role.LEAD, True, "Lena Invented")
    assert client.get("/people/").status_code == 200  # still in


def test_with_a_second_lead_the_first_may_go(
    as_person: Callable[[str], Client], people: Any
) -> None:
    change_role(people["ben"], role=Role.LEAD)
    said(as_person("ben"), f"/people/{people['lena'].pk}/role", {"role": "builder"})
    assert in_again(people["lena"]).role == Role.BUILDER


def test_a_lead_who_cannot_log_in_does_not_count(people: Any) -> None:
    ensure_lone_lead()  # has no password
    Account.objects.filter(username="ben").update(role=Role.LEAD, is_active=False)
    with pytest.raises(LastLeadError):
        change_role(people["lena"], role=Role.VIEWER)


@pytest.mark.django_db(transaction=True)
def test_two_leads_cannot_remove_each_other_at_one_moment(people: Any) -> None:
    change_role(people["ben"], role=Role.LEAD)
    start, outcomes = threading.Barrier(2), []

    def demote(name: str) -> None:
        try:
            account = Account.objects.get(username=name)
            start.wait(timeout=10)
            change_role(account, role=Role.VIEWER)
            outcomes.append("gone")
        except LastLeadError:
            outcomes.append("stays")
        finally:
            connections.close_all()

    threads = [threading.Thread(target=demote, args=(name,)) for name in ("lena", "ben")]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(outcomes) == ["gone", "stays"]
    assert Account.objects.filter(role=Role.LEAD).count() == 1


def test_who_is_let_in_no_more_is_out_at_once_with_every_key(
    as_person: Callable[[str], Client], people: Any
) -> None:
    ben, account = as_person("ben"), people["ben"]
    ApiToken.objects.create(token_hash="a" * 64, title="t", account=account, scopes="read")
    link = make_password_link(account, by=people["lena"], now=timezone.now())
    url = f"/people/{account.pk}/active"
    assert "cannot log in any more" in said(as_person("lena"), url, {"active": "no"})
    assert ben.get("/me").status_code == 302
    assert Client().get(f"/invitation/{link}").status_code == 410
    assert ApiToken.objects.get().revoked_at is not None
    assert "wrong" in said(Client(), "/login", {"username": "ben", "password": PASSWORD})


def test_who_is_let_in_again_logs_in_anew(as_person: Callable[[str], Client], people: Any) -> None:
    lena, ben = as_person("lena"), as_person("ben")
    url = f"/people/{people['ben'].pk}/active"
    said(lena, url, {"active": "no"})
    assert "can log in again" in said(lena, url, {"active": "yes"})
    assert ben.get("/me").status_code == 302  # the old session does not come back
    answer = Client().post("/login", {"username": "ben", "password": PASSWORD})
    assert answer.status_code == 302


def test_links_of_who_leads_no_more_end(as_person: Callable[[str], Client], people: Any) -> None:
    change_role(people["ben"], role=Role.LEAD)
    make_invitation(role=Role.LEAD, full_name="", by=people["ben"], now=timezone.now())
    said(as_person("lena"), f"/people/{people['ben'].pk}/role", {"role": "builder"})
    assert not Invitation.objects.exists()


def test_all_sessions_of_somebody_end(as_person: Callable[[str], Client], people: Any) -> None:
    phone, tablet, other = as_person("ben"), as_person("ben"), as_person("vera")
    page = said(as_person("lena"), f"/people/{people['ben'].pk}/sessions", {})
    assert "Ended 2 sessions of Ben Invented" in page
    assert phone.get("/me").status_code == 302
    assert tablet.get("/me").status_code == 302
    assert other.get("/me").status_code == 200


def test_a_link_for_a_new_password_is_shown_once(
    as_person: Callable[[str], Client], people: Any
) -> None:
    client = as_person("lena")
    url = f"/people/{people['ben'].pk}/password"
    page = client.post(url).content.decode()
    assert "/invitation/" in page
    assert "QR code of the link for Ben Invented" in page
    assert client.get(url).status_code == 405


def test_the_account_of_the_machine_stays_as_it_is(
    as_person: Callable[[str], Client], people: Any
) -> None:
    lone, client = ensure_lone_lead(), as_person("lena")
    for path, sent in (("role", {"role": "pupil"}), ("active", {"active": "no"})):
        assert "sits at the shop" in said(client, f"/people/{lone.pk}/{path}", sent)
    assert "sits at the shop" in said(client, f"/people/{lone.pk}/erase", {"sure": "yes"})
    assert "no password" in said(client, f"/people/{lone.pk}/password", {})
    assert in_again(lone).is_active


@pytest.mark.parametrize("path", ["", "role", "active", "sessions", "password", "erase"])
def test_nobody_is_there_under_another_number(
    as_person: Callable[[str], Client], path: str
) -> None:
    client, url = as_person("lena"), f"/people/999999/{path}"
    answer = client.get(url) if path in ("", "erase") else client.post(url)
    assert answer.status_code == 404


def test_a_browser_shows_it_well(
    live_server: Any,
    as_person: Callable[[str], Client],
    people: Any,
    page_at: Callable[..., Any],
    lend_session: Callable[..., None],
    axe: Callable[..., None],
    fits_the_screen: Callable[..., None],
    picture: Callable[..., Any],
) -> None:
    for size, scheme in (("phone", "light"), ("phone", "dark"), ("desktop", "light")):
        page = page_at(size, scheme=scheme)
        lend_session(page, as_person("lena"), live_server.url)
        page.goto(f"{live_server.url}/people/{people['ben'].pk}/")
        axe(page)
        fits_the_screen(page)
        picture(page, f"people-person-{size}-{scheme}")
