"""The demo's tables are what the script makes, and they are full."""

from __future__ import annotations

import importlib
import sys
from collections.abc import Iterator
from pathlib import Path
from types import ModuleType

import pytest

BENCHMARKS = Path(__file__).resolve().parents[2] / "benchmarks"
DEMO = Path(__file__).resolve().parents[2] / "src" / "oilwedge" / "demo"
ENGINES = ("four", "three_diesel", "v_twin")


@pytest.fixture
def script(monkeypatch: pytest.MonkeyPatch) -> Iterator[ModuleType]:
    monkeypatch.syspath_prepend(str(BENCHMARKS))
    yield importlib.import_module("make_demo_readings")
    for name in ("make_demo_readings", "demo_bench"):
        sys.modules.pop(name, None)


@pytest.mark.parametrize("name", ENGINES)
def test_the_script_makes_the_table_that_is_shipped(script: ModuleType, name: str) -> None:
    shipped = (DEMO / f"{name}.csv").read_text(encoding="utf-8")
    assert script.TABLES[f"{name}.csv"]() == shipped


@pytest.mark.parametrize("name", ENGINES)
def test_a_table_says_that_it_is_invented(name: str) -> None:
    second_row = (DEMO / f"{name}.csv").read_text(encoding="utf-8").splitlines()[1]
    assert second_row.startswith("note")
    assert "Invented readings of an invented engine" in second_row


@pytest.mark.parametrize("name", ENGINES)
def test_every_fit_of_the_engine_was_measured_and_has_limits(demo, name: str) -> None:
    left_out = [
        one.label
        for one in demo(name).judgement.fits
        if one.verdict.state.value in ("not measured", "no limits")
    ]
    assert left_out == []


@pytest.mark.parametrize("name", ENGINES)
def test_of_every_part_it_is_known_whether_it_is_new_machined_or_re_used(demo, name: str) -> None:
    assert "not stated" not in {
        one.verdict.limits.condition.value for one in demo(name).judgement.fits
    }


@pytest.mark.parametrize("name", ENGINES)
def test_every_bearing_was_measured_two_ways_or_says_why_not(demo, name: str) -> None:
    one_way = [
        one.label
        for one in demo(name).judgement.fits
        if one.key in ("rod_bearing", "main_bearing")
        and sum(not way.evidence.empty for way in one.measurement.ways) < 2
    ]
    # The second main of the V-twin had only a strip in it: that is its trouble.
    assert one_way == (["main bearing 2"] if name == "v_twin" else [])


def test_most_fits_are_right_so_that_the_trouble_stands_out(demo) -> None:
    for name in ENGINES:
        fits = demo(name).judgement.fits
        right = sum(one.verdict.state.value == "right" for one in fits)
        assert right >= 0.9 * len(fits)


def test_only_the_row_with_the_wrong_unit_is_refused(demo) -> None:
    assert {name: len(demo(name).taken.bad_rows) for name in ENGINES} == {
        "four": 1,
        "three_diesel": 0,
        "v_twin": 0,
    }


def test_readings_name_instrument_person_and_time(demo) -> None:
    for name in ENGINES:
        standing = demo(name).judgement.standing
        shop = demo(name).judgement.shop
        for reading in standing.readings:
            assert reading.person in ("ada", "tom")
            assert reading.time is not None
            assert reading.instrument in {*shop.instruments, *shop.strips}


def test_temperatures_stand_beside_some_readings(demo) -> None:
    for name in ENGINES:
        readings = demo(name).judgement.standing.readings
        assert 0 < sum(one.part_temperature_c is not None for one in readings) < len(readings)
