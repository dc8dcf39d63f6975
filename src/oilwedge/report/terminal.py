"""A document as plain text for a terminal."""

from enum import Enum

from oilwedge.report.crank_parts import drawing_states
from oilwedge.report.crank_text import crank_text
from oilwedge.report.document import (
    Block,
    Caution,
    Checklist,
    CrankFigure,
    Document,
    Emphasis,
    Figure,
    Heading,
    KeyValues,
    PageBreak,
    Paragraph,
    SignatureBox,
    Table,
    WritingLines,
)
from oilwedge.report.encoding import Encoding, encode_text
from oilwedge.report.line_wrap import pad_text, text_columns, wrap_text
from oilwedge.report.state_sign import StateSign, state_glyph
from oilwedge.report.svg_text import legible
from oilwedge.report.terminal_table import TableLine, plain_text, table_lines

LEAST_COLUMNS = 40
MOST_KEY_COLUMNS = 30


class Colour(Enum):
    """Whether signs and headings are coloured; NONE when piped or NO_COLOR is set."""

    NONE = "none"
    ANSI = "ansi"


# Okabe and Ito's palette for all colour-vision types; the shape says it first.
_STATE_RGB = {
    StateSign.RIGHT: (0, 158, 115),
    StateSign.RIGHT_CLOSE: (0, 158, 115),
    StateSign.LOOSE: (230, 159, 0),
    StateSign.TOO_LOOSE: (213, 94, 0),
    StateSign.PAST_SERVICE: (213, 94, 0),
    StateSign.TOO_TIGHT: (0, 114, 178),
    StateSign.CANNOT_TELL: (204, 121, 167),
    StateSign.READINGS_DISAGREE: (204, 121, 167),
}
_RESET = "\x1b[0m"
_EMPHASIS = {Emphasis.STRONG: "\x1b[1m", Emphasis.GROUP: "\x1b[1m", Emphasis.QUIET: "\x1b[2m"}


def render_terminal(
    document: Document,
    *,
    columns: int = 80,
    encoding: Encoding = Encoding.UNICODE,
    colour: Colour = Colour.NONE,
) -> str:
    """Set the document in lines of at most ``columns`` characters, ending in a line feed.

    Words wrap; a number keeps its uncertainty and unit beside it.  With ASCII no other
    character is given out.
    """
    if columns < LEAST_COLUMNS:
        raise ValueError(f"a document needs {LEAST_COLUMNS} columns; {columns} were given")
    face = _Face(columns, encoding, colour)
    lines = face.head(document)
    for block in document.blocks:
        drawn = face.block(block)
        if drawn:
            lines.extend(["", *drawn])
    if document.footer:
        lines.extend(["", *face.wrapped(document.footer)])
    return "\n".join(line.rstrip() for line in lines) + "\n"


