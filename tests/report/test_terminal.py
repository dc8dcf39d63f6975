import pytest
from hypothesis import given, settings
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
from oilwedge.report.encoding import Encoding
from oilwedge.report.line_wrap import text_columns
from oilwedge.report.state_sign import StateSign
from oilwedge.report.terminal import Colour, render_terminal
from oilwedge.report.window import WindowMark, WindowSign

SIGN = WindowSign(
    low=0.021, high=0.049, service_high=0.06, marks=(WindowMark(value=0.038, half_width=0.006),)
)


def _fits(*names: str) -> Table:
    return Table(
        columns=(
            Column(title="Bearing"),
            Column(title="Verdict"),
            Column(title="Window"),
            Column(title="Clearance", align=Align.NUMBER),
        ),
        rows=tuple(
            Row(
                cells=(
                    Text(text=name),
                    State(state=StateSign.RIGHT_CLOSE),
                    Window(sign=SIGN),
                    Text(text="0.038 ± 0.006 mm"),
                )
            )
            for name in names
        ),
    )


def _render(*blocks: Block, columns: int = 80, encoding: Encoding = Encoding.UNICODE) -> str:
    document = Document(title="Build sheet", blocks=blocks)
    return render_terminal(document, columns=columns, encoding=encoding)


@pytest.mark.parametrize("columns", [40, 60, 80, 120])
def test_a_value_keeps_its_uncertainty_and_unit_on_one_line(columns: int) -> None:
    text = _render(_fits("rod 1", "rod 2"), columns=columns)
    assert text.count("0.038 ± 0.006 mm") == 2
    assert all(text_columns(line) <= columns for line in text.splitlines())


def test_a_value_longer_than_a_word_may_be_is_still_not_broken() -> None:
    value = "1000000000.038 ± 1000000000.006 mm"
    columns = (Column(title="a"), Column(title="b"))
    table = Table(columns=columns, rows=(Row(cells=(Text(text=value), Text(text="x " * 90))),))
    assert value in _render(table, columns=50)


def test_a_table_that_fits_has_a_window_beside_its_verdict() -> None:
    text = _render(_fits("rod 1"))
    (line,) = [line for line in text.splitlines() if "rod 1" in line]
    assert "●│ right" in line
    assert "[" in line


def test_a_table_too_wide_sets_the_window_under_its_row() -> None:
    lines = _render(_fits("the rod bearing number 1"), columns=56).splitlines()
    at = next(number for number, line in enumerate(lines) if "0.038" in line)
    assert "┣" not in lines[at]
    assert any("┣" in line for line in lines[at + 1 :])


def test_a_table_that_fits_no_way_is_set_as_records() -> None:
    columns = tuple(Column(title=f"measured place {number}") for number in range(8))
    row = Row(cells=tuple(Text(text=f"47.97{number} mm") for number in range(8)))
    text = _render(Table(columns=columns, rows=(row,)), columns=40)
    assert "measured place 7: 47.977 mm" in text


def test_cells_wrap_inside_their_columns() -> None:
    table = Table(
        columns=(Column(title="a"), Column(title="b")),
        rows=(Row(cells=(Text(text="word " * 30), Text(text="END"))),),
    )
    lines = _render(table, columns=50).splitlines()
    at = next(line.index("END") for line in lines if "END" in line)
    assert all("word" not in line[at - 2 :] for line in lines)


def test_there_is_no_colour_unless_asked() -> None:
    document = Document(title="t", blocks=(Heading(text="h"), _fits("rod 1")))
    assert "\x1b" not in render_terminal(document)
    assert "\x1b[" in render_terminal(document, colour=Colour.ANSI)


def test_control_characters_in_data_do_not_reach_the_terminal() -> None:
    text = _render(Paragraph(text="a\x1b[31mred\x07"), Heading(text="\x9b31m"))
    assert not set(text) & {"\x1b", "\x07", "\x9b"}


def test_a_caution_is_marked_on_each_of_its_lines() -> None:
    lines = _render(Caution(text="Support the crank. " * 10)).splitlines()
    assert sum(line.startswith("┃ ") for line in lines) > 2


def test_a_figure_without_text_says_what_it_shows() -> None:
    figure = Figure(svg="<svg/>", alternative_text="a journal with taper")
    assert "[a journal with taper]" in _render(figure)


def test_a_crank_has_a_legend_of_its_signs() -> None:
    drawing = CrankDrawing(
        mains=(MainMark(label="1", state=StateSign.LOOSE),),
        throws=(Throw(angle_deg=0, rods=(RodMark(label="1"),)),),
    )
    assert "◒ loose" in _render(CrankFigure(drawing=drawing))


def test_too_few_columns_are_refused() -> None:
    with pytest.raises(ValueError, match="40 columns"):
        render_terminal(Document(title="t"), columns=39)


def test_the_whole_document_can_be_printed_in_ascii() -> None:
    text = _render(Heading(text="Fits, µm"), _fits("Pleuel 1 größer"), encoding=Encoding.ASCII)
    assert text.isascii()
    assert "0.038 +/- 0.006 mm" in text
    assert "Fits, um" in text


texts = st.text(max_size=60)
cells = st.one_of(
    st.builds(Text, text=texts),
    st.builds(State, state=st.sampled_from(StateSign), words=texts),
    st.builds(Blank, hint=texts),
    st.builds(Tick, text=texts),
    st.builds(
        Window,
        sign=st.builds(
            WindowSign,
            high=st.none() | st.floats(-1e9, 1e9),
            marks=st.lists(
                st.builds(WindowMark, label=texts, value=st.floats(-1e9, 1e9)), max_size=3
            ).map(tuple),
        ),
    ),
)


@st.composite
def tables(draw: st.DrawFn) -> Table:
    columns = draw(
        st.lists(
            st.builds(Column, title=texts, align=st.sampled_from(Align)), min_size=1, max_size=5
        )
    )
    count = len(columns)
    plain = st.builds(Row, cells=st.lists(cells, min_size=count, max_size=count).map(tuple))
    group = st.builds(
        Row, cells=st.tuples(st.builds(Text, text=texts)), emphasis=st.just(Emphasis.GROUP)
    )
    rows = draw(st.lists(plain | group, max_size=4))
    return Table(columns=tuple(columns), rows=tuple(rows), caption=draw(texts))


blocks = st.one_of(
    st.builds(Heading, level=st.integers(1, 3), text=texts),
    st.builds(Paragraph, text=texts),
    st.builds(Caution, text=texts, title=texts),
    tables(),
    st.builds(KeyValues, pairs=st.lists(st.tuples(texts, texts), max_size=3).map(tuple)),
    st.builds(Checklist, items=st.lists(texts, max_size=3).map(tuple)),
    st.builds(WritingLines, count=st.integers(0, 4), label=texts),
    st.builds(SignatureBox, labels=st.lists(texts, max_size=3).map(tuple)),
    st.builds(PageBreak),
)
documents = st.builds(
    Document,
    title=texts,
    subtitle=texts,
    job_number=texts,
    footer=texts,
    blocks=st.lists(blocks, max_size=3).map(tuple),
)


@given(documents, st.sampled_from(Encoding), st.sampled_from([40, 80]))
@settings(max_examples=80, deadline=None)
def test_any_document_stays_inside_its_columns(
    document: Document, encoding: Encoding, columns: int
) -> None:
    text = render_terminal(document, columns=columns, encoding=encoding)
    assert all(text_columns(line) <= columns for line in text.split("\n"))
    if encoding is Encoding.ASCII:
        assert text.isascii()
