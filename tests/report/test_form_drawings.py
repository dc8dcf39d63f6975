"""Drawings that explain the words of form."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET

import pytest

from oilwedge.report.document import Document
from oilwedge.report.form_drawings import (
    HEIGHT_PX,
    WIDTH_PX,
    FormWord,
    form_figure,
    form_row_figure,
    form_svg,
)
from oilwedge.report.terminal import render_terminal

SVG = "{http://www.w3.org/2000/svg}"


@pytest.mark.parametrize("word", FormWord)
def test_a_drawing_is_a_picture_with_words_for_who_does_not_see_it(word: FormWord) -> None:
    root = ET.fromstring(form_svg(word))
    assert root.get("role") == "img"
    title, description = root.find(f"{SVG}title"), root.find(f"{SVG}desc")
    assert title is not None
    assert description is not None
    assert (title.text or "").casefold() == word.value
    assert len(description.text or "") > 60
    assert form_figure(word).alternative_text == description.text


@pytest.mark.parametrize("word", FormWord)
def test_a_drawing_needs_no_style_sheet_and_no_colour(word: FormWord) -> None:
    svg = form_svg(word)
    assert "style" not in svg
    for colour in re.findall(r"#([0-9a-f]{6})", svg):
        red, green, blue = (int(colour[i : i + 2], 16) for i in (0, 2, 4))
        assert max(red, green, blue) - min(red, green, blue) < 16


@pytest.mark.parametrize("word", FormWord)
def test_nothing_is_drawn_outside_the_sheet(word: FormWord) -> None:
    root = ET.fromstring(form_svg(word))
    for text in root.iter(f"{SVG}text"):
        x, y = float(text.get("x", "nan")), float(text.get("y", "nan"))
        half = len(text.text or "") * 6.2 / 2
        assert half <= x <= WIDTH_PX - half
        assert 8 < y < HEIGHT_PX


@pytest.mark.parametrize("word", FormWord)
def test_the_explanation_is_two_sentences(word: FormWord) -> None:
    assert len(re.findall(r"[.](?:\s|$)", word.explanation)) == 2
    assert word.seen_by


def arrow_heights(word: FormWord) -> list[float]:
    """Lengths of the upright arrows from left to right: the diameters as drawn."""
    found = re.findall(r'd="M([\d.]+) ([\d.]+)L([\d.]+) ([\d.]+)M', form_svg(word))
    upright = [(float(x0), float(y1) - float(y0)) for x0, y0, x1, y1 in found if x0 == x1]
    return [height for _, height in sorted(upright)]


def test_the_shapes_are_what_their_words_say() -> None:
    front, rear = arrow_heights(FormWord.TAPER)
    assert front > rear
    front, middle, rear = arrow_heights(FormWord.BARREL)
    assert front == rear < middle
    front, middle, rear = arrow_heights(FormWord.HOURGLASS)
    assert front == rear > middle


def test_a_row_names_every_word_and_explains_it() -> None:
    figure = form_row_figure((FormWord.TAPER, FormWord.BARREL))
    assert figure.svg.count("<g transform") == 2
    assert figure.caption.splitlines() == [
        FormWord.TAPER.explanation,
        FormWord.BARREL.explanation,
    ]
    assert "Barrel" in figure.alternative_text


def test_a_terminal_shows_the_words_instead() -> None:
    document = Document(title="Words", blocks=(form_figure(FormWord.TAPER),))
    assert "one end is thicker" in " ".join(render_terminal(document).split())
