"""Log in: the same answer whatever was wrong, a lock for a name from an address, a way back."""

from __future__ import annotations

import datetime
import re
from collections.abc import Callable
from typing import Any

import pytest
from bench_fixtures import PASSWORD
from django.contrib.sessions.models import Session
from django.test import Client
from django.utils import timezone

URL = "/login"
WRONG = "Name or password is wrong."


def tried(client: Client, name: str, password: str, **more: Any) -> Any:
    return client.post(URL, {"username": name, "password": password, **more})


def test_the_page_asks_for_name_and_password(client: Client, db: None) -> None:
    answer = client.get(URL)
    assert answer.status_code == 200
    assert b'autocomplete="current-password"' in answer.content
    assert "no-store" in answer["Cache-Control"]


def test_whoever_knows_the_password_comes_in(client: Client, people: Any) -> None:
    answer = tried(client, "ben", PASSWORD)
    assert (answer.status_code, answer.url) == (302, "/")
    assert client.session["_auth_user_id"] == str(people["ben"].pk)


def test_capital_letters_and_blanks_around_a_name_do_not_matter(
    client: Client, people: Any
) -> None:
    assert tried(client, "  BEN ", PASSWORD).status_code == 302


@pytest.mark.parametrize(
    ("name", "password"),
    [("ben", "another long one"), ("nobody", PASSWORD), ("off", PASSWORD), ("ben", "")],
)
def test_the_answer_does_not_say_what_was_wrong(
    client: Client, people: Any, name: str, password: str
) -> None:
    people["vera"].username, people["vera"].is_active = "off", False
    people["vera"].save()
    answer = tried(client, name, password)
    page = answer.content.decode()
    assert answer.status_code == 200
    if password:
        assert WRONG in page
    pages = [
        tried(Client(REMOTE_ADDR="192.0.2.7"), one, "wrong words here").content.decode()
        for one in ("ben", "nobody", "off")
    ]
    bare = {
        _without_token(one).replace(name, "NAME")
        for one, name in zip(pages, ("ben", "nobody", "off"), strict=True)
    }
    assert len(bare) == 1


def _without_token(page: str) -> str:
    return re.sub(r"[A-Za-z0-9]{64}", "TOKEN", page)


def test_five_wrong_passwords_lock_the_name_from_that_address(client: Client, people: Any) -> None:
    for _ in range(4):
        assert tried(client, "ben", "wrong words here").status_code == 200
    answer = tried(client, "ben", "wrong words here")
    assert answer.status_code == 429
    page = answer.content.decode()
    assert "Wait 15 minutes" in page
    assert tried(client, "ben", PASSWORD).status_code == 429  # the right one too


def test_other_spellings_of_a_name_count_as_the_same(client: Client, people: Any) -> None:
    spellings = ["ben", "BEN", " Ben", "bEn", "beN"]
    codes = [tried(client, one, "wrong words here").status_code for one in spellings]
    assert codes == [200, 200, 200, 200, 429]


def test_names_that_nobody_has_are_locked_alike(client: Client, people: Any) -> None:
    codes = [tried(client, "nobody", "wrong words here").status_code for _ in range(5)]
    assert codes[-1] == 429


def test_the_lock_holds_for_that_name_and_that_address_only(client: Client, people: Any) -> None:
    for _ in range(5):
        tried(client, "ben", "wrong words here")
    assert tried(client, "lena", PASSWORD).status_code == 302
    elsewhere = Client(REMOTE_ADDR="192.0.2.7")
    assert tried(elsewhere, "ben", PASSWORD).status_code == 302


def test_after_the_wait_the_name_is_let_in_again(client: Client, people: Any) -> None:
    from axes.models import AccessAttempt

    for _ in range(5):
        tried(client, "ben", "wrong words here")
    AccessAttempt.objects.update(attempt_time=timezone.now() - datetime.timedelta(minutes=16))
    assert tried(client, "ben", PASSWORD).status_code == 302


def test_somebody_who_is_not_in_is_led_here_and_back(client: Client, people: Any) -> None:
    answer = client.get("/people/")
    assert answer.url == "/login?next=/people/"
    page = client.get(answer.url).content.decode()
    assert 'name="next" value="/people/"' in page
    assert tried(client, "lena", PASSWORD, next="/people/").url == "/people/"


