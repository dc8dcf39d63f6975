"""A document without a face: what stands on a sheet, in which order.

Text is plain text; nothing in it is markup.  Blocks follow each other from
top to bottom.  Terminal and PDF draw the same document.
"""

from dataclasses import dataclass
from enum import Enum

from oilwedge.report.crank_parts import CrankDrawing
from oilwedge.report.state_sign import StateSign
from oilwedge.report.window_sign import WindowSign


class Paper(Enum):
    """Sheet size."""

    A4 = "a4"
    LETTER = "us-letter"


class Align(Enum):
    """How a column stands; NUMBER sets mono figures under their decimal points."""

    LEFT = "left"
    CENTRE = "centre"
    RIGHT = "right"
    NUMBER = "number"


class Emphasis(Enum):
    """How a row stands out; GROUP is a row that names those under it."""

    PLAIN = "plain"
    STRONG = "strong"
    QUIET = "quiet"
    GROUP = "group"


@dataclass(frozen=True, slots=True, kw_only=True)
class Text:
    """A cell with words or a value; line breaks are kept."""

    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class State:
    """A cell with a verdict: the shape, and words (empty: those of the sign)."""

    state: StateSign
    words: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Window:
    """A cell with a window sign."""

    sign: WindowSign


WindowCell = Window


@dataclass(frozen=True, slots=True, kw_only=True)
class Blank:
    """A cell to write in by hand; ``hint`` is set small, e.g. the unit."""

    hint: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Tick:
    """A cell with a box to tick and words beside it."""

    text: str = ""


Cell = Text | State | Window | Blank | Tick


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """A table column: title, alignment and its share of the width (None: as needed)."""

    title: str
    align: Align = Align.LEFT
    width_weight: float | None = None

    def __post_init__(self) -> None:
        if self.width_weight is not None and not 0 < self.width_weight < 1e6:
            raise ValueError(f"column {self.title!r}: width weight must be above zero")


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """A table row; a GROUP row has one cell, other rows one for each column."""

    cells: tuple[Cell, ...]
    emphasis: Emphasis = Emphasis.PLAIN


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """A table; its head is repeated on each page."""

    columns: tuple[Column, ...]
    rows: tuple[Row, ...]
    caption: str = ""

    def __post_init__(self) -> None:
        if not self.columns:
            raise ValueError("a table needs at least one column")
        for number, row in enumerate(self.rows, start=1):
            allowed = 1 if row.emphasis is Emphasis.GROUP else len(self.columns)
            if len(row.cells) != allowed:
                raise ValueError(
                    f"table row {number} has {len(row.cells)} cells; it must have {allowed}"
                )


@dataclass(frozen=True, slots=True, kw_only=True)
class Heading:
    """A heading; level 1 opens a part, 2 and 3 divide it."""

    level: int = 1
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Paragraph:
    """Running text."""

    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Caution:
    """A caution in a box, next to what it concerns."""

    text: str
    title: str = "Caution"


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """A drawing: SVG for paper, text lines for a terminal."""

    svg: str
    caption: str = ""
    alternative_text: str
    text: str = ""
    ascii_text: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class CrankFigure:
    """The crank drawing with a legend of the signs in it."""

    drawing: CrankDrawing
    caption: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class KeyValues:
    """Names and values, e.g. the identity of an engine."""

    pairs: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Checklist:
    """Things to tick off."""

    items: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class WritingLines:
    """Empty lines for the hand."""

    count: int
    label: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class SignatureBox:
    """One line to sign for each label."""

    labels: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PageBreak:
    """A new page."""


Block = (
    Heading
    | Paragraph
    | Caution
    | Table
    | Figure
    | CrankFigure
    | KeyValues
    | Checklist
    | WritingLines
    | SignatureBox
    | PageBreak
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Document:
    """A whole sheet.

    ``job_number`` stands on each page; ``qr_text`` (empty: the job number)
    is what the QR code on each page says; without either there is none.
    ``language`` is the tag that a screen reader goes by.
    """

    title: str
    subtitle: str = ""
    paper: Paper = Paper.A4
    job_number: str = ""
    qr_text: str = ""
    blocks: tuple[Block, ...] = ()
    footer: str = ""
    language: str = "en"
