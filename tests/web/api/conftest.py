"""A program with a key."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from django.http import HttpResponse
from django.test import Client

from oilwedge.web.api.scopes import Scope
from oilwedge.web.api.tokens import make_token
from oilwedge.web.people.models import Account

Program = Callable[..., HttpResponse]


@pytest.fixture
def program(people: dict[str, Account]) -> Callable[..., Program]:
    """``program("ben", Scope.READ)("get", "/jobs")``: a program with a key of somebody."""

    def of(name: str, *scopes: Scope) -> Program:
        token = make_token(
            account=people[name], title="a program", scopes=scopes or tuple(Scope), days=30
        )
        client = Client(enforce_csrf_checks=True, headers={"Authorization": f"Bearer {token}"})

        def call(method: str, path: str, body: object = None) -> HttpResponse:
            asked = getattr(client, method)
            address = f"/api/v1{path}"
            if method == "get":
                return asked(address)
            return asked(address, data=body, content_type="application/json")

        return call

    return of
