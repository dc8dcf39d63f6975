"""Several benches that measured the same parts blind, held against a reference, place by place.

For a value x with expanded uncertainty U and a reference with U_ref (both at 95 %, taken as
independent)::

    En = (x - x_ref) / √(U² + U_ref²),    more than the uncertainty allows when |En| > 1

(ISO/IEC 17043 and ISO 13528, recalled). Without a reference set the median of at least three
benches stands in, with the robust standard deviation s* = 1.483 · median |xᵢ - median| of n
benches and u_ref = 1.25 s* / √n (ISO 13528, recalled). Lengths are in metres at 20 °C.

A bench's mark is the share of places with a reference at which |En| ≤ 1; what was not read counts
as not reached. A coarse instrument with an honest U is not marked down for being coarse. Bounds
and flattened strips are not compared: a strip says how wide a class of clearances is, not a value.
"""

from __future__ import annotations

import datetime
import math
import statistics
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from oilwedge.engine.model import Engine, Shape
from oilwedge.job.entry import Entry
from oilwedge.metrology.reading import Bound, Reading, ReadingForm
from oilwedge.metrology.reading_error import (
    Measurand,
    correct_reading,
    instrument_of,
    with_errors,
)
from oilwedge.metrology.repeatability import choose_repeatability
from oilwedge.metrology.thermal import Workshop
from oilwedge.shop.model import Shop
from oilwedge.uncertainty.quantity import Quantity, linear_combination
from oilwedge.usecases.planning.plan import Depth, make_plan
from oilwedge.usecases.sizing import absolute_values_m, material_coefficient
from oilwedge.usecases.taking.bench import Bench, Progress, Slot, make_bench, progress

FEWEST_FOR_MEDIAN = 3
MAD_TO_SD = 1.483
MEDIAN_FACTOR = 1.25
COVERAGE_FACTOR = 2.0
STUCK_AFTER = datetime.timedelta(minutes=10)

Spot = tuple[str, int, str, str]


@dataclass(frozen=True, kw_only=True, slots=True)
class ClassBench:
    """One bench of a class, or the reference set: its name and its record."""

    name: str
    entries: Sequence[Entry]
    opened_at: datetime.datetime | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class SlotValue:
    """What one bench read at one place, the mean of its repeats; ``en`` where it is compared."""

    value_m: float
    expanded_m: float
    count: int
    difference_m: float | None = None
    en: float | None = None

    @property
    def beyond(self) -> bool:
        """Whether it differs from the reference by more than the uncertainty allows."""
        return self.en is not None and abs(self.en) > 1.0


