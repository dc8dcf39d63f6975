"""Where a job stands: which readings judge now, what the parts are, what to measure again.

A part that was machined or exchanged is another part: readings taken before it stay on record and
stop judging. Nothing is deleted; each reading that does not judge says which event ended it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace

from oilwedge.engine.model import Engine, Feature, Shape
from oilwedge.errors import Fault, JobFileError
from oilwedge.fits.limits import Condition
from oilwedge.job.entry import Entry, Event, EventKind, WorkKind
from oilwedge.job.record import closed_by, in_effective_order, replaced_ids
from oilwedge.metrology.instrument import GENERIC_INSTRUMENTS, Instrument
from oilwedge.metrology.reading import Reading

FeatureNumber = tuple[str, int]
PartNumber = tuple[str, int]

# A part that carries the surface of another: what is said of the carrier goes for the surface
# too, unless something was said of the surface itself.
CARRIED_BY: Mapping[str, str] = {
    "rod_journals": "crankshaft",
    "main_journals": "crankshaft",
    "cylinders": "block",
}
_CARRIERS = frozenset({"crankshaft", "block", "head"})

_AFTER_WORK: Mapping[WorkKind, Condition] = {
    WorkKind.GROUND: Condition.MACHINED,
    WorkKind.POLISHED: Condition.MACHINED,
    WorkKind.HONED: Condition.MACHINED,
    WorkKind.BORED: Condition.MACHINED,
    WorkKind.RESIZED: Condition.MACHINED,
    WorkKind.MACHINED: Condition.MACHINED,
    WorkKind.REPLACED: Condition.NEW,
}


@dataclass(frozen=True, kw_only=True, slots=True)
class Ended:
    """A reading that stopped judging, and the event that ended it."""

    reading: Reading
    event: Event


@dataclass(frozen=True, kw_only=True, slots=True)
class Doubted:
    """A reading in doubt, because its instrument failed a zero check before or after it."""

    reading: Reading
    event: Event
    instrument: str


@dataclass(frozen=True, kw_only=True, slots=True)
class Standing:
    """Where the job stands now.

    ``readings`` judge; ``ended`` and ``replaced`` stay on record. ``steps_m`` holds the stated
    undersize or oversize by feature and number (positive, 0 for standard); what is missing there
    was never stated. ``measure_again`` lists the features that were measured, then ended, and not
    measured since. ``closed`` is the event that closed the job, unless it was opened again.
    ``out_of_place`` are readings of something that the engine file, another one than they were
    taken by, does not have: they stay on record and judge nothing.
    """

    readings: tuple[Reading, ...] = ()
    ended: tuple[Ended, ...] = ()
    replaced: tuple[Reading, ...] = ()
    doubted: tuple[Doubted, ...] = ()
    conditions: Mapping[PartNumber, Condition] = field(default_factory=dict)
    steps_m: Mapping[FeatureNumber, float] = field(default_factory=dict)
    confirmed_ids: frozenset[str] = frozenset()
    confirmed_sizes: frozenset[FeatureNumber] = frozenset()
    measure_again: tuple[tuple[Feature, int, Event], ...] = ()
    skipped: tuple[Event, ...] = ()
    notes: tuple[Event, ...] = ()
    signatures: tuple[Event, ...] = ()
    decisions: tuple[Event, ...] = ()
    photos: tuple[Event, ...] = ()
    closed: Event | None = None
    out_of_place: tuple[Reading, ...] = ()

    def condition(self, *, part: str, number: int) -> Condition:
        """Say what a part is; what was said of the crank goes for its journals."""
        for key in (part, CARRIED_BY.get(part, "")):
            for which in (number, 0):
                if (key, which) in self.conditions:
                    return self.conditions[key, which]
        return Condition.UNSTATED


def own_part(feature: Feature) -> str:
    """Name the part whose surface the feature is: the journal, not the crank that carries it."""
    own = [part for part in feature.parts if part not in _CARRIERS]
    return own[0] if own else feature.parts[0] if feature.parts else feature.key


def _numbers_of_part(*, engine: Engine, part: str, number: int | None) -> tuple[int, ...] | None:
    """The numbers that one piece of metal goes by: rods side by side share their pin."""
    if number is None:
        return None
    if part != "rod_journals":
        return (number,)
    return next((t.rods for t in engine.layout.throws if number in t.rods), (number,))


def concerned_features(
    *, engine: Engine, subject: str, number: int | None
) -> tuple[FeatureNumber, ...]:
    """List the features that change when something is done to this part or feature."""
    feature = engine.features.get(subject)
    part = own_part(feature) if feature is not None else subject
    wanted = _numbers_of_part(engine=engine, part=part, number=number)
    found = []
    for key, candidate in engine.features.items():
        if part in candidate.parts or key == subject:
            numbers = candidate.numbers if wanted is None else wanted
            found += [(key, one) for one in numbers if one in candidate.numbers]
    return tuple(found)


def _stated_condition(event: Event) -> Condition:
    try:
        return Condition(event.value)
    except ValueError:
        words = ", ".join(condition.value for condition in Condition)
        raise JobFileError(
            Fault(
                given=event.value,
                allowed=f"the condition of {event.subject} is one of {words}",
                action=f"mend entry {event.id}",
            )
        ) from None


class _Reader:
    """Walks through the entries once, in the order in which they held."""

    def __init__(self, *, engine: Engine, instruments: Mapping[str, Instrument]) -> None:
        self.engine = engine
        self.instruments = instruments
        self.current: dict[FeatureNumber, list[Reading]] = {}
        self.fittings: dict[FeatureNumber, int] = {}
        self.ended: list[Ended] = []
        self.last_end: dict[FeatureNumber, Event] = {}
        self.conditions: dict[PartNumber, Condition] = {}
        self.steps_m: dict[FeatureNumber, float] = {}
        self.since_good_check: dict[str, list[Reading]] = {}
        self.failed: dict[str, Event] = {}  # the last check, while it is a failed one
        self.doubted: list[Doubted] = []
        self.confirmed_ids: set[str] = set()
        self.confirmed_sizes: set[FeatureNumber] = set()
        self.kept: dict[EventKind, list[Event]] = {}
        self.out_of_place: list[Reading] = []
        self.misread: dict[FeatureNumber, list[str]] = {}  # replaced ones, while they would judge
        self.end_of_misread: dict[str, Event] = {}

    def read(self, entry: Entry, *, replaced_ids: frozenset[str]) -> None:
        if isinstance(entry, Reading):
            self._take(entry, misread=entry.id in replaced_ids)
            return
        match entry.kind:
            case EventKind.WORK:
                self._work(entry)
            case EventKind.CONDITION:
                self._condition(entry, _stated_condition(entry))
            case EventKind.SIZE:
                self._size(entry)
            case EventKind.ZERO_CHECK:
                self._zero_check(entry)
            case EventKind.CONFIRMED:
                self._confirmed(entry)
            case _:
                self.kept.setdefault(entry.kind, []).append(entry)

    def _take(self, reading: Reading, *, misread: bool) -> None:
        """Take a reading; a correction belongs to the part state of what it corrects."""
        where = (reading.feature, reading.number)
        if not has_place(engine=self.engine, reading=reading):
            self.out_of_place.append(reading)
            return
        end = self.end_of_misread.get(reading.replaces)
        if end is not None:
            self.end_of_misread[reading.id] = end
            self.ended += [] if misread else [Ended(reading=reading, event=end)]
            return
        if misread:
            self.misread.setdefault(where, []).append(reading.id)
            return
        refits = self.fittings.get(where, 0)
        if refits:
            reading = replace(reading, fitting=reading.fitting + refits)
        self.current.setdefault(where, []).append(reading)
        for key in self._behind(reading):
            failed = self.failed.get(key)
            if failed is not None:  # set anew or not: nobody saw it show zero since
                self.doubted.append(Doubted(reading=reading, event=failed, instrument=key))
            else:
                self.since_good_check.setdefault(key, []).append(reading)

    def _behind(self, reading: Reading) -> Iterable[str]:
        """The instrument, and those that it is set in: all their zeros are in its reading.

        A gap is read as a difference from where the gauge was zeroed; what it was zeroed in has
        no part in it.
        """
        feature = self.engine.features[reading.feature]
        key = reading.instrument or feature.instrument
        seen: list[str] = []
        while key and key not in seen:
            seen.append(key)
            instrument = self.instruments.get(key) or GENERIC_INSTRUMENTS.get(key)
            if instrument is None or feature.shape is Shape.GAP:
                break
            key = instrument.set_in
        return seen

    def _work(self, event: Event) -> None:
        concerned = concerned_features(
            engine=self.engine, subject=event.subject, number=event.number
        )
        work = event.work or WorkKind.MACHINED
        if not work.starts_new_state:
            for where in concerned:
                if event.subject in (where[0], *self.engine.features[where[0]].parts):
                    self.fittings[where] = self.fittings.get(where, 0) + 1
            return
        for where in concerned:
            old = self.current.pop(where, [])
            self.ended += [Ended(reading=reading, event=event) for reading in old]
            if old:
                self.last_end[where] = event
            for id in self.misread.pop(where, []):
                self.end_of_misread[id] = event
            self.fittings.pop(where, None)
            self.confirmed_sizes.discard(where)
            if work is WorkKind.REPLACED:  # of what size the new part is has to be said anew
                self.steps_m.pop(where, None)
        self._condition(event, _AFTER_WORK[work])
        for part, carrier in CARRIED_BY.items():
            if carrier == event.subject:  # older words on the surface end with its old state
                self._condition(replace(event, subject=part), _AFTER_WORK[work])
        if event.step_m is not None:
            self._size(event)

    def _condition(self, event: Event, condition: Condition) -> None:
        feature = self.engine.features.get(event.subject)
        part = own_part(feature) if feature is not None else event.subject
        numbers = _numbers_of_part(engine=self.engine, part=part, number=event.number)
        if numbers is None:
            numbers = (0,)  # stands for all of them
            for known in [key for key in self.conditions if key[0] == part]:
                del self.conditions[known]
        for number in numbers:
            self.conditions[part, number] = condition

    def _size(self, event: Event) -> None:
        for where in concerned_features(
            engine=self.engine, subject=event.subject, number=event.number
        ):
            if self.engine.features[where[0]].undersize_factor:
                self.steps_m[where] = event.step_m or 0.0

    def _zero_check(self, event: Event) -> None:
        key = event.instrument or event.subject
        readings = self.since_good_check.pop(key, [])
        if event.value == "passed":
            self.failed.pop(key, None)
            return
        self.failed[key] = event
        self.doubted += [
            Doubted(reading=reading, event=event, instrument=key) for reading in readings
        ]

    def _confirmed(self, event: Event) -> None:
        if event.value:
            self.confirmed_ids.add(event.value)
            return
        concerned = concerned_features(
            engine=self.engine, subject=event.subject, number=event.number
        )
        if event.subject in self.engine.features:  # a size that stands says nothing of the others
            concerned = tuple(
                (key, number)
                for key, number in concerned
                if key == event.subject and event.number in (None, number)
            )
        self.confirmed_sizes.update(concerned)


def has_place(*, engine: Engine, reading: Reading) -> bool:
    """Whether the engine file has what the reading is of, with its number and its place."""
    feature = engine.features.get(reading.feature)
    if feature is None or reading.number not in feature.numbers:
        return False
    places = {one.name for one in (*feature.places, *feature.quick_places)}
    directions = {one.name for one in (*feature.directions, *feature.quick_directions)}
    return reading.place in {"", *places} and reading.direction in {"", *directions}


def standing(
    *, engine: Engine, entries: Sequence[Entry], instruments: Mapping[str, Instrument]
) -> Standing:
    """Read the record from its first entry to its last and say where the job stands."""
    gone = replaced_ids(entries)
    reader = _Reader(engine=engine, instruments=instruments)
    for entry in in_effective_order(entries):
        reader.read(entry, replaced_ids=gone)
    readings = tuple(reading for held in reader.current.values() for reading in held)
    judging = {reading.id for reading in readings}
    again = tuple(
        (engine.features[key], number, event)
        for (key, number), event in reader.last_end.items()
        if not reader.current.get((key, number))
    )
    return Standing(
        readings=readings,
        ended=tuple(reader.ended),
        replaced=tuple(one for one in entries if isinstance(one, Reading) and one.id in gone),
        doubted=tuple(one for one in reader.doubted if one.reading.id in judging),
        conditions=reader.conditions,
        steps_m=reader.steps_m,
        confirmed_ids=frozenset(reader.confirmed_ids),
        confirmed_sizes=frozenset(reader.confirmed_sizes),
        measure_again=again,
        skipped=tuple(reader.kept.get(EventKind.SKIPPED, ())),
        notes=tuple(reader.kept.get(EventKind.NOTE, ())),
        signatures=tuple(reader.kept.get(EventKind.SIGNED, ())),
        decisions=tuple(reader.kept.get(EventKind.DECISION, ())),
        out_of_place=tuple(reader.out_of_place),
        photos=tuple(reader.kept.get(EventKind.PHOTO, ())),
        closed=closed_by(entries),
    )
