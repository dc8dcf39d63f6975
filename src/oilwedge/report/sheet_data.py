"""A document as plain data for the sheet template: strings, numbers and SVG pictures."""

import re
from collections.abc import Mapping

from oilwedge.report.crank_parts import describe_crank, drawing_states
from oilwedge.report.crank_svg import crank_svg
from oilwedge.report.document import (
    Align,
    Blank,
    Block,
    Caution,
    Cell,
    Checklist,
    CrankFigure,
    Document,
    Emphasis,
    Figure,
    Heading,
    KeyValues,
    PageBreak,
    Paragraph,
    Row,
    SignatureBox,
    State,
    Table,
    Text,
    Tick,
    Window,
    WritingLines,
)
from oilwedge.report.state_sign import StateSign, state_svg
from oilwedge.report.svg_text import legible
from oilwedge.report.value_text import NO_BREAK, align_on_point, keep_together
from oilwedge.report.window_sign import describe_window
from oilwedge.report.window_svg import label_room_px, window_svg

Data = Mapping[str, object]

ZERO_WIDTH_SPACE = "\N{ZERO WIDTH SPACE}"
LONG_WORD = 18
# A row with more text than this may go over a page end; shorter ones stay whole.
LONG_ROW = 500
WINDOW_PX = 182.0
POINTS_PER_PIXEL = 0.75
# The template's figures are 8 pt Plex Mono, whose advance is 0.6 em.
FIGURE_POINTS = 4.8
LONG_VALUE = 26
# A4 less the template's margins of 24 mm and 22 mm; Letter is wider.
TEXT_WIDTH_POINTS = 464.0
GAP_POINTS = 11.4
LEAST_OTHER_POINTS = 40.0
_LONG_WORD_PATTERN = re.compile(rf"[^\s{NO_BREAK}]{{{LONG_WORD + 1},}}")
_LANGUAGE = re.compile(r"[a-z]{2,3}")


def sheet_text(text: str) -> str:
    """Give text for paper: values held together, over-long words free to break."""
    held = keep_together(legible(text)).replace("\t", " ")
    return _LONG_WORD_PATTERN.sub(lambda found: ZERO_WIDTH_SPACE.join(found.group(0)), held)


def sheet_data(document: Document, *, qr_svg: str) -> Data:
    """Give everything that the template reads; ``qr_svg`` may be empty."""
    language = _LANGUAGE.match(document.language.lower())
    return {
        "title": sheet_text(document.title),
        "subtitle": sheet_text(document.subtitle),
        "paper": document.paper.value,
        "job": sheet_text(document.job_number),
        "qr": qr_svg,
        "footer": sheet_text(document.footer),
        "language": language.group(0) if language else "en",
        "blocks": [_block(block) for block in document.blocks],
    }


def _block(block: Block) -> Data:
    match block:
        case Heading():
            level = min(3, max(1, block.level))
            return {"kind": "heading", "level": level, "text": sheet_text(block.text)}
        case Paragraph():
            return {"kind": "paragraph", "text": sheet_text(block.text)}
        case Caution():
            title, text = sheet_text(block.title), sheet_text(block.text)
            return {"kind": "caution", "title": title, "text": text}
        case Table():
            return _table(block)
        case Figure():
            return {
                "kind": "figure",
                "svg": block.svg,
                "alt": legible(block.alternative_text),
                "caption": sheet_text(block.caption),
                "legend": [],
            }
        case CrankFigure():
            return _crank(block)
        case KeyValues():
            pairs = [[sheet_text(key), sheet_text(value)] for key, value in block.pairs]
            return {"kind": "key-values", "pairs": pairs}
        case _:
            return _blank_block(block)


def _blank_block(block: Checklist | WritingLines | SignatureBox | PageBreak) -> Data:
    match block:
        case Checklist():
            return {"kind": "checklist", "items": [sheet_text(item) for item in block.items]}
        case WritingLines():
            label = sheet_text(block.label)
            return {"kind": "writing-lines", "count": max(0, block.count), "label": label}
        case SignatureBox():
            return {"kind": "signatures", "labels": [sheet_text(text) for text in block.labels]}
        case PageBreak():
            return {"kind": "page-break"}


def _crank(figure: CrankFigure) -> Data:
    return {
        "kind": "figure",
        "svg": crank_svg(figure.drawing),
        "alt": legible(describe_crank(figure.drawing)),
        "caption": sheet_text(figure.caption),
        "legend": [_state(state, state.words) for state in drawing_states(figure.drawing)],
    }