@dataclass(frozen=True, kw_only=True, slots=True)
class SlotRow:
    """One place: its reference, and the values of the benches in their order."""

    feature: str
    number: int
    place: str
    direction: str
    label: str
    reference_m: float | None
    reference_expanded_m: float | None
    values: tuple[SlotValue | None, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class BenchRow:
    """One bench: how far it is, whether it is stuck, and how its values stand.

    ``mean_difference_m`` is its own leaning over all compared places; ``largest_en`` the worst.
    """

    name: str
    taken: int
    skipped: int
    open: int
    last_entry: datetime.datetime | None
    begun: bool
    stuck: bool
    compared: int
    inside: int
    beyond: tuple[str, ...]
    mark: float | None
    mean_difference_m: float | None
    largest_en: float | None

    @property
    def planned(self) -> int:
        """Places planned."""
        return self.taken + self.skipped + self.open


@dataclass(frozen=True, kw_only=True, slots=True)
class SingleReading:
    """One reading as a row of a plain table, for the statistics of a gauge study."""

    bench: str
    feature: str
    number: int
    place: str
    direction: str
    repeat: int
    value_m: float


@dataclass(frozen=True, kw_only=True, slots=True)
class ClassComparison:
    """The whole class. ``by_median``: there was no reference set."""

    benches: tuple[BenchRow, ...]
    slots: tuple[SlotRow, ...]
    readings: tuple[SingleReading, ...]
    by_median: bool

    @property
    def values_m(self) -> tuple[tuple[float | None, ...], ...]:
        """Values as a plain table: a row for each place, a column for each bench."""
        return tuple(
            tuple(one.value_m if one is not None else None for one in row.values)
            for row in self.slots
        )


def compare_class(
    *,
    engine: Engine,
    shop: Shop,
    benches: Sequence[ClassBench],
    now: datetime.datetime,
    reference: ClassBench | None = None,
    depth: Depth = Depth.QUICK,
    features: Sequence[str] = (),
    stuck_after: datetime.timedelta = STUCK_AFTER,
) -> ClassComparison:
    """Compare the benches at every place of the plan, or of the ``features`` of the task."""
    keys = list(features) or _planned(engine, shop, depth)
    plan = make_bench(engine=engine, shop=shop, features=keys, depth=depth)
    done = [progress(plan, one.entries) for one in benches]
    values = [_values(plan, one) for one in done]
    master = _values(plan, progress(plan, reference.entries)) if reference is not None else None
    rows = tuple(_row(plan, slot, values, master) for slot in plan.slots)
    return ClassComparison(
        benches=tuple(
            _bench_row(plan, one, done[at], rows, at=at, now=now, stuck_after=stuck_after)
            for at, one in enumerate(benches)
        ),
        slots=rows,
        readings=tuple(
            single
            for one, state in zip(benches, done, strict=True)
            for single in _singles(plan, one.name, state)
        ),
        by_median=master is None,
    )


def _planned(engine: Engine, shop: Shop, depth: Depth) -> list[str]:
    plan = make_plan(engine=engine, shop=shop, depth=depth)
    return list(dict.fromkeys(one.feature.key for one in plan.measurements))


def _exact(readings: Sequence[Reading]) -> list[Reading]:
    """The readings that say a value: no bounds, no widths of a strip."""
    return [
        one for one in readings if one.bound is Bound.NONE and one.form is not ReadingForm.WIDTH
    ]


def _values(plan: Bench, done: Progress) -> dict[Spot, tuple[Quantity, int]]:
    """The mean of the repeats at each place, with its uncertainty, and how many they are."""
    absolute = absolute_values_m(engine=plan.engine, standing=done.standing)
    found = {}
    for spot, readings in done.taken.items():
        exact = _exact(readings)
        if not exact or plan.engine.features[spot[0]].shape is Shape.STRIP:
            continue
        quantities = [_quantity(plan, one, absolute[one.id]) for one in exact]
        share = 1.0 / len(quantities)
        mean = linear_combination(terms=[(share, one) for one in quantities])
        found[spot] = (mean, len(quantities))
    return found


def _quantity(plan: Bench, reading: Reading, value_m: float) -> Quantity:
    feature = plan.engine.features[reading.feature]
    reading = replace(reading, value_m=value_m, form=ReadingForm.ABSOLUTE)
    instruments = plan.instruments
    usual = feature.instrument or "other"
    instrument = instrument_of(reading=reading, instruments=instruments, usual=usual)
    label = feature.label(reading.number)
    return with_errors(
        label=label,
        corrected=correct_reading(
            label=label,
            reading=reading,
            instrument=instrument,
            expansion=material_coefficient(feature.material),
            workshop=Workshop(),
        ),
        repeatability=choose_repeatability(instrument=instrument, own=None, pooled=None),
        instruments=instruments,
        measurand=Measurand.DIFFERENCE if feature.shape is Shape.GAP else Measurand.SIZE,
    )


def _row(
    plan: Bench,
    slot: Slot,
    values: Sequence[Mapping[Spot, tuple[Quantity, int]]],
    master: Mapping[Spot, tuple[Quantity, int]] | None,
) -> SlotRow:
    here = [one.get(slot.spot) for one in values]
    if master is not None:
        known = master.get(slot.spot)
        reference = (known[0].value, known[0].expanded().half_width) if known else None
    else:
        reference = _median([one[0].value for one in here if one is not None])
    return SlotRow(
        feature=slot.feature,
        number=slot.number,
        place=slot.place,
        direction=slot.direction,
        label=plan.label(slot),
        reference_m=reference[0] if reference else None,
        reference_expanded_m=reference[1] if reference else None,
        values=tuple(None if one is None else _value(*one, reference) for one in here),
    )


def _median(values_m: Sequence[float]) -> tuple[float, float] | None:
    """The median of the benches and its U; None for too few of them."""
    if len(values_m) < FEWEST_FOR_MEDIAN:
        return None
    middle = statistics.median(values_m)
    spread = MAD_TO_SD * statistics.median(abs(one - middle) for one in values_m)
    standard = MEDIAN_FACTOR * spread / math.sqrt(len(values_m))
    return middle, COVERAGE_FACTOR * standard


def _value(mean: Quantity, count: int, reference: tuple[float, float] | None) -> SlotValue:
    expanded_m = mean.expanded().half_width
    if reference is None:
        return SlotValue(value_m=mean.value, expanded_m=expanded_m, count=count)
    difference = mean.value - reference[0]
    allowed = math.hypot(expanded_m, reference[1])
    return SlotValue(
        value_m=mean.value,
        expanded_m=expanded_m,
        count=count,
        difference_m=difference,
        en=normalised_error(difference_m=difference, allowed_m=allowed),
    )


def normalised_error(*, difference_m: float, allowed_m: float) -> float:
    """En = difference / allowed (metres both); 0 for no difference, infinite where none is allowed.

    ``allowed_m`` is √(U² + U_ref²) (ISO/IEC 17043, recalled).
    """
    if allowed_m > 0.0:
        return difference_m / allowed_m
    return 0.0 if difference_m == 0.0 else math.copysign(math.inf, difference_m)


def _bench_row(
    plan: Bench,
    bench: ClassBench,
    done: Progress,
    rows: Sequence[SlotRow],
    *,
    at: int,
    now: datetime.datetime,
    stuck_after: datetime.timedelta,
) -> BenchRow:
    taken = sum(done.reading(slot) is not None for slot in plan.slots)
    left = sum(done.is_open(slot) for slot in plan.slots)
    found = [(row, row.values[at]) for row in rows if row.reference_m is not None]
    compared = [(row, one) for row, one in found if one is not None and one.en is not None]
    beyond = tuple(row.label for row, one in compared if one.beyond)
    differences = [one.difference_m for _, one in compared if one.difference_m is not None]
    inside = len(compared) - len(beyond)
    last = max(
        (one.time for one in bench.entries if one.time is not None), default=None, key=_moment
    )
    since = last or bench.opened_at
    waiting = since is not None and _moment(now) - _moment(since) >= stuck_after.total_seconds()
    return BenchRow(
        name=bench.name,
        taken=taken,
        skipped=len(plan.slots) - taken - left,
        open=left,
        last_entry=last,
        begun=bool(bench.entries),
        stuck=left > 0 and waiting,
        compared=len(compared),
        inside=inside,
        beyond=beyond,
        mark=inside / len(found) if found else None,
        mean_difference_m=statistics.fmean(differences) if differences else None,
        largest_en=max((one.en or 0.0 for _, one in compared), key=abs, default=None),
    )


def _moment(time: datetime.datetime) -> float:
    """Seconds, with a time without zone taken as UTC."""
    return (time if time.tzinfo else time.replace(tzinfo=datetime.UTC)).timestamp()


def _singles(plan: Bench, name: str, done: Progress) -> list[SingleReading]:
    absolute = absolute_values_m(engine=plan.engine, standing=done.standing)
    return [
        SingleReading(
            bench=name,
            feature=slot.feature,
            number=slot.number,
            place=slot.place,
            direction=slot.direction,
            repeat=repeat,
            value_m=absolute[reading.id],
        )
        for slot in plan.slots
        for repeat, reading in enumerate(_exact(done.taken.get(slot.spot, ())), start=1)
    ]
