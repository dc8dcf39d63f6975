"""The film's pages of a build sheet."""

from __future__ import annotations

from dataclasses import replace

import pytest

from oilwedge.engine.running import Running
from oilwedge.report.document import (
    Block,
    Figure,
    Heading,
    PageBreak,
    Paper,
    Paragraph,
    Table,
    Text,
)
from oilwedge.shop.model import DEFAULT_SHOP
from oilwedge.usecases.film_part import film_part
from oilwedge.usecases.film_sheet import (
    film_blocks,
    film_numbers,
    film_sheet,
    hardest,
    no_film_sentence,
)
from oilwedge.usecases.judging import judge
from oilwedge.usecases.length_face import LengthFace

from .film_made_up import engine, engine_film

FACE = LengthFace()


@pytest.fixture(scope="module")
def blocks() -> tuple[Block, ...]:
    films = (engine_film("full load", film_m=2e-6), engine_film("top speed", film_m=1.5e-6))
    return film_blocks(films=films, window=None, face=FACE)


def texts(blocks: tuple[Block, ...]) -> str:
    return "\n".join(one.text for one in blocks if isinstance(one, Paragraph | Heading))


def pages(blocks: tuple[Block, ...]) -> list[tuple[Block, ...]]:
    found: list[list[Block]] = []
    for one in blocks:
        if isinstance(one, PageBreak):
            found.append([])
        else:
            found[-1].append(one)
    return [tuple(page) for page in found]


def test_a_comparison_comes_first_and_then_one_page_for_each_bearing(
    blocks: tuple[Block, ...],
) -> None:
    first, *rest = pages(blocks)
    figure = next(one for one in first if isinstance(one, Figure))
    assert "big end 2: 2.0 µm" in figure.alternative_text
    assert "main bearing 2: no answer" in figure.alternative_text
    headings = [page[0] for page in rest]
    assert [one.text.split(":")[0] for one in headings if isinstance(one, Heading)] == [
        "Big end 1", "Big end 2", "Main bearing 1",
    ]  # fmt: skip
    assert all(sum(isinstance(one, Figure) for one in page) == 2 for page in rest)


def test_a_bearings_page_shows_the_condition_with_its_least_film(
    blocks: tuple[Block, ...],
) -> None:
    page = pages(blocks)[2]
    assert page[0] == Heading(level=2, text="Big end 2: its film at top speed")
    drawn = next(one for one in page if isinstance(one, Figure))
    assert "Least film 1.5 µm" in drawn.alternative_text


def test_its_table_holds_every_condition_beside_mid_limit(blocks: tuple[Block, ...]) -> None:
    table = next(one for one in pages(blocks)[2] if isinstance(one, Table))
    rows = [[cell.text for cell in row.cells if isinstance(cell, Text)] for row in table.rows]
    assert [row[0].split(",")[0] for row in rows] == [
        "full load", "at mid-limit", "top speed", "at mid-limit",
    ]  # fmt: skip
    assert rows[2][1:3] == ["0.050 mm", "1.5"]
    assert rows[3][1:3] == ["0.040 mm", "2.2"]


def test_it_says_what_it_is_not_how_to_read_it_and_what_it_rests_on(
    blocks: tuple[Block, ...],
) -> None:
    said = texts(blocks)
    assert "does not overrule the maker's limits" in said
    assert "no verdict on this sheet rests on it" in said
    assert "At full load big end 2 is the thinnest. More." in said
    assert "No answer for main bearing 2 at full load, top speed: it was not measured." in said
    assert said.count("A rule of thumb.") == 1
    assert "Journal path. The bearing stands still" in said


def test_no_answer_at_all_leaves_the_words() -> None:
    empty = replace(engine_film(), bearings=())
    found = film_blocks(films=(empty,), window=None, face=FACE)
    assert not any(isinstance(one, Figure) for one in found)
    assert "No answer for main bearing 2" in texts(found)
    assert film_blocks(films=(), window=None, face=FACE) == ()


def test_a_sheet_of_its_own_starts_without_an_empty_page() -> None:
    sheet = film_sheet(films=(engine_film(),), window=None, face=FACE, paper=Paper.A4)
    assert not isinstance(sheet.blocks[0], PageBreak)
    assert sheet.title == "Oil films: Heron four"


def test_an_engine_without_duty_gets_one_line_that_says_so() -> None:
    judgement = judge(engine=replace(engine(), running=Running()), shop=DEFAULT_SHOP, entries=())
    said = no_film_sentence(judgement)
    assert said.startswith("The oil film was not computed: the engine file does not say the stroke")
    heading, paragraph = film_part(judgement=judgement, face=FACE)
    assert isinstance(heading, Heading)
    assert paragraph == Paragraph(text=said)


def test_a_page_opens_at_the_condition_whose_film_is_no_figure_to_lean_on() -> None:
    film = engine_film()
    one = film.bearings[0]
    thick = replace(one, film=replace(one.film, outlet_temperature_c=230.0))
    thin = replace(
        one, film=replace(one.film, orbit=replace(one.film.orbit, minimum_film_m=0.1e-6))
    )
    assert thin.stands
    assert not thick.stands
    assert hardest([(film, thin), (film, thick)]) == (film, thick)
    assert hardest([(film, one), (film, thin)]) == (film, thin)
    touching = replace(thin, shape_gap_m=0.1e-6)
    assert hardest([(film, thick), (film, touching)]) == (film, thick)
    assert hardest([(film, touching), (film, one)]) == (film, touching)
    table = film_numbers([(film, thick)], face=LengthFace())
    cells = [cell.text for cell in table.rows[0].cells if isinstance(cell, Text)]
    assert any(cell.startswith("? ") for cell in cells)
