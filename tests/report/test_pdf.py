import re
import sys
from datetime import UTC, datetime
from itertools import count

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from oilwedge.errors import InputError, MissingExtraError
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
    Paper,
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
from oilwedge.report.pdf import render_pdf
from oilwedge.report.state_sign import StateSign
from oilwedge.report.window import WindowMark, WindowSign

pdfium = pytest.importorskip("pypdfium2")
pytest.importorskip("typst")

CREATED = datetime(2026, 1, 2, 3, 4, 5, tzinfo=UTC)
SIGN = WindowSign(low=0.021, high=0.049, marks=(WindowMark(label="strip", value=0.03),))


def _pages(pdf: bytes) -> list[str]:
    """The text of each page without spaces, as spaces differ between readers of PDF."""
    with pdfium.PdfDocument(pdf) as document:
        pages = [page.get_textpage().get_text_range() for page in document]
    return [_bare(page) for page in pages]


def _bare(text: str) -> str:
    return re.sub(r"[\s\u200b\xa0\ufffe]", "", text)


def _render(*blocks: Block, **head: str) -> bytes:
    document = Document(title=head.pop("title", "Build sheet"), blocks=blocks, **head)  # type: ignore[arg-type]
    return render_pdf(document, created=CREATED)


def _everything() -> tuple[tuple[Block, ...], list[str]]:
    """One of each block, each text with a number of its own."""
    numbers = count(1)
    given: list[str] = []

    def text() -> str:
        given.append(f"word{next(numbers):03d}")
        return given[-1]

    columns = tuple(
        Column(title=text(), align=align)
        for align in (Align.LEFT, Align.NUMBER, Align.CENTRE, Align.RIGHT, Align.LEFT)
    )
    cells = (
        State(state=StateSign.LOOSE, words=text()),
        Text(text="0.038 ± 0.006"),
        Window(sign=SIGN),
        Blank(hint=text()),
        Tick(text=text()),
    )
    group = Row(cells=(Text(text=text()),), emphasis=Emphasis.GROUP)
    drawing = CrankDrawing(
        mains=(MainMark(label=text()), MainMark(label=text())),
        throws=(Throw(angle_deg=0, rods=(RodMark(label=text()),)),),
    )
    blocks: tuple[Block, ...] = (
        Heading(level=1, text=text()),
        Heading(level=2, text=text()),
        Heading(level=3, text=text()),
        Paragraph(text=text()),
        Caution(title=text(), text=text()),
        Table(columns=columns, rows=(group, Row(cells=cells)), caption=text()),
        CrankFigure(drawing=drawing, caption=text()),
        KeyValues(pairs=((text(), text()), (text(), text()))),
        Checklist(items=(text(), text())),
        WritingLines(count=2, label=text()),
        SignatureBox(labels=(text(), text())),
    )
    return blocks, [*given, "0.038±0.006", "strip", "notmeasured"]


def test_every_text_of_the_document_is_on_the_sheet() -> None:
    blocks, texts = _everything()
    pdf = _render(*blocks, title="Title", subtitle="Subtitle", job_number="J-7", footer="Footer")
    page = "".join(_pages(pdf))
    for text in [*texts, "Title", "Subtitle", "J-7", "Footer"]:
        assert text in page


def test_the_same_document_gives_the_same_bytes() -> None:
    blocks, _ = _everything()
    assert _render(*blocks, job_number="J-7") == _render(*blocks, job_number="J-7")


def test_pages_are_counted_on_each_page_with_the_job_number() -> None:
    pages = _pages(_render(Paragraph(text="a"), PageBreak(), Paragraph(text="b"), job_number="J-7"))
    assert len(pages) == 2
    for number, page in enumerate(pages, start=1):
        assert f"page{number}of2" in page
        assert "J-7" in page


def test_a_long_table_repeats_its_head_and_loses_no_row() -> None:
    table = Table(
        columns=(Column(title="Journal head"), Column(title="Size", align=Align.NUMBER)),
        rows=tuple(
            Row(cells=(Text(text=f"journal {n};"), Text(text=f"47.{n:03d}"))) for n in range(120)
        ),
    )
    pages = _pages(_render(table))
    assert len(pages) > 1
    assert all("Journalhead" in page for page in pages)
    everything = "".join(pages)
    assert all(f"journal{n};" in everything for n in range(120))


@pytest.mark.parametrize(
    "text",
    [
        "#panic()",
        '#read("/etc/passwd")',
        "*strong* _emph_ `raw` $x^2$",
        "= heading",
        "- item",
        "<label> @reference",
        "\\u{41} \\ \\#",
        '"); #let x = (',
        "</svg><script>alert(1)</script>",
        "// comment /* more */",
        "100 % [a](b) ~ -- ---",
        "Åsa Żółć Ωμέγα Привет",
    ],
)
def test_text_that_looks_like_markup_appears_as_it_is(text: str) -> None:
    table = Table(columns=(Column(title=text),), rows=(Row(cells=(Text(text=text),)),))
    pdf = _render(Heading(text=text), Paragraph(text=text), table, Checklist(items=(text,)))
    # heading, paragraph, table head, table cell and checklist
    assert "".join(_pages(pdf)).count(_bare(text)) == 5


