"""What is kept of a job's judgement."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from oilwedge.job.entry import Event, EventKind
from oilwedge.web.record.judged import summary_of
from oilwedge.web.record.known_heads import SHEET, remember_head
from oilwedge.web.record.models import Job, StoredVerdict
from oilwedge.web.record.store import append_entries

pytestmark = pytest.mark.django_db


def test_a_verdict_that_passed_is_let_go_unless_it_stands_on_a_sheet(
    make_job: Callable[..., Job],
) -> None:
    job = make_job("J1")
    heads = []
    for number in range(4):
        note = Event(id=f"n{number}", kind=EventKind.NOTE, value="seen")
        append_entries(job=job, entries=(note,))
        summary_of(job)
        heads.append(job.head)
        if number == 1:
            remember_head(job, reason=SHEET)
    kept = set(StoredVerdict.objects.values_list("head", flat=True))
    assert kept == {heads[1], heads[3]}
