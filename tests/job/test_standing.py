"""Where a job stands: part states, sizes, zero checks, corrections, the order of time."""

from __future__ import annotations

import datetime
import itertools
from collections.abc import Mapping, Sequence
from dataclasses import replace

import pytest

from oilwedge.engine.file import read_engine
from oilwedge.engine.model import Engine
from oilwedge.errors import JobFileError
from oilwedge.fits.limits import Condition
from oilwedge.job.entry import Entry, Event, EventKind, WorkKind
from oilwedge.job.standing import Standing, concerned_features, own_part, standing
from oilwedge.metrology.instrument import Instrument, InstrumentKind
from oilwedge.metrology.reading import Reading

TEXT = """
format = 1
[engine]
name = "Standing three (invented)"
[layout]
kind = "in-line"
cylinders = 3
numbering = "1 at the front"
firing_order = [1, 2, 3]
throw_angles = ["0 deg", "120 deg", "240 deg"]
main_bearings = 4
caps = "separate"
[features.rod_journal]
[features.rod_housing_bore]
[features.rod_shell_bore]
[features.rod_upper_wall]
[features.rod_gauge]
[features.rod_strip]
[features.main_journal]
[features.cylinder_bore]
[features.crank_end_gap]
"""
MM = 1e-3
R, N, M, U = Condition.REUSED, Condition.NEW, Condition.MACHINED, Condition.UNSTATED


def gauge(key: str, kind: InstrumentKind, set_in: str = "") -> Instrument:
    return Instrument(
        key=key,
        title=key,
        kind=kind,
        resolution_m=1e-6,
        permissible_error_m=2e-6,
        set_in=set_in,
    )


INSTRUMENTS: Mapping[str, Instrument] = {
    "mic": gauge("mic", InstrumentKind.MICROMETER),
    "mic_two": gauge("mic_two", InstrumentKind.MICROMETER),
    "bore": gauge("bore", InstrumentKind.BORE_GAUGE, set_in="mic"),
}


@pytest.fixture(scope="module")
def engine() -> Engine:
    return read_engine(TEXT, file="e.toml")


_ids = itertools.count(1)


def at(hour: int) -> datetime.datetime:
    return datetime.datetime(2026, 3, 1, hour, tzinfo=datetime.UTC)


def read(
    feature: str = "rod_journal",
    number: int = 1,
    *,
    instrument: str = "mic",
    replaces: str = "",
    time: datetime.datetime | None = None,
    fitting: int = 1,
) -> Reading:
    return Reading(
        id=f"r{next(_ids)}",
        feature=feature,
        number=number,
        value_m=48 * MM,
        text="48",
        unit="mm",
        instrument=instrument,
        replaces=replaces,
        time=time,
        fitting=fitting,
    )


def event(
    kind: EventKind,
    subject: str = "",
    number: int | None = None,
    *,
    value: str = "",
    work: WorkKind | None = None,
    step_mm: float | None = None,
    instrument: str = "",
    time: datetime.datetime | None = None,
) -> Event:
    return Event(
        id=f"e{next(_ids)}",
        kind=kind,
        subject=subject,
        number=number,
        value=value,
        work=work,
        step_m=None if step_mm is None else step_mm * MM,
        instrument=instrument,
        time=time,
    )


def work(
    subject: str,
    kind: WorkKind,
    number: int | None = None,
    *,
    step_mm: float | None = None,
    time: datetime.datetime | None = None,
) -> Event:
    return event(
        EventKind.WORK, subject, number, value=kind.value, work=kind, step_mm=step_mm, time=time
    )


def state(subject: str, value: Condition, number: int | None = None) -> Event:
    return event(EventKind.CONDITION, subject, number, value=value.value)


def zero(instrument: str, value: str) -> Event:
    return event(EventKind.ZERO_CHECK, instrument, value=value, instrument=instrument)


def stand(engine: Engine, *entries: Entry) -> Standing:
    return standing(engine=engine, entries=entries, instruments=INSTRUMENTS)


def ids(readings: Sequence[Reading]) -> list[str]:
    return [reading.id for reading in readings]


# --- new states ---------------------------------------------------------------------------------


