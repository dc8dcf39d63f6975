import datetime
from dataclasses import replace
from typing import Any

import pytest

from oilwedge.fits.verdict import State
from oilwedge.job.entry import EventKind
from oilwedge.usecases.flags import FlagKind
from oilwedge.usecases.judgement_json import judgement_json
from oilwedge.usecases.length_face import LengthFace
from oilwedge.usecases.remarks import remark
from oilwedge.usecases.verdict_document import screen_document

MM = LengthFace(unit="mm")
DUE = datetime.date(2026, 2, 28)


def noon(day: int, month: int = 2) -> datetime.datetime:
    return datetime.datetime(2026, month, day, 12, tzinfo=datetime.UTC)


def due(bench: Any, key: str) -> None:
    late = replace(bench.shop.instruments[key], calibration_due=DUE)
    bench.shop = replace(bench.shop, instruments={**bench.shop.instruments, key: late})


def measured(bench: Any, time: datetime.datetime | None) -> None:
    bench.size("rod_journal", 0.0)
    bench.size("rod_shell_bore", 0.0)
    for place in ("front", "rear"):
        for way in ("along", "across"):
            bench.read("rod_journal", 1, 47.972, place, way, instrument="mic_two", time=time)
        bench.read("rod_shell_bore", 1, 48.007, place, "square", instrument="bore", time=time)


def test_a_reading_after_the_day_it_was_due_flags_the_verdict_and_changes_nothing(
    bench: Any,
) -> None:
    measured(bench, noon(1, 3))
    plain = bench.result("rod_bearing")
    due(bench, "mic_two")
    flagged = bench.result("rod_bearing")
    assert [str(one) for one in flagged.flags] == [
        "The another micrometer 25 to 75 was overdue for calibration (due 2026-02-28) when 4"
        " readings here were taken; the verdict stands as it is."
    ]
    assert flagged.verdict == plain.verdict
    assert flagged.verdict.state is State.RIGHT
    assert plain.flags == ()


@pytest.mark.parametrize("time", [noon(28), noon(1), None])
def test_a_reading_up_to_that_day_or_without_a_time_is_not_flagged(
    bench: Any, time: datetime.datetime | None
) -> None:
    due(bench, "mic_two")
    measured(bench, time)
    assert bench.result("rod_bearing").flags == ()


def test_what_a_gauge_was_set_in_counts_as_well(bench: Any) -> None:
    due(bench, "mic")  # the bore gauge is set in it
    measured(bench, noon(1, 3))
    (flag,) = bench.result("rod_bearing").flags
    assert (flag.kind, flag.instrument) == (FlagKind.CALIBRATION_OVERDUE, "mic")
    assert "2 readings here" in flag.text


def test_a_gap_is_a_difference_and_needs_only_its_own_instrument(bench: Any) -> None:
    due(bench, "mic")
    bench.read("crank_end_gap", 1, 0.15, instrument="bore", time=noon(1, 3))
    assert bench.result("crank_end_float").flags == ()


def test_a_failed_zero_check_is_a_flag_too(bench: Any) -> None:
    measured(bench, noon(1))
    bench.event(EventKind.ZERO_CHECK, "mic_two", value="failed", instrument="mic_two")
    (flag,) = bench.result("rod_bearing").flags
    assert flag.kind is FlagKind.ZERO_CHECK
    assert flag.text.startswith("The another micrometer 25 to 75 failed a zero check")


def test_every_face_says_it(bench: Any) -> None:
    due(bench, "mic_two")
    measured(bench, noon(1, 3))
    said = remark(result=bench.result("rod_bearing"), face=MM)
    assert said is not None
    assert any("overdue for calibration" in sentence for sentence in said.sentences)
    document = judgement_json(judgement=bench.judge(), face=MM)
    (line,) = [f for f in document["fits"] if (f["fit"], f["number"]) == ("rod_bearing", 1)]
    assert "overdue for calibration" in line["flags"][0]
    shown = screen_document(judgement=bench.judge(), face=MM, worst_first=False, every_way=False)
    assert any("overdue for calibration" in str(block) for block in shown.blocks)
