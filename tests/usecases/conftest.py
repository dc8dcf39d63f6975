"""An invented engine, an invented shop, and a bench at which readings are typed."""

from __future__ import annotations

import datetime
from collections.abc import Callable
from dataclasses import dataclass, field, replace

import pytest

from oilwedge.engine.file import read_engine
from oilwedge.engine.model import Engine
from oilwedge.job.entry import Entry, Event, EventKind, WorkKind
from oilwedge.metrology.reading import Bound, Reading, ReadingForm
from oilwedge.shop.file import read_shop
from oilwedge.shop.model import Shop
from oilwedge.uncertainty.conformity import DecisionRule
from oilwedge.usecases.judgement import FitResult, Judgement
from oilwedge.usecases.judging import judge

ENGINE = """
format = 1
[engine]
name = "Bench four (invented)"
[layout]
kind = "in-line"
cylinders = 4
numbering = "1 at the front"
firing_order = [1, 3, 4, 2]
throw_angles = ["0 deg", "180 deg", "180 deg", "0 deg"]
main_bearings = 5
caps = "separate"
[features.rod_journal]
nominal = "47.980 mm"
tolerance = ["-0.015 mm", "0 mm"]
length = "20 mm"
[features.rod_shell_bore]
size = ["48.001 mm", "48.014 mm"]
[features.rod_housing_bore]
size = ["51.000 mm", "51.015 mm"]
[features.rod_upper_wall]
size = ["1.497 mm", "1.503 mm"]
[features.rod_lower_wall]
size = ["1.497 mm", "1.503 mm"]
[features.main_journal]
size = ["54.980 mm", "54.995 mm"]
[features.main_shell_bore]
size = ["55.019 mm", "55.032 mm"]
[features.cylinder_bore]
size = ["82.000 mm", "82.020 mm"]
[features.top_ring_gap]
[features.crank_end_gap]
[features.crank_runout_reading]
[fits.rod_bearing]
build = ["0.021 mm", "0.049 mm"]
service = "0.060 mm"
from = "Invented manual, page 12"
[fits.main_bearing]
build = ["0.024 mm", "0.052 mm"]
service = "0.065 mm"
[fits.main_bearing.numbers.3]
build = ["0.044 mm", "0.072 mm"]
service = "0.085 mm"
[fits.rod_journal_size]
[fits.rod_journal_taper]
build = "0.005 mm"
service = "0.010 mm"
[fits.top_ring_gap]
build = ["0.20 mm", "0.35 mm"]
[fits.crank_end_float]
build = ["0.08 mm", "0.24 mm"]
service = "0.30 mm"
[fits.crank_runout]
build = "0.015 mm"
meaning = "bend"
"""
SHOP = """
format = 1
[instruments.mic]
title = "micrometer 25 to 75"
kind = "micrometer"
range = ["25 mm", "75 mm"]
resolution = "0.001 mm"
permissible_error = "0.002 mm"
repeatability = "0.001 mm"
setting = "0.0005 mm"
setup = "0.001 mm"
[instruments.mic_two]
title = "another micrometer 25 to 75"
kind = "micrometer"
range = ["25 mm", "75 mm"]
resolution = "0.001 mm"
permissible_error = "0.002 mm"
repeatability = "0.001 mm"
setting = "0.0005 mm"
setup = "0.001 mm"
[instruments.bore]
title = "bore gauge, set in the micrometer"
kind = "bore gauge"
range = ["35 mm", "75 mm"]
resolution = "0.001 mm"
permissible_error = "0.001 mm"
repeatability = "0.001 mm"
set_in = "mic"
setting = "0.001 mm"
setup = "0.001 mm"
[instruments.ball]
title = "ball micrometer"
kind = "ball micrometer"
range = ["0 mm", "25 mm"]
resolution = "0.001 mm"
permissible_error = "0.002 mm"
repeatability = "0.001 mm"
setup = "0.001 mm"
[strips.narrow]
title = "narrow strip (invented)"
range = ["0.025 mm", "0.075 mm"]
bars = [
    { clearance = "0.025 mm" }, { clearance = "0.038 mm" },
    { clearance = "0.050 mm" }, { clearance = "0.075 mm" },
]
"""
MM = 1e-3


