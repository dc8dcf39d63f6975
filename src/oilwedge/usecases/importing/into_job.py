"""Put tables of readings into a job file: all of them, or nothing."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from oilwedge.engine.model import Engine
from oilwedge.job.entry import Entry
from oilwedge.job.file import read_job
from oilwedge.job.header import check_engine
from oilwedge.job.record import for_another_record
from oilwedge.metrology.reading import Reading
from oilwedge.shop.model import Shop
from oilwedge.usecases.importing.imported import BadRow, BadRows, refuse, rest_csv
from oilwedge.usecases.importing.read import read_table
from oilwedge.usecases.job_files import open_job

_ENOUGH_TO_ASK = 3


@dataclass(frozen=True, kw_only=True, slots=True)
class ImportReport:
    """What an import did. ``seen_before`` counts new readings that another file told already."""

    rows: int
    added: int
    already_there: int
    bad_rows: tuple[BadRow, ...] = ()
    ignored_columns: tuple[str, ...] = ()
    seen_before: int = 0

    @property
    def rest_csv(self) -> str:
        """The bad rows as CSV, to be mended and imported again; empty if there are none."""
        return rest_csv(self.bad_rows)

    @property
    def warning(self) -> str:
        """A sentence when a table looks like one that was imported before and then changed."""
        if self.seen_before < _ENOUGH_TO_ASK or 2 * self.seen_before < self.added:
            return ""
        return (
            f"{self.seen_before} of {self.added} new readings say the same as readings of another"
            " file: if this is that file with a change in it, the rows that did not change now"
            " count twice; keep an id column in the table to avoid this."
        )


def import_into_job(
    job_path: Path,
    table_paths: Sequence[Path],
    *,
    engine: Engine,
    shop: Shop,
    now: datetime.datetime,
    bad_rows: BadRows = BadRows.REFUSE_ALL,
) -> ImportReport:
    """Append to the job what is new in the tables; a job that is not there yet is made.

    A job file is a table too; what its record says of itself (closed, owner, engine file) is left
    out.

    With REFUSE_ALL any fault in any table raises :class:`ReadingsError` with all faults of all
    tables and nothing is written or made; with KEEP_GOOD the good rows are written, and the
    report holds the others.
    """
    record = _record(job_path, engine=engine)
    new: list[Entry] = []
    bad: list[BadRow] = []
    ignored: list[str] = []
    rows = 0
    for path in table_paths:
        imported = read_table(
            path, engine=engine, shop=shop, known=(*record, *new), bad_rows=BadRows.KEEP_GOOD
        )
        taken = for_another_record(imported.entries)
        rows += imported.rows - (len(imported.entries) - len(taken))
        new += taken
        bad += imported.bad_rows
        ignored += imported.ignored_columns
    if bad and bad_rows is BadRows.REFUSE_ALL:
        raise refuse(tuple(f for row in bad for f in row.faults), rows=len(bad))
    seen_before = _seen_before(record, new)
    with open_job(job_path, engine=engine, now=now) as writer:
        outcome = writer.append(new)  # holds the lock, and looks at the record once more
    return ImportReport(
        rows=rows,
        added=len(outcome.added),
        already_there=rows - len(bad) - len(outcome.added),
        bad_rows=tuple(bad),
        ignored_columns=tuple(dict.fromkeys(ignored)),
        seen_before=seen_before,
    )


def _record(job_path: Path, *, engine: Engine) -> tuple[Entry, ...]:
    if not job_path.exists():
        return ()
    contents = read_job(job_path)
    check_engine(contents.header, engine_name=engine.name, file=job_path.name)
    return contents.entries


def _seen_before(record: Sequence[Entry], new: Sequence[Entry]) -> int:
    """New readings without an id of their own that say what an older one from a file says."""
    told = {_said(entry) for entry in record if isinstance(entry, Reading) and entry.origin}
    return sum(
        _said(entry) in told
        for entry in new
        if isinstance(entry, Reading) and entry.id == entry.origin
    )


def _said(reading: Reading) -> tuple[object, ...]:
    return (
        reading.feature,
        reading.number,
        reading.place,
        reading.direction,
        reading.text,
        reading.time,
        reading.fitting,
        reading.instrument,
    )
