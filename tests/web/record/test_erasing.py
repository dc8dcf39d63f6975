"""A person who is erased is gone from the database, and every chain still verifies."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from django.db import connection
from django.test import Client
from record_entries import event, reading

from oilwedge.job.chain import Link, check_chain
from oilwedge.job.entry import EventKind
from oilwedge.web.people.models import Account, ApiToken, Invitation
from oilwedge.web.record.erasing import erase_account, erase_owner
from oilwedge.web.record.models import Job, Parked, ShopRevision, StoredVerdict
from oilwedge.web.record.store import (
    append_entries,
    commitment_for,
    entries_of,
    owner_commitment,
    people_of,
)

MakeJob = Callable[..., Job]


def everything_written() -> str:
    """All that stands in the database, as one text."""
    tables = connection.introspection.table_names()
    found = []
    with connection.cursor() as cursor:
        for table in tables:
            cursor.execute(f'SELECT * FROM "{table}"')
            found += [str(row) for row in cursor.fetchall()]
    return "\n".join(found)


@pytest.mark.django_db
def test_an_erased_person_is_nowhere_and_the_chain_holds(
    make_job: MakeJob,
    people: dict[str, Account],
    as_person: Callable[[str], Client],
    shop_revision: ShopRevision,
) -> None:
    ben = people["ben"]
    session = as_person("ben").session.session_key
    as_person("vera")
    jobs = [make_job("J1"), make_job("J2")]
    for job in jobs:
        who = commitment_for(job=job, account=ben)
        append_entries(job=job, entries=(reading(f"r{job.pk}", person=who),))
        StoredVerdict.objects.create(
            job=job, head=job.head, engine_digest="", shop_digest="", rule="", version="",
            document={"measured_by": ben.full_name},
        )  # fmt: skip
    append_entries(job=jobs[1], entries=(event(EventKind.CLOSED),))
    Parked.objects.create(
        job=jobs[0], entry_id="p", author=ben, author_name=ben.full_name,
        document={"author": ben.pk, "typed": "47"}, reason="closed",
    )  # fmt: skip
    ShopRevision.objects.create(number=2, text="", digest="x", person_name=ben.full_name)
    Invitation.objects.create(
        token_hash="i", role="builder", full_name=ben.full_name, made_by=people["lena"],
        used_by=ben, expires_at=ben.created_at,
    )  # fmt: skip
    ApiToken.objects.create(token_hash="t", title="his", account=ben, scopes="read")

    assert erase_account(ben) == 2

    written = everything_written()
    assert "Ben Invented" not in written
    assert session not in written
    assert "Vera Invented" in written
    for job in jobs:
        job.refresh_from_db()
        links = [
            Link(sequence=row.sequence, entry_id=row.entry_id, text=row.document, head=row.head)
            for row in job.entries.order_by("sequence")
        ]
        assert check_chain(links=links, count=job.count, head=job.head) == ()
        assert list(people_of(job).values()) == ["(erased)"]
        assert entries_of(job)[-1].kind is EventKind.ERASED  # type: ignore[union-attr]
    assert jobs[1].closed
    ben.refresh_from_db()
    assert not ben.is_active
    assert ben.erased_at is not None
    assert not ben.has_usable_password()


@pytest.mark.django_db
def test_an_erased_owner_is_nowhere(make_job: MakeJob, people: dict[str, Account]) -> None:
    job = make_job()
    who = owner_commitment(job=job, text="Olga Owner")
    append_entries(job=job, entries=(event(EventKind.OWNER, "o", person=who),))
    assert "Olga Owner" in everything_written()
    erase_owner(job=job, person=commitment_for(job=job, account=people["lena"]))
    assert "Olga Owner" not in everything_written()
    assert people_of(job)[who] == "(erased)"
