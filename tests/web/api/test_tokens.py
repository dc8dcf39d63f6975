"""Keys hold as long as they should and do what they are for, and nothing else."""

from __future__ import annotations

import datetime
from collections.abc import Callable
from typing import Any

import pytest
from django.test import Client
from django.utils import timezone

from oilwedge.errors import InputError
from oilwedge.web.api.scopes import Scope
from oilwedge.web.api.tokens import make_token, revoke_token, tokens_of
from oilwedge.web.people.models import Account, ApiToken, Role

pytestmark = pytest.mark.django_db


def status(token: str, path: str = "/jobs", kind: str = "Bearer") -> int:
    answer = Client().get(f"/api/v1{path}", headers={"Authorization": f"{kind} {token}"})
    assert answer.json()["sentence"] if answer.status_code != 200 else True
    return answer.status_code


@pytest.fixture
def token(people: dict[str, Account]) -> str:
    return make_token(account=people["ben"], title="reader", scopes=[Scope.READ], days=3)


def test_a_key_lets_its_program_in_and_is_kept_as_a_hash(token: str) -> None:
    assert status(token) == 200
    kept = ApiToken.objects.get()
    assert token not in str(vars(kept))
    assert kept.last_used_at is not None
    assert kept.scopes == "read"


@pytest.mark.parametrize(
    "wrong", ["", "x", "oilwedge_", "\u00fc", "oilwedge_" + "A" * 43, "a b", "\x00"]
)
def test_another_key_does_not(token: str, wrong: str) -> None:
    if "\x00" in wrong or not wrong.isascii():
        wrong = wrong.encode("utf-8").decode("latin-1")
    assert status(wrong) == 401
    assert status(token[:-1]) == 401
    assert status(token.swapcase()) == 401


def test_nor_does_the_key_by_another_way(token: str) -> None:
    assert status(token, kind="Basic") == 401
    assert Client().get("/api/v1/jobs").status_code == 401
    answer = Client().get(f"/api/v1/jobs?token={token}")
    assert answer.status_code == 401
    assert answer["WWW-Authenticate"] == "Bearer"
    assert set(answer.json()) == {"sentence"}


def test_a_session_is_no_key(as_person: Callable[[str], Client]) -> None:
    assert as_person("lena").get("/api/v1/jobs").status_code == 401


def test_a_key_ends_with_its_days_its_revocation_and_its_account(
    token: str, people: dict[str, Account]
) -> None:
    ben = people["ben"]
    second = make_token(account=ben, title="other", scopes=[Scope.READ], days=366)
    ApiToken.objects.filter(title="reader").update(expires_at=timezone.now())
    assert (status(token), status(second)) == (401, 200)
    assert [one.title for one in tokens_of(ben)] == ["other"]
    pk = ApiToken.objects.get(title="other").pk
    assert not revoke_token(account=people["lena"], pk=pk)
    assert status(second) == 200
    assert revoke_token(account=ben, pk=pk)
    assert not revoke_token(account=ben, pk=pk)
    assert status(second) == 401
    third = make_token(account=ben, title="third", scopes=[Scope.READ], days=1)
    Account.objects.filter(pk=ben.pk).update(is_active=False)
    assert status(third) == 401


def test_a_key_does_only_what_it_is_for(token: str) -> None:
    assert status(token, "/engines") == 403
    assert status(token, "/shop") == 403
    answer = Client().post(
        "/api/v1/jobs/J1/entries", data={}, content_type="application/json",
        headers={"Authorization": f"Bearer {token}"},
    )  # fmt: skip
    assert answer.status_code == 403
    assert "cannot add readings" in answer.json()["sentence"]


def test_a_key_does_no_more_than_its_account_may(people: dict[str, Account]) -> None:
    every = {name: make_token(account=people[name], title="all", scopes=tuple(Scope), days=1)
             for name in ("vera", "pia", "ben")}  # fmt: skip
    assert [status(every["vera"], path) for path in ("/jobs", "/engines", "/shop")] == [
        200, 403, 200,
    ]  # fmt: skip
    assert [status(every["pia"], path) for path in ("/jobs", "/engines", "/shop")] == [
        200, 403, 403,
    ]  # fmt: skip
    assert status(every["ben"], "/engines") == 200
    Account.objects.filter(username="ben").update(role=Role.VIEWER)
    assert status(every["ben"], "/engines") == 403


def test_the_use_of_a_key_is_noted_once_a_minute(token: str) -> None:
    status(token)
    before = ApiToken.objects.get().last_used_at
    assert before is not None
    status(token)
    assert ApiToken.objects.get().last_used_at == before
    earlier = before - datetime.timedelta(minutes=2)
    ApiToken.objects.update(last_used_at=earlier)
    status(token)
    now = ApiToken.objects.get().last_used_at
    assert now is not None
    assert now > earlier


@pytest.mark.parametrize(
    "wrong",
    [{"title": " "}, {"title": "x" * 81}, {"title": "a\x00b"}, {"scopes": []}, {"days": 0},
     {"days": 367}],
)  # fmt: skip
def test_a_key_that_is_for_nothing_or_for_ever_is_not_made(
    people: dict[str, Account], wrong: dict[str, Any]
) -> None:
    right: dict[str, Any] = {"title": "t", "scopes": [Scope.READ], "days": 1}
    with pytest.raises(InputError):
        make_token(account=people["ben"], **{**right, **wrong})
    assert not ApiToken.objects.exists()
