"""XLSX and ODS as rows of text."""

from __future__ import annotations

import datetime
import io
from collections.abc import Iterator, Sequence

from oilwedge.errors import MissingExtraError
from oilwedge.usecases.importing.columns import Column, recognised
from oilwedge.usecases.importing.tables import RawTable, refusal
from oilwedge.usecases.importing.unpacked import check_spreadsheet

_HEADER_WITHIN = 20  # rows that are searched for the header
_ENOUGH_COLUMNS = 2


def sheet_tables(data: bytes, *, file: str) -> list[RawTable]:
    """Every sheet of a workbook that has a header of readings or events."""
    check_spreadsheet(data, file=file)
    try:
        import python_calamine  # slow to load, and an extra
    except ImportError:
        raise MissingExtraError(
            f"{file}: to read spreadsheets run pip install '.[sheets]' in the folder of oilwedge,"
            " or save the table as CSV."
        ) from None
    try:
        workbook = python_calamine.CalamineWorkbook.from_filelike(io.BytesIO(data))
        sheets = [workbook.get_sheet_by_name(name) for name in workbook.sheet_names]
        tables = [
            table
            for sheet in sheets
            if (table := _table(sheet.name, sheet.to_python(skip_empty_area=False))) is not None
        ]
    except python_calamine.CalamineError as error:
        raise refusal(
            file=file,
            allowed=f"the spreadsheet cannot be read ({error})",
            action="open it in a spreadsheet program and save it again",
        ) from None
    if not tables:
        raise refusal(
            file=file,
            allowed=f"no sheet has a row with the columns {Column.FEATURE.value}, number and value",
            action="put column names in row 1",
        )
    return tables


def _table(name: str, rows: Sequence[Sequence[object]]) -> RawTable | None:
    for number, row in enumerate(rows[:_HEADER_WITHIN], start=1):
        header = tuple(cell_text(cell) for cell in row)
        if recognised(header) >= _ENOUGH_COLUMNS:
            return RawTable(
                sheet=name, header_row=number, header=header, rows=_texts(rows, start=number + 1)
            )
    return None


def _texts(rows: Sequence[Sequence[object]], *, start: int) -> Iterator[tuple[int, list[str]]]:
    for number in range(start, len(rows) + 1):
        yield number, [cell_text(cell) for cell in rows[number - 1]]


def cell_text(cell: object) -> str:
    """A cell as a person reads it: whole numbers without ".0", floats to 15 digits, ISO dates."""
    if isinstance(cell, str):
        return cell
    if isinstance(cell, bool):
        return "yes" if cell else "no"
    if isinstance(cell, float):
        return f"{cell:.15g}"
    if isinstance(cell, datetime.datetime | datetime.date | datetime.time):
        return cell.isoformat()
    return str(cell)
