"""The bytes of a file as rows of text, whatever sort of table it is."""

from __future__ import annotations

import csv
import io
import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from oilwedge.errors import Fault, LineWord, ReadingsError, Where
from oilwedge.usecases.importing.columns import MAXIMUM_COLUMNS, recognised

MAXIMUM_ROWS = 2_000_000
_SEPARATORS = (",", ";", "\t")


@dataclass(frozen=True, kw_only=True, slots=True)
class RawTable:
    """One table: the sheet's name, the header with its row number, and the rows under it."""

    sheet: str = ""
    header_row: int
    header: tuple[str, ...]
    rows: Iterable[tuple[int, list[str]]]


def refusal(*, file: str, allowed: str, action: str = "", row: int | None = None) -> ReadingsError:
    """An error that concerns the whole file."""
    where = Where(file=file, line=row, unit=LineWord.ROW)
    return ReadingsError(Fault(where=where, given="", allowed=allowed, action=action))


def megabytes(size: int) -> str:
    """A size in bytes with one decimal, rounded up, so that too large never looks like enough."""
    return f"{math.ceil(size / 1e5) / 10:,.1f} MB"


def csv_table(data: bytes, *, file: str) -> RawTable:
    """A CSV file: comma, semicolon or tab, found by which one gives column names that are known."""
    text = decoded(data, file=file)
    separator, skip = _dialect(text)
    rows = _csv_rows(text, separator=separator, file=file)
    for number, cells in rows:
        if number > skip and any(cell.strip() for cell in cells):
            return RawTable(header_row=number, header=tuple(cells), rows=rows)
    raise refusal(file=file, allowed="the file is empty", action="put column names in row 1")


def decoded(data: bytes, *, file: str) -> str:
    """The text of a file in UTF-8, with or without mark, or in UTF-16 with its mark."""
    encoding = "utf-8-sig"
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        encoding = "utf-16"
    try:
        text = data.decode(encoding)
    except UnicodeDecodeError as error:
        row = data[: error.start].count(b"\n") + 1
        raise refusal(
            file=file,
            row=row,
            allowed="the text is neither UTF-8 nor UTF-16 with its mark",
            action="save the table as 'CSV UTF-8'",
        ) from None
    if "\0" in text:
        raise refusal(
            file=file, allowed="this is no text and no table", action="give CSV, XLSX or ODS"
        )
    return text


def _dialect(text: str) -> tuple[str, int]:
    """The separator, and how many rows stand before the header (a line "sep=;")."""
    lines = text[:100_000].splitlines()
    if lines and lines[0].strip().lower().startswith("sep=") and len(lines[0].strip()) <= 5:
        return lines[0].strip()[4:] or "\t", 1
    first = next((line for line in lines if line.strip()), "")
    scores = [
        (recognised(cells), len(cells), -i)
        for i, separator in enumerate(_SEPARATORS)
        for cells in [next(csv.reader([first], delimiter=separator), [])]
    ]
    return _SEPARATORS[-max(scores)[2]], 0


def _csv_rows(text: str, *, separator: str, file: str) -> Iterator[tuple[int, list[str]]]:
    number = 0
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    try:
        for number, cells in enumerate(reader, start=1):
            if number > MAXIMUM_ROWS + 1:
                raise too_many_rows(file)
            yield number, cells
    except csv.Error as error:
        raise refusal(
            file=file,
            row=number + 1,
            allowed=f"the row cannot be split into cells ({error})",
            action="look for a quotation mark that is not closed",
        ) from None


def too_many_rows(file: str) -> ReadingsError:
    """The error for a table beyond the limit."""
    return refusal(
        file=file,
        allowed=f"there are more than {MAXIMUM_ROWS:,} rows",
        action="split the table into several files",
    )


def too_wide(header: tuple[str, ...]) -> bool:
    """Whether a header has more columns than any table of readings."""
    return len(header) > MAXIMUM_COLUMNS
