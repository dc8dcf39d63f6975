import re
from dataclasses import replace
from pathlib import Path

import pytest

from oilwedge.engine.model import Engine
from oilwedge.metrology.reading import Bound, Reading
from oilwedge.shop.model import Shop
from oilwedge.usecases.class_readings import HEADER, TableBench, class_readings
from oilwedge.usecases.planning.plan import Depth


def reading(id: str, mm: float, *, place: str = "front") -> Reading:
    return Reading(
        id=id,
        feature="rod_journal",
        number=1,
        place=place,
        direction="along",
        value_m=mm * 1e-3,
        text=f"{mm}",
        unit="mm",
        instrument="mic",
    )


def rows(engine: Engine, shop: Shop, *entries: Reading) -> list[dict[str, str]]:
    bench = TableBench(
        number="C1-01", role="pupil", person="Pia", repeat_of="C1-02", entries=entries
    )
    found = class_readings(
        [bench], engine=engine, shop=shop, features=["rod_journal"], depth=Depth.QUICK
    )
    return [dict(zip(HEADER, row, strict=True)) for row in found]


def test_a_row_says_who_what_where_and_with_what(bench_engine: Engine, bench_shop: Shop) -> None:
    (row,) = rows(bench_engine, bench_shop, reading("a", 47.972))
    assert (row["bench"], row["role"], row["person"], row["repeat of"]) == (
        "C1-01", "pupil", "Pia", "C1-02",
    )  # fmt: skip
    assert (row["feature"], row["number"], row["place"], row["direction"]) == (
        "rod_journal", "1", "front", "along",
    )  # fmt: skip
    assert row["instrument"] == "mic"
    assert float(row["value (m)"]) == pytest.approx(0.047972, abs=1e-9)


def test_repeats_are_counted_and_not_averaged(bench_engine: Engine, bench_shop: Shop) -> None:
    found = rows(bench_engine, bench_shop, reading("a", 47.970), reading("b", 47.974))
    assert [(one["repeat"], one["as typed"]) for one in found] == [("1", "47.97"), ("2", "47.974")]


def test_places_stand_in_planned_order(bench_engine: Engine, bench_shop: Shop) -> None:
    found = rows(bench_engine, bench_shop, reading("a", 47.97, place="rear"), reading("b", 47.97))
    assert [one["place"] for one in found] == ["front", "rear"]


def test_what_was_replaced_or_is_a_bound_is_left_out(
    bench_engine: Engine, bench_shop: Shop
) -> None:
    first = reading("a", 47.972)
    found = rows(
        bench_engine,
        bench_shop,
        first,
        replace(reading("b", 47.973), replaces="a"),
        replace(reading("c", 47.99, place="rear"), bound=Bound.AT_MOST),
    )
    assert [one["id"] for one in found] == ["b"]


def test_the_page_on_the_table_names_its_columns_in_order() -> None:
    page = Path(__file__).parents[2] / "docs" / "formats" / "class-readings.md"
    rows = [one for one in page.read_text(encoding="utf-8").splitlines() if one.startswith("| `")]
    assert re.findall(r"`([a-z ()]+)`", " ".join(one.split("|")[1] for one in rows)) == list(HEADER)