@dataclass
class Bench:
    """Types readings and events in order, and judges what is there."""

    engine: Engine
    shop: Shop
    entries: list[Entry] = field(default_factory=list)

    def read(
        self,
        feature: str,
        number: int,
        mm: float,
        place: str = "",
        direction: str = "",
        *,
        instrument: str = "",
        bound: Bound = Bound.NONE,
        form: ReadingForm = ReadingForm.ABSOLUTE,
        fitting: int = 1,
        setting: str = "1",
        replaces: str = "",
        part_c: float | None = None,
        time: datetime.datetime | None = None,
    ) -> Reading:
        reading = Reading(
            id=f"r{len(self.entries) + 1}",
            feature=feature,
            number=number,
            place=place,
            direction=direction,
            value_m=mm * MM,
            text=f"{mm:g}",
            unit="mm",
            instrument=instrument,
            bound=bound,
            form=form,
            fitting=fitting,
            setting=setting,
            replaces=replaces,
            part_temperature_c=part_c,
            time=time,
        )
        self.entries.append(reading)
        return reading

    def journal(
        self,
        number: int,
        mm: float,
        *,
        taper_mm: float = 0.0,
        instrument: str = "mic",
        feature: str = "rod_journal",
    ) -> list[Reading]:
        """The quick plan; ``taper_mm`` is how much thicker the rear is than the front."""
        return [
            self.read(feature, number, mm + side * taper_mm / 2, place, way, instrument=instrument)
            for place, side in (("front", -1), ("rear", 1))
            for way in ("along", "across")
        ]

    def bore(
        self, number: int, mm: float, *, feature: str = "rod_shell_bore", instrument: str = "bore"
    ) -> list[Reading]:
        return [
            self.read(feature, number, mm, place, "square", instrument=instrument)
            for place in ("front", "rear")
        ]

    def event(
        self,
        kind: EventKind,
        subject: str = "",
        number: int | None = None,
        *,
        value: str = "",
        step_mm: float | None = None,
        work: WorkKind | None = None,
        instrument: str = "",
        time: datetime.datetime | None = None,
    ) -> Event:
        event = Event(
            id=f"e{len(self.entries) + 1}",
            kind=kind,
            subject=subject,
            number=number,
            value=value,
            step_m=None if step_mm is None else step_mm * MM,
            work=work,
            instrument=instrument,
            time=time,
        )
        self.entries.append(event)
        return event

    def work(
        self,
        subject: str,
        work: WorkKind,
        number: int | None = None,
        *,
        step_mm: float | None = None,
    ) -> Event:
        return self.event(
            EventKind.WORK, subject, number, value=work.value, work=work, step_mm=step_mm
        )

    def size(self, subject: str, step_mm: float, number: int | None = None) -> Event:
        return self.event(EventKind.SIZE, subject, number, step_mm=step_mm)

    def is_now(self, subject: str, value: str, number: int | None = None) -> Event:
        return self.event(EventKind.CONDITION, subject, number, value=value)

    def zero(self, instrument: str, value: str) -> Event:
        return self.event(EventKind.ZERO_CHECK, instrument, value=value, instrument=instrument)

    def judge(self, rule: DecisionRule | None = None) -> Judgement:
        return judge(engine=self.engine, shop=self.shop, entries=self.entries, rule=rule)

    def result(self, key: str, number: int = 1, rule: DecisionRule | None = None) -> FitResult:
        found = [one for one in self.judge(rule).fits if (one.key, one.number) == (key, number)]
        assert len(found) == 1
        return found[0]


@pytest.fixture(scope="session")
def bench_engine() -> Engine:
    return read_engine(ENGINE, file="engine.toml")


@pytest.fixture(scope="session")
def bench_shop() -> Shop:
    return read_shop(SHOP, file="shop.toml")


@pytest.fixture
def bench(bench_engine: Engine, bench_shop: Shop) -> Bench:
    return Bench(engine=bench_engine, shop=bench_shop)


MakeBench = Callable[..., Bench]


@pytest.fixture(scope="session")
def new_bench(bench_engine: Engine, bench_shop: Shop) -> MakeBench:
    """A fresh bench each time, for properties that try many; other text makes another engine."""

    def make(engine_text: str = "", **changes: object) -> Bench:
        engine = read_engine(ENGINE + engine_text, file="e.toml") if engine_text else bench_engine
        if changes:
            engine = replace(engine, **changes)  # type: ignore[arg-type]
        return Bench(engine=engine, shop=bench_shop)

    return make
