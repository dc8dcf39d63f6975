"""Erase a person: the name is gone everywhere, what was measured stays, the chains verify."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from django.db import connection
from django.test import Client

from oilwedge.job.chain import Link, check_chain
from oilwedge.job.entry import Event, EventKind
from oilwedge.web.people.models import Account
from oilwedge.web.record.models import Job, Parked, PersonalDatum, StoredVerdict
from oilwedge.web.record.store import (
    append_entries,
    commitment_for,
    entries_of,
    new_id,
    people_of,
)


def chain_faults(job: Job) -> tuple[Any, ...]:
    job.refresh_from_db()
    links = [
        Link(sequence=one.sequence, entry_id=one.entry_id, text=one.document, head=one.head)
        for one in job.entries.order_by("sequence")
    ]
    return check_chain(links=links, count=job.count, head=job.head)


@pytest.fixture
def noted(people: Any, make_job: Callable[..., Any]) -> list[Job]:
    """Two jobs in which Ben wrote a note, one of them closed, and one in which Vera did."""
    jobs = []
    for number, name in (("J1", "ben"), ("J2", "ben"), ("J3", "vera")):
        job = make_job(number)
        person = commitment_for(job=job, account=people[name])
        note = Event(id=new_id(), kind=EventKind.NOTE, person=person, note="oil changed")
        closing = Event(id=new_id(), kind=EventKind.CLOSED, person=person)
        append_entries(job=job, entries=(note, closing) if number == "J2" else (note,))
        Parked.objects.create(
            job=job, entry_id="p", author=people[name], author_name=str(people[name]),
            document={}, reason="closed",
        )  # fmt: skip
        StoredVerdict.objects.create(
            job=job, head=job.head, engine_digest="e", shop_digest="s", rule="r", version="v",
            document={"person": str(people[name])},
        )  # fmt: skip
        jobs.append(job)
    return jobs


def erased(client: Client, account: Account) -> str:
    url = f"/people/{account.pk}/erase"
    return client.post(url, {"sure": "yes"}, follow=True).content.decode()


def test_it_asks_before_it_does_anything(as_person: Callable[[str], Client], people: Any) -> None:
    client, url = as_person("lena"), f"/people/{people['ben'].pk}/erase"
    assert "cannot be undone" in client.get(url).content.decode()
    assert "Say that you are sure" in client.post(url).content.decode()
    assert Account.objects.get(pk=people["ben"].pk).full_name == "Ben Invented"


def test_the_name_is_in_no_table_any_more(
    as_person: Callable[[str], Client], people: Any, noted: list[Job]
) -> None:
    page = erased(as_person("lena"), people["ben"])
    assert "erased, in the accounts and in 2 jobs" in page
    for table in connection.introspection.table_names():
        with connection.cursor() as cursor:
            cursor.execute(f"SELECT * FROM {connection.ops.quote_name(table)}")
            assert "Ben Invented" not in str(cursor.fetchall()), table
    account = Account.objects.get(pk=people["ben"].pk)
    assert (account.is_active, account.full_name) == (False, "")
    assert not account.has_usable_password()
    assert "Ben" not in account.username


def test_each_chain_says_so_and_verifies(
    as_person: Callable[[str], Client], people: Any, noted: list[Job]
) -> None:
    erased(as_person("lena"), people["ben"])
    for job in noted[:2]:
        assert not chain_faults(job)
        last = entries_of(job)[-1]
        assert isinstance(last, Event)
        assert last.kind is EventKind.ERASED
        assert people_of(job)[last.value] == "(erased)"
        assert not job.personal.exclude(salt="").filter(commitment=last.value).exists()
    assert noted[1].closed  # erasing a name does not open a job


def test_notes_and_readings_stay(
    as_person: Callable[[str], Client], people: Any, noted: list[Job]
) -> None:
    erased(as_person("lena"), people["ben"])
    noted[0].refresh_from_db()
    assert "oil changed" in [one.note for one in entries_of(noted[0])]


def test_what_others_did_is_not_touched(
    as_person: Callable[[str], Client], people: Any, noted: list[Job]
) -> None:
    before = noted[2].head
    erased(as_person("lena"), people["ben"])
    noted[2].refresh_from_db()
    assert noted[2].head == before
    assert "Vera Invented" in people_of(noted[2]).values()
    assert StoredVerdict.objects.get().job == noted[2]
    assert PersonalDatum.objects.filter(erased_at=None).count() == 1
    assert Parked.objects.get(job=noted[2]).author_name == "Vera Invented"


def test_who_was_erased_is_out_and_is_not_found_again(
    as_person: Callable[[str], Client], people: Any
) -> None:
    ben, lena = as_person("ben"), as_person("lena")
    erased(lena, people["ben"])
    assert ben.get("/me").status_code == 302
    assert lena.get(f"/people/{people['ben'].pk}/").status_code == 404
    active = lena.post(f"/people/{people['ben'].pk}/active", {"active": "yes"})
    assert active.status_code == 404


def test_a_lead_may_be_erased_while_another_is_left(
    as_person: Callable[[str], Client], people: Any
) -> None:
    Account.objects.filter(username="ben").update(role="lead")
    erased(as_person("ben"), people["lena"])
    assert Account.objects.get(pk=people["lena"].pk).erased_at is not None


def test_a_browser_shows_it_well(
    live_server: Any,
    as_person: Callable[[str], Client],
    people: Any,
    page_at: Callable[..., Any],
    lend_session: Callable[..., None],
    axe: Callable[..., None],
    fits_the_screen: Callable[..., None],
    picture: Callable[..., Any],
) -> None:
    for size, scheme in (("phone", "light"), ("phone", "dark"), ("desktop", "light")):
        page = page_at(size, scheme=scheme)
        lend_session(page, as_person("lena"), live_server.url)
        page.goto(f"{live_server.url}/people/{people['ben'].pk}/erase")
        page.get_by_role("button", name="Erase the name").click()
        page.get_by_text("Say that you are sure").wait_for()
        axe(page)
        fits_the_screen(page)
        picture(page, f"people-erase-{size}-{scheme}")
