"""Whether a zipped spreadsheet may be opened: how much it holds is counted before it is read.

XLSX and ODS are zip files. Their reader holds every cell between the first and the last in
memory, so both the unpacked bytes and the number of cells are counted here first.
"""

from __future__ import annotations

import io
import re
import zipfile
import zlib
from typing import IO
from xml.etree import ElementTree

from oilwedge.errors import ReadingsError
from oilwedge.usecases.importing.tables import MAXIMUM_ROWS, megabytes, refusal

MAXIMUM_UNPACKED = 200_000_000
MAXIMUM_MEMBERS = 5_000
MAXIMUM_CELLS = 5_000_000
_BOMB_RATIO = 300
_BOMB_SIZE = 20_000_000
_CHUNK = 1 << 20
_REFERENCE = re.compile(rb"""\br\s*=\s*["']([^"'<>]{0,60})["']""")
_CELL = re.compile(rb"([A-Za-z]{0,3})([0-9]{1,7})")
_TABLE_NS = "{urn:oasis:names:tc:opendocument:xmlns:table:1.0}"


def check_spreadsheet(data: bytes, *, file: str) -> None:
    """Raise :class:`ReadingsError` for a spreadsheet that is broken or unpacks to too much."""
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            _check_members(archive, file=file)
            left = MAXIMUM_UNPACKED
            for info in archive.infolist():
                left -= _count(archive, info, left=left, file=file)
            if "content.xml" in archive.namelist():
                with archive.open("content.xml") as content:
                    _check_ods(content, file=file)
    except ReadingsError:
        raise
    except (
        zipfile.BadZipFile,
        zlib.error,
        EOFError,
        NotImplementedError,
        RuntimeError,
        ElementTree.ParseError,
        OSError,
        ValueError,  # an offset that points before the file
    ):
        raise refusal(
            file=file,
            allowed="the spreadsheet is damaged, locked with a password, or none",
            action="open it in a spreadsheet program and save it again",
        ) from None


def _check_members(archive: zipfile.ZipFile, *, file: str) -> None:
    members = archive.infolist()
    total = sum(info.file_size for info in members)
    bomb = any(
        info.file_size > _BOMB_SIZE and info.file_size > _BOMB_RATIO * max(info.compress_size, 1)
        for info in members
    )
    if len(members) > MAXIMUM_MEMBERS or total > MAXIMUM_UNPACKED or bomb:
        raise refusal(
            file=file,
            allowed=f"the spreadsheet unpacks to {megabytes(total)}, and 200 MB is the most",
            action="save only the sheet with the readings, or as CSV",
        )


def _count(archive: zipfile.ZipFile, info: zipfile.ZipInfo, *, left: int, file: str) -> int:
    """Bytes that a member really holds; its cells are looked at on the way."""
    size = 0
    last_row = last_column = 0
    tail = b""
    sheet = info.filename.startswith("xl/worksheets/") and info.filename.endswith(".xml")
    with archive.open(info) as member:
        while chunk := member.read(_CHUNK):
            size += len(chunk)
            if size > left:
                raise refusal(
                    file=file,
                    allowed="the spreadsheet unpacks to more than 200 MB",
                    action="save only the sheet with the readings, or as CSV",
                )
            if sheet:
                row, column = _extent(tail + chunk)
                tail = chunk[-80:]
                last_row, last_column = max(last_row, row), max(last_column, column)
                _check_extent(last_row, last_column, file=file)
    return size


def _extent(xml: bytes) -> tuple[int, int]:
    """Last row and column that a piece of a sheet refers to; BadZipFile where that is hidden."""
    if b"\0" in xml:
        raise zipfile.BadZipFile("the sheet is not in UTF-8")
    rows: set[int] = {0}
    columns: set[bytes] = {b""}
    for reference in _REFERENCE.findall(xml):
        cell = _CELL.fullmatch(reference)
        if cell is None:
            raise zipfile.BadZipFile("a cell reference cannot be read")
        columns.add(cell[1].upper())
        rows.add(int(cell[2]))
    return max(rows), max(_column_number(letters) for letters in columns)


def _column_number(letters: bytes) -> int:
    number = 0
    for letter in letters:
        number = number * 26 + letter - 64
    return number


def _check_extent(rows: int, columns: int, *, file: str) -> None:
    if rows > MAXIMUM_ROWS or rows * columns > MAXIMUM_CELLS:
        raise refusal(
            file=file,
            allowed=f"the sheet reaches to row {rows:,} and column {columns:,}",
            action="delete what stands far outside the table, or save it as CSV",
        )


def _check_ods(content: IO[bytes], *, file: str) -> None:
    """Rows and columns of an ODS up to its last cells that hold something, repeats counted."""
    rows = columns = width = cells = 0
    row_filled = False
    for event, element in ElementTree.iterparse(content, events=("start", "end")):
        tag = element.tag
        if event == "start":
            if tag == f"{_TABLE_NS}table":
                rows = columns = 0
            elif tag == f"{_TABLE_NS}table-row":
                width, row_filled = 0, False
            continue
        if tag in {f"{_TABLE_NS}table-cell", f"{_TABLE_NS}covered-table-cell"}:
            width += _repeats(element, "number-columns-repeated")
            if len(element) or element.text:
                row_filled = True
                columns = max(columns, width)
            element.clear()
        elif tag == f"{_TABLE_NS}table-row":
            rows += _repeats(element, "number-rows-repeated")
            if row_filled:
                cells = rows * columns
                _check_extent(max(rows, cells // max(columns, 1)), columns, file=file)
            element.clear()


def _repeats(element: ElementTree.Element, name: str) -> int:
    text = element.get(f"{_TABLE_NS}{name}", "1")
    return int(text) if text.isdigit() else 1
