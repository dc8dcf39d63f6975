"""Log out: by a form only, without taking what was not sent yet."""

from __future__ import annotations

from collections.abc import Callable

from django.test import Client

URL = "/logout"


def test_it_ends_the_session(as_person: Callable[[str], Client]) -> None:
    client = as_person("ben")
    answer = client.post(URL)
    assert (answer.status_code, answer.url) == (302, "/login")
    assert client.get("/me").url == "/login?next=/me"


def test_a_link_or_an_image_logs_nobody_out(as_person: Callable[[str], Client]) -> None:
    client = as_person("ben")
    assert client.get(URL).status_code == 405
    assert client.get("/me").status_code == 200


def test_pages_go_from_the_browser_and_unsent_readings_stay(
    as_person: Callable[[str], Client],
) -> None:
    # W3C Clear Site Data, 3.1 (RECALLED): "storage" would empty IndexedDB too.
    assert as_person("ben").post(URL)["Clear-Site-Data"] == '"cache"'


def test_who_is_out_already_is_told_nothing_new(client: Client, db: None) -> None:
    assert client.post(URL).url == "/login"
