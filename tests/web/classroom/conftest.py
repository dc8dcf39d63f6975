"""Classes for the tests: a small one with two pupils, and one of twenty, all of it invented."""

from __future__ import annotations

import datetime
import random
from collections.abc import Callable, Iterator, Sequence
from typing import Any

import pytest
from class_entries import FEATURES, take


@pytest.fixture(autouse=True)
def _no_class_remembered() -> Iterator[None]:
    """What a class keeps in memory does not outlive the database of a test."""
    from oilwedge.web.classroom import compared, opening

    yield
    compared.forget()
    opening._plan.cache_clear()


@pytest.fixture
def engine_kept(four_text: str, shop_revision: object) -> Any:
    """The four-cylinder engine, kept, in a shop with a micrometer."""
    from oilwedge.usecases.opening import engine_of_text
    from oilwedge.web.record.store import keep_engine

    parsed = engine_of_text(four_text, file="engine.toml")
    return keep_engine(name=parsed.name, digest=parsed.digest, text=four_text)


@pytest.fixture
def begin_class(engine_kept: Any, people: dict[str, Any]) -> Callable[..., Any]:
    """Opens a class: ``begin_class(["pia", "pol"], links=2, reference=True)``."""
    from oilwedge.web.classroom.opening import WantedClass, open_class

    def begin(
        names: Sequence[str] = ("pia", "pol"), *, links: int = 0, reference: bool = True
    ) -> Any:
        wanted = WantedClass(
            title="Rod journals, evening class",
            engine=engine_kept.digest,
            depth="quick",
            features=[FEATURES],
            pupils=[str(people[name].pk) for name in names],
            links=str(links),
            reference=reference,
        )
        return open_class(wanted, by=people["lena"])

    return begin


@pytest.fixture
def task(begin_class: Callable[..., Any]) -> Any:
    """A class of pia and pol with a reference bench; nothing is read."""
    return begin_class()


@pytest.fixture
def bench_of(people: dict[str, Any]) -> Callable[..., Any]:
    """The bench of somebody in a class; of nobody ("") the reference."""
    from oilwedge.web.record.models import Job

    def find(task: Any, name: str) -> Any:
        jobs = Job.objects.filter(task=task)
        if not name:
            return jobs.get(is_reference=True)
        return jobs.get(pupil=people[name], seat__repeat_of=None)

    return find


@pytest.fixture
def twenty(begin_class: Callable[..., Any], people: dict[str, Any]) -> Any:
    """A class of twenty: twelve readings or more each, a stuck bench, a bench that leans."""
    from django.utils import timezone

    from oilwedge.web.people.models import Account, Role
    from oilwedge.web.record.models import Job

    names = []
    for n in range(1, 19):
        name = f"pupil{n:02d}"
        people[name] = Account.objects.create(
            username=name, full_name=f"Pupil {n} Invented", role=Role.PUPIL
        )
        names.append(name)
    task = begin_class(["pia", "pol", *names])
    chance = random.Random(7)
    take(Job.objects.get(task=task, is_reference=True))
    early = timezone.now() - datetime.timedelta(minutes=40)
    for at, job in enumerate(Job.objects.filter(task=task, is_reference=False).order_by("serial")):
        take(
            job,
            count=16 if at % 4 == 0 else 12,
            off_mm=0.007 if at == 5 else 0.0,
            odd=(3,) if at in (2, 8) else (),
            chance=chance,
            start=early if at == 11 else None,
        )
    return task
