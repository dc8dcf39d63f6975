"""Read a file of readings, whatever sort it is: CSV, XLSX, ODS or a job file."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Sequence
from pathlib import Path

from oilwedge.engine.model import Engine
from oilwedge.errors import Fault, LineWord, ReadingsError, Where
from oilwedge.job.entry import Entry, EventKind
from oilwedge.job.header import is_job
from oilwedge.job.lines import contents_from_bytes
from oilwedge.job.record import describe, same_content
from oilwedge.metrology.reading import Reading
from oilwedge.shop.model import Shop
from oilwedge.usecases.importing.columns import Column, Columns, read_header
from oilwedge.usecases.importing.imported import BadRow, BadRows, Imported, plain_cell, refuse
from oilwedge.usecases.importing.names import Names
from oilwedge.usecases.importing.part_words import read_kind
from oilwedge.usecases.importing.rows import RowReader
from oilwedge.usecases.importing.sheets import sheet_tables
from oilwedge.usecases.importing.tables import (
    RawTable,
    csv_table,
    megabytes,
    refusal,
    too_wide,
)

JOB_SUFFIX = ".job"  # its first line may be damaged, and it is a job file all the same
MAXIMUM_BYTES = 50_000_000
_OLD_SPREADSHEET = b"\xd0\xcf\x11\xe0"


def read_table(
    source: Path | bytes,
    *,
    engine: Engine,
    shop: Shop,
    name: str = "",
    known: Sequence[Entry] = (),
    bad_rows: BadRows = BadRows.REFUSE_ALL,
) -> Imported:
    """The entries of a table or job file.

    ``known`` are entries that are there already, for corrections and clashes. A reading without
    an id of its own gets "digest of the file:row", so that the same file twice adds nothing.
    Raises :class:`ReadingsError` for a file that cannot be read at all and, with REFUSE_ALL, for
    any bad row, with every fault; :class:`MissingExtraError` for a spreadsheet without the extra.
    """
    file = name or (source.name if isinstance(source, Path) else "the table")
    data = read_bytes(source, file=file) if isinstance(source, Path) else source
    if len(data) > MAXIMUM_BYTES:
        raise _too_large(file, len(data))
    if is_job(data[:256]) or file.casefold().endswith(JOB_SUFFIX):
        imported = _read_job(data, file=file, engine=engine)
    else:
        imported = _read_tables(data, file=file, engine=engine, shop=shop, known=known)
    if imported.bad_rows and bad_rows is BadRows.REFUSE_ALL:
        raise refuse(imported.faults, rows=len(imported.bad_rows))
    return imported


def read_bytes(path: Path, *, file: str) -> bytes:
    """The bytes of a file of at most 50 MB; a larger one is refused before it is read."""
    try:
        if not path.exists():
            raise refusal(file=file, allowed="there is no such file", action="check the name")
        if not path.is_file():
            raise refusal(file=file, allowed="this is a folder or a device, no table of readings")
        if (size := path.stat().st_size) > MAXIMUM_BYTES:
            raise _too_large(file, size)
        with path.open("rb") as stream:
            return stream.read(MAXIMUM_BYTES + 1)
    except OSError as error:
        raise refusal(
            file=file, allowed=f"the file cannot be read ({error.strerror or error})"
        ) from None


def _too_large(file: str, size: int) -> ReadingsError:
    return refusal(
        file=file,
        allowed=f"the file has {megabytes(size)}, and 50 MB is the most",
        action="split it, or check that it is the right file",
    )


def _read_job(data: bytes, *, file: str, engine: Engine) -> Imported:
    """A job file was checked when it was written; here only that it fits this engine."""
    contents = contents_from_bytes(data, file=file)
    faults: dict[Fault, None] = {}  # each once, however many readings
    for entry in contents.entries:
        if not isinstance(entry, Reading):
            continue
        feature = engine.features.get(entry.feature)
        if feature is None or not 1 <= entry.number <= feature.count:
            fault = Fault(
                where=Where(file=file),
                given=f"{entry.feature} {entry.number}",
                allowed=f"{engine.name} has no such feature",
                action="give the engine file that this job belongs to",
            )
            faults[fault] = None
    if faults:
        raise refuse(tuple(faults), rows=len(faults))
    return Imported(
        file=file, digest=_digest(data), entries=contents.entries, rows=len(contents.entries)
    )


def _digest(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()[:12]


def _read_tables(
    data: bytes, *, file: str, engine: Engine, shop: Shop, known: Sequence[Entry]
) -> Imported:
    tables = _tables(data, file=file)
    digest = _digest(data)
    names = Names(engine=engine, shop=shop)
    reader = _TableReader(engine=engine, names=names, known=known)
    for i, table in enumerate(tables):
        title = f"{file}, sheet {table.sheet}" if len(tables) > 1 else file
        reader.read(table, file=title, key=digest if i == 0 else f"{digest}.{i + 1}")
    if reader.rows == 0:
        raise refusal(file=file, allowed="there are column names and no readings under them")
    return Imported(
        file=file,
        digest=digest,
        entries=tuple(reader.entries),
        bad_rows=tuple(reader.bad_rows),
        rows=reader.rows,
        ignored_columns=tuple(dict.fromkeys(reader.ignored)),
    )


def _tables(data: bytes, *, file: str) -> list[RawTable]:
    if not data.strip():
        raise refusal(file=file, allowed="the file is empty", action="put column names in row 1")
    if data.startswith(b"PK"):
        return sheet_tables(data, file=file)
    if data.startswith(_OLD_SPREADSHEET):
        raise refusal(
            file=file,
            allowed="this is a spreadsheet of an old kind, or one locked with a password",
            action="save it as XLSX, ODS or CSV without a password",
        )
    return [csv_table(data, file=file)]


class _TableReader:
    """Reads one table after another and gathers what is good and what is not."""

    def __init__(self, *, engine: Engine, names: Names, known: Sequence[Entry]) -> None:
        self._engine = engine
        self._names = names
        self._known: dict[str, Entry] = {entry.id: entry for entry in known}
        self._rows_of: dict[str, str] = {}
        self.entries: list[Entry] = []
        self.bad_rows: list[BadRow] = []
        self.ignored: list[str] = []
        self.rows = 0

    def read(self, table: RawTable, *, file: str, key: str) -> None:
        """Add what one table holds."""
        if too_wide(table.header):
            raise refusal(file=file, allowed="there are more than 200 columns", row=1)
        columns = read_header(table.header, file=file, row=table.header_row)
        self.ignored += columns.ignored
        rows: Iterable[tuple[int, list[str]]] = table.rows
        if Column.FAULT in columns.index:
            rows = ((row, [plain_cell(cell) for cell in cells]) for row, cells in rows)
        if Column.EVENT in columns.index:
            rows = list(rows)
        reader = RowReader(
            columns=columns,
            engine=self._engine,
            names=self._names,
            file=file,
            key=key,
            confirmed_ids=_confirmed_ids(rows, columns) if isinstance(rows, list) else (),
        )
        for row, cells in rows:
            if not any(cells) or not any(cell.strip() for cell in cells):
                continue
            self.rows += 1
            entries, faults = reader.read(row, cells)
            if not faults:
                faults = self._clashes(entries, file=file, row=row, columns=columns)
            if faults:
                self._add_bad(row, cells, faults, columns=columns, key=key)
                continue
            for entry in entries:
                if entry.id not in self._known:
                    self._known[entry.id] = entry
                    self._rows_of[entry.id] = f"row {row}"
                    self.entries.append(entry)

    def _clashes(
        self, entries: list[Entry], *, file: str, row: int, columns: Columns
    ) -> list[Fault]:
        """Same id with other content, or a correction of something that is not there."""
        faults: list[Fault] = []
        for entry in entries:
            old = self._known.get(entry.id)
            if old is not None and not same_content(old, entry):
                where = self._rows_of.get(entry.id, "the record")
                faults.append(
                    Fault(
                        where=_where(file, row, columns.name(Column.ID)),
                        given=entry.id,
                        allowed=f"this id stands for {describe(old)} in {where}, and here for"
                        f" {describe(entry)}",
                        action="give this row an id of its own; to correct a reading name the old"
                        " id in a column 'replaces'",
                    )
                )
            if isinstance(entry, Reading) and entry.replaces and entry.replaces not in self._known:
                faults.append(
                    Fault(
                        where=_where(file, row, columns.name(Column.REPLACES)),
                        given=entry.replaces,
                        allowed="no reading above has this id",
                        action="write the id of the reading that was misread",
                    )
                )
        return faults

    def _add_bad(
        self, row: int, cells: list[str], faults: list[Fault], *, columns: Columns, key: str
    ) -> None:
        index = columns.at(Column.ID)
        own = cells[index].strip() if 0 <= index < len(cells) else ""
        names = [name.strip() or f"column {i}" for i, name in enumerate(columns.header, start=1)]
        names += [f"extra {i}" for i in range(1, len(cells) - len(names) + 1)]
        self.bad_rows.append(
            BadRow(
                row=row,
                id=own or f"{key}:{row}",
                cells=tuple(zip(names, cells, strict=False)),
                faults=tuple(faults),
            )
        )


def _where(file: str, row: int, column: str) -> Where:
    return Where(file=file, line=row, column=column, unit=LineWord.ROW)


def _confirmed_ids(rows: list[tuple[int, list[str]]], columns: Columns) -> list[str]:
    """Ids of readings that an event row of the same table confirms."""
    event, value = columns.at(Column.EVENT), columns.at(Column.VALUE)
    ids: list[str] = []
    for _, cells in rows:
        if max(event, value) < len(cells) and value >= 0 and cells[event].strip():
            try:
                kind = read_kind(cells[event])
            except ValueError:
                continue
            if kind is EventKind.CONFIRMED:
                ids.append(cells[value].strip())
    return ids
