import datetime
import math
import tomllib
from dataclasses import replace
from pathlib import Path

import pytest

from oilwedge.engine.model import Engine
from oilwedge.job.entry import Entry, Event, EventKind
from oilwedge.metrology.reading import Bound, Reading, ReadingForm
from oilwedge.shop.model import Shop
from oilwedge.usecases.class_comparison import (
    BenchRow,
    ClassBench,
    ClassComparison,
    compare_class,
    normalised_error,
)

NINE = datetime.datetime(2026, 3, 1, 9, tzinfo=datetime.UTC)
MINUTE = datetime.timedelta(minutes=1)
SPOTS = [(place, way) for place in ("front", "rear") for way in ("along", "across")]
UM = 1e-6


def reading(
    name: str, index: int, mm: float, *, minute: int = 0, instrument: str = "mic"
) -> Reading:
    place, way = SPOTS[index % 4]
    return Reading(
        id=f"{name}-{index}",
        feature="rod_journal",
        number=index // 4 + 1,
        place=place,
        direction=way,
        value_m=mm * 1e-3,
        text=f"{mm}",
        unit="mm",
        instrument=instrument,
        time=NINE + minute * MINUTE,
    )


def bench(name: str, *mm: float, instrument: str = "mic") -> ClassBench:
    entries = [
        reading(name, index, value, minute=index, instrument=instrument)
        for index, value in enumerate(mm)
    ]
    return ClassBench(name=name, entries=entries, opened_at=NINE)


@pytest.fixture
def compare(bench_engine: Engine, bench_shop: Shop) -> "Compare":
    return Compare(bench_engine, bench_shop)


class Compare:
    def __init__(self, engine: Engine, shop: Shop) -> None:
        self.engine, self.shop = engine, shop

    def __call__(
        self, *benches: ClassBench, reference: ClassBench | None = None, minute: int = 5
    ) -> ClassComparison:
        return compare_class(
            engine=self.engine,
            shop=self.shop,
            benches=benches,
            reference=reference,
            now=NINE + minute * MINUTE,
            features=["rod_journal"],
        )

    def row(self, *benches: ClassBench, minute: int = 5) -> BenchRow:
        return self(*benches, minute=minute).benches[0]


def test_the_normalised_error_is_the_published_one() -> None:
    """tests/published/COMPARISON: formula RECALLED, own numbers COMPUTED."""
    path = Path(__file__).parents[1] / "published" / "COMPARISON" / "source.toml"
    values = tomllib.loads(path.read_text(encoding="utf-8"))["values"]
    (first, u_first), (second, u_second) = values["first"], values["second"]
    found = normalised_error(
        difference_m=(first - second) * 1e-3, allowed_m=math.hypot(u_first, u_second) * 1e-3
    )
    assert found == pytest.approx(values["en"], abs=5e-4)


def test_nothing_allowed_is_agreement_only_without_a_difference() -> None:
    assert normalised_error(difference_m=0.0, allowed_m=0.0) == 0.0
    assert normalised_error(difference_m=-1e-6, allowed_m=0.0) == -math.inf


def test_each_place_is_held_against_the_reference(compare: Compare) -> None:
    found = compare(bench("one", 47.972, 47.973, 47.990), reference=bench("master", *[47.972] * 4))
    assert not found.by_median
    first, second, third, fourth = found.slots[:4]
    assert first.label == "rod journal 1, front, along"
    assert first.reference_m == pytest.approx(47.972e-3, abs=1e-9)
    values = [row.values[0] for row in (first, second, third)]
    assert [one.difference_m for one in values if one] == pytest.approx(
        [0.0, 1 * UM, 18 * UM], abs=1e-10
    )
    assert [one.beyond for one in values if one] == [False, False, True]
    assert fourth.values == (None,)
    (row,) = found.benches
    assert row.beyond == ("rod journal 1, rear, along",)
    assert (row.compared, row.inside) == (3, 2)
    assert row.mean_difference_m == pytest.approx(19 * UM / 3, abs=1e-10)


def test_en_is_the_difference_over_both_uncertainties(compare: Compare) -> None:
    found = compare(bench("one", 47.976), reference=bench("master", 47.972))
    row = found.slots[0]
    (value,) = row.values
    assert value is not None
    assert row.reference_expanded_m is not None
    allowed = math.sqrt(value.expanded_m**2 + row.reference_expanded_m**2)
    assert value.en == pytest.approx(4 * UM / allowed, rel=1e-6)
    # U of a single reading of this micrometer is a few micrometres: it resolves 1, may err by 2
    assert 2 * UM < value.expanded_m < 6 * UM


