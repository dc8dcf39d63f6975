"""Read every table and job file that a person names into one record."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from oilwedge.engine.model import Engine
from oilwedge.errors import Fault
from oilwedge.job.entry import Entry
from oilwedge.job.header import is_job
from oilwedge.job.lines import JobContents, contents_from_bytes
from oilwedge.job.record import append, head
from oilwedge.shop.model import Shop
from oilwedge.usecases.importing.imported import BadRow, BadRows, refuse, rest_csv
from oilwedge.usecases.importing.read import read_bytes, read_table


@dataclass(frozen=True, kw_only=True, slots=True)
class ReadIn:
    """The record as one, and the rows that could not be taken."""

    entries: tuple[Entry, ...]
    bad_rows: tuple[BadRow, ...] = ()
    job_number: str = ""
    head: str = ""
    notes: tuple[str, ...] = ()

    @property
    def faults(self) -> tuple[Fault, ...]:
        """Every fault of every bad row."""
        return tuple(fault for row in self.bad_rows for fault in row.faults)

    @property
    def rest_csv(self) -> str:
        """The bad rows as CSV, to be mended and read again."""
        return rest_csv(self.bad_rows)


def read_in(*, paths: Sequence[Path], engine: Engine, shop: Shop, bad_rows: BadRows) -> ReadIn:
    """Read the files in their order; nothing is taken twice.

    With REFUSE_ALL every bad row of every file is in the error. The head of the hash chain is
    given for a single job file only, for a table has none.
    """
    entries: tuple[Entry, ...] = ()
    bad: list[BadRow] = []
    ignored: list[str] = []
    notes: list[str] = []
    job_number, job_head = "", ""
    for path in paths:
        data = read_bytes(path, file=path.name)
        imported = read_table(
            data,
            engine=engine,
            shop=shop,
            name=path.name,
            known=entries,
            bad_rows=BadRows.KEEP_GOOD,
        )
        if is_job(data[:256]):
            contents = contents_from_bytes(data, file=path.name)
            job_number = contents.header.number
            job_head = head(contents.entries) if len(paths) == 1 else ""
            notes += _torn_notes(contents, file=path.name)
        entries = append(entries, imported.entries).entries
        bad += imported.bad_rows
        ignored += imported.ignored_columns
    if bad and bad_rows is BadRows.REFUSE_ALL:
        raise refuse(tuple(fault for row in bad for fault in row.faults), rows=len(bad))
    columns = ", ".join(dict.fromkeys(ignored))
    if columns:
        notes.append(f"Columns not used: {columns}.")
    if bad:
        rows = "row was" if len(bad) == 1 else "rows were"
        notes.append(f"{len(bad)} {rows} not taken and did not judge.")
    return ReadIn(
        entries=entries,
        bad_rows=tuple(bad),
        job_number=job_number,
        head=job_head,
        notes=tuple(notes),
    )


def _torn_notes(contents: JobContents, *, file: str) -> list[str]:
    """Say which lines of a job file a power cut or a full disk has cut off."""
    return [
        f"{file}: line {torn.line} was cut off when it was written and says nothing; all others"
        " are whole."
        for torn in contents.torn
    ]
