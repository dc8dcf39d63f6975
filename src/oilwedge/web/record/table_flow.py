"""A table of readings put into a job: all of it, or with the good rows kept and the rest told."""

from __future__ import annotations

from dataclasses import dataclass

from oilwedge.job.record import for_another_record
from oilwedge.usecases.importing.imported import BadRow, BadRows
from oilwedge.usecases.importing.read import read_table
from oilwedge.web.record.judged import current_shop, engine_of
from oilwedge.web.record.models import Job
from oilwedge.web.record.naming import with_commitments, without_commitments
from oilwedge.web.record.store import append_entries, entries_of


@dataclass(frozen=True, kw_only=True, slots=True)
class Taken:
    """What a table brought; ``refused``: nothing, for there were bad rows."""

    added: int
    already_there: int
    refused: bool = False
    bad_rows: tuple[BadRow, ...] = ()
    ignored_columns: tuple[str, ...] = ()
    rest_csv: str = ""

    @property
    def faults(self) -> tuple[str, ...]:
        """A sentence for each thing that is wrong with a row."""
        return tuple(fault.sentence() for row in self.bad_rows for fault in row.faults)


def take_table(job: Job, *, data: bytes, name: str, bad_rows: BadRows) -> Taken:
    """Add the readings and events of a CSV, XLSX, ODS or job file to a job.

    With REFUSE_ALL one bad row keeps all others out. The same file sent twice adds nothing.
    Raises ReadingsError for a file that cannot be read at all.
    """
    shop = current_shop()
    imported = read_table(
        data,
        engine=engine_of(job),
        shop=shop,
        name=name,
        known=without_commitments(job=job, entries=entries_of(job), names=shop.people),
        bad_rows=BadRows.KEEP_GOOD,
    )
    refused = bool(imported.bad_rows) and bad_rows is BadRows.REFUSE_ALL
    wanted = for_another_record(imported.entries)
    left_out = len(imported.entries) - len(wanted)
    entries = with_commitments(job=job, entries=() if refused else wanted, names=shop.people)
    outcome = append_entries(job=job, entries=entries)
    fine = imported.rows - left_out - len(imported.bad_rows)
    return Taken(
        added=len(outcome.added),
        already_there=0 if refused else fine - len(outcome.added),
        refused=refused,
        bad_rows=imported.bad_rows,
        ignored_columns=imported.ignored_columns,
        rest_csv=imported.rest_csv,
    )
