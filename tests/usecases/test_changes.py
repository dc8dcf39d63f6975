import datetime
from typing import Any

import pytest

from oilwedge.job.entry import EventKind, WorkKind
from oilwedge.report.state_sign import StateSign
from oilwedge.usecases.changes import Changes, change_lines, changes_since, count_at
from oilwedge.usecases.length_face import LengthFace

MM = LengthFace(unit="mm")


def since(bench: Any, count: int) -> Changes:
    return changes_since(
        engine=bench.engine, shop=bench.shop, entries=bench.entries, count=count, face=MM
    )


def measured(bench: Any) -> int:
    bench.size("rod_journal", 0.0)
    bench.size("rod_shell_bore", 0.0)
    bench.journal(1, 47.972)
    bench.bore(1, 48.007)
    return len(bench.entries)


def test_nothing_new_is_no_change(bench: Any) -> None:
    count = measured(bench)
    assert since(bench, count).empty
    assert since(bench, count) == Changes()
    assert change_lines(since(bench, count), engine=bench.engine) == ()


def test_new_readings_change_a_verdict(bench: Any) -> None:
    measured(bench)
    found = since(bench, 0)
    assert len(found.readings) == 6
    (change,) = [one for one in found.verdicts if one.fit == "rod_bearing"]
    assert change.before is not None
    assert change.after is not None
    assert change.before.sign is StateSign.NOT_MEASURED
    assert change.after.words.startswith("right")
    assert change.sentence.startswith("rod bearing 1: was not measured, is right (0.035")


def test_a_value_that_moves_and_keeps_its_verdict_is_no_change(bench: Any) -> None:
    count = measured(bench)
    bench.journal(1, 47.972)
    found = since(bench, count)
    assert len(found.readings) == 4
    assert found.verdicts == ()


def test_a_replaced_reading_is_told_with_what_it_was(bench: Any) -> None:
    count = measured(bench)
    old = bench.entries[2]
    bench.read("rod_journal", 1, 47.970, "front", "along", instrument="mic", replaces=old.id)
    found = since(bench, count)
    assert found.readings == ()
    assert [(one.old.id, one.new.value_m) for one in found.replaced] == [(old.id, 0.04797)]
    assert change_lines(found, engine=bench.engine)[0] == (
        "Rod journal 1, front, along: 47.972 mm was misread; now 47.97 mm."
    )


def test_work_takes_its_verdict_away(bench: Any) -> None:
    count = measured(bench)
    bench.work("rod_journals", WorkKind.GROUND, 1, step_mm=0.25)
    bench.event(EventKind.NOTE, value="mark on web 2")
    found = since(bench, count)
    assert [one.value for one in found.works] == ["ground"]
    assert [one.kind for one in found.other_events] == [EventKind.NOTE]
    assert [one.fit for one in found.verdicts if one.fit == "rod_bearing"] == ["rod_bearing"]
    lines = change_lines(found, engine=bench.engine)
    assert lines[0] == "Rod journals 1: ground."
    assert lines[1] == "Note, mark on web 2."


def test_lines_count_readings_by_feature(bench: Any) -> None:
    count = measured(bench)
    bench.journal(2, 47.972)
    bench.journal(3, 47.972)
    lines = change_lines(since(bench, count), engine=bench.engine)
    assert lines[0] == "Rod journal 2, 3: 8 new readings."


def test_the_count_at_a_time_is_where_the_first_later_entry_stands(bench: Any) -> None:
    def at(hour: int) -> datetime.datetime:
        return datetime.datetime(2026, 3, 1, hour, tzinfo=datetime.UTC)

    bench.read("rod_journal", 1, 47.972, "front", "along", time=at(8))
    bench.read("rod_journal", 1, 47.972, "front", "across")  # no time: with the one before
    bench.read("rod_journal", 1, 47.972, "rear", "along", time=at(10))
    assert [count_at(bench.entries, time=at(hour)) for hour in (7, 8, 9, 10)] == [0, 2, 2, 3]
    assert count_at((), time=at(7)) == 0
    with pytest.raises(ValueError, match="zone"):
        count_at(bench.entries, time=datetime.datetime(2026, 3, 1))
