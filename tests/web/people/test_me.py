"""The own account: name, password, devices."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from bench_fixtures import PASSWORD
from django.test import Client
from django.utils import timezone

from oilwedge.web.people.accounts import ensure_lone_lead
from oilwedge.web.people.models import Account
from oilwedge.web.people_pages.inviting import make_password_link

NEW = "quite another long one"
SENT = {"old_password": PASSWORD, "new_password1": NEW, "new_password2": NEW}


def test_everybody_sees_their_own(as_person: Callable[[str], Client]) -> None:
    for name in ("lena", "ben", "vera", "pia"):
        page = as_person(name).get("/me").content.decode()
        assert f'value="{name.title()} Invented"' in page


def test_the_name_is_changed(as_person: Callable[[str], Client], people: Any) -> None:
    client = as_person("ben")
    page = client.post("/me", {"full_name": " Ben   Other "}, follow=True).content.decode()
    assert "Your name is changed" in page
    assert Account.objects.get(pk=people["ben"].pk).full_name == "Ben Other"


@pytest.mark.parametrize("name", ["", "   ", "two\x07lines", "x" * 121])
def test_a_name_that_cannot_be_is_refused(
    as_person: Callable[[str], Client], people: Any, name: str
) -> None:
    answer = as_person("ben").post("/me", {"full_name": name})
    assert answer.status_code == 200
    assert 'class="fault"' in answer.content.decode()
    assert Account.objects.get(pk=people["ben"].pk).full_name == "Ben Invented"


def test_nobody_makes_themselves_a_lead(as_person: Callable[[str], Client], people: Any) -> None:
    as_person("pia").post("/me", {"full_name": "Pia", "role": "lead", "username": "lena2"})
    pia = Account.objects.get(pk=people["pia"].pk)
    assert (pia.role, pia.username) == ("pupil", "pia")


def test_a_new_password_logs_the_other_devices_out(
    as_person: Callable[[str], Client], people: Any
) -> None:
    here, there = as_person("ben"), as_person("ben")
    key = here.session.session_key
    link = make_password_link(people["ben"], by=people["lena"], now=timezone.now())
    page = here.post("/me/password", SENT, follow=True).content.decode()
    assert "Your password is changed" in page
    assert here.session.session_key != key
    assert there.get("/me").status_code == 302
    assert Account.objects.get(pk=people["ben"].pk).check_password(NEW)
    assert Client().get(f"/invitation/{link}").status_code == 410


@pytest.mark.parametrize(
    "changed",
    [
        {"old_password": "wrong words here"},
        {"new_password2": "something else here"},
        {"new_password1": "short", "new_password2": "short"},
        {"new_password1": "ben invented", "new_password2": "ben invented"},
    ],
    ids=str,
)
def test_a_password_that_cannot_be_is_refused_at_its_field(
    as_person: Callable[[str], Client], people: Any, changed: dict[str, str]
) -> None:
    here, there = as_person("ben"), as_person("ben")
    answer = here.post("/me/password", SENT | changed)
    assert answer.status_code == 200
    page = answer.content.decode()
    assert page.count('class="fault"') >= 1
    assert NEW not in page
    assert there.get("/me").status_code == 200
    assert Account.objects.get(pk=people["ben"].pk).check_password(PASSWORD)


def test_other_devices_are_logged_out_and_this_one_stays(
    as_person: Callable[[str], Client],
) -> None:
    here, there, vera = as_person("ben"), as_person("ben"), as_person("vera")
    page = here.post("/me/sessions", follow=True).content.decode()
    assert "Ended one session" in page
    assert there.get("/me").status_code == 302
    assert vera.get("/me").status_code == 200


def test_whoever_sits_at_the_machine_has_no_password(db: None) -> None:
    client = Client()
    client.force_login(ensure_lone_lead(), backend="django.contrib.auth.backends.ModelBackend")
    assert "old_password" not in client.get("/me").content.decode()
    assert "no password" in client.post("/me/password", SENT, follow=True).content.decode()


def test_a_browser_shows_it_well(
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
        lend_session(page, as_person("ben"), live_server.url)
        page.goto(f"{live_server.url}/me")
        axe(page)
        fits_the_screen(page)
        picture(page, f"people-me-{size}-{scheme}")
