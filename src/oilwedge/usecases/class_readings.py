"""The readings of a class as one plain table, for the statistics of people and instruments.

One row for each reading that stands, in metres: who (a bench, a person), what (feature, number,
place, direction), with what (instrument, its fitting and setting) and which repeat it is. A
balanced class is a crossed study places × people × repeats; nothing is averaged here.
docs/formats/class-readings.md describes the columns.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from oilwedge.engine.model import Engine
from oilwedge.job.entry import Entry
from oilwedge.metrology.reading import Bound, ReadingForm
from oilwedge.shop.model import Shop
from oilwedge.usecases.planning.plan import Depth
from oilwedge.usecases.sizing import absolute_values_m
from oilwedge.usecases.taking.bench import make_bench, progress

HEADER = (
    "bench", "role", "person", "repeat of", "feature", "number", "place", "direction", "repeat",
    "value (m)", "as typed", "unit", "instrument", "fitting", "setting", "part temperature",
    "time", "id",
)  # fmt: skip


@dataclass(frozen=True, kw_only=True, slots=True)
class TableBench:
    """A bench of the class. ``role`` is "pupil" or "reference"; ``repeat_of`` another bench."""

    number: str
    role: str
    person: str
    repeat_of: str
    entries: Sequence[Entry]


def class_readings(
    benches: Iterable[TableBench],
    *,
    engine: Engine,
    shop: Shop,
    features: Sequence[str],
    depth: Depth,
) -> tuple[tuple[str, ...], ...]:
    """The rows under :data:`HEADER`, bench by bench in the order of the plan.

    Bounds ("less than") and widths of strips say no value and are left out.
    """
    plan = make_bench(engine=engine, shop=shop, features=features, depth=depth)
    rows = []
    for bench in benches:
        done = progress(plan, bench.entries)
        absolute = absolute_values_m(engine=engine, standing=done.standing)
        for slot in plan.slots:
            exact = [
                one
                for one in done.taken.get(slot.spot, ())
                if one.bound is Bound.NONE and one.form is not ReadingForm.WIDTH
            ]
            for repeat, one in enumerate(exact, start=1):
                rows.append(
                    (
                        bench.number,
                        bench.role,
                        bench.person,
                        bench.repeat_of,
                        slot.feature,
                        str(slot.number),
                        slot.place,
                        slot.direction,
                        str(repeat),
                        f"{absolute[one.id]:.9f}",
                        one.text,
                        one.unit,
                        one.instrument,
                        str(one.fitting),
                        one.setting,
                        "" if one.part_temperature_c is None else f"{one.part_temperature_c:g}",
                        one.time.isoformat() if one.time is not None else "",
                        one.id,
                    )
                )
    return tuple(rows)
