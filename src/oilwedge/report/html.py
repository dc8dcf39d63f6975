"""A document as fragments of HTML for a page: the words and drawings of terminal and paper.

Classes only: no style attribute and no script, which a strict content security policy would refuse.
All text is escaped.  What may be wider than the page stands in a frame (``table-frame``,
``crank-frame``) that scrolls by keyboard too.  Classes: ``table``, ``row-group``,
``row-strong``, ``row-quiet``, ``cell-number``, ``cell-right``, ``cell-centre``, ``sign``
(with the state's own class), ``sign-words``, ``window``, ``caution``, ``figure``, ``legend``,
``key-values``, ``checklist``, ``writing-lines``, ``signatures``, ``page-break``.
"""

import html
import re
from collections.abc import Mapping, Sequence

from oilwedge.report.crank_parts import drawing_states
from oilwedge.report.crank_svg import crank_svg
from oilwedge.report.document import (
    Align,
    Blank,
    Block,
    Caution,
    Cell,
    Checklist,
    Column,
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
from oilwedge.report.state_sign import StateSign, state_class, state_svg
from oilwedge.report.svg_text import legible
from oilwedge.report.window_svg import window_svg

CRANK_SCALE = 2.0  # a bearing's column is then wide enough for a finger
_LOWEST_LEVEL = 6
_ACTIVE = re.compile(
    r"<\s*(?:script|style|foreignObject|iframe|image|use|set|animate)|\son\w+\s*=|\sstyle\s*="
    r"|javascript:|<!",
    re.IGNORECASE,
)
_CELL_CLASS = {
    Align.LEFT: "",
    Align.CENTRE: "cell-centre",
    Align.RIGHT: "cell-right",
    Align.NUMBER: "cell-number",
}
_ROW_CLASS = {
    Emphasis.PLAIN: "",
    Emphasis.STRONG: "row-strong",
    Emphasis.QUIET: "row-quiet",
    Emphasis.GROUP: "row-group",
}


def document_html(
    document: Document, *, first_level: int = 2, links: Mapping[str, str] | None = None
) -> str:
    """The blocks of a document, with its subtitle before and its footer behind them.

    The title is left to the page.  ``first_level`` is the level of a heading of level 1;
    ``links`` makes bearings of the crank ways in (:func:`crank_svg`).
    """
    before = f'<p class="subtitle">{_text(document.subtitle)}</p>' if document.subtitle else ""
    behind = f'<p class="document-foot">{_text(document.footer)}</p>' if document.footer else ""
    return before + blocks_html(document.blocks, first_level=first_level, links=links) + behind


def blocks_html(
    blocks: Sequence[Block], *, first_level: int = 2, links: Mapping[str, str] | None = None
) -> str:
    """Blocks one after the other."""
    return "".join(block_html(one, first_level=first_level, links=links) for one in blocks)


def block_html(
    block: Block, *, first_level: int = 2, links: Mapping[str, str] | None = None
) -> str:
    """One block."""
    match block:
        case Heading():
            level = min(_LOWEST_LEVEL, max(1, first_level + block.level - 1))
            return f"<h{level}>{_text(block.text)}</h{level}>"
        case Paragraph():
            return f"<p>{_text(block.text)}</p>"
        case Caution():
            return (
                f'<div class="caution" role="note"><strong>{_text(block.title)}</strong>'
                f"<p>{_text(block.text)}</p></div>"
            )
        case Table():
            return table_html(block)
        case Figure():
            return _figure(checked_svg(block.svg), caption=block.caption, own_class="figure")
        case CrankFigure():
            return _crank(block, links=links)
        case KeyValues():
            pairs = "".join(
                f"<div><dt>{_text(name)}</dt><dd>{_text(value)}</dd></div>"
                for name, value in block.pairs
            )
            return f'<dl class="key-values">{pairs}</dl>'
        case Checklist():
            items = "".join(f"<li>{_text(item)}</li>" for item in block.items)
            return f'<ul class="checklist">{items}</ul>'
        case WritingLines():
            label = f"<p>{_text(block.label)}</p>" if block.label else ""
            lines = '<div class="writing-line"></div>' * block.count
            return f'<div class="writing-lines">{label}{lines}</div>'
        case SignatureBox():
            labels = "".join(f'<div class="signature">{_text(one)}</div>' for one in block.labels)
            return f'<div class="signatures">{labels}</div>'
        case PageBreak():
            return '<hr class="page-break">'


def table_html(table: Table) -> str:
    """A table with its head; the first cell of a row is its name."""
    caption = f"<caption>{_text(table.caption)}</caption>" if table.caption else ""
    head = "".join(
        f'<th scope="col"{_class(_CELL_CLASS[column.align])}>{_text(column.title)}</th>'
        for column in table.columns
    )
    rows = "".join(_row(row, columns=table.columns) for row in table.rows)
    return (
        f'<div class="table-frame" tabindex="0"><table class="table">{caption}'
        f"<thead><tr>{head}</tr></thead><tbody>{rows}</tbody></table></div>"
    )


def _row(row: Row, *, columns: Sequence[Column]) -> str:
    own = _class(_ROW_CLASS[row.emphasis])
    if row.emphasis is Emphasis.GROUP:
        name = cell_html(row.cells[0])
        return f'<tr{own}><th scope="colgroup" colspan="{len(columns)}">{name}</th></tr>'
    cells = ""
    for number, (cell, column) in enumerate(zip(row.cells, columns, strict=True)):
        align = _class(_CELL_CLASS[column.align])
        is_name = number == 0 and isinstance(cell, Text)
        opening, closing = ('th scope="row"', "th") if is_name else ("td", "td")
        cells += f"<{opening}{align}>{cell_html(cell)}</{closing}>"
    return f"<tr{own}>{cells}</tr>"


def cell_html(cell: Cell) -> str:
    """One cell."""
    match cell:
        case Text():
            return _text(cell.text)
        case State():
            return state_html(cell.state, words=cell.words)
        case Window():
            return f'<span class="window">{window_svg(cell.sign)}</span>'
        case Blank():
            return f'<span class="blank">{_text(cell.hint)}</span>'
        case Tick():
            return f'<span class="tick">{_text(cell.text)}</span>'


def state_html(state: StateSign, *, words: str = "") -> str:
    """The shape of a state with words beside it; empty words are those of the sign."""
    return (
        f'<span class="sign {state_class(state)}"><span aria-hidden="true">{state_svg(state)}'
        f'</span><span class="sign-words">{_text(words or state.words)}</span></span>'
    )


def checked_svg(svg: str) -> str:
    """A drawing that holds nothing active; raises ValueError for one that does.

    Drawings are made in this package; this guards the page against one that is not.
    """
    if not svg.startswith("<svg") or _ACTIVE.search(svg):
        raise ValueError("a drawing for a page is a plain SVG without script, style or image")
    return svg


def _crank(block: CrankFigure, *, links: Mapping[str, str] | None) -> str:
    drawing = crank_svg(block.drawing, links=links, scale=CRANK_SCALE)
    frame = f'<div class="crank-frame" tabindex="0">{drawing}</div>'
    legend = "".join(f"<li>{state_html(one)}</li>" for one in drawing_states(block.drawing))
    return _figure(
        f'{frame}<ul class="legend">{legend}</ul>', caption=block.caption, own_class="figure"
    )


def _figure(body: str, *, caption: str, own_class: str) -> str:
    words = f"<figcaption>{_text(caption)}</figcaption>" if caption else ""
    return f'<figure class="{own_class}">{body}{words}</figure>'


def _class(name: str) -> str:
    return f' class="{name}"' if name else ""


def _text(text: str) -> str:
    """Text with its line breaks; nothing in it is markup."""
    return html.escape(legible(text)).replace("\n", "<br>")
