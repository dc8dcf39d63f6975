"""Accounts: what they may be called, and who counts as a lead."""

from __future__ import annotations

import pytest
from django.contrib.auth import authenticate
from django.test import RequestFactory

from oilwedge.errors import InputError
from oilwedge.web.people.accounts import create_account, ensure_lone_lead, has_lead
from oilwedge.web.people.models import Account, Role

PASSWORD = "a long invented password"
pytestmark = pytest.mark.django_db


def made(
    username: str = "lena", *, full_name: str = "Lena Invented", password: str = PASSWORD
) -> Account:
    return create_account(username=username, full_name=full_name, role=Role.LEAD, password=password)


def test_an_account_comes_in_with_its_password_whatever_the_case_of_its_name() -> None:
    account = made("Lena")
    request = RequestFactory().post("/login")
    assert authenticate(request, username="lena", password=PASSWORD) == account
    assert authenticate(request, username="lena", password="another one") is None
    assert PASSWORD not in account.password


def test_without_a_full_name_the_login_name_stands_on_sheets() -> None:
    assert made(full_name="  ").full_name == "lena"


def test_blanks_round_and_within_names_are_tidied() -> None:
    account = made("  lena   two ", full_name=" Lena \t Invented ")
    assert (account.username, account.full_name) == ("lena two", "Lena Invented")


@pytest.mark.parametrize("username", ["", " ", "a/b", "a\x00b", "x" * 61, "<b>", "a\u202eb"])
def test_a_name_that_nobody_types_again_is_refused(username: str) -> None:
    with pytest.raises(InputError, match="name to log in with"):
        made(username)
    assert not Account.objects.exists()


@pytest.mark.parametrize("username", ["lena", "LENA", "\uff4cena", "you", "You"])
def test_a_name_that_is_taken_is_refused(username: str) -> None:
    made()
    with pytest.raises(InputError, match="this name is taken; choose another one"):
        made(username)


@pytest.mark.parametrize("password", ["", "short", "password123", "lena invented", "x" * 257])
def test_a_password_that_is_easily_guessed_or_endless_is_refused(password: str) -> None:
    with pytest.raises(InputError, match="password"):
        made(password=password)
    assert not Account.objects.exists()


def test_a_refusal_never_repeats_the_password() -> None:
    with pytest.raises(InputError) as caught:
        made(password="qwertyuiop")
    assert "qwertyuiop" not in str(caught.value)


def test_the_lone_account_is_made_once_and_is_no_lead_that_can_log_in() -> None:
    assert ensure_lone_lead() == ensure_lone_lead()
    assert Account.objects.get().role == Role.LEAD
    assert not has_lead()
    assert authenticate(RequestFactory().post("/login"), username="you", password="") is None


def test_a_lead_who_may_log_in_counts_and_others_do_not() -> None:
    create_account(username="ben", full_name="", role=Role.BUILDER, password=PASSWORD)
    assert not has_lead()
    lead = made()
    assert has_lead()
    lead.is_active = False
    lead.save()
    assert not has_lead()
