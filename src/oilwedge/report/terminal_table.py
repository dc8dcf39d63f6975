"""Tables for a terminal: cells wrap inside their columns."""

from collections.abc import Sequence
from dataclasses import dataclass

from oilwedge.report.document import (
    Align,
    Blank,
    Cell,
    Column,
    Emphasis,
    Row,
    State,
    Table,
    Text,
    Tick,
    Window,
)
from oilwedge.report.encoding import Encoding, encode_text
from oilwedge.report.line_wrap import (
    cut_text,
    longest_word_columns,
    pad_text,
    text_columns,
    wrap_text,
)
from oilwedge.report.state_sign import state_glyph
from oilwedge.report.svg_text import legible
from oilwedge.report.value_text import NO_BREAK, align_on_point, keep_together
from oilwedge.report.window_text import window_text

GAP = "  "
LEAST_WINDOW = 20
MOST_WINDOW = 36
LONGEST_WHOLE_WORD = 28
BLANK_COLUMNS = 10
WINDOW_INDENT = 4


def plain_text(text: str, *, encoding: Encoding) -> str:
    """Give text that is safe to print, values held together, in the encoding."""
    return encode_text(keep_together(legible(text)), encoding=encoding)


@dataclass(frozen=True, slots=True, kw_only=True)
class TableLine:
    """A finished line and the emphasis and signs that a coloured terminal may show."""

    text: str
    emphasis: Emphasis = Emphasis.PLAIN
    states: tuple[State, ...] = ()


def table_lines(table: Table, *, columns: int, encoding: Encoding) -> tuple[TableLine, ...]:
    """Set a table; where its columns do not fit side by side, one record under another."""
    layout = _layout(table, encoding)
    widths = layout.widths(columns)
    if widths is not None:
        return layout.grid(widths)
    return _windows_below(table, columns=columns, encoding=encoding) or layout.records(columns)


def _windows_below(
    table: Table, *, columns: int, encoding: Encoding
) -> tuple[TableLine, ...] | None:
    """Set the windows of a row under it; None where that does not make the table fit."""
    windowed = {
        at
        for row in table.rows
        if row.emphasis is not Emphasis.GROUP
        for at, cell in enumerate(row.cells)
        if isinstance(cell, Window)
    }
    kept = [at for at in range(len(table.columns)) if at not in windowed]
    if not windowed or not kept:
        return None
    narrow_rows = tuple(
        row
        if row.emphasis is Emphasis.GROUP
        else Row(cells=tuple(row.cells[at] for at in kept), emphasis=row.emphasis)
        for row in table.rows
    )
    narrow = Table(columns=tuple(table.columns[at] for at in kept), rows=narrow_rows)
    layout = _layout(narrow, encoding)
    widths = layout.widths(columns)
    if widths is None:
        return None
    lines = list(layout.head(widths))
    for number, row in enumerate(table.rows):
        lines.extend(layout.grid_row(number, narrow_rows[number], widths))
        if row.emphasis is not Emphasis.GROUP:
            drawn = [
                line
                for at in sorted(windowed)
                if isinstance(cell := row.cells[at], Window)
                for line in _window_lines(cell, columns - WINDOW_INDENT, encoding)
            ]
            lines.extend(TableLine(text=" " * WINDOW_INDENT + line) for line in drawn)
    return tuple(lines)


def _window_lines(cell: Window, room: int, encoding: Encoding) -> tuple[str, ...]:
    """Draw a window as wide as the room allows, cutting labels that do not fit beside it."""
    width = max(LEAST_WINDOW, min(MOST_WINDOW, room - _label_columns(cell, encoding)))
    drawn = window_text(cell.sign, width=width, encoding=encoding)
    return tuple(cut_text(legible(" ".join(line.split("\n"))), columns=room) for line in drawn)


def _layout(table: Table, encoding: Encoding) -> "_Layout":
    return _Layout(
        table=table,
        encoding=encoding,
        texts=_cell_texts(table, encoding),
        label_room=_label_room(table, encoding),
    )