def test_the_mark_is_the_share_of_reference_places_that_are_reached(compare: Compare) -> None:
    master = bench("master", *[47.972] * 4)
    found = compare(
        bench("all", *[47.972] * 4),
        bench("half", 47.972, 47.972),
        bench("wrong", 47.972, 47.972, 47.990, 47.972),
        bench("none"),
        reference=master,
    )
    assert [one.mark for one in found.benches] == [1.0, 0.5, 0.75, 0.0]


def test_without_a_reference_the_median_of_three_stands_in(compare: Compare) -> None:
    benches = [bench("a", 47.970), bench("b", 47.972), bench("c", 47.973), bench("d", 47.999)]
    found = compare(*benches[:2])
    assert found.by_median
    assert found.slots[0].reference_m is None
    assert [one.mark for one in found.benches] == [None, None]
    row = compare(*benches).slots[0]
    assert row.reference_m == pytest.approx(47.9725e-3, abs=1e-9)
    # MAD of 2.5, 0.5, 0.5, 26.5 is 1.5; U = 2 * 1.25 * 1.483 * 1.5 / sqrt(4), in micrometres
    assert row.reference_expanded_m == pytest.approx(2 * 1.25 * 1.483 * 1.5 / 2 * UM, rel=1e-4)
    assert [one.beyond for one in row.values if one] == [False, False, False, True]


def test_repeats_are_meant_and_counted(compare: Compare) -> None:
    again = replace(reading("one", 0, 47.974, minute=1), id="again")
    one = ClassBench(name="one", entries=[reading("one", 0, 47.972), again])
    found = compare(one, reference=bench("master", 47.973))
    (value,) = found.slots[0].values
    assert value is not None
    assert value.count == 2
    assert value.difference_m == pytest.approx(0.0, abs=1e-10)
    assert [(single.repeat, round(single.value_m * 1e3, 3)) for single in found.readings] == [
        (1, 47.972),
        (2, 47.974),
    ]


def test_plain_arrays_come_out_for_later_statistics(compare: Compare) -> None:
    found = compare(bench("a", 47.970, 47.971), bench("b", 47.972))
    assert len(found.values_m) == len(found.slots) == 16
    assert found.values_m[0] == pytest.approx((47.970e-3, 47.972e-3), abs=1e-9)
    assert found.values_m[1][1] is None
    assert {one.bench for one in found.readings} == {"a", "b"}


def test_a_deviation_and_a_size_are_the_same_value(compare: Compare) -> None:
    away = replace(reading("one", 0, 0.0), value_m=-8 * UM, form=ReadingForm.DEVIATION, text="-8")
    found = compare(ClassBench(name="one", entries=[away]), reference=bench("master", 47.972))
    (value,) = found.slots[0].values
    assert value is not None
    assert value.difference_m == pytest.approx(0.0, abs=1e-10)


def test_a_bound_is_progress_and_no_value(compare: Compare) -> None:
    bound = replace(reading("one", 0, 47.9), bound=Bound.AT_LEAST)
    found = compare(ClassBench(name="one", entries=[bound]), reference=bench("m", 47.972))
    assert found.slots[0].values == (None,)
    assert found.benches[0].taken == 1


def test_who_has_open_places_and_typed_nothing_for_long_is_stuck(compare: Compare) -> None:
    one = bench("one", 47.972, 47.972)  # the last at one minute past nine
    assert not compare.row(one, minute=10).stuck
    row = compare.row(one, minute=11)
    assert row.stuck
    assert (row.taken, row.open, row.planned) == (2, 14, 16)
    assert row.last_entry == NINE + MINUTE
    assert compare.row(bench("idle"), minute=10).stuck
    assert not compare.row(bench("idle"), minute=9).begun
    assert not compare.row(ClassBench(name="unopened", entries=()), minute=60).stuck


def test_who_is_done_is_not_stuck(compare: Compare) -> None:
    skips: list[Entry] = [
        Event(
            id=f"k{number}{place}{way}",
            kind=EventKind.SKIPPED,
            subject="rod_journal",
            number=number,
            value=f"{place}, {way}",
        )
        for number in (1, 2, 3, 4)
        for place, way in SPOTS
    ]
    row = compare.row(ClassBench(name="one", entries=skips, opened_at=NINE), minute=60)
    assert (row.skipped, row.open, row.stuck) == (16, 0, False)


def test_the_whole_plan_is_compared_where_no_features_are_named(
    bench_engine: Engine, bench_shop: Shop
) -> None:
    found = compare_class(engine=bench_engine, shop=bench_shop, benches=(), now=NINE)
    assert {row.feature for row in found.slots} > {"rod_journal", "main_journal", "rod_strip"}
