"""Each figure of how an engine runs is taken within its range, ends included, and not beyond."""

from __future__ import annotations

import pytest

from oilwedge.engine.running_ranges import RANGES
from oilwedge.engine.schema_running import (
    BearingTable,
    ConditionTable,
    CounterweightTable,
    CrankTrainTable,
    DutyTable,
    OilSheetTable,
)
from oilwedge.unit_table import UNITS

TABLES = (
    BearingTable,
    ConditionTable,
    CounterweightTable,
    CrankTrainTable,
    DutyTable,
    OilSheetTable,
)
NO_QUANTITY = {
    "compression_ratio", "counterweights", "main_places", "throw_places", "rod_places", "throw",
    "firing_intervals", "angle", "place", "groove", "groove_angle", "housing_material",
    "pressure_trace", "note", "conditions",
}  # fmt: skip


def test_every_quantity_of_these_tables_has_a_range() -> None:
    keys = {key for table in TABLES for key in table.model_fields}
    assert keys - NO_QUANTITY == set(RANGES)


@pytest.mark.parametrize("key", RANGES)
def test_a_range_holds_its_ends_and_no_more(key: str) -> None:
    expected = RANGES[key]
    unit = UNITS[expected.unit]
    span = expected.high - expected.low

    def holds(value: float) -> bool:
        return expected.holds(value * float(unit.factor) + float(unit.offset))

    assert [holds(value) for value in (expected.low, expected.high)] == [True, True]
    assert [
        holds(value) for value in (expected.low - 1e-3 * span, expected.high + 1e-3 * span)
    ] == [False, False]
