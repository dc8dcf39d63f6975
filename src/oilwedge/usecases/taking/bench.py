"""What is fixed while readings are taken: engine, shop, and the places to read, in order."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from oilwedge.engine.model import Engine, Feature, Shape
from oilwedge.errors import Fault, InputError
from oilwedge.job.entry import Entry, Event, EventKind
from oilwedge.job.record import in_effective_order
from oilwedge.job.standing import Standing, concerned_features, standing
from oilwedge.metrology.instrument import GENERIC_INSTRUMENTS, Instrument
from oilwedge.metrology.reading import Reading
from oilwedge.shop.model import Shop
from oilwedge.usecases.importing.names import Names
from oilwedge.usecases.opening import Opened
from oilwedge.usecases.planning.plan import Depth, make_plan


@dataclass(frozen=True, kw_only=True, slots=True)
class Slot:
    """One reading to be taken. ``series`` counts the planned repeats from 1."""

    feature: str
    number: int
    place: str = ""
    direction: str = ""
    series: int = 1

    @property
    def spot(self) -> tuple[str, int, str, str]:
        """Where it is read, whichever time."""
        return (self.feature, self.number, self.place, self.direction)

    @property
    def set(self) -> tuple[str, int]:
        """The set that it belongs to: its result is shown when the set is complete."""
        return (self.feature, self.number)

    @property
    def where(self) -> str:
        """Place and direction in words."""
        return ", ".join(part for part in (self.place, self.direction) if part)


@dataclass(frozen=True, kw_only=True, slots=True)
class Bench:
    """Engine, shop and plan of one session. ``repeats`` is fixed before the first reading."""

    engine: Engine
    shop: Shop
    names: Names
    slots: tuple[Slot, ...]
    repeats: int

    def feature(self, slot: Slot) -> Feature:
        """The feature of a slot, with the size of its number."""
        return self.engine.feature(slot.feature, slot.number)

    def label(self, slot: Slot) -> str:
        """The place to read in words: "rod journal 3, rear, across"."""
        title = self.engine.features[slot.feature].label(slot.number)
        return f"{title}, {slot.where}" if slot.where else title

    @property
    def instruments(self) -> Mapping[str, Instrument]:
        """All that can be named."""
        return {**GENERIC_INSTRUMENTS, **self.shop.instruments}


@dataclass(frozen=True, kw_only=True, slots=True)
class Progress:
    """What the record says of the plan: readings that stand, by spot, and spots left out."""

    standing: Standing
    taken: Mapping[tuple[str, int, str, str], tuple[Reading, ...]]
    skipped: frozenset[tuple[str, int, str]]

    def reading(self, slot: Slot) -> Reading | None:
        """The reading that fills a slot, if it was taken."""
        readings = self.taken.get(slot.spot, ())
        return readings[slot.series - 1] if len(readings) >= slot.series else None

    def is_open(self, slot: Slot) -> bool:
        """Whether a slot is still to be read."""
        left_out = (*slot.set, slot.where) in self.skipped
        return self.reading(slot) is None and not left_out


def make_bench(
    *,
    engine: Engine,
    shop: Shop,
    features: Sequence[str],
    number: int | None = None,
    depth: Depth = Depth.QUICK,
    repeats: int = 1,
) -> Bench:
    """A session that reads these features, in this order, place by place."""
    slots = [
        Slot(feature=key, number=one, place=place, direction=direction, series=series)
        for key in features
        for one in engine.features[key].numbers
        if number is None or one == number
        for series in range(1, repeats + 1)
        for place, direction in spots_of(engine.features[key], depth)
    ]
    names = Names(engine=engine, shop=shop)
    return Bench(engine=engine, shop=shop, names=names, slots=tuple(slots), repeats=repeats)


def asked_bench(
    *,
    opened: Opened,
    names: Sequence[str],
    number: int | None,
    depth: Depth,
    repeats: int,
) -> Bench:
    """The session that was asked for by names such as "rod journal 3".

    Without names, what the plan asks for, in its order. Raises InputError where nothing is left
    to measure.
    """
    engine, shop = opened.engine, opened.shop
    known = Names(engine=engine, shop=shop)
    wanted = [known.feature(text) for text in names]
    own = {found for _, found in wanted if found is not None}
    if number is None and len(own) == 1:
        number = own.pop()
    keys = list(dict.fromkeys(key for key, _ in wanted))
    if not keys:
        plan = make_plan(engine=engine, shop=shop, depth=depth)
        keys = list(dict.fromkeys(one.feature.key for one in plan.measurements))
    bench = make_bench(
        engine=engine, shop=shop, features=keys, number=number, depth=depth, repeats=repeats
    )
    if not bench.slots:
        given = "" if number is None else str(number)
        allowed = "nothing of this number is measured" if given else "the plan measures nothing"
        raise InputError(Fault(given=given, allowed=allowed, action="name a feature"))
    return bench


def spots_of(feature: Feature, depth: Depth) -> tuple[tuple[str, str], ...]:
    """Places and directions of a feature in this depth, in the order in which they are read."""
    quick = depth is Depth.QUICK
    places = [one.name for one in (feature.quick_places if quick else feature.places)]
    directions = [one.name for one in (feature.quick_directions if quick else feature.directions)]
    return tuple((place, direction) for place in places or [""] for direction in directions or [""])


def progress(bench: Bench, entries: Sequence[Entry]) -> Progress:
    """Read off the record how far the plan is."""
    state = standing(engine=bench.engine, entries=entries, instruments=bench.instruments)
    taken: dict[tuple[str, int, str, str], tuple[Reading, ...]] = {}
    for reading in state.readings:
        spot = (reading.feature, reading.number, reading.place, reading.direction)
        taken[spot] = (*taken.get(spot, ()), reading)
    return Progress(standing=state, taken=taken, skipped=_skipped(bench, entries))


def _skipped(bench: Bench, entries: Sequence[Entry]) -> frozenset[tuple[str, int, str]]:
    """Spots left out since their part last changed."""
    skipped: set[tuple[str, int, str]] = set()
    for entry in in_effective_order(entries):
        if not isinstance(entry, Event):
            continue
        if entry.kind is EventKind.SKIPPED and entry.number is not None:
            skipped.add((entry.subject, entry.number, entry.value))
        elif entry.work is not None and entry.work.starts_new_state:
            ended = concerned_features(
                engine=bench.engine, subject=entry.subject, number=entry.number
            )
            skipped = {one for one in skipped if one[:2] not in ended}
    return frozenset(skipped)


def parts_to_ask(bench: Bench, slot: Slot) -> tuple[str, ...]:
    """Parts of this feature whose condition decides limits."""
    feature = bench.engine.features[slot.feature]
    deciding = {
        part
        for fit in bench.engine.fits.values()
        if slot.feature in fit.features
        for part in fit.parts
    }
    return tuple(part for part in feature.parts if part in deciding)


def has_steps(feature: Feature) -> bool:
    """Whether the feature may be at an undersize or oversize."""
    return feature.undersize_factor != 0.0 and feature.shape is not Shape.GAP
