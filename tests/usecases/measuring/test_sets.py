import datetime
from dataclasses import replace

import pytest

from oilwedge.engine.model import Engine, Shape
from oilwedge.errors import UnknownNameError
from oilwedge.job.entry import Event, EventKind, WorkKind
from oilwedge.metrology.reading import Reading
from oilwedge.shop.model import Shop
from oilwedge.usecases.measuring import (
    MeasureSet,
    SlotState,
    measure_set,
    next_set,
    sets,
)

TODAY = datetime.date(2026, 3, 1)


def reading(id: str, place: str, direction: str, mm: float = 47.972, **changes: str) -> Reading:
    one = Reading(
        id=id,
        feature="rod_journal",
        number=1,
        place=place,
        direction=direction,
        value_m=mm * 1e-3,
        text=f"{mm}",
        unit="mm",
        instrument="mic",
    )
    return replace(one, **changes)  # type: ignore[arg-type]


FOUR = (
    reading("a", "front", "along"),
    reading("b", "front", "across"),
    reading("c", "rear", "along"),
    reading("d", "rear", "across"),
)


def page(engine: Engine, shop: Shop, *entries: Reading | Event, **where: object) -> MeasureSet:
    chosen = {"feature": "rod_journal", "number": 1, "today": TODAY, **where}
    return measure_set(engine=engine, shop=shop, entries=entries, **chosen)  # type: ignore[arg-type]


def test_the_places_come_in_the_order_of_the_hand(bench_engine: Engine, bench_shop: Shop) -> None:
    found = page(bench_engine, bench_shop)
    assert [one.id for one in found.slots] == [
        "front/along",
        "front/across",
        "rear/along",
        "rear/across",
    ]
    assert [(one.position, one.angle_deg) for one in found.slots] == [
        (-1.0, 0.0),
        (-1.0, 90.0),
        (1.0, 0.0),
        (1.0, 90.0),
    ]
    assert {one.state for one in found.slots} == {SlotState.OPEN}
    assert (found.title, found.shape, found.unit) == ("rod journal 1", Shape.OUTSIDE, "mm")
    assert found.how
    assert found.explain


def test_the_expected_size_stands_in_each_unit(bench_engine: Engine, bench_shop: Shop) -> None:
    found = page(bench_engine, bench_shop)
    # 47.98 / 25.4 = 1.88897...
    assert found.nominal == {
        "mm": "47.980 mm",
        "in": "1.8890 in",
        "µm": "47980 µm",
        "thou": "1889.0 thou",
    }
    assert found.finest["mm"] == "0.001"


def test_a_taken_place_shows_the_reading_that_stands(
    bench_engine: Engine, bench_shop: Shop
) -> None:
    again = reading("e", "front", "along", 47.97, replaces="a")
    found = page(bench_engine, bench_shop, FOUR[0], again)
    first = found.slots[0]
    assert (first.state, first.reading_id) == (SlotState.TAKEN, "e")
    assert found.next_slot == found.slots[1]
    assert not found.complete
    assert found.result == ()


def test_the_result_is_shown_when_the_set_is_complete_and_not_before(
    bench_engine: Engine, bench_shop: Shop
) -> None:
    skip = Event(
        id="k", kind=EventKind.SKIPPED, subject="rod_journal", number=1, value="rear, across"
    )
    assert page(bench_engine, bench_shop, *FOUR[:3]).result == ()
    found = page(bench_engine, bench_shop, *FOUR[:3], skip)
    assert found.complete
    assert found.slots[3].state is SlotState.SKIPPED
    assert found.result[0] == "rod journal 1: complete; mean 47.972 mm"


def test_size_and_condition_are_asked_until_they_are_stated(
    bench_engine: Engine, bench_shop: Shop
) -> None:
    found = page(bench_engine, bench_shop)
    assert found.size_to_ask
    assert [(one.part, one.title) for one in found.parts_to_ask] == [
        ("rod_journals", "rod journals")
    ]
    stated = (
        Event(id="s", kind=EventKind.SIZE, subject="rod_journal", value="standard", step_m=0.0),
        Event(id="c", kind=EventKind.CONDITION, subject="rod_journals", value="re-used"),
    )
    found = page(bench_engine, bench_shop, *stated)
    assert not found.size_to_ask
    assert found.parts_to_ask == ()


