import datetime
from collections.abc import Callable, Sequence
from dataclasses import replace

import pytest

from oilwedge.engine.model import Engine
from oilwedge.job.entry import Entry, Event, EventKind
from oilwedge.metrology.reading import Reading
from oilwedge.report.state_sign import StateSign
from oilwedge.shop.model import Shop
from oilwedge.usecases.class_board import (
    bearing_signs,
    bench_sets,
    comparable,
    current_set,
    is_stuck,
    last_moment,
)
from oilwedge.usecases.class_comparison import ClassBench, ClassComparison, compare_class
from oilwedge.usecases.measuring.sets import SetProgress
from oilwedge.usecases.planning.plan import Depth, make_plan

NINE = datetime.datetime(2031, 3, 1, 9, tzinfo=datetime.UTC)
MINUTE = datetime.timedelta(minutes=1)
SPOTS = [(place, way) for place in ("front", "rear") for way in ("along", "across")]
FEATURES = ("rod_journal",)


def readings(*mm: float) -> list[Entry]:
    """Readings of the rod journals from the first on, a minute between them."""
    return [
        Reading(
            id=f"r{n}",
            feature="rod_journal",
            number=n // 4 + 1,
            place=SPOTS[n % 4][0],
            direction=SPOTS[n % 4][1],
            value_m=value * 1e-3,
            text=f"{value}",
            unit="mm",
            instrument="mic",
            time=NINE + n * MINUTE,
        )
        for n, value in enumerate(mm)
    ]


@pytest.fixture
def progress_of(bench_engine: Engine, bench_shop: Shop) -> Callable[..., tuple[SetProgress, ...]]:
    plan = make_plan(engine=bench_engine, shop=bench_shop, depth=Depth.QUICK)

    def found(entries: Sequence[Entry]) -> tuple[SetProgress, ...]:
        return bench_sets(
            engine=bench_engine, shop=bench_shop, entries=entries, plan=plan, features=FEATURES
        )

    return found


@pytest.fixture
def compare(bench_engine: Engine, bench_shop: Shop) -> Callable[..., ClassComparison]:
    def found(*benches: Sequence[Entry], reference: Sequence[Entry]) -> ClassComparison:
        return compare_class(
            engine=bench_engine,
            shop=bench_shop,
            benches=[ClassBench(name=str(n), entries=one) for n, one in enumerate(benches)],
            reference=ClassBench(name="reference", entries=reference),
            now=NINE,
            features=FEATURES,
        )

    return found


def test_only_the_sets_of_the_task_count(
    progress_of: Callable[..., tuple[SetProgress, ...]],
) -> None:
    found = progress_of(readings(*[47.97] * 5))
    assert [(one.feature, one.number) for one in found] == [("rod_journal", n) for n in range(1, 5)]
    assert [one.taken for one in found] == [4, 1, 0, 0]


def test_a_bench_is_at_the_set_that_it_read_last_while_that_is_open(
    progress_of: Callable[..., tuple[SetProgress, ...]],
) -> None:
    for count, number in ((0, 1), (3, 1), (4, 2), (5, 2)):
        entries = readings(*[47.97] * count)
        at = current_set(progress_of(entries), entries=entries)
        assert at is not None
        assert at.number == number


def test_after_the_last_set_a_bench_goes_back_to_what_it_left_out(
    progress_of: Callable[..., tuple[SetProgress, ...]],
) -> None:
    entries = readings(*[47.97] * 16)
    left_out = [one for one in entries if not (isinstance(one, Reading) and one.number == 2)]
    at = current_set(progress_of(left_out), entries=left_out)
    assert at is not None
    assert at.number == 2
    assert current_set(progress_of(entries), entries=entries) is None


def test_a_bench_is_stuck_after_ten_minutes_without_an_entry(
    progress_of: Callable[..., tuple[SetProgress, ...]],
) -> None:
    entries = readings(*[47.97] * 3)
    planned, last = progress_of(entries), last_moment(entries)
    assert last == NINE + 2 * MINUTE
    assert not is_stuck(planned=planned, last=last, now=NINE + 11 * MINUTE)
    assert is_stuck(planned=planned, last=last, now=NINE + 12 * MINUTE)
    naive = (NINE + 12 * MINUTE).replace(tzinfo=None)
    assert is_stuck(planned=planned, last=last, now=naive)  # a time without zone is UTC


def test_who_is_done_or_has_not_begun_is_not_stuck(
    progress_of: Callable[..., tuple[SetProgress, ...]],
) -> None:
    late = NINE + 600 * MINUTE
    done = readings(*[47.97] * 16)
    assert not is_stuck(planned=progress_of(done), last=last_moment(done), now=late)
    assert not is_stuck(planned=progress_of([]), last=NINE, now=late)


def test_a_note_does_not_mean_that_a_bench_goes_on() -> None:
    note = Event(id="n", kind=EventKind.NOTE, value="well done", time=NINE + 30 * MINUTE)
    check = Event(id="z", kind=EventKind.ZERO_CHECK, value="passed", time=NINE + 9 * MINUTE)
    assert last_moment([*readings(47.97), note]) == NINE
    assert last_moment([*readings(47.97), check]) == NINE + 9 * MINUTE
    assert last_moment([note]) is None


def test_a_reading_by_an_instrument_that_is_gone_is_not_compared(bench_shop: Shop) -> None:
    first, second = readings(47.97, 47.98)
    assert isinstance(first, Reading)
    gone = replace(first, instrument="sold")
    assert comparable([gone, second], shop=bench_shop) == (second,)
    for known in ("", "micrometer", "mic"):
        kept = replace(first, instrument=known)
        assert comparable([kept], shop=bench_shop) == (kept,)


def test_the_crank_shows_where_a_bench_agrees(
    bench_engine: Engine,
    progress_of: Callable[..., tuple[SetProgress, ...]],
    compare: Callable[..., ClassComparison],
) -> None:
    reference = readings(*[47.972] * 12)
    entries = readings(*[47.972] * 4, *[47.972, 47.999, 47.972, 47.972], *[47.972] * 2)
    signs = bearing_signs(
        engine=bench_engine,
        comparison=compare(readings(), entries, reference=reference),
        planned=progress_of(entries),
        bench=1,
    )
    assert [signs[f"rod {n}"] for n in (1, 2, 3, 4)] == [
        StateSign.RIGHT,  # whole, and within the uncertainty
        StateSign.READINGS_DISAGREE,  # one place of four is 27 µm off
        StateSign.CANNOT_TELL,  # begun
        StateSign.NOT_MEASURED,
    ]
    assert signs["main 1"] is StateSign.NOT_MEASURED  # not in the task


def test_without_a_reference_a_whole_set_cannot_agree(
    bench_engine: Engine,
    progress_of: Callable[..., tuple[SetProgress, ...]],
    compare: Callable[..., ClassComparison],
) -> None:
    entries = readings(*[47.972] * 4)
    signs = bearing_signs(
        engine=bench_engine,
        comparison=compare(entries, reference=[]),
        planned=progress_of(entries),
        bench=0,
    )
    assert signs["rod 1"] is StateSign.CANNOT_TELL
