"""Entries of an invented job."""

import datetime

import pytest

from oilwedge.job.entry import Entry, Event, EventKind, WorkKind
from oilwedge.metrology.reading import Bound, Reading, ReadingForm

NOON = datetime.datetime(2026, 3, 1, 12, 0, tzinfo=datetime.UTC)


@pytest.fixture
def entries() -> tuple[Entry, ...]:
    return (
        Event(id="e1", kind=EventKind.SIZE, subject="rod_journal", value="standard", step_m=0.0),
        Reading(
            id="r1",
            feature="rod_journal",
            number=3,
            place="rear",
            direction="across",
            value_m=0.047972,
            text="47,972",
            unit="mm",
            instrument="mic2",
            person="Ada",
            time=NOON,
            part_temperature_c=21.5,
            note="µ and “quotes”",
        ),
        Reading(
            id="r2",
            feature="rod_strip",
            number=1,
            value_m=0.000025,
            form=ReadingForm.ABSOLUTE,
            bound=Bound.AT_MOST,
            text="wider than the widest bar",
            unit="mm",
        ),
        Event(
            id="e2",
            kind=EventKind.WORK,
            subject="rod_journals",
            number=3,
            value="ground to 0.25 mm under",
            step_m=0.00025,
            work=WorkKind.GROUND,
            time=NOON + datetime.timedelta(hours=1),
        ),
    )
