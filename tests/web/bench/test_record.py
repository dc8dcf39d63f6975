"""The record: every entry with its state, newest first."""

from __future__ import annotations

import datetime
from dataclasses import replace

import pytest

from oilwedge.job.entry import Event, EventKind, Reading, WorkKind

TIME = datetime.datetime(2031, 3, 1, 9, 0, tzinfo=datetime.UTC)
FIRST = Reading(
    id="r1",
    feature="rod_journal",
    number=1,
    place="front",
    direction="across",
    value_m=0.047972,
    text="47.972",
    unit="mm",
    time=TIME,
)


@pytest.fixture
def add(make_job):
    """Add entries to a job of its own."""
    from oilwedge.web.record.store import append_entries

    job = make_job("J1")

    def added(*entries) -> str:
        append_entries(job=job, entries=entries)
        return "/jobs/J1/record/"

    return added


def row_of(page: str, sequence: int) -> str:
    return page.split(f'id="entry-{sequence}"')[1].split("</tr>")[0]


def test_a_reading_stands_as_it_was_typed(as_person, add):
    page = as_person("vera").get(add(FIRST)).content.decode()
    assert "47.972" in row_of(page, 2)
    assert "judges" in row_of(page, 2)
    assert "Replace" not in page  # for a viewer


def test_the_newest_entry_stands_on_top(as_person, add):
    page = as_person("ben").get(add(FIRST)).content.decode()
    assert page.index('id="entry-2"') < page.index('id="entry-1"')


def test_a_misread_one_names_what_replaced_it(as_person, add):
    second = replace(FIRST, id="r2", text="47.970", value_m=0.04797, replaces="r1")
    page = as_person("ben").get(add(FIRST, second)).content.decode()
    assert "replaced by line 3" in row_of(page, 2)
    assert "Replace</a>" not in row_of(page, 2)
    assert "Replace</a>" in row_of(page, 3)


def test_an_ended_one_names_the_work_that_ended_it(as_person, add):
    ground = Event(
        id="w1",
        kind=EventKind.WORK,
        subject="rod_journals",
        value="ground",
        work=WorkKind.GROUND,
        time=TIME,
    )
    page = as_person("ben").get(add(FIRST, ground)).content.decode()
    assert "ended: rod journals ground (line 3)" in row_of(page, 2)


def test_a_doubted_one_names_the_zero_check(as_person, add):
    failed = Event(
        id="z1",
        kind=EventKind.ZERO_CHECK,
        subject="micrometer",
        instrument="micrometer",
        value="failed",
        time=TIME,
    )
    page = as_person("ben").get(add(replace(FIRST, instrument="micrometer"), failed))
    assert "in doubt" in row_of(page.content.decode(), 2)


def test_both_clocks_stand_where_they_differ(as_person, add):
    late = replace(FIRST, device_time=TIME + datetime.timedelta(hours=5))
    assert "its device said" in as_person("ben").get(add(late)).content.decode()


def test_one_clock_stands_where_they_agree(as_person, add):
    same = replace(FIRST, device_time=TIME + datetime.timedelta(seconds=3))
    assert "its device said" not in as_person("ben").get(add(same)).content.decode()


def test_what_was_typed_is_no_markup(as_person, add):
    page = as_person("ben").get(add(replace(FIRST, note="<script>x</script>"))).content.decode()
    assert "<script>x" not in page


def test_count_and_head_are_shown(as_person, add, make_job):
    from oilwedge.web.record.models import Job

    page = as_person("ben").get(add(FIRST)).content.decode()
    assert "2 lines" in page
    assert Job.objects.get(number="J1").head[:16] in page


def test_a_long_record_has_pages(as_person, four):
    client = as_person("ben")
    address = f"/jobs/{four.number}/record/"
    assert "Page 1 of" in client.get(address).content.decode()
    assert 'id="entry-1"' in client.get(address, {"page": "99"}).content.decode()


def test_who_sees_the_record(statuses, make_job):
    make_job("J1")
    found = statuses("/jobs/J1/record/")
    assert found == {"lena": 200, "ben": 200, "vera": 200, "pia": 404}
