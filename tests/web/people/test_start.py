"""The start address lets in one browser, once, and only where one machine is served."""

from __future__ import annotations

import datetime
from typing import Any

import pytest
from django.test import Client
from django.utils import timezone

from oilwedge.web.people.accounts import ensure_lone_lead
from oilwedge.web.people.models import StartToken
from oilwedge.web.people.start_tokens import new_start_token

ALONE = {"host": "127.0.0.1:8470"}


@pytest.fixture
def alone(settings: Any, db: None) -> Client:
    """A browser on the machine itself, in the mode for one."""
    settings.MODE, settings.PORT = "alone", "8470"
    ensure_lone_lead()
    return Client(headers=ALONE)


def test_the_token_lets_in_and_stands_in_no_address_after_that(alone: Client) -> None:
    answer = alone.get(f"/start/{new_start_token()}")
    assert (answer.status_code, answer.url) == (302, "/")
    assert "no-store" in answer["Cache-Control"]
    assert answer["Referrer-Policy"] == "same-origin"
    assert alone.get("/me").status_code == 200


def test_the_second_browser_is_told_how_to_get_a_new_one(alone: Client) -> None:
    token = new_start_token()
    alone.get(f"/start/{token}")
    answer = Client(headers=ALONE).get(f"/start/{token}")
    assert answer.status_code == 410
    page = answer.content.decode()
    assert "used already" in page
    assert "Press Enter in the window" in page


def test_the_same_browser_may_load_it_again(alone: Client) -> None:
    token = new_start_token()
    alone.get(f"/start/{token}")
    assert alone.get(f"/start/{token}").url == "/"


@pytest.mark.parametrize(
    "header",
    [
        {"Sec-Purpose": "prefetch"},
        {"Sec-Purpose": "prefetch;prerender"},
        {"Purpose": "prefetch"},
        {"X-Moz": "prefetch"},
        {"X-Purpose": "preview"},
    ],
    ids=str,
)
def test_looking_ahead_uses_nothing_up(alone: Client, header: dict[str, str]) -> None:
    token = new_start_token()
    answer = alone.get(f"/start/{token}", headers=header)
    assert answer.status_code == 204
    assert not answer.cookies
    assert alone.get(f"/start/{token}").status_code == 302


def test_a_head_request_uses_nothing_up(alone: Client) -> None:
    token = new_start_token()
    assert alone.head(f"/start/{token}").status_code == 204
    assert alone.get(f"/start/{token}").status_code == 302


def test_a_form_cannot_be_sent_here(alone: Client) -> None:
    assert alone.post(f"/start/{new_start_token()}").status_code == 405


def test_a_guess_and_an_old_token_let_nobody_in(alone: Client) -> None:
    assert alone.get("/start/guessed").status_code == 410
    token = new_start_token()
    StartToken.objects.update(made_at=timezone.now() - datetime.timedelta(minutes=11))
    assert alone.get(f"/start/{token}").status_code == 410


def test_the_network_gets_nothing_by_it(client: Client, db: None) -> None:
    answer = client.get(f"/start/{new_start_token()}")
    assert answer.status_code == 410
    assert "network" in answer.content.decode()


def test_a_name_that_points_at_this_machine_gets_nothing(alone: Client) -> None:
    token = new_start_token()
    answer = alone.get(f"/start/{token}", headers={"Host": "bench.test:8470"})
    assert answer.status_code == 403
    assert alone.get(f"/start/{token}").status_code == 302