class _Face:
    def __init__(self, columns: int, encoding: Encoding, colour: Colour) -> None:
        self.columns = columns
        self.encoding = encoding
        self.colour = colour

    def wrapped(self, text: str, *, first: str = "", rest: str | None = None) -> list[str]:
        """Wrap with a hanging indent."""
        rest = " " * text_columns(first) if rest is None else rest
        room = self.columns - max(text_columns(first), text_columns(rest))
        lines = wrap_text(plain_text(text, encoding=self.encoding), columns=max(8, room))
        return [(first if at == 0 else rest) + line for at, line in enumerate(lines)]

    def emphasised(self, text: str, emphasis: Emphasis) -> str:
        if self.colour is Colour.NONE or not text or emphasis not in _EMPHASIS:
            return text
        return f"{_EMPHASIS[emphasis]}{text}{_RESET}"

    def unicode_or(self, text: str, ascii_text: str) -> str:
        return text if self.encoding is Encoding.UNICODE else ascii_text

    def head(self, document: Document) -> list[str]:
        lines = [self.emphasised(line, Emphasis.STRONG) for line in self.wrapped(document.title)]
        if document.subtitle:
            lines += self.wrapped(document.subtitle)
        if document.job_number:
            lines += self.wrapped(f"Job {document.job_number}")
        return [*lines, self.unicode_or("═", "=") * self.columns]

    def block(self, block: Block) -> list[str]:
        match block:
            case Heading():
                return self.heading(block)
            case Paragraph():
                return self.wrapped(block.text)
            case Caution():
                bar = self.unicode_or("┃ ", "! ")
                title = self.wrapped(block.title.upper(), first=bar, rest=bar)
                return title + self.wrapped(block.text, first=bar, rest=bar)
            case Table():
                return self.table(block)
            case Figure():
                return self.figure(block)
            case CrankFigure():
                return self.crank(block)
            case KeyValues():
                return self.key_values(block)
            case _:
                return self.blank(block)

    def blank(self, block: Checklist | WritingLines | SignatureBox | PageBreak) -> list[str]:
        """Set what a person fills in."""
        line = "_" * (self.columns - 4)
        match block:
            case Checklist():
                return [line for item in block.items for line in self.wrapped(item, first="[ ] ")]
            case WritingLines():
                head = self.wrapped(block.label) if block.label else []
                return head + [line] * max(0, block.count)
            case SignatureBox():
                return [
                    line for label in block.labels for line in (*self.wrapped(label), "_" * 36, "")
                ][:-1]
            case PageBreak():
                return []

    def heading(self, block: Heading) -> list[str]:
        lines = self.wrapped(block.text)
        mark = {1: self.unicode_or("─", "-"), 2: self.unicode_or("·", ".")}.get(block.level)
        drawn = [self.emphasised(line, Emphasis.STRONG) for line in lines]
        if mark:
            drawn.append(mark * max(text_columns(line) for line in lines))
        return drawn

    def key_values(self, block: KeyValues) -> list[str]:
        keys = [plain_text(key, encoding=self.encoding) for key, _ in block.pairs]
        width = min(MOST_KEY_COLUMNS, max((text_columns(key) for key in keys), default=0))
        lines: list[str] = []
        for key, (_, value) in zip(keys, block.pairs, strict=True):
            *above, last = wrap_text(key, columns=max(1, width))
            lines += above
            lines += self.wrapped(value, first=pad_text(last, columns=width) + "  ")
        return lines

    def table(self, table: Table) -> list[str]:
        lines = self.wrapped(table.caption) if table.caption else []
        drawn = table_lines(table, columns=self.columns, encoding=self.encoding)
        return lines + [self.table_line(line) for line in drawn]

    def table_line(self, line: TableLine) -> str:
        if self.colour is Colour.NONE:
            return line.text
        text = line.text
        for cell in line.states:
            if cell.state in _STATE_RGB:
                glyph = state_glyph(cell.state, encoding=self.encoding)
                red, green, blue = _STATE_RGB[cell.state]
                text = text.replace(glyph, f"\x1b[38;2;{red};{green};{blue}m{glyph}{_RESET}", 1)
        return text if line.states else self.emphasised(text, line.emphasis)

    def figure(self, figure: Figure) -> list[str]:
        drawing = figure.text if self.encoding is Encoding.UNICODE else figure.ascii_text
        if not drawing:
            return self.wrapped(f"[{figure.alternative_text}]") + (
                self.wrapped(figure.caption) if figure.caption else []
            )
        lines = [encode_text(legible(line), encoding=self.encoding) for line in drawing.split("\n")]
        return lines + (self.wrapped(figure.caption) if figure.caption else [])

    def crank(self, figure: CrankFigure) -> list[str]:
        drawn = crank_text(figure.drawing, columns=self.columns, encoding=self.encoding)
        lines = [legible(line) for line in drawn]
        signs = [
            f"{state_glyph(state, encoding=self.encoding).strip()} {state.words}"
            for state in drawing_states(figure.drawing)
        ]
        legend = wrap_text(
            "   ".join(sign.replace(" ", "\xa0") for sign in signs), columns=self.columns
        )
        caption = self.wrapped(figure.caption) if figure.caption else []
        return [*lines, "", *legend, *caption]