def test_grinding_one_journal_ends_its_readings_and_no_others(engine: Engine) -> None:
    old, other = read(number=1), read(number=2)
    grind = work("rod_journals", WorkKind.GROUND, 1)
    now = stand(engine, old, other, grind)
    assert ids(now.readings) == [other.id]
    assert [(one.reading.id, one.event.id) for one in now.ended] == [(old.id, grind.id)]
    assert [(f.key, n, e.id) for f, n, e in now.measure_again] == [("rod_journal", 1, grind.id)]


def test_what_was_measured_since_need_not_be_measured_again(engine: Engine) -> None:
    fresh = read()
    now = stand(engine, read(), work("rod_journals", WorkKind.GROUND, 1), fresh)
    assert ids(now.readings) == [fresh.id]
    assert now.measure_again == ()


def test_grinding_ends_strips_and_zeroed_gauges_of_that_bearing_too(engine: Engine) -> None:
    kept = read("rod_shell_bore")
    now = stand(
        engine,
        read("rod_strip", instrument=""),
        read("rod_gauge"),
        kept,
        work("rod_journal", WorkKind.GROUND, 1),
    )
    assert ids(now.readings) == [kept.id]


def test_new_rod_bolts_open_the_housing_again(engine: Engine) -> None:
    journal = read("rod_journal", 2)
    now = stand(
        engine,
        read("rod_housing_bore", 2),
        read("rod_shell_bore", 2),
        journal,
        work("rod_bolts", WorkKind.REPLACED),
    )
    assert ids(now.readings) == [journal.id]
    again = [(feature.key, number) for feature, number, _ in now.measure_again]
    assert again == [("rod_housing_bore", 2), ("rod_shell_bore", 2)]


def test_new_shells_leave_the_bare_housing_alone(engine: Engine) -> None:
    housing = read("rod_housing_bore")
    now = stand(engine, housing, read("rod_upper_wall"), work("rod_shells", WorkKind.REPLACED, 1))
    assert ids(now.readings) == [housing.id]


def test_a_crank_that_was_ground_has_every_journal_ground(engine: Engine) -> None:
    now = stand(
        engine,
        read("rod_journal", 1),
        read("main_journal", 4),
        read("crank_end_gap", 1),
        work("crankshaft", WorkKind.GROUND),
    )
    assert now.readings == ()
    assert now.condition(part="rod_journals", number=2) is M
    assert now.condition(part="main_journals", number=4) is M


def test_a_refit_starts_a_new_fitting_and_ends_nothing(engine: Engine) -> None:
    now = stand(
        engine,
        read("rod_shell_bore"),
        work("rods", WorkKind.REFITTED, 1),
        read("rod_shell_bore"),
        work("rods", WorkKind.REFITTED),
        read("rod_shell_bore", fitting=2),
        read("rod_shell_bore", 2),
    )
    by_number = {n: [r.fitting for r in now.readings if r.number == n] for n in (1, 2)}
    assert by_number == {1: [1, 2, 4], 2: [2]}
    assert now.ended == ()


def test_a_refit_of_one_feature_is_no_refit_of_its_neighbours(engine: Engine) -> None:
    now = stand(
        engine,
        work("rod_strip", WorkKind.REFITTED, 1),
        read("rod_strip", instrument=""),
        read("rod_journal"),
    )
    assert {r.feature: r.fitting for r in now.readings} == {"rod_strip": 2, "rod_journal": 1}


def test_fittings_count_anew_in_a_new_state(engine: Engine) -> None:
    now = stand(
        engine,
        work("rods", WorkKind.REFITTED, 1),
        work("rods", WorkKind.RESIZED, 1),
        read("rod_shell_bore"),
    )
    assert [r.fitting for r in now.readings] == [1]


# --- conditions ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("kind", "condition"),
    [
        (WorkKind.GROUND, M),
        (WorkKind.POLISHED, M),
        (WorkKind.HONED, M),
        (WorkKind.BORED, M),
        (WorkKind.RESIZED, M),
        (WorkKind.MACHINED, M),
        (WorkKind.REPLACED, N),
        (WorkKind.REFITTED, R),
    ],
)
def test_what_a_part_is_after_work(engine: Engine, kind: WorkKind, condition: Condition) -> None:
    now = stand(engine, state("rods", R), work("rods", kind))
    assert now.condition(part="rods", number=3) is condition


def test_what_was_said_of_one_number_goes_before_what_was_said_of_all(engine: Engine) -> None:
    now = stand(engine, state("rod_journals", R), work("rod_journals", WorkKind.GROUND, 3))
    assert now.condition(part="rod_journals", number=3) is M
    assert now.condition(part="rod_journals", number=1) is R