def test_instruments_that_suit_are_offered_and_overdue_ones_marked(
    bench_engine: Engine, bench_shop: Shop
) -> None:
    late = replace(bench_shop.instruments["mic"], calibration_due=datetime.date(2026, 2, 28))
    today = replace(bench_shop.instruments["mic_two"], calibration_due=TODAY)
    shop = replace(
        bench_shop, instruments={**bench_shop.instruments, "mic": late, "mic_two": today}
    )
    found = page(bench_engine, shop)
    assert [(one.key, one.overdue) for one in found.instruments] == [
        ("mic", True),
        ("mic_two", False),
    ]


def test_a_strip_is_chosen_among_strips(bench_engine: Engine, bench_shop: Shop) -> None:
    found = page(bench_engine, bench_shop, feature="rod_strip")
    assert [one.key for one in found.strips] == ["narrow"]
    assert found.strips[0].bars_m == (0.025e-3, 0.038e-3, 0.05e-3, 0.075e-3)
    assert found.before_strip
    assert page(bench_engine, bench_shop).strips == ()


def test_a_zeroed_gauge_asks_for_a_sign(bench_engine: Engine, bench_shop: Shop) -> None:
    assert page(bench_engine, bench_shop, feature="rod_gauge").sign_needed
    assert not page(bench_engine, bench_shop).sign_needed


def test_planned_repeats_are_slots_of_their_own(bench_engine: Engine, bench_shop: Shop) -> None:
    found = page(bench_engine, bench_shop, repeats=2)
    assert len(found.slots) == 8
    assert found.slots[4].id == "front/along/2"
    assert found.slot("front/along/2") == found.slots[4]


@pytest.mark.parametrize(("feature", "number"), [("rod_jurnal", 1), ("rod_journal", 5)])
def test_what_the_engine_does_not_have_is_refused(
    bench_engine: Engine, bench_shop: Shop, feature: str, number: int
) -> None:
    with pytest.raises(UnknownNameError):
        page(bench_engine, bench_shop, feature=feature, number=number)


def test_the_list_counts_each_set_in_planned_order(bench_engine: Engine, bench_shop: Shop) -> None:
    found = sets(engine=bench_engine, shop=bench_shop, entries=FOUR[:3])
    assert [one.title for one in found[:4]] == [f"rod journal {number}" for number in (1, 2, 3, 4)]
    assert (found[0].taken, found[0].open, found[0].planned) == (3, 1, 4)
    assert found[0].stage == "Measure the crankshaft"
    assert found[1].taken == 0


def test_next_is_behind_the_set_and_comes_round_to_the_front(
    bench_engine: Engine, bench_shop: Shop
) -> None:
    def after(*entries: Reading, set: tuple[str, int] | None) -> tuple[str, int] | None:
        return next_set(engine=bench_engine, shop=bench_shop, entries=entries, after=set)

    every = sets(engine=bench_engine, shop=bench_shop, entries=())
    last = (every[-1].feature, every[-1].number)
    assert after(set=None) == ("rod_journal", 1)
    assert after(set=("rod_journal", 1)) == ("rod_journal", 2)
    assert after(set=last) == ("rod_journal", 1)
    assert after(*FOUR, set=last) == ("rod_journal", 2)


def test_a_done_plan_has_no_next(bench_engine: Engine, bench_shop: Shop) -> None:
    every = sets(engine=bench_engine, shop=bench_shop, entries=())
    skipped = [
        Event(
            id=f"k{index}/{slot.id}",
            kind=EventKind.SKIPPED,
            subject=one.feature,
            number=one.number,
            value="" if slot.label.startswith(one.title) else slot.label,
        )
        for index, one in enumerate(every)
        for slot in page(bench_engine, bench_shop, feature=one.feature, number=one.number).slots
    ]
    assert next_set(engine=bench_engine, shop=bench_shop, entries=skipped) is None


def test_work_on_a_part_opens_its_set_again(bench_engine: Engine, bench_shop: Shop) -> None:
    ground = Event(
        id="w",
        kind=EventKind.WORK,
        subject="rod_journals",
        value="ground",
        work=WorkKind.GROUND,
        number=1,
    )
    assert page(bench_engine, bench_shop, *FOUR).complete
    assert not page(bench_engine, bench_shop, *FOUR, ground).complete
