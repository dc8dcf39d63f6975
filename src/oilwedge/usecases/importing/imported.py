"""What came out of a file of readings: what can be taken, what cannot, and why."""

from __future__ import annotations

import csv
import io
import re
from dataclasses import dataclass
from enum import Enum

from oilwedge.errors import Fault, ReadingsError, Where
from oilwedge.job.entry import Entry

PRINTED_FAULTS = 50
FAULT_COLUMN = "fault"


class BadRows(Enum):
    """What to do with a table that has bad rows."""

    REFUSE_ALL = "refuse all"
    KEEP_GOOD = "keep good"


@dataclass(frozen=True, kw_only=True, slots=True)
class BadRow:
    """A row that cannot be taken: its id, its cells by column as typed, and its faults."""

    row: int
    id: str
    cells: tuple[tuple[str, str], ...]
    faults: tuple[Fault, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class Imported:
    """The entries of one file, and its bad rows. ``rows`` counts all rows that hold something."""

    file: str
    digest: str
    entries: tuple[Entry, ...]
    bad_rows: tuple[BadRow, ...] = ()
    rows: int = 0
    ignored_columns: tuple[str, ...] = ()

    @property
    def faults(self) -> tuple[Fault, ...]:
        """Every fault of every bad row."""
        return tuple(fault for bad in self.bad_rows for fault in bad.faults)

    @property
    def rest_csv(self) -> str:
        """The bad rows as CSV in their own columns, with their ids and a column ``fault``.

        Mended there and read again they add what was missing, and nothing twice. Empty when
        there is no bad row.
        """
        return rest_csv(self.bad_rows)


def rest_csv(bad_rows: tuple[BadRow, ...]) -> str:
    """Bad rows, of one file or more, as CSV text that can be mended and read again."""
    if not bad_rows:
        return ""
    names = list(dict.fromkeys(name for bad in bad_rows for name, _ in bad.cells))
    id_column = next((name for name in names if name.strip().casefold() == "id"), "id")
    names = [name for name in names if name.strip().casefold() != FAULT_COLUMN]
    if id_column not in names:
        names.append(id_column)
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow([*(safe_cell(name) for name in names), FAULT_COLUMN])
    for bad in bad_rows:
        cells = dict(bad.cells) | {id_column: bad.id}
        why = " ".join(_bare_sentence(fault) for fault in bad.faults)
        writer.writerow([safe_cell(cells.get(name, "")) for name in names] + [safe_cell(why)])
    return text.getvalue()


def _bare_sentence(fault: Fault) -> str:
    column = fault.where.column
    sentence = fault.at(Where()).sentence()
    return f"{column}: {sentence}" if column else sentence


_IN_NO_SPREADSHEET = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]")


def safe_cell(text: str) -> str:
    """A cell that no spreadsheet takes for a formula: an apostrophe before = + - @.

    Characters that XML 1.0 does not hold (section 2.2, Char), and so no spreadsheet, are replaced.
    """
    text = _IN_NO_SPREADSHEET.sub("\ufffd", text)
    if text[:1] in {"=", "+", "-", "@", "\t", "\r"} and not _is_number(text):
        return "'" + text
    return text


def plain_cell(text: str) -> str:
    """A cell without the apostrophe that :func:`safe_cell` put before it."""
    return text[1:] if len(text) > 1 and text[0] == "'" and text[1] in "=+-@\t\r" else text


def _is_number(text: str) -> bool:
    try:
        float(text)
    except ValueError:
        return False
    return True


def refuse(faults: tuple[Fault, ...], *, rows: int) -> ReadingsError:
    """The error with the first faults in full and the number of all of them."""
    shown = list(faults[:PRINTED_FAULTS])
    if len(faults) > PRINTED_FAULTS:
        more = len(faults) - PRINTED_FAULTS
        shown.append(
            Fault(
                given="",
                allowed=f"and {more:,} more faults of this sort",
                action=f"{len(faults):,} faults in {rows:,} rows in all",
            )
        )
    return ReadingsError(*shown)