def test_what_is_said_of_all_later_goes_before_what_was_said_of_one(engine: Engine) -> None:
    now = stand(engine, work("rod_journals", WorkKind.GROUND, 3), state("rod_journals", R))
    assert now.condition(part="rod_journals", number=3) is R


def test_what_is_said_of_the_crank_goes_for_journals_of_which_nothing_was_said(
    engine: Engine,
) -> None:
    now = stand(engine, state("crankshaft", R), state("main_journals", M, 2))
    assert now.condition(part="rod_journals", number=1) is R
    assert now.condition(part="main_journals", number=2) is M
    assert now.condition(part="rods", number=1) is U


def test_grinding_the_crank_outweighs_older_words_on_its_journals(engine: Engine) -> None:
    """Else the wear limit would go on judging a ground journal."""
    now = stand(engine, state("rod_journals", R), work("crankshaft", WorkKind.GROUND))
    assert now.condition(part="rod_journals", number=1) is M


def test_calling_the_crank_reused_does_not_undo_a_ground_journal(engine: Engine) -> None:
    now = stand(engine, work("rod_journals", WorkKind.GROUND), state("crankshaft", R))
    assert now.condition(part="rod_journals", number=1) is M


def test_boring_the_block_makes_its_cylinders_machined(engine: Engine) -> None:
    now = stand(engine, read("cylinder_bore"), work("block", WorkKind.BORED))
    assert now.condition(part="cylinders", number=1) is M
    assert now.readings == ()


def test_a_condition_that_is_no_word_for_it_is_one_clear_sentence(engine: Engine) -> None:
    bad = event(EventKind.CONDITION, "rods", value="shiny")
    with pytest.raises(JobFileError, match=r"'shiny'.*new, machined, re-used"):
        stand(engine, bad)


# --- sizes --------------------------------------------------------------------------------------


def test_an_undersize_is_said_of_journals_or_shells_each_for_itself(engine: Engine) -> None:
    now = stand(
        engine,
        event(EventKind.SIZE, "rod_journals", step_mm=0.25),
        event(EventKind.SIZE, "rod_shells", 2, step_mm=0.25),
    )
    assert {k: pytest.approx(0.25 * MM) for k in now.steps_m} == dict(now.steps_m)
    assert set(now.steps_m) == {
        *(("rod_journal", n) for n in (1, 2, 3)),
        ("rod_shell_bore", 2),
        ("rod_upper_wall", 2),
    }  # a bare housing has no undersize


def test_work_may_state_the_size_that_it_ends_at(engine: Engine) -> None:
    now = stand(engine, work("rod_journals", WorkKind.GROUND, 1, step_mm=0.5))
    assert dict(now.steps_m) == {("rod_journal", 1): pytest.approx(0.5 * MM)}


def test_a_new_part_does_not_inherit_the_undersize_of_the_old_one(engine: Engine) -> None:
    stated = event(EventKind.SIZE, "rod_shells", step_mm=0.25)
    assert dict(stand(engine, stated, work("rod_shells", WorkKind.REPLACED)).steps_m) == {}
    polished = stand(
        engine,
        event(EventKind.SIZE, "rod_journals", step_mm=0.25),
        work("rod_journals", WorkKind.POLISHED),
    )
    assert polished.steps_m["rod_journal", 1] == pytest.approx(0.25 * MM)


def test_a_confirmed_size_is_confirmed_until_the_part_changes(engine: Engine) -> None:
    confirmed = event(EventKind.CONFIRMED, "rod_housing_bore", 2)
    assert stand(engine, confirmed).confirmed_sizes == {("rod_housing_bore", 2)}
    after = stand(engine, confirmed, work("rods", WorkKind.RESIZED, 2))
    assert after.confirmed_sizes == frozenset()


def test_a_confirmed_reading_is_known_by_its_id(engine: Engine) -> None:
    assert stand(engine, event(EventKind.CONFIRMED, value="r77")).confirmed_ids == {"r77"}


# --- corrections --------------------------------------------------------------------------------


def test_a_replaced_reading_stays_on_record_and_does_not_judge(engine: Engine) -> None:
    bad = read()
    better = read(replaces=bad.id)
    best = read(replaces=better.id)
    now = stand(engine, bad, better, best)
    assert ids(now.readings) == [best.id]
    assert ids(now.replaced) == [bad.id, better.id]