def test_a_label_in_a_drawing_is_text_and_never_markup() -> None:
    sign = WindowSign(low=0.0, high=1.0, marks=(WindowMark(label="<b>#&", value=0.5),))
    table = Table(columns=(Column(title="w"),), rows=(Row(cells=(Window(sign=sign),)),))
    assert "<b>#&" in _pages(_render(table))[0]


def test_a_very_long_word_stays_on_the_paper() -> None:
    word = "Pleuellagerschalen" * 20
    pdf = _render(Paragraph(text=word), Heading(text=word))
    with pdfium.PdfDocument(pdf) as document:
        page = document[0]
        width = page.get_width()
        text_page = page.get_textpage()
        rights = [text_page.get_charbox(n)[2] for n in range(text_page.count_chars())]
    assert max(rights) < width
    assert _bare(word) in _pages(pdf)[0]


@pytest.mark.parametrize(("paper", "size_mm"), [(Paper.A4, (210, 297)), (Paper.LETTER, (216, 279))])
def test_the_paper_has_its_size(paper: Paper, size_mm: tuple[int, int]) -> None:
    # ISO 216: A4 is 210 mm by 297 mm; ANSI Letter is 8.5 in by 11 in (RECALLED)
    pdf = render_pdf(Document(title="t", paper=paper), created=CREATED)
    with pdfium.PdfDocument(pdf) as document:
        size_pt = document[0].get_size()
    assert tuple(round(length / 72 * 25.4) for length in size_pt) == size_mm


def test_the_sheet_is_tagged_and_names_its_title_and_date() -> None:
    pdf = _render(Paragraph(text="a"), title="Build sheet")
    with pdfium.PdfDocument(pdf) as document:
        assert document.is_tagged()
        assert document.get_metadata_value("Title") == "Build sheet"
        assert "20260102030405" in document.get_metadata_value("CreationDate")


def test_fonts_are_those_of_the_font_packages() -> None:
    svg = (
        '<svg xmlns="http://www.w3.org/2000/svg" width="60" height="20">'
        '<text x="0" y="15" font-family="Arial">µm</text></svg>'
    )
    pdf = _render(Paragraph(text="a ± b"), Figure(svg=svg, alternative_text="x"))
    names = re.findall(rb"/BaseFont ?/[A-Z]{6}\+([A-Za-z]+)", pdf)
    assert names
    assert all(name.startswith(b"IBMPlex") for name in names)


def test_fonts_of_the_system_are_not_asked(monkeypatch: pytest.MonkeyPatch) -> None:
    asked: dict[str, object] = {}

    def compile_nothing(template: object, **settings: object) -> bytes:
        asked.update(settings)
        return b""

    monkeypatch.setattr("typst.compile", compile_nothing)
    _render()
    assert asked["ignore_system_fonts"] is True


def test_the_missing_extra_is_named_with_its_remedy(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "typst", None)
    with pytest.raises(MissingExtraError, match=r"pip install '\.\[pdf\]'"):
        _render()


def test_a_squeezed_table_keeps_windows_and_values_apart() -> None:
    long = Text(text="Kurbelwellenhauptlagerzapfen " * 3)
    value = "0.038 ± 0.006 mm"
    columns = (
        *(Column(title=str(number)) for number in range(3)),
        Column(title="w"),
        Column(title="n", align=Align.NUMBER),
    )
    row = Row(cells=(long, long, long, Window(sign=SIGN), Text(text=value)))
    with pdfium.PdfDocument(_render(Table(columns=columns, rows=(row,)))) as document:
        page = document[0].get_textpage()
        text = page.get_text_range()
        label, number = text.index("strip"), text.index("0.038")
        assert page.get_charbox(label + 4)[2] < page.get_charbox(number)[0]


def test_a_date_without_time_zone_is_refused() -> None:
    with pytest.raises(ValueError, match="time zone"):
        render_pdf(Document(title="t"), created=datetime(2026, 1, 2))


def test_a_qr_text_that_is_too_long_is_refused_in_a_sentence() -> None:
    with pytest.raises(InputError, match="give a shorter text"):
        render_pdf(Document(title="t", qr_text="x" * 5000), created=CREATED)


texts = st.text(max_size=80)


@given(texts, texts, texts)
@settings(
    max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
def test_any_text_can_be_set(title: str, job: str, text: str) -> None:
    table = Table(
        columns=(Column(title=text, align=Align.NUMBER), Column(title=title)),
        rows=(Row(cells=(Text(text=text), State(state=StateSign.RIGHT, words=text))),),
    )
    pdf = _render(
        Heading(text=text), Caution(text=text), table, title=title, job_number=job, language=text
    )
    assert pdf.startswith(b"%PDF-")
