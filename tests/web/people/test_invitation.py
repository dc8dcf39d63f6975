"""An invitation is read as often as one likes and used once."""

from __future__ import annotations

import datetime
import re
import threading
from collections.abc import Callable
from typing import Any

import pytest
from bench_fixtures import PASSWORD
from django.db import connections
from django.test import Client
from django.utils import timezone

from oilwedge.web.people.models import Account, Invitation, Role
from oilwedge.web.people_pages.inviting import (
    LinkOverError,
    accept_invitation,
    make_invitation,
    make_password_link,
)

SENT = {"full_name": "Nina Invented", "username": "nina", "password": PASSWORD, "again": PASSWORD}


@pytest.fixture
def token(people: Any) -> str:
    return make_invitation(
        role=Role.BUILDER, full_name="Nina Invented", by=people["lena"], now=timezone.now()
    )


def test_opening_it_shows_a_form_and_uses_nothing_up(client: Client, token: str) -> None:
    for _ in range(3):
        answer = client.get(f"/invitation/{token}")
        assert answer.status_code == 200
        assert "Lena Invented invites you" in answer.content.decode()
    assert 'value="Nina Invented"' in answer.content.decode()
    assert Invitation.objects.get().used_at is None


def test_sending_it_makes_the_account_and_lets_in(client: Client, token: str) -> None:
    answer = client.post(f"/invitation/{token}", SENT)
    assert (answer.status_code, answer.url) == (302, "/")
    account = Account.objects.get(username="nina")
    assert (account.role, account.full_name) == (Role.BUILDER, "Nina Invented")
    assert client.get("/me").status_code == 200
    assert Invitation.objects.get().used_by == account
    assert account.check_password(PASSWORD)


def test_nobody_can_make_a_role_of_their_own(client: Client, token: str) -> None:
    client.post(f"/invitation/{token}", {**SENT, "role": "lead", "is_active": "1"})
    assert Account.objects.get(username="nina").role == Role.BUILDER


def test_a_used_one_says_so_and_what_to_do(client: Client, token: str) -> None:
    client.post(f"/invitation/{token}", SENT)
    for answer in (
        Client().get(f"/invitation/{token}"),
        Client().post(f"/invitation/{token}", {**SENT, "username": "nora"}),
    ):
        assert answer.status_code == 410
        page = answer.content.decode()
        assert "used already" in page
        assert "Ask a lead" in page
    assert not Account.objects.filter(username="nora").exists()


def test_one_that_is_over_makes_no_account(client: Client, token: str) -> None:
    made = Invitation.objects.get()
    life = made.expires_at - made.made_at
    assert abs(life - datetime.timedelta(days=7)) < datetime.timedelta(minutes=1)
    Invitation.objects.update(expires_at=timezone.now())
    assert client.get(f"/invitation/{token}").status_code == 410
    assert client.post(f"/invitation/{token}", SENT).status_code == 410
    assert not Account.objects.filter(username="nina").exists()


def test_a_guess_looks_like_one_that_is_over(client: Client, token: str) -> None:
    Invitation.objects.update(expires_at=timezone.now())
    over, guessed = (
        re.sub("[A-Za-z0-9]{64}", "", client.get(f"/invitation/{one}").content.decode())
        for one in (token, "guessed")
    )
    assert over == guessed


@pytest.mark.parametrize(
    ("changed", "sentence"),
    [
        ({"again": "another long one"}, "not the same"),
        ({"password": "short", "again": "short"}, "at least 10"),
        ({"password": "password123", "again": "password123"}, "too common"),
        ({"username": "LENA"}, "taken"),
        ({"username": "a/b"}, "digits, blanks"),
        ({"username": ""}, "required"),
        ({"username": "you"}, "taken"),
    ],
    ids=str,
)
def test_bad_input_is_said_at_its_field_and_uses_nothing_up(
    client: Client, token: str, changed: dict[str, str], sentence: str
) -> None:
    answer = client.post(f"/invitation/{token}", {**SENT, **changed})
    assert answer.status_code == 200
    assert sentence in answer.content.decode()
    assert PASSWORD not in answer.content.decode()
    assert Invitation.objects.get().used_at is None
    assert client.post(f"/invitation/{token}", SENT).status_code == 302


@pytest.mark.django_db(transaction=True)
def test_of_two_at_the_same_moment_one_gets_in(people: Any) -> None:
    token = make_invitation(role=Role.PUPIL, full_name="", by=people["lena"], now=timezone.now())
    start, outcomes = threading.Barrier(4), []

    def use(name: str) -> None:
        try:
            start.wait(timeout=10)
            accept_invitation(
                token, username=name, full_name="", password=PASSWORD, now=timezone.now()
            )
            outcomes.append("in")
        except LinkOverError:
            outcomes.append("over")
        finally:
            connections.close_all()

    threads = [threading.Thread(target=use, args=(f"twin{n}",)) for n in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(outcomes) == ["in", "over", "over", "over"]
    assert Account.objects.filter(username__startswith="twin").count() == 1


def test_a_link_for_a_new_password_sets_it_once(client: Client, people: Any) -> None:
    token = make_password_link(people["ben"], by=people["lena"], now=timezone.now())
    page = client.get(f"/invitation/{token}").content.decode()
    assert "A new password for Ben Invented" in page
    new = {"password": "quite another one", "again": "quite another one"}
    assert client.post(f"/invitation/{token}", new).status_code == 302
    people["ben"].refresh_from_db()
    assert people["ben"].check_password("quite another one")
    assert Client().post(f"/invitation/{token}", new).status_code == 410


def test_a_new_link_ends_the_one_before(client: Client, people: Any) -> None:
    first, second = (
        make_password_link(people["ben"], by=people["lena"], now=timezone.now()) for _ in "ab"
    )
    assert client.get(f"/invitation/{first}").status_code == 410
    assert client.get(f"/invitation/{second}").status_code == 200


def test_a_link_for_a_password_makes_no_account_and_an_invitation_sets_no_password(
    client: Client, people: Any
) -> None:
    link = make_password_link(people["ben"], by=people["lena"], now=timezone.now())
    with pytest.raises(LinkOverError):
        accept_invitation(
            link, username="nina", full_name="", password=PASSWORD, now=timezone.now()
        )
    assert client.get(f"/invitation/{link}").status_code == 200


def test_a_newcomer_comes_in_on_a_phone(
    live_server: Any,
    people: Any,
    page_at: Callable[..., Any],
    axe: Callable[..., None],
    fits_the_screen: Callable[..., None],
    picture: Callable[..., Any],
) -> None:
    for size, scheme in (("phone", "dark"), ("desktop", "light"), ("phone", "light")):
        token = make_invitation(
            role=Role.PUPIL, full_name="", by=people["lena"], now=timezone.now()
        )
        page = page_at(size, scheme=scheme)
        page.goto(f"{live_server.url}/invitation/{token}")
        page.get_by_label("Your name").fill("Nina Invented")
        page.get_by_label("Name to log in with").fill("lena")
        page.get_by_label("Password").fill("short")
        page.get_by_label("The same once more").fill("short")
        page.get_by_role("button", name="Make my account").click()
        page.get_by_text("this name is taken", exact=False).wait_for()
        axe(page)
        fits_the_screen(page)
        picture(page, f"people-invitation-{size}-{scheme}")
    page.get_by_label("Name to log in with").fill("nina")
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_label("The same once more").fill(PASSWORD)
    page.get_by_role("button", name="Make my account").click()
    page.get_by_role("heading", name="Your account").wait_for()
