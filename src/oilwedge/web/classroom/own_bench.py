"""One bench by itself, for its pupil or its teacher: own values against the reference."""

from __future__ import annotations

from dataclasses import dataclass

from oilwedge.usecases.class_comparison import BenchRow
from oilwedge.usecases.class_words import bench_sentence, mark_text
from oilwedge.usecases.length_face import LengthFace
from oilwedge.web.classroom.benches import Bench, benches_of
from oilwedge.web.classroom.compared import ClassState, Compared, class_state
from oilwedge.web.classroom.set_table import Cell, cell
from oilwedge.web.people.models import Account, Role
from oilwedge.web.record.models import ClassTask, Job


@dataclass(frozen=True, kw_only=True, slots=True)
class OwnSet:
    """A set of the bench with its places; ``reference`` beside each."""

    title: str
    cells: tuple[tuple[str, Cell], ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class OwnBench:
    """A bench by itself. ``shown``: whether who looks may see how it compares."""

    bench: Bench
    task: ClassTask
    progress: Compared
    shown: bool
    sets: tuple[OwnSet, ...] = ()
    sentence: str = ""
    mark: str = ""
    against: str = ""


def own_bench(job: Job, *, account: Account, unit: str) -> OwnBench | None:
    """The bench as this account may see it; None where the job is no bench of a class.

    A pupil sees it compared once the teacher shows results, and only sets that are whole, so that
    nobody reads towards the reference.
    """
    task = job.task
    if task is None:
        return None
    benches = benches_of(task)
    state = class_state(task, benches=benches)
    bench = next(one for one in benches if one.job.pk == job.pk)
    progress = state.compared[job.pk]
    at = state.column(job.pk)
    is_pupil = account.role == Role.PUPIL
    shown = at is not None and (task.shows_results or not is_pupil)
    if at is None or not shown:
        return OwnBench(bench=bench, task=task, progress=progress, shown=shown)
    row = state.comparison.benches[at]
    return OwnBench(
        bench=bench,
        task=task,
        progress=progress,
        shown=True,
        sets=_sets(state, progress, at, unit=unit),
        sentence=_sentence(state, row, at, unit=unit, whole=progress.done or not is_pupil),
        mark=mark_text(row, places=state.places) if progress.done or not is_pupil else "",
        against=state.against,
    )


def _sentence(state: ClassState, row: BenchRow, at: int, *, unit: str, whole: bool) -> str:
    if not whole:
        return "Sets that are not whole yet are not compared."
    return bench_sentence(
        row, slots=state.comparison.slots, bench=at, unit=unit, against=state.against
    )


def _sets(state: ClassState, progress: Compared, at: int, *, unit: str) -> tuple[OwnSet, ...]:
    face = LengthFace(unit="in" if unit in ("in", "thou") else "mm")
    found = []
    for one in progress.sets:
        if not (one.complete and one.taken):
            continue
        rows = [
            row
            for row in state.comparison.slots
            if (row.feature, row.number) == (one.feature, one.number)
        ]
        cells = tuple(
            (
                face.length(row.reference_m) if row.reference_m is not None else "none",
                cell(row, row.values[at], face=face, unit=unit),
            )
            for row in rows
        )
        found.append(OwnSet(title=one.title, cells=cells))
    return tuple(found)