def test_a_correction_belongs_to_the_state_of_what_it_corrects(engine: Engine) -> None:
    """A value misread before the grind and mended after it says nothing of the ground journal."""
    bad = read()
    grind = work("rod_journals", WorkKind.GROUND, 1)
    mended = read(replaces=bad.id)
    again = read(replaces=mended.id)
    now = stand(engine, bad, grind, mended, again)
    assert now.readings == ()
    assert [(one.reading.id, one.event.id) for one in now.ended] == [(again.id, grind.id)]


def test_a_correction_of_a_reading_from_after_the_grind_judges(engine: Engine) -> None:
    bad = read()
    mended = read(replaces=bad.id)
    now = stand(engine, work("rod_journals", WorkKind.GROUND, 1), bad, mended)
    assert ids(now.readings) == [mended.id]


# --- zero checks --------------------------------------------------------------------------------


def doubted(now: Standing) -> list[str]:
    return [one.reading.id for one in now.doubted]


def test_a_failed_check_doubts_everything_since_the_last_good_one(engine: Engine) -> None:
    first, second = read(), read()
    now = stand(engine, first, zero("mic", "passed"), second, zero("mic", "failed"))
    assert doubted(now) == [second.id]
    assert now.doubted[0].instrument == "mic"


def test_after_a_failed_check_every_reading_is_in_doubt_until_one_is_passed(
    engine: Engine,
) -> None:
    before, after, later = read(), read(), read()
    other, good = read(instrument="mic_two"), read()
    failed = zero("mic", "failed")
    now = stand(
        engine,
        before,
        failed,
        after,
        zero("mic", "failed"),
        later,
        other,
        zero("mic", "passed"),
        good,
    )
    assert doubted(now) == [before.id, after.id, later.id]
    assert now.doubted[1].event is failed


def test_a_gauge_set_in_a_micrometer_that_failed_is_in_doubt_afterwards_too(
    engine: Engine,
) -> None:
    bore = read("rod_shell_bore", instrument="bore")
    gap = read("rod_gauge", instrument="bore")
    assert doubted(stand(engine, zero("mic", "failed"), bore, gap)) == [bore.id]
    assert doubted(stand(engine, zero("mic", "failed"), zero("bore", "passed"), bore)) == [bore.id]
    assert doubted(stand(engine, zero("bore", "failed"), zero("mic", "passed"), bore)) == [bore.id]
    assert doubted(stand(engine, zero("mic", "failed"), zero("mic", "passed"), bore)) == []


def test_setting_an_instrument_anew_does_not_clear_a_failed_check(engine: Engine) -> None:
    again = replace(read(), setting="2")
    now = stand(engine, read(), zero("mic", "failed"), again)
    assert again.id in doubted(now)


def test_without_a_good_check_before_a_failed_one_doubts_all(engine: Engine) -> None:
    first, second, other = read(), read(), read(instrument="mic_two")
    assert doubted(stand(engine, first, second, other, zero("mic", "failed"))) == [
        first.id,
        second.id,
    ]


def test_a_gauge_set_in_a_micrometer_is_in_doubt_with_it_and_not_the_other_way(
    engine: Engine,
) -> None:
    journal, bore = read(), read("rod_shell_bore", instrument="bore")
    assert doubted(stand(engine, journal, bore, zero("mic", "failed"))) == [journal.id, bore.id]
    assert doubted(stand(engine, journal, bore, zero("bore", "failed"))) == [bore.id]


def test_a_gauge_zeroed_at_the_journal_reads_a_difference_and_is_not_in_doubt(
    engine: Engine,
) -> None:
    gap = read("rod_gauge", instrument="bore")
    assert doubted(stand(engine, gap, zero("mic", "failed"))) == []
    assert doubted(stand(engine, gap, zero("bore", "failed"))) == [gap.id]


def test_a_reading_that_names_no_instrument_was_taken_with_the_usual_one(engine: Engine) -> None:
    journal, bore = read(instrument=""), read("rod_shell_bore", instrument="")
    now = stand(engine, journal, bore, zero("micrometer", "failed"))
    assert doubted(now) == [journal.id, bore.id]  # the general bore gauge is set in it


def test_a_doubted_reading_that_was_taken_again_is_no_longer_in_the_way(engine: Engine) -> None:
    bad = read()
    again = read(replaces=bad.id)
    now = stand(engine, bad, zero("mic", "failed"), zero("mic", "passed"), again)
    assert doubted(now) == []
    assert ids(now.readings) == [again.id]


