"""Who may lead a class: nobody but a lead, whatever the address."""

from __future__ import annotations

from collections.abc import Callable
from http import HTTPStatus
from typing import Any

from django.test import Client

NOT_LEADS = ("ben", "vera", "pia")


def refuses_all_but_leads(
    as_person: Callable[[str], Client], url: str, *, method: str = "get", data: Any = None
) -> None:
    """Asserts that builder, viewer and pupil get 403 and somebody not logged in the login page."""
    for name in NOT_LEADS:
        answer = getattr(as_person(name), method)(url, data or {})
        assert answer.status_code == HTTPStatus.FORBIDDEN, name
        assert b"Your account may not lead classes" in answer.content
    answer = getattr(Client(), method)(url, data or {})
    assert answer.headers["Location"].startswith("/login?next=/")
