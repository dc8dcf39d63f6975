"""Keys for other programs: shown once, within what the account may do, ended by their owner."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import pytest
from django.test import Client

from oilwedge.web.api.scopes import Scope
from oilwedge.web.api.tokens import make_token, scopes_of
from oilwedge.web.people.models import ApiToken

URL = "/me/tokens"
SENT = {"title": "The counter's list", "scopes": ["read"], "days": "30"}


def made_on(page: str) -> str:
    found = re.search(r'id="made"[^>]*value="(oilwedge_[^"]+)"', page)
    assert found, "no key on the page"
    return found[1]


def test_a_key_is_shown_once_and_works(as_person: Callable[[str], Client]) -> None:
    client = as_person("ben")
    answer = client.post(URL, SENT)
    key = made_on(answer.content.decode())
    assert "no-store" in answer["Cache-Control"]
    later = client.get(URL).content.decode()
    assert key not in later
    assert "The counter&#x27;s list" in later
    kept = ApiToken.objects.get()
    assert key not in (kept.token_hash, kept.title)
    assert scopes_of(kept) == {Scope.READ}
    assert (
        Client().get("/api/v1/jobs", headers={"Authorization": f"Bearer {key}"}).status_code == 200
    )


def test_an_ended_key_works_no_more(as_person: Callable[[str], Client]) -> None:
    client = as_person("ben")
    key = made_on(client.post(URL, SENT).content.decode())
    pk = ApiToken.objects.get().pk
    page = client.post(f"{URL}/{pk}/revoke", follow=True).content.decode()
    assert "does not work any more" in page
    assert "The counter" not in page
    assert (
        Client().get("/api/v1/jobs", headers={"Authorization": f"Bearer {key}"}).status_code == 401
    )


def test_nobody_ends_the_key_of_somebody_else(
    as_person: Callable[[str], Client], people: Any
) -> None:
    make_token(account=people["ben"], title="t", scopes=[Scope.READ], days=1)
    kept = ApiToken.objects.get()
    page = as_person("lena").post(f"{URL}/{kept.pk}/revoke", follow=True).content.decode()
    assert "no such key" in page
    assert ApiToken.objects.get().revoked_at is None


def test_nobody_gets_a_key_for_more_than_the_account_may_do(
    as_person: Callable[[str], Client],
) -> None:
    client = as_person("vera")
    page = client.get(URL).content.decode()
    assert 'value="measure"' not in page
    assert 'value="engines"' not in page
    answer = client.post(URL, SENT | {"scopes": ["read", "measure"]})
    assert 'class="fault"' in answer.content.decode()
    assert not ApiToken.objects.exists()


@pytest.mark.parametrize(
    "changed",
    [{"title": " "}, {"title": "x" * 81}, {"scopes": []}, {"days": "0"}, {"days": "400"}],
    ids=str,
)
def test_bad_input_makes_no_key(
    as_person: Callable[[str], Client], changed: dict[str, Any]
) -> None:
    answer = as_person("ben").post(URL, SENT | changed)
    assert answer.status_code == 200
    assert 'class="fault"' in answer.content.decode()
    assert not ApiToken.objects.exists()


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
        page.goto(f"{live_server.url}{URL}")
        axe(page)
        fits_the_screen(page)
        page.get_by_label("What it is for").fill("The list at the counter")
        page.get_by_role("button", name="Make the key").click()
        page.get_by_label("The new key").wait_for()
        axe(page)
        fits_the_screen(page)
        picture(page, f"people-tokens-{size}-{scheme}")