@pytest.mark.parametrize(
    "elsewhere",
    ["https://elsewhere.test/", "//elsewhere.test/", "javascript:alert(1)", r"/\elsewhere.test"],
)
def test_nobody_is_led_out_of_the_bench(client: Client, people: Any, elsewhere: str) -> None:
    assert elsewhere not in client.get(URL, {"next": elsewhere}).content.decode()
    assert tried(client, "ben", PASSWORD, next=elsewhere).url == "/"


def test_who_is_in_already_goes_on(as_person: Callable[[str], Client]) -> None:
    assert as_person("ben").get(URL).url == "/"


def test_the_session_gets_a_new_key(client: Client, people: Any) -> None:
    client.get(URL)
    session = client.session
    session["unit"] = "in"
    session.save()
    before = session.session_key
    tried(client, "ben", PASSWORD)
    assert client.session.session_key != before
    assert not Session.objects.filter(session_key=before).exists()


def test_a_session_ends_twelve_hours_after_login_even_if_it_is_used(
    client: Client, people: Any
) -> None:
    tried(client, "ben", PASSWORD)
    session = client.session
    session["unit"] = "in"  # something was done in it
    session.save()
    left = Session.objects.get(session_key=session.session_key).expire_date - timezone.now()
    assert left <= datetime.timedelta(hours=12)
    Session.objects.update(expire_date=timezone.now() - datetime.timedelta(seconds=1))
    assert client.get("/me").status_code == 302


def test_sessions_that_ended_by_themselves_are_not_kept(client: Client, people: Any) -> None:
    tried(Client(), "vera", PASSWORD)
    Session.objects.update(expire_date=timezone.now() - datetime.timedelta(seconds=1))
    tried(client, "ben", PASSWORD)
    assert Session.objects.count() == 1


def test_a_pupil_starts_at_the_own_bench(
    client: Client, people: Any, make_job: Callable[..., Any]
) -> None:
    assert tried(client, "pia", PASSWORD).url == "/me"
    make_job("J7", pupil=people["pia"])
    other = Client()
    assert tried(other, "pia", PASSWORD).url == "/jobs/J7/"
    assert other.get("/").url == "/jobs/J7/"


def test_a_part_of_a_page_is_not_replaced_by_the_page_to_log_in(client: Client, db: None) -> None:
    answer = client.get(
        "/people/",
        headers={"HX-Request": "true", "HX-Current-URL": "http://testserver/people/?page=2"},
    )
    assert answer.status_code == 401
    assert answer["HX-Redirect"] == "/login?next=/people/%3Fpage%3D2"


def test_after_login_nobody_lands_on_an_address_that_only_takes_forms(
    client: Client, db: None
) -> None:
    answer = client.post("/me/password", {}, headers={"Referer": "http://testserver/me"})
    assert answer.url == "/login?next=/me"
    assert client.post("/me/password", {}).url == "/login?next=/"


@pytest.mark.parametrize("name", ["login", "locked"])
def test_a_browser_shows_it_well(
    name: str,
    live_server: Any,
    people: Any,
    page_at: Callable[..., Any],
    axe: Callable[..., None],
    fits_the_screen: Callable[..., None],
    picture: Callable[..., Any],
) -> None:
    for size, scheme in (("phone", "light"), ("phone", "dark"), ("desktop", "light")):
        page = page_at(size, scheme=scheme, expected=["429"])
        page.goto(f"{live_server.url}/login")
        if name == "locked":
            for _ in range(6):
                page.get_by_label("Name").fill("ben")
                page.get_by_label("Password").fill("wrong words here")
                page.get_by_role("button", name="Log in").click()
                if page.get_by_role("heading", name="Locked").count():
                    break
            page.get_by_role("heading", name="Locked for a while").wait_for()
        axe(page)
        fits_the_screen(page)
        picture(page, f"people-{name}-{size}-{scheme}")


def test_a_person_comes_in_with_the_keyboard_alone(
    live_server: Any, people: Any, page_at: Callable[..., Any]
) -> None:
    page = page_at("phone")
    page.goto(f"{live_server.url}/me")
    page.keyboard.type("lena")
    page.keyboard.press("Tab")
    page.keyboard.type(PASSWORD)
    page.keyboard.press("Enter")
    page.get_by_role("heading", name="Your account").wait_for()
