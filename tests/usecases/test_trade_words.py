"""A shop that says "end play" and "insert" reads these words everywhere."""

from __future__ import annotations

import pytest

from oilwedge.engine.model import Engine
from oilwedge.errors import ShopFileError
from oilwedge.metrology.reading import Reading
from oilwedge.report.document import Column, Document, Figure, Heading, Paragraph, Row, Table, Text
from oilwedge.report.terminal import render_terminal
from oilwedge.shop.file import read_shop
from oilwedge.shop.model import DEFAULT_SHOP, TradeWords
from oilwedge.usecases.importing import read_table
from oilwedge.usecases.trade_words import in_trade_words, spoken

THEIRS = TradeWords(end_float="end play", shell="insert")


@pytest.mark.parametrize(
    ("ours", "theirs"),
    [
        ("crank end float", "crank end play"),
        ("End float is how far it moves", "End play is how far it moves"),
        ("rod shells are new", "rod inserts are new"),
        ("Shell wall, cap side", "Insert wall, cap side"),
        ("the Shelley bench", "the Shelley bench"),
        ("nutshell", "nutshell"),
        ("behind a shell", "behind an insert"),
        ("A shell of the wrong grade", "An insert of the wrong grade"),
    ],
)
def test_whole_words_change_with_their_plural_and_their_capital(ours: str, theirs: str) -> None:
    assert spoken(ours, words=THEIRS) == theirs
    assert spoken(ours, words=TradeWords()) == ours


def test_every_text_of_a_document_changes_and_what_is_no_text_stays() -> None:
    document = Document(
        title="Shells",
        job_number="shell 7",
        blocks=(
            Heading(text="The shell"),
            Paragraph(text="Crank end float: see the shells."),
            Table(
                columns=(Column(title="shell"),),
                rows=(Row(cells=(Text(text="rod shell 3"),)),),
            ),
            Figure(svg="<svg><title>shell</title></svg>", alternative_text="a shell"),
        ),
    )
    changed = in_trade_words(document, words=THEIRS)
    shown = render_terminal(changed)
    assert "insert" in shown.casefold()
    assert "shell" not in shown.replace("shell 7", "").casefold()
    assert changed.job_number == "shell 7"
    assert "<title>shell</title>" in repr(changed)
    assert in_trade_words(document, words=TradeWords()) is document


def test_the_shop_file_says_which_word() -> None:
    shop = read_shop('[words]\nend_float = "end play"\nshell = "insert"\n', file="shop.toml")
    assert shop.words == THEIRS
    with pytest.raises(ShopFileError, match="shell"):
        read_shop('[words]\nshell = "liner"\n', file="shop.toml")


@pytest.mark.parametrize("name", ["rod insert bore", "rod_shell_bore", "Rod Shell Bore"])
def test_both_words_are_understood_in_a_table(name: str, wren_single: Engine) -> None:
    table = f"feature,number,value\n{name},1,48.01 mm\n".encode()
    (reading,) = read_table(table, engine=wren_single, shop=DEFAULT_SHOP).entries
    assert isinstance(reading, Reading)
    assert reading.feature == "rod_shell_bore"
