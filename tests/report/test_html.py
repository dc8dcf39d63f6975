import re
import xml.etree.ElementTree as ET
from html.parser import HTMLParser

import pytest
from hypothesis import given
from hypothesis import strategies as st

from oilwedge.report.crank_drawing import CrankDrawing, MainMark, RodMark, Throw
from oilwedge.report.document import (
    Align,
    Blank,
    Block,
    Caution,
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
from oilwedge.report.form_drawings import FormWord, form_figure
from oilwedge.report.html import block_html, blocks_html, checked_svg, document_html, state_html
from oilwedge.report.state_sign import StateSign
from oilwedge.report.window_sign import WindowMark, WindowSign

NASTY = """<script>alert("x")</script> & 'quotes' " onload="y"""
CRANK = CrankDrawing(
    mains=(MainMark(label="1"), MainMark(label="2", state=StateSign.RIGHT)),
    throws=(Throw(angle_deg=0.0, rods=(RodMark(label="1", state=StateSign.TOO_TIGHT),)),),
)


def every_block(text: str) -> tuple[Block, ...]:
    sign = WindowSign(low=0.02, high=0.05, marks=(WindowMark(value=0.03, label=text),))
    return (
        Heading(level=1, text=text),
        Paragraph(text=text),
        Caution(title=text, text=text),
        Table(
            columns=(*(Column(title=text, align=one) for one in Align), Column(title="last")),
            rows=(
                Row(cells=(Text(text=text),), emphasis=Emphasis.GROUP),
                Row(
                    cells=(
                        Text(text=text),
                        State(state=StateSign.RIGHT, words=text),
                        Window(sign=sign),
                        Blank(hint=text),
                        Tick(text=text),
                    ),
                    emphasis=Emphasis.STRONG,
                ),
            ),
            caption=text,
        ),
        form_figure(FormWord.TAPER),
        CrankFigure(drawing=CRANK, caption=text),
        KeyValues(pairs=((text, text),)),
        Checklist(items=(text,)),
        WritingLines(count=2, label=text),
        SignatureBox(labels=(text,)),
        PageBreak(),
    )


class Reader(HTMLParser):
    """Collects tags and attributes, and whether every tag is closed."""

    VOID = frozenset({"br", "hr"})

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.tags: set[str] = set()
        self.attributes: set[str] = set()
        self.words: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.add(tag)
        self.attributes |= {name for name, _ in attrs}
        if tag not in self.VOID:
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        self.words.append(data)


def read(text: str) -> Reader:
    reader = Reader()
    reader.feed(text)
    reader.close()
    assert reader.open == []
    return reader


def test_no_text_is_read_as_markup_and_nothing_is_styled_or_run() -> None:
    found = read(blocks_html(every_block(NASTY)))
    assert not {"script", "style", "img", "iframe"} & found.tags
    assert "style" not in found.attributes
    assert not [name for name in found.attributes if name.startswith("on")]
    assert 'alert("x")' in "".join(found.words)


@given(st.text(min_size=1, max_size=40))
def test_any_text_gives_well_formed_markup_with_the_same_tags(text: str) -> None:
    assert read(blocks_html(every_block(text))).tags >= {"table", "figure", "dl", "ul", "h2"}
    plain = read(blocks_html(every_block("x")))
    assert read(blocks_html(every_block(text))).tags - {"br"} == plain.tags - {"br"}


def test_every_kind_of_block_is_rendered() -> None:
    kinds = {type(block) for block in every_block("x")}
    assert kinds == set(Block.__args__)
    assert all(block_html(block) for block in every_block("x"))


@pytest.mark.parametrize(("level", "first", "tag"), [(1, 2, "h2"), (3, 2, "h4"), (3, 5, "h6")])
def test_headings_stand_under_those_of_the_page(level: int, first: int, tag: str) -> None:
    block = Heading(level=level, text="Fits")
    assert block_html(block, first_level=first) == f"<{tag}>Fits</{tag}>"


def test_a_table_names_its_columns_rows_and_groups() -> None:
    table = Table(
        columns=(Column(title="fit"), Column(title="value", align=Align.NUMBER)),
        rows=(
            Row(cells=(Text(text="rod bearing"),), emphasis=Emphasis.GROUP),
            Row(cells=(Text(text="rod 1"), Text(text="0.035 mm\n0.036 mm"))),
        ),
    )
    root = ET.fromstring(block_html(table).replace("<br>", "<br/>"))
    assert [one.get("scope") for one in root.iter("th")] == ["col", "col", "colgroup", "row"]
    (cell,) = root.iter("td")
    assert (cell.get("class"), cell.text) == ("cell-number", "0.035 mm")
    group = next(row for row in root.iter("tr") if row.get("class") == "row-group")
    assert group[0].get("colspan") == "2"


def test_a_state_is_a_shape_and_words() -> None:
    found = state_html(StateSign.TOO_TIGHT, words="too small")
    assert "state-too-tight" in found
    assert "too small" in "".join(read(found).words)
    assert "past service limit" in state_html(StateSign.PAST_SERVICE)


def test_bearings_are_ways_in_where_links_are_given() -> None:
    found = block_html(CrankFigure(drawing=CRANK), links={"main 2": "/jobs/7/", "rod 1": "/x?a&b"})
    assert re.findall(r'href="([^"]*)"', found) == ["/x?a&amp;b", "/jobs/7/"]
    assert "href" not in block_html(CrankFigure(drawing=CRANK))


def test_the_legend_names_the_states_that_occur() -> None:
    found = "".join(read(block_html(CrankFigure(drawing=CRANK))).words)
    for words in ("right", "too tight", "not measured"):
        assert words in found
    assert "past service limit" not in found


@pytest.mark.parametrize(
    "svg",
    [
        "<svg><script>x</script></svg>",
        '<svg onload="x"></svg>',
        '<svg style="x"></svg>',
        "<svg><foreignObject/></svg>",
        '<svg><a href="javascript:x"/></svg>',
        "<!DOCTYPE svg><svg/>",
        "<p>no drawing</p>",
    ],
)
def test_a_drawing_that_could_act_is_refused(svg: str) -> None:
    with pytest.raises(ValueError, match="plain SVG"):
        checked_svg(svg)
    with pytest.raises(ValueError, match="plain SVG"):
        block_html(Figure(svg=svg, alternative_text="x"))


def test_a_document_has_its_subtitle_before_and_its_footer_behind() -> None:
    document = Document(
        title="Sheet", subtitle="2 fits", blocks=(Paragraph(text="middle"),), footer="± is U"
    )
    words = [word for word in read(document_html(document)).words if word.strip()]
    assert words == ["2 fits", "middle", "± is U"]
