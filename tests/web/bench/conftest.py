"""Jobs for the tests of a job's pages: measured ones, and what each role gets to see."""

from __future__ import annotations

import datetime
from collections.abc import Callable
from typing import Any

import pytest
from django.test import Client

EVERYBODY = ("lena", "ben", "vera", "pia")
TIME = datetime.datetime(2021, 3, 1, 9, 0, tzinfo=datetime.UTC)


@pytest.fixture
def demo_shop(db: None) -> None:
    """The demo's invented shop with its jobs."""
    from oilwedge.web.demo_shop import fill_demo_shop

    fill_demo_shop()


@pytest.fixture
def four(demo_shop: None) -> Any:
    """The demo's job on the invented four: wrong fits, a question, replaced readings."""
    from oilwedge.web.record.models import Job

    return Job.objects.get(number="demo-4")


@pytest.fixture
def fill() -> Callable[..., None]:
    """Read every open place of a job near its nominal size: ``fill(job, leave=1)`` leaves one."""

    def filled(job: Any, *, leave: int = 0) -> None:
        from oilwedge.job.entry import Reading
        from oilwedge.usecases.measuring import measure_set
        from oilwedge.web.record.judged import current_shop, engine_of, planned_sets
        from oilwedge.web.record.store import append_entries, entries_of

        entries = []
        for one in planned_sets(job):
            found = measure_set(
                engine=engine_of(job),
                shop=current_shop(),
                entries=entries_of(job),
                feature=one.feature,
                number=one.number,
                today=TIME.date(),
            )
            middle_m = (found.band_low_m + found.band_high_m) / 2
            value_m = round(found.nominal_m if found.nominal_m is not None else middle_m, 6)
            entries += [
                Reading(
                    id=f"r-{one.feature}-{one.number}-{slot.id}",
                    feature=one.feature,
                    number=one.number,
                    place=slot.place,
                    direction=slot.direction,
                    value_m=value_m,
                    text=f"{1000 * value_m:.3f}",
                    unit="mm",
                    time=TIME,
                )
                for slot in found.slots
            ]
        append_entries(job=job, entries=entries[: len(entries) - leave])

    return filled


@pytest.fixture
def statuses(as_person: Callable[[str], Client]) -> Callable[..., dict[str, int]]:
    """The status that each role gets: ``statuses("/jobs/J1/")``; ``post`` sends a form."""

    def asked(address: str, *, post: dict[str, str] | None = None) -> dict[str, int]:
        found = {}
        for name in EVERYBODY:
            client = as_person(name)
            answer = client.get(address) if post is None else client.post(address, post)
            found[name] = answer.status_code
        return found

    return asked


@pytest.fixture
def bench_of(people: dict[str, Any], make_job: Callable[..., Any]) -> Callable[..., Any]:
    """A bench of a class: ``bench_of("pia")``; its results are hidden until they are shown."""
    from oilwedge.web.record.models import ClassTask

    def made(name: str, number: str = "C1", *, shows_results: bool = False) -> Any:
        job = make_job(number)
        task = ClassTask.objects.create(
            title="Measure a crank",
            engine=job.engine,
            made_by=people["lena"],
            shows_results=shows_results,
        )
        type(job).objects.filter(pk=job.pk).update(task=task, pupil=people[name])
        job.refresh_from_db()
        return job

    return made
