"""A bench at which readings are typed and judged."""

from __future__ import annotations

import datetime
from collections.abc import Callable
from dataclasses import dataclass, field, replace

import pytest

from oilwedge.engine.file import read_engine
from oilwedge.engine.model import Engine
from oilwedge.job.entry import Entry, Event, EventKind, WorkKind
from oilwedge.metrology.reading import Bound, Reading, ReadingForm
from oilwedge.shop.model import Shop
from oilwedge.uncertainty.conformity import DecisionRule
from oilwedge.usecases.judgement import FitResult, Judgement
from oilwedge.usecases.judging import judge

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
def engine(bench_engine: Engine) -> Engine:
    return bench_engine


@pytest.fixture(scope="session")
def shop(small_shop: Shop) -> Shop:
    return small_shop


@pytest.fixture
def bench(bench_engine: Engine, bench_shop: Shop) -> Bench:
    return Bench(engine=bench_engine, shop=bench_shop)


MakeBench = Callable[..., Bench]


@pytest.fixture(scope="session")
def new_bench(bench_engine: Engine, bench_engine_text: str, bench_shop: Shop) -> MakeBench:
    """A fresh bench each time, for properties that try many; other text makes another engine."""

    def make(engine_text: str = "", **changes: object) -> Bench:
        engine = bench_engine
        if engine_text:
            engine = read_engine(bench_engine_text + engine_text, file="e.toml")
        if changes:
            engine = replace(engine, **changes)  # type: ignore[arg-type]
        return Bench(engine=engine, shop=bench_shop)

    return make
