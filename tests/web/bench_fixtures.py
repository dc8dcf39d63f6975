"""A shop for the tests of the bench: invented people, one per role, a job, and who looks at it."""

from __future__ import annotations

import datetime
import hashlib
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from django.db import connections
from django.test import Client

DATA = Path(__file__).parents[1] / "data"
PASSWORD = "a long invented password"


@pytest.fixture(autouse=True, scope="session")
def _flush_passes_the_triggers() -> Iterator[None]:
    """Tests that commit are cleaned up by emptying tables, which the record's triggers refuse."""
    from django.db.backends.base.operations import BaseDatabaseOperations

    flush = BaseDatabaseOperations.execute_sql_flush

    def unheld(self: BaseDatabaseOperations, sql_list: list[str]) -> None:
        remove_triggers(self.connection.alias)
        flush(self, sql_list)

    BaseDatabaseOperations.execute_sql_flush = unheld  # type: ignore[method-assign]
    yield
    BaseDatabaseOperations.execute_sql_flush = flush  # type: ignore[method-assign]


@pytest.fixture(autouse=True)
def _nothing_remembered() -> Iterator[None]:
    """What the record keeps in memory does not outlive the database of a test."""
    from oilwedge.web.record import judged, store

    yield
    caches = (judged._engine, judged._shop, judged._judgement, judged._planned, judged._plan)
    for kept in (store._entries_at, *caches):
        kept.cache_clear()


def remove_triggers(alias: str = "default") -> None:
    """Take the triggers off, as somebody with the database's own program could."""
    from oilwedge.web.record.triggers import RULES, tables

    connection = connections[alias]
    with connection.cursor() as cursor:
        for rule in RULES:
            on = f" ON {rule.table}" if connection.vendor == "postgresql" else ""
            cursor.execute(f"DROP TRIGGER IF EXISTS {rule.name}{on}")
        if connection.vendor == "postgresql":
            for table in tables():
                cursor.execute(f"DROP TRIGGER IF EXISTS {table}_keeps_truncate ON {table}")


@pytest.fixture
def people(db: None) -> dict[str, object]:
    """Invented people by short name: one lead, one builder, one viewer, two pupils."""
    from oilwedge.web.people.models import Account, Role

    made = {}
    for name, role in (
        ("lena", Role.LEAD),
        ("ben", Role.BUILDER),
        ("vera", Role.VIEWER),
        ("pia", Role.PUPIL),
        ("pol", Role.PUPIL),
    ):
        account = Account(username=name, full_name=f"{name.title()} Invented", role=role)
        account.set_password(PASSWORD)
        account.save()
        made[name] = account
    return made


@pytest.fixture
def as_person(people: dict[str, object]) -> Callable[[str], Client]:
    """A browser that is logged in as somebody."""

    def client_of(name: str) -> Client:
        client = Client()
        client.force_login(
            people[name],  # type: ignore[arg-type]
            backend="django.contrib.auth.backends.ModelBackend",
        )
        return client

    return client_of


@pytest.fixture
def engine_text() -> str:
    """The single-cylinder engine of the test data: few sets, quick to measure whole."""
    return (DATA / "wren_single.toml").read_text(encoding="utf-8")


@pytest.fixture
def four_text() -> str:
    """The four-cylinder engine of the test data."""
    return (DATA / "bench_four.toml").read_text(encoding="utf-8")


@pytest.fixture
def shop_revision(db: None) -> object:
    """The shop file of the test data, in force."""
    from oilwedge.web.record.models import ShopRevision

    text = (DATA / "bench_shop.toml").read_text(encoding="utf-8")
    return ShopRevision.objects.create(
        number=1, text=text, digest=hashlib.sha256(text.encode()).hexdigest()
    )


@pytest.fixture
def make_job(db: None, engine_text: str, four_text: str) -> Callable[..., object]:
    """Open a job: ``make_job("J1")`` on the single, ``make_job("J2", engine="four")``."""
    from oilwedge.usecases.opening import engine_of_text
    from oilwedge.web.record.store import keep_engine, open_job

    def made(number: str = "J1", *, engine: str = "single", **fields: object) -> object:
        text = {"single": engine_text, "four": four_text}[engine]
        parsed = engine_of_text(text, file="engine.toml")
        kept = keep_engine(name=parsed.name, digest=parsed.digest, text=text)
        job = open_job(number=number, engine=kept)
        if fields:
            type(job).objects.filter(pk=job.pk).update(**fields)
            job.refresh_from_db()
        return job

    return made


NOW = datetime.datetime(2031, 3, 1, 9, 0, tzinfo=datetime.UTC)
