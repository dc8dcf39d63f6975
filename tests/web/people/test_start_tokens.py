"""The start token lets in once, for ten minutes, and is nowhere to be read."""

from __future__ import annotations

import datetime

import pytest

from oilwedge.web.people.models import StartToken
from oilwedge.web.people.start_tokens import consume_start_token, new_start_token

pytestmark = pytest.mark.django_db


def now(minutes: float = 0) -> datetime.datetime:
    return datetime.datetime.now(datetime.UTC) + datetime.timedelta(minutes=minutes)


def test_a_token_lets_in_once() -> None:
    token = new_start_token()
    assert consume_start_token(token, now=now())
    assert not consume_start_token(token, now=now())


def test_a_token_ends_after_ten_minutes() -> None:
    token = new_start_token()
    assert not consume_start_token(token, now=now(10.1))
    assert consume_start_token(token, now=now(9.9))


def test_a_new_token_ends_the_one_before() -> None:
    first, second = new_start_token(), new_start_token()
    assert not consume_start_token(first, now=now())
    assert consume_start_token(second, now=now())


@pytest.mark.parametrize("token", ["", "x", "../..", "a" * 5000])
def test_what_is_no_token_lets_nobody_in(token: str) -> None:
    new_start_token()
    assert not consume_start_token(token, now=now())


def test_the_database_does_not_hold_the_token() -> None:
    token = new_start_token()
    assert len(token) >= 43  # 32 bytes in letters of 6 bits
    row = StartToken.objects.get()
    assert token not in row.token_hash
    assert not consume_start_token(row.token_hash, now=now())
