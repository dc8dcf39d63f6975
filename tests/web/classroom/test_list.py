"""The list of classes."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from class_roles import refuses_all_but_leads
from django.test import Client

from oilwedge.web.classroom.closing import close_class

URL = "/classes/"


def test_only_leads_see_the_classes(task: Any, as_person: Callable[[str], Client]) -> None:
    refuses_all_but_leads(as_person, URL)


def test_an_empty_shop_says_what_a_class_is(
    people: Any, as_person: Callable[[str], Client]
) -> None:
    page = as_person("lena").get(URL).content.decode()
    assert "No class is under way" in page
    assert 'href="/classes/new"' in page


def test_running_and_closed_classes_stand_apart(
    begin_class: Callable[..., Any], people: Any, as_person: Callable[[str], Client]
) -> None:
    first, second = begin_class(), begin_class(["pia"])
    close_class(first, by=people["lena"])
    page = as_person("lena").get(URL).content.decode()
    running, _, closed = page.partition("<h2>Closed</h2>")
    assert f'href="/classes/{second.pk}/"' in running
    assert f'href="/classes/{first.pk}/"' in closed
    assert "1 bench<" in running  # the reference is not counted
    assert "2 benches<" in closed
