"""The sets of a job: one feature of one number, its places in order, and how far each is."""

from __future__ import annotations

import datetime
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import Enum

from oilwedge.engine.model import Engine, Feature, Shape
from oilwedge.errors import Fault, UnknownNameError, did_you_mean
from oilwedge.fits.limits import Condition
from oilwedge.job.entry import Entry
from oilwedge.metrology.instrument import Instrument, Strip
from oilwedge.metrology.reading import Reading, ReadingForm
from oilwedge.shop.model import Shop
from oilwedge.usecases.measuring.situation import (
    USUAL_FINEST,
    Situation,
    finest_digits,
    situation_at,
)
from oilwedge.usecases.planning.plan import Depth, Plan, make_plan, stage_of
from oilwedge.usecases.taking.asking import STRIP_LINES, fitting_instruments
from oilwedge.usecases.taking.bench import (
    Bench,
    Progress,
    Slot,
    has_steps,
    make_bench,
    parts_to_ask,
    progress,
)
from oilwedge.usecases.taking.summary import set_lines

__all__ = [
    "Depth",
    "MeasureSet",
    "PartToAsk",
    "SetProgress",
    "SlotState",
    "SlotView",
    "StripChoice",
    "SuitedInstrument",
    "measure_set",
    "next_set",
    "sets",
]


class SlotState(Enum):
    """How far one place is."""

    OPEN = "open"
    TAKEN = "taken"
    SKIPPED = "skipped"


@dataclass(frozen=True, kw_only=True, slots=True)
class SlotView:
    """One reading to be taken, and the one that stands there.

    ``id`` is "front/across", from the second series on "front/across/2". ``position`` (-1 front or
    top, +1 rear or bottom) and ``angle_deg`` place it in the drawing; None where the feature has
    no places or directions.
    """

    id: str
    place: str
    direction: str
    series: int
    label: str
    drawing: Shape
    position: float | None
    angle_deg: float | None
    state: SlotState
    reading: Reading | None = None

    @property
    def reading_id(self) -> str:
        """Id of the reading that stands; empty where there is none."""
        return self.reading.id if self.reading is not None else ""


@dataclass(frozen=True, kw_only=True, slots=True)
class SuitedInstrument:
    """An instrument of the shop that suits the feature."""

    key: str
    title: str
    unit: str
    overdue: bool  # its calibration was due before today
    finest: Mapping[str, str]


