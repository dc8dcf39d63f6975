"""The page of people: who is in, who is out, which links are under way."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.test import Client
from django.utils import timezone

from oilwedge.web.people.models import Account, Role
from oilwedge.web.people_pages.inviting import make_invitation, make_password_link

URL = "/people/"


def test_everybody_stands_there_with_the_role(as_person: Callable[[str], Client]) -> None:
    page = as_person("lena").get(URL).content.decode()
    for name in ("Lena", "Ben", "Vera", "Pia", "Pol"):
        assert f"{name} Invented" in page
    assert page.count("pupil</td>") == 2


def test_who_is_switched_off_or_erased_stands_apart(
    as_person: Callable[[str], Client], people: Any
) -> None:
    Account.objects.filter(username="vera").update(is_active=False)
    Account.objects.filter(username="pol").update(
        is_active=False, erased_at=timezone.now(), full_name="", username="erased-5"
    )
    page = as_person("lena").get(URL).content.decode()
    let_in, _, out = page.partition("Not let in any more")
    assert "Vera Invented" not in let_in
    assert "Vera Invented" in out
    assert "erased-5" not in page
    assert "1 person was erased" in page


def test_links_under_way_say_what_they_are_for(
    as_person: Callable[[str], Client], people: Any
) -> None:
    now = timezone.now()
    make_invitation(role=Role.VIEWER, full_name="Nina Invented", by=people["lena"], now=now)
    make_password_link(people["ben"], by=people["lena"], now=now)
    page = as_person("lena").get(URL).content.decode()
    assert "the link for Nina Invented" in page
    assert "new password</td>" in page


def test_names_are_text_and_nothing_else(as_person: Callable[[str], Client], people: Any) -> None:
    Account.objects.filter(username="ben").update(full_name="<b onclick=x>Ben</b>")
    page = as_person("lena").get(URL).content.decode()
    assert "<b onclick" not in page
    assert "&lt;b onclick=x&gt;Ben" in page


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
    make_invitation(role=Role.PUPIL, full_name="", by=people["lena"], now=timezone.now())
    Account.objects.filter(username="vera").update(is_active=False)
    for size, scheme in (("phone", "light"), ("phone", "dark"), ("desktop", "light")):
        page = page_at(size, scheme=scheme)
        lend_session(page, as_person("lena"), live_server.url)
        page.goto(f"{live_server.url}{URL}")
        axe(page)
        fits_the_screen(page)
        picture(page, f"people-list-{size}-{scheme}")
