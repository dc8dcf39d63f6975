"""A class as plain tables: every reading as a row, or places by benches."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence

from oilwedge.usecases.class_readings import HEADER, TableBench, class_readings
from oilwedge.usecases.importing.imported import safe_cell
from oilwedge.web.classroom.benches import (
    Bench,
    benches_of,
    entries_by_job,
    task_depth,
    task_features,
)
from oilwedge.web.classroom.compared import class_state
from oilwedge.web.record.exporting import NamesIn
from oilwedge.web.record.judged import current_shop, engine_of_digest
from oilwedge.web.record.known_heads import EXPORTED, remember_head
from oilwedge.web.record.models import ClassTask


def readings_csv(task: ClassTask, *, names: NamesIn) -> bytes:
    """Every reading that stands, one row each; docs/formats/class-readings.md says the columns."""
    benches = benches_of(task)
    records = entries_by_job({one.job.pk: one.job.count for one in benches})
    rows = class_readings(
        [
            TableBench(
                number=one.job.number,
                role="reference" if one.job.is_reference else "pupil",
                person=_person(one, names=names),
                repeat_of=one.repeat_of,
                entries=records[one.job.pk],
            )
            for one in benches
        ],
        engine=engine_of_digest(task.engine_id),
        shop=current_shop(),
        features=task_features(task),
        depth=task_depth(task),
    )
    for one in benches:
        remember_head(one.job, reason=EXPORTED)
    return _written(HEADER, rows)


def places_csv(task: ClassTask) -> bytes:
    """The value of each bench at each place in metres at 20 °C: places down, benches across."""
    benches = benches_of(task)
    state = class_state(task, benches=benches)
    numbers = {one.job.pk: one.job.number for one in benches}
    header = ("feature", "number", "place", "direction", "reference (m)", "U of reference (m)")
    rows = [
        (
            row.feature,
            str(row.number),
            row.place,
            row.direction,
            _metres(row.reference_m),
            _metres(row.reference_expanded_m),
            *(_metres(one.value_m if one is not None else None) for one in row.values),
        )
        for row in state.comparison.slots
    ]
    for bench in benches:
        remember_head(bench.job, reason=EXPORTED)
    return _written((*header, *(numbers[job_id] for job_id in state.order)), rows)


def _person(bench: Bench, *, names: NamesIn) -> str:
    """Who measured; without names a key that is the same for all benches of one person."""
    pupil = bench.job.pupil
    if pupil is None:
        return "reference" if bench.job.is_reference else ""
    return pupil.get_full_name() if names is NamesIn.ARCHIVE else f"person {pupil.pk}"


def _metres(value_m: float | None) -> str:
    return "" if value_m is None else f"{value_m:.9f}"


def _written(header: Sequence[str], rows: Iterable[Sequence[str]]) -> bytes:
    text = io.StringIO(newline="")
    writer = csv.writer(text)
    writer.writerow(header)
    for row in rows:
        writer.writerow([safe_cell(one) for one in row])
    return text.getvalue().encode("utf-8-sig")  # so that a spreadsheet takes it for UTF-8