@dataclass(frozen=True, kw_only=True, slots=True)
class StripChoice:
    """A strip of the shop: its range in metres and the clearances of its bars."""

    key: str
    title: str
    low_m: float
    high_m: float
    bars_m: tuple[float, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class PartToAsk:
    """A part whose condition decides limits and was not stated yet."""

    part: str
    title: str


@dataclass(frozen=True, kw_only=True, slots=True)
class MeasureSet:
    """One set on its page.

    ``unit`` is the one to expect; ``nominal`` the expected size as text in each unit (empty where
    the file gives none); ``finest`` the digit in which a bare number counts, by unit.
    ``size_to_ask``: it may be at an undersize and nobody said. ``result`` says in lines what was
    read, once the set is complete.
    """

    feature: str
    number: int
    title: str
    how: str
    explain: str
    shape: Shape
    unit: str
    slots: tuple[SlotView, ...]
    repeats: int
    nominal_m: float | None
    nominal: Mapping[str, str]
    finest: Mapping[str, str]
    band_low_m: float
    band_high_m: float
    band_words: str
    instruments: tuple[SuitedInstrument, ...]
    strips: tuple[StripChoice, ...]
    before_strip: tuple[str, ...]
    usual_instrument: str
    sign_needed: bool
    parts_to_ask: tuple[PartToAsk, ...]
    size_to_ask: bool
    fitting: int
    result: tuple[str, ...] = ()

    @property
    def complete(self) -> bool:
        """Whether no place is open."""
        return all(one.state is not SlotState.OPEN for one in self.slots)

    @property
    def next_slot(self) -> SlotView | None:
        """The first open place."""
        return next((one for one in self.slots if one.state is SlotState.OPEN), None)

    def slot(self, id: str) -> SlotView | None:
        """A place by its id."""
        return next((one for one in self.slots if one.id == id), None)


@dataclass(frozen=True, kw_only=True, slots=True)
class SetProgress:
    """One set in the list of the job: what it is, in which step, and how far."""

    feature: str
    number: int
    title: str
    stage: str
    taken: int
    skipped: int
    open: int

    @property
    def planned(self) -> int:
        """Readings planned."""
        return self.taken + self.skipped + self.open

    @property
    def complete(self) -> bool:
        """Whether nothing is open."""
        return self.open == 0


def measure_set(
    *,
    engine: Engine,
    shop: Shop,
    entries: Sequence[Entry],
    feature: str,
    number: int,
    today: datetime.date,
    depth: Depth = Depth.QUICK,
    repeats: int = 1,
) -> MeasureSet:
    """One feature of one number as its page shows it; raises UnknownNameError for none such."""
    own = feature_of(engine, feature=feature, number=number)
    bench = make_bench(
        engine=engine, shop=shop, features=[feature], number=number, depth=depth, repeats=repeats
    )
    done = progress(bench, entries)
    situation = situation_at(
        engine=engine, shop=shop, now=done.standing, feature=feature, number=number
    )
    first = bench.slots[0]
    slots = tuple(_view(bench, done, slot) for slot in bench.slots)
    complete = all(one.state is not SlotState.OPEN for one in slots)
    band = situation.bands[ReadingForm.ABSOLUTE]
    return MeasureSet(
        feature=feature,
        number=number,
        title=own.label(number),
        how=own.how,
        explain=own.explain,
        shape=own.shape,
        unit="in" if own.unit in ("in", "thou", "ft") else "mm",
        slots=slots,
        repeats=repeats,
        nominal_m=situation.nominal_m,
        nominal=_nominal_texts(situation),
        finest=_texts(situation),
        band_low_m=band.low_m,
        band_high_m=band.high_m,
        band_words=band.words,
        instruments=_instruments(bench, own, today=today),
        strips=tuple(_strip(one) for one in shop.strips.values() if own.shape is Shape.STRIP),
        before_strip=tuple(STRIP_LINES[1:]) if own.shape is Shape.STRIP else (),
        usual_instrument=own.instrument,
        sign_needed=situation.zeroed,
        parts_to_ask=_parts(bench, done, first),
        size_to_ask=has_steps(own) and first.set not in done.standing.steps_m,
        fitting=max(
            [r.fitting for r in done.standing.readings if (r.feature, r.number) == first.set],
            default=1,
        ),
        result=tuple(set_lines(bench, done, first)) if complete else (),
    )


def feature_of(engine: Engine, *, feature: str, number: int) -> Feature:
    """The feature of this number; UnknownNameError where the engine has none such."""
    own = engine.features.get(feature)
    if own is None:
        raise UnknownNameError(
            Fault(
                given=feature,
                allowed="the engine file has no feature of this name",
                action=did_you_mean(given=feature, allowed=engine.features),
            )
        )
    if number not in own.numbers:
        allowed = f"{own.title} has the numbers 1 to {own.count}"
        raise UnknownNameError(Fault(given=str(number), allowed=allowed))
    return own.at(number)


def _view(bench: Bench, done: Progress, slot: Slot) -> SlotView:
    feature = bench.feature(slot)
    reading = done.reading(slot)
    if reading is not None:
        state = SlotState.TAKEN
    else:
        state = SlotState.OPEN if done.is_open(slot) else SlotState.SKIPPED
    positions = {one.name: one.position for one in (*feature.quick_places, *feature.places)}
    angles = {one.name: one.angle_deg for one in (*feature.quick_directions, *feature.directions)}
    return SlotView(
        id=slot_id(slot),
        place=slot.place,
        direction=slot.direction,
        series=slot.series,
        label=slot.where or bench.label(slot),
        drawing=feature.shape,
        position=positions.get(slot.place),
        angle_deg=angles.get(slot.direction),
        state=state,
        reading=reading,
    )


def slot_id(slot: Slot) -> str:
    """A slot in an address: "front/across", "front/across/2" for its second series."""
    spot = f"{slot.place}/{slot.direction}"
    return spot if slot.series == 1 else f"{spot}/{slot.series}"


def _nominal_texts(situation: Situation) -> dict[str, str]:
    found = {unit: situation.nominal_in(unit) for unit in USUAL_FINEST}
    return {unit: f"{number:f} {unit}" for unit, number in found.items() if number is not None}


def _texts(situation: Situation) -> dict[str, str]:
    return {unit: f"{digit:f}" for unit, digit in situation.finest.items()}


def _instruments(
    bench: Bench, feature: Feature, *, today: datetime.date
) -> tuple[SuitedInstrument, ...]:
    return tuple(
        SuitedInstrument(
            key=one.key,
            title=one.title,
            unit=one.unit,
            overdue=is_overdue(one, on=today),
            finest={unit: f"{digit:f}" for unit, digit in finest_digits(one).items()},
        )
        for one in fitting_instruments(bench, feature)
    )


def is_overdue(instrument: Instrument, *, on: datetime.date) -> bool:
    """Whether the calibration was due before this day."""
    return instrument.calibration_due is not None and instrument.calibration_due < on


def _strip(strip: Strip) -> StripChoice:
    return StripChoice(
        key=strip.key,
        title=strip.title,
        low_m=strip.low_m,
        high_m=strip.high_m,
        bars_m=tuple(bar.clearance_m for bar in strip.bars),
    )


def _parts(bench: Bench, done: Progress, slot: Slot) -> tuple[PartToAsk, ...]:
    return tuple(
        PartToAsk(part=part, title=bench.engine.part_titles.get(part, part))
        for part in parts_to_ask(bench, slot)
        if done.standing.condition(part=part, number=slot.number) is Condition.UNSTATED
    )


def sets(
    *,
    engine: Engine,
    shop: Shop,
    entries: Sequence[Entry],
    depth: Depth = Depth.QUICK,
    repeats: int = 1,
    plan: Plan | None = None,
) -> tuple[SetProgress, ...]:
    """Every set of the plan in its order. ``plan`` saves making it again."""
    plan = plan or make_plan(engine=engine, shop=shop, depth=depth)
    keys = list(dict.fromkeys(one.feature.key for one in plan.measurements))
    bench = make_bench(engine=engine, shop=shop, features=keys, depth=plan.depth, repeats=repeats)
    done = progress(bench, entries)
    by_set: dict[tuple[str, int], list[Slot]] = {}
    for slot in bench.slots:
        by_set.setdefault(slot.set, []).append(slot)
    found = []
    for (key, number), slots in by_set.items():
        taken = sum(done.reading(slot) is not None for slot in slots)
        left = sum(done.is_open(slot) for slot in slots)
        feature = engine.features[key]
        found.append(
            SetProgress(
                feature=key,
                number=number,
                title=feature.label(number),
                stage=stage_of(feature).value,
                taken=taken,
                skipped=len(slots) - taken - left,
                open=left,
            )
        )
    return tuple(found)


def next_set(
    *,
    engine: Engine,
    shop: Shop,
    entries: Sequence[Entry],
    after: tuple[str, int] | None = None,
    depth: Depth = Depth.QUICK,
    repeats: int = 1,
) -> tuple[str, int] | None:
    """The next set with an open place: behind ``after`` in planned order, then from the front.

    None when the plan is done. A set outside the plan is followed by the first open one.
    """
    planned = sets(engine=engine, shop=shop, entries=entries, depth=depth, repeats=repeats)
    keys = [(one.feature, one.number) for one in planned]
    start = keys.index(after) + 1 if after in keys else 0
    order = (*planned[start:], *planned[:start])
    return next(((one.feature, one.number) for one in order if not one.complete), None)