def test_a_failed_check_with_nothing_read_since_the_good_one_doubts_nothing(
    engine: Engine,
) -> None:
    now = stand(engine, read(), zero("mic", "passed"), zero("mic", "failed"))
    assert doubted(now) == []


# --- time ---------------------------------------------------------------------------------------


def test_the_time_of_an_entry_orders_the_record_and_not_its_row(engine: Engine) -> None:
    """Readings typed in after the event, but taken before it, are from before the grind."""
    grind = work("rod_journals", WorkKind.GROUND, time=at(12))
    early, late = read(time=at(9)), read(time=at(15))
    now = stand(engine, grind, late, early)
    assert ids(now.readings) == [late.id]


def test_an_entry_without_a_time_holds_from_the_entry_before_it(engine: Engine) -> None:
    grind = work("rod_journals", WorkKind.GROUND, time=at(12))
    first, second = read(time=at(15)), read()
    now = stand(engine, first, second, grind)
    assert ids(now.readings) == [first.id, second.id]


# --- which features an event concerns -----------------------------------------------------------


def test_the_own_part_of_a_feature_is_its_surface_and_not_its_carrier(engine: Engine) -> None:
    names = {key: own_part(feature) for key, feature in engine.features.items()}
    assert names["rod_journal"] == "rod_journals"
    assert names["cylinder_bore"] == "cylinders"
    assert names["rod_housing_bore"] == "rods"


def test_a_number_that_a_feature_does_not_have_concerns_nothing(engine: Engine) -> None:
    found = concerned_features(engine=engine, subject="crankshaft", number=4)
    assert found == (("main_journal", 4),)


def test_notes_skips_and_signatures_are_kept(engine: Engine) -> None:
    now = stand(
        engine,
        event(EventKind.NOTE, value="oil hole burr"),
        event(EventKind.SKIPPED, "rod_journal", 1),
        event(EventKind.SIGNED, value="Ada"),
    )
    assert (len(now.notes), len(now.skipped), len(now.signatures)) == (1, 1, 1)


TWIN = """
format = 1
[engine]
name = "Standing V-twin (invented)"
[layout]
kind = "V"
cylinders = 2
firing_order = [1, 2]
throw_angles = ["0 deg"]
rods_on_throw = [[1, 2]]
v_angle = "52 deg"
banks = [[1], [2]]
main_bearings = 2
caps = "separate"
[features.rod_journal]
[features.rod_shell_bore]
"""


def test_two_rods_on_one_pin_share_what_is_done_to_it_and_not_what_is_done_to_a_rod() -> None:
    twin = read_engine(TWIN, file="e.toml")
    read_before = [read("rod_journal", 1), read("rod_journal", 2), read("rod_shell_bore", 2)]
    ground = stand(twin, *read_before, work("rod_journals", WorkKind.GROUND, 1, step_mm=0.25))
    assert [(r.feature, r.number) for r in ground.readings] == [("rod_shell_bore", 2)]
    assert ground.condition(part="rod_journals", number=2) is M
    assert set(ground.steps_m) == {("rod_journal", 1), ("rod_journal", 2)}
    resized = stand(twin, *read_before, work("rods", WorkKind.RESIZED, 1))
    assert len(resized.readings) == 3
    confirmed = stand(twin, event(EventKind.CONFIRMED, "rod_journal", 1))
    assert confirmed.confirmed_sizes == {("rod_journal", 1)}


def test_decisions_photos_and_closing_are_kept(engine: Engine) -> None:
    """They are told, and judge nothing."""
    happened = [
        Event(id=kind.name, kind=kind, subject="rod_journals", number=1)
        for kind in (
            EventKind.DECISION,
            EventKind.PHOTO,
            EventKind.ENGINE,
            EventKind.OWNER,
            EventKind.ERASED,
            EventKind.CLOSED,
        )
    ]
    now = standing(engine=engine, entries=happened, instruments=INSTRUMENTS)
    assert [event.id for event in (*now.decisions, *now.photos)] == ["DECISION", "PHOTO"]
    assert now.closed is happened[-1]
    again = [*happened, Event(id="again", kind=EventKind.REOPENED)]
    assert standing(engine=engine, entries=again, instruments=INSTRUMENTS).closed is None
    assert replace(now, decisions=(), photos=(), closed=None) == Standing()