def _cell_texts(table: Table, encoding: Encoding) -> dict[tuple[int, int], str]:
    """Give the text of each cell that has one; numbers are padded to align."""
    texts: dict[tuple[int, int], str] = {}
    for row_number, row in enumerate(table.rows):
        for column_number, cell in enumerate(row.cells):
            texts[row_number, column_number] = _cell_text(cell, encoding)
    for column_number, column in enumerate(table.columns):
        if column.align is not Align.NUMBER:
            continue
        keys = [
            (number, column_number)
            for number, row in enumerate(table.rows)
            if row.emphasis is not Emphasis.GROUP and isinstance(row.cells[column_number], Text)
        ]
        aligned = align_on_point(tuple(texts[key] for key in keys))
        texts.update(zip(keys, aligned, strict=True))
    return texts


def _cell_text(cell: Cell, encoding: Encoding) -> str:
    match cell:
        case Text():
            return plain_text(cell.text, encoding=encoding)
        case State():
            words = plain_text(cell.words or cell.state.words, encoding=encoding)
            glyph = state_glyph(cell.state, encoding=encoding).replace(" ", NO_BREAK)
            return f"{glyph}{NO_BREAK}{words}"
        case Blank():
            hint = plain_text(cell.hint, encoding=encoding)
            return "_" * BLANK_COLUMNS + (NO_BREAK + hint if hint else "")
        case Tick():
            return f"[{NO_BREAK}]{NO_BREAK}{plain_text(cell.text, encoding=encoding)}"
        case Window():
            return ""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Layout:
    table: Table
    encoding: Encoding
    texts: dict[tuple[int, int], str]
    label_room: dict[int, int]

    def column_needs(self, number: int, column: Column) -> tuple[int, int]:
        """Give the least and the natural width of a column."""
        title = plain_text(column.title, encoding=self.encoding)
        least = min(longest_word_columns(title), LONGEST_WHOLE_WORD)
        # A title may take two lines; it does not push the cells together.
        natural = max(least, (text_columns(title) + 1) // 2)
        for row_number, row in enumerate(self.table.rows):
            if row.emphasis is Emphasis.GROUP:
                continue
            cell = row.cells[number]
            if isinstance(cell, Window):
                label = _label_columns(cell, self.encoding)
                least, natural = max(least, LEAST_WINDOW + label), max(natural, MOST_WINDOW + label)
                continue
            text = self.texts[row_number, number]
            word = longest_word_columns(text)
            if NO_BREAK not in text:
                word = min(word, LONGEST_WHOLE_WORD)
            least = max(least, word)
            natural = max([natural, *(text_columns(line) for line in text.split("\n"))])
        return max(1, least), max(1, least, natural)

    def widths(self, columns: int) -> list[int] | None:
        """Share the columns out; None where even the least widths do not fit."""
        needs = [
            self.column_needs(number, column) for number, column in enumerate(self.table.columns)
        ]
        widths = [least for least, _ in needs]
        spare = columns - len(GAP) * (len(widths) - 1) - sum(widths)
        if spare < 0:
            return None
        while spare > 0:
            # One column at a time to the neediest: the result does not hang on rounding.
            wanting = [
                (
                    (natural - widths[number]) * (self.table.columns[number].width_weight or 1.0),
                    -number,
                )
                for number, (_, natural) in enumerate(needs)
                if natural > widths[number]
            ]
            if not wanting:
                break
            widths[-max(wanting)[1]] += 1
            spare -= 1
        return widths

    def grid(self, widths: Sequence[int]) -> tuple[TableLine, ...]:
        lines = list(self.head(widths))
        for number, row in enumerate(self.table.rows):
            lines.extend(self.grid_row(number, row, widths))
        return tuple(lines)

    def head(self, widths: Sequence[int]) -> tuple[TableLine, ...]:
        titles = [
            _placed(
                wrap_text(plain_text(column.title, encoding=self.encoding), columns=width),
                width,
                column.align,
            )
            for column, width in zip(self.table.columns, widths, strict=True)
        ]
        total = sum(widths) + len(GAP) * (len(widths) - 1)
        rule = ("─" if self.encoding is Encoding.UNICODE else "-") * total
        lines = [
            TableLine(text=text, emphasis=Emphasis.STRONG)
            for text in _beside(titles, widths, at_foot=True)
        ]
        return (*lines, TableLine(text=rule))

    def grid_row(self, number: int, row: Row, widths: Sequence[int]) -> list[TableLine]:
        if row.emphasis is Emphasis.GROUP:
            total = sum(widths) + len(GAP) * (len(widths) - 1)
            wrapped = wrap_text(self.texts[number, 0], columns=total)
            group = [TableLine(text=text, emphasis=Emphasis.GROUP) for text in wrapped]
            return group if number == 0 else [TableLine(text=""), *group]
        cells = [
            _placed(self.cell_lines(number, at, width), width, column.align)
            for at, (column, width) in enumerate(zip(self.table.columns, widths, strict=True))
        ]
        states = tuple(cell for cell in row.cells if isinstance(cell, State))
        return [
            TableLine(text=text, emphasis=row.emphasis, states=states if at == 0 else ())
            for at, text in enumerate(_beside(cells, widths, at_foot=False))
        ]

    def cell_lines(self, row_number: int, number: int, width: int) -> tuple[str, ...]:
        cell = self.table.rows[row_number].cells[number]
        if isinstance(cell, Window):
            # The same scale in the whole column, with or without labels of its own.
            unused = self.label_room[number] - _label_columns(cell, self.encoding)
            return _window_lines(cell, width - unused, self.encoding)
        lines = wrap_text(self.texts[row_number, number], columns=width)
        if isinstance(cell, State) and width > 12:
            words = wrap_text(self.texts[row_number, number][3:], columns=width - 3)
            glyph = state_glyph(cell.state, encoding=self.encoding)
            return (f"{glyph} {words[0]}", *(f"   {line}" for line in words[1:]))
        return lines

    def records(self, columns: int) -> tuple[TableLine, ...]:
        """One cell under another, each with its column's title."""
        lines: list[TableLine] = []
        for number, row in enumerate(self.table.rows):
            if row.emphasis is Emphasis.GROUP:
                wrapped = wrap_text(self.texts[number, 0], columns=columns)
                lines.extend(TableLine(text=text, emphasis=Emphasis.GROUP) for text in wrapped)
                continue
            for at, column in enumerate(self.table.columns):
                title = plain_text(column.title, encoding=self.encoding)
                head = f"{title}: " if title else ""
                if isinstance(row.cells[at], Window):
                    parts = self.cell_lines(number, at, columns - 2)
                    parts = (head.rstrip(), *parts) if head else parts
                else:
                    text = self.texts[number, at].strip(NO_BREAK)
                    parts = wrap_text(head + text, columns=columns - 2)
                for part_number, part in enumerate(parts):
                    indent = "" if part_number == 0 else "  "
                    lines.append(TableLine(text=(indent + part).rstrip(), emphasis=row.emphasis))
            lines.append(TableLine(text=""))
        return tuple(lines[:-1] if lines and not lines[-1].text else lines)


def _label_room(table: Table, encoding: Encoding) -> dict[int, int]:
    """Give each window column its room for labels, the same for each row."""
    room: dict[int, int] = {}
    for row in table.rows:
        for at, cell in enumerate(row.cells):
            if isinstance(cell, Window) and row.emphasis is not Emphasis.GROUP:
                room[at] = max(room.get(at, 0), _label_columns(cell, encoding))
    return room


def _label_columns(cell: Window, encoding: Encoding) -> int:
    labels = [text_columns(encode_text(mark.label, encoding=encoding)) for mark in cell.sign.marks]
    return max(labels) + 1 if any(labels) else 0


def _placed(lines: tuple[str, ...], width: int, align: Align) -> tuple[str, ...]:
    if align is Align.LEFT:
        return lines
    placed = []
    for line in lines:
        room = max(0, width - text_columns(line))
        placed.append(" " * (room // 2 if align is Align.CENTRE else room) + line)
    return tuple(placed)


def _beside(cells: Sequence[tuple[str, ...]], widths: Sequence[int], *, at_foot: bool) -> list[str]:
    height = max(len(lines) for lines in cells)
    rows = []
    for number in range(height):
        parts = []
        for lines, width in zip(cells, widths, strict=True):
            at = number - (height - len(lines)) if at_foot else number
            parts.append(pad_text(lines[at] if 0 <= at < len(lines) else "", columns=width))
        rows.append(GAP.join(parts).rstrip())
    return rows
