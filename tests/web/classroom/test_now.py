"""The part of a class's page that is asked for again and again."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from class_entries import take
from class_roles import refuses_all_but_leads
from django.test import Client

from oilwedge.web.classroom.closing import show_results

HTMX = {"HX-Request": "true"}


def test_only_leads_get_it(task: Any, as_person: Callable[[str], Client]) -> None:
    refuses_all_but_leads(as_person, f"/classes/{task.pk}/now")


def test_nothing_comes_while_nothing_changed(
    task: Any, bench_of: Callable[..., Any], as_person: Callable[[str], Client]
) -> None:
    client, url = as_person("lena"), f"/classes/{task.pk}/now"
    first = client.get(url, headers=HTMX)
    assert b'id="now"' in first.content
    assert b"<html" not in first.content
    known = HTMX | {"If-None-Match": first.headers["ETag"]}
    again = client.get(url, headers=known)
    assert (again.status_code, again.content) == (304, b"")
    take(bench_of(task, "pol"), count=1)
    changed = client.get(url, headers=known)
    assert changed.status_code == 200
    assert changed.headers["ETag"] != first.headers["ETag"]


def test_the_page_carries_the_tag_of_its_state(
    task: Any, as_person: Callable[[str], Client]
) -> None:
    client = as_person("lena")
    tag = client.get(f"/classes/{task.pk}/now", headers=HTMX).headers["ETag"]
    assert tag.strip('"') in client.get(f"/classes/{task.pk}/").content.decode()


def test_switches_and_the_clock_change_it(
    task: Any, bench_of: Callable[..., Any], as_person: Callable[[str], Client], monkeypatch: Any
) -> None:
    import datetime

    from django.utils import timezone

    client, url = as_person("lena"), f"/classes/{task.pk}/now"
    take(bench_of(task, "pol"), count=1)
    tags = [client.get(url, headers=HTMX).headers["ETag"]]
    show_results(task, shown=True)
    tags.append(client.get(url, headers=HTMX).headers["ETag"])
    tags.append(client.get(f"{url}?unit=in", headers=HTMX).headers["ETag"])
    later = timezone.now() + datetime.timedelta(minutes=11)
    monkeypatch.setattr("oilwedge.web.classroom.class_views.timezone.now", lambda: later)
    tags.append(client.get(url, headers=HTMX).headers["ETag"])
    assert len(set(tags)) == 4


def test_without_htmx_it_leads_to_the_page(task: Any, as_person: Callable[[str], Client]) -> None:
    answer = as_person("lena").get(f"/classes/{task.pk}/now")
    assert answer.headers["Location"] == f"/classes/{task.pk}/"