def _state(state: StateSign, words: str) -> Data:
    return {"kind": "state", "svg": state_svg(state), "words": sheet_text(words)}


def _table(table: Table) -> Data:
    numbers = _aligned_numbers(table)
    widths = _fixed_widths(table, numbers)
    columns = [
        {
            "title": sheet_text(column.title),
            "align": column.align.value,
            "weight": column.width_weight or 0,
            "fixed": widths.get(at, 0),
        }
        for at, column in enumerate(table.columns)
    ]
    room = max(
        (
            label_room_px(cell.sign, width_px=WINDOW_PX)
            for row in table.rows
            for cell in row.cells
            if isinstance(cell, Window)
        ),
        default=0.0,
    )
    rows = [_row(row, number, numbers, room) for number, row in enumerate(table.rows)]
    return {
        "kind": "table",
        "columns": columns,
        "rows": rows,
        "caption": sheet_text(table.caption),
    }


def _aligned_numbers(table: Table) -> Mapping[tuple[int, int], str]:
    aligned: dict[tuple[int, int], str] = {}
    for at, column in enumerate(table.columns):
        if column.align is not Align.NUMBER:
            continue
        texts = {
            number: sheet_text(cell.text)
            for number, row in enumerate(table.rows)
            if row.emphasis is not Emphasis.GROUP and isinstance(cell := row.cells[at], Text)
        }
        padded = align_on_point(tuple(texts.values()))
        aligned.update({(number, at): text for number, text in zip(texts, padded, strict=True)})
    return aligned


def _fixed_widths(table: Table, numbers: Mapping[tuple[int, int], str]) -> Mapping[int, float]:
    """Give the widths (points) of columns that must not be squeezed: windows and values.

    Where they would leave too little for the other columns the widths of values are left
    to the typesetter.
    """
    windows: dict[int, float] = {}
    values: dict[int, float] = {}
    for at, column in enumerate(table.columns):
        cells = [row.cells[at] for row in table.rows if row.emphasis is not Emphasis.GROUP]
        if any(isinstance(cell, Window) for cell in cells):
            windows[at] = WINDOW_PX * POINTS_PER_PIXEL
        elif column.align is Align.NUMBER and column.width_weight is None:
            longest = max(
                (_value_columns(text) for (_, place), text in numbers.items() if place == at),
                default=0,
            )
            title = max((len(word) for word in column.title.split()), default=0)
            if longest > 0 and title <= LONG_WORD:
                values[at] = max(longest, title) * FIGURE_POINTS
    others = len(table.columns) - len(windows) - len(values)
    needed = sum([*windows.values(), *values.values()]) + others * LEAST_OTHER_POINTS
    room = TEXT_WIDTH_POINTS - GAP_POINTS * len(table.columns)
    return {**windows, **values} if needed <= room else windows


def _value_columns(text: str) -> int:
    """Count the figures of the longest line, or of its longest word where it is long."""
    longest = max(len(line) for line in text.split("\n"))
    if longest <= LONG_VALUE:
        return longest
    return min(LONG_VALUE, max((len(word) for word in text.split(" ")), default=0))


def _row(row: Row, number: int, numbers: Mapping[tuple[int, int], str], label_room: float) -> Data:
    length = sum(len(cell.text) for cell in row.cells if isinstance(cell, Text))
    return {
        "emphasis": row.emphasis.value,
        "breakable": length > LONG_ROW,
        "cells": [
            _cell(cell, numbers.get((number, at)), label_room) for at, cell in enumerate(row.cells)
        ],
    }


def _cell(cell: Cell, aligned: str | None, label_room: float) -> Data:
    match cell:
        case Text():
            text = sheet_text(cell.text) if aligned is None else aligned
            return {"kind": "text", "text": text}
        case State():
            return _state(cell.state, cell.words or cell.state.words)
        case Window():
            return {
                "kind": "window",
                "svg": window_svg(cell.sign, width_px=WINDOW_PX, label_room=label_room),
                "width": WINDOW_PX,
                "alt": legible(describe_window(cell.sign)),
            }
        case Blank():
            return {"kind": "blank", "hint": sheet_text(cell.hint)}
        case Tick():
            return {"kind": "tick", "text": sheet_text(cell.text)}
