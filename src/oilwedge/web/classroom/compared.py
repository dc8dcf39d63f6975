"""A class held against its reference: computed once for what the records say, and kept.

All of it follows from the heads of the benches, the task, the engine file and the shop.
"""

from __future__ import annotations

import datetime
import functools
import threading
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from oilwedge.report.state_sign import StateSign
from oilwedge.usecases.class_board import (
    bearing_signs,
    bench_sets,
    comparable,
    current_set,
    last_moment,
)
from oilwedge.usecases.class_comparison import ClassBench, ClassComparison, compare_class
from oilwedge.usecases.measuring import Depth, SetProgress
from oilwedge.web.classroom.benches import (
    Bench,
    entries_by_job,
    task_depth,
    task_features,
)
from oilwedge.web.classroom.opening import plan_for
from oilwedge.web.record.judged import current_shop, engine_of_digest
from oilwedge.web.record.models import ClassTask

_COMPARING = threading.Lock()  # twenty browsers that ask at one moment wait for one answer
_EPOCH = datetime.datetime(1970, 1, 1, tzinfo=datetime.UTC)


@dataclass(frozen=True, kw_only=True, slots=True)
class BenchKey:
    """The record of one bench as it stands."""

    job_id: int
    number: str
    head: str
    count: int
    is_reference: bool


@dataclass(frozen=True, kw_only=True, slots=True)
class ClassKey:
    """All that a comparison rests on."""

    benches: tuple[BenchKey, ...]
    engine: str
    shop: str
    features: tuple[str, ...]
    depth: Depth


@dataclass(frozen=True, kw_only=True, slots=True)
class Compared:
    """How far one bench is, by its record."""

    sets: tuple[SetProgress, ...]
    at: SetProgress | None
    last: datetime.datetime | None
    signs: Mapping[str, StateSign]

    @property
    def sets_done(self) -> int:
        """Sets without an open place."""
        return sum(one.complete for one in self.sets)

    @property
    def begun(self) -> bool:
        """Whether anything of the task was read or skipped."""
        return any(one.taken or one.skipped for one in self.sets)

    @property
    def done(self) -> bool:
        """Whether nothing of the task is open."""
        return bool(self.sets) and all(one.complete for one in self.sets)


@dataclass(frozen=True, kw_only=True, slots=True)
class ClassState:
    """The comparison; ``order`` are the jobs (by key) in the order of its columns.

    The reference is no column of the comparison. ``with_reference``: it is complete, so that the
    class is held against it and not against its own median.
    """

    comparison: ClassComparison
    order: tuple[int, ...]
    compared: Mapping[int, Compared]
    with_reference: bool

    def column(self, job_id: int) -> int | None:
        """The column of a bench; None for the reference."""
        return self.order.index(job_id) if job_id in self.order else None

    @property
    def against(self) -> str:
        """What the class is held against."""
        return "the reference" if self.with_reference else "the median of the class"

    @property
    def places(self) -> int:
        """Places at which there is something to be held against."""
        return sum(row.reference_m is not None for row in self.comparison.slots)


def class_state(task: ClassTask, *, benches: Sequence[Bench]) -> ClassState:
    """The class as its records stand; from memory unless one of them grew."""
    key = ClassKey(
        benches=tuple(
            BenchKey(
                job_id=one.job.pk,
                number=one.job.number,
                head=one.job.head,
                count=one.job.count,
                is_reference=one.job.is_reference,
            )
            for one in benches
        ),
        engine=task.engine_id,
        shop=current_shop().digest,
        features=task_features(task),
        depth=task_depth(task),
    )
    with _COMPARING:
        return _state(key)


@functools.lru_cache(maxsize=32)
def _state(key: ClassKey) -> ClassState:
    engine, shop = engine_of_digest(key.engine), current_shop()
    plan = plan_for(key.engine, depth=key.depth)
    records = entries_by_job({one.job_id: one.count for one in key.benches})
    progress = {
        job_id: bench_sets(
            engine=engine, shop=shop, entries=entries, plan=plan, features=key.features
        )
        for job_id, entries in records.items()
    }
    reference = next((one for one in key.benches if one.is_reference), None)
    whole = reference is not None and all(one.complete for one in progress[reference.job_id])
    columns = [one for one in key.benches if not one.is_reference]

    def held(one: BenchKey) -> ClassBench:
        entries = comparable(records[one.job_id], shop=shop)
        return ClassBench(name=one.number, entries=entries)

    comparison = compare_class(
        engine=engine,
        shop=shop,
        benches=[held(one) for one in columns],
        now=_EPOCH,  # who is stuck depends on the clock and is asked beside this
        reference=held(reference) if reference is not None and whole else None,
        depth=key.depth,
        features=key.features,
    )
    order = tuple(one.job_id for one in columns)
    compared = {}
    for job_id, planned in progress.items():
        signs: Mapping[str, StateSign] = {}
        if job_id in order:
            signs = bearing_signs(
                engine=engine, comparison=comparison, planned=planned, bench=order.index(job_id)
            )
        compared[job_id] = Compared(
            sets=planned,
            at=current_set(planned, entries=records[job_id]),
            last=last_moment(records[job_id]),
            signs=signs,
        )
    return ClassState(comparison=comparison, order=order, compared=compared, with_reference=whole)


def forget() -> None:
    """Drop what is kept in memory."""
    _state.cache_clear()
