"""Parts in stock: what is read, and what is said about what cannot be."""

import pytest

from oilwedge.shop.file import check_shop, read_shop
from oilwedge.shop.model import StockItem

SHELLS = """\
[stock.rod_shells_b]
part = "rod_shells"
fit = "rod_bearing"
grade = "B"
undersize = "0.25 mm"
size = "1.625 mm"
tolerance = "3 um"
count = 6
price = "11.50 EUR"
place = "shelf 2, box 14"
note = "bought for the invented four"
"""


def item(text: str) -> StockItem:
    (found,) = read_shop(text, file="shop.toml").stock.values()
    return found


def only_fault(text: str) -> str:
    faults = [fault.sentence() for fault in check_shop(text, file="s.toml").faults]
    assert len(faults) == 1, faults
    return faults[0]


def test_a_graded_shell_is_read_with_its_wall_and_its_place() -> None:
    found = item(SHELLS)
    assert found == StockItem(
        key="rod_shells_b",
        part="rod_shells",
        title="rod shells, grade B, 0.25 mm under",
        fit="rod_bearing",
        grade="B",
        step_m=0.25e-3,
        step_text="0.25 mm under",
        size_m=1.625e-3,
        tolerance_m=3e-6,
        count=6,
        price="11.50 EUR",
        place="shelf 2, box 14",
        note="bought for the invented four",
    )


def test_what_was_measured_comes_before_what_the_maker_says() -> None:
    assert item(SHELLS).best_size_m == 1.625e-3
    assert item(SHELLS + 'measured = "1.6262 mm"\n').best_size_m == pytest.approx(1.6262e-3)


@pytest.mark.parametrize(
    ("line", "step_m", "words"),
    [
        ("undersize = 0", 0.0, "standard"),
        ('undersize = "0.010 in"', 0.254e-3, "0.010 in under"),
        ('oversize = "0.5 mm"', 0.5e-3, "0.5 mm over"),
        ("oversize = 0", 0.0, "standard"),
        ("", None, ""),
    ],
)
def test_a_step_is_positive_either_way(line: str, step_m: float | None, words: str) -> None:
    found = item(f'[stock.a]\npart = "pistons"\n{line}\n')
    assert found.step_m == (None if step_m is None else pytest.approx(step_m))
    assert found.step_text == words
    assert found.title == ("pistons" if not words else f"pistons, {words}")


def test_used_up_parts_stay_on_file_and_out_of_the_choice() -> None:
    shop = read_shop(SHELLS + '[stock.gone]\npart = "rod_shells"\ncount = 0\n', file="shop.toml")
    assert list(shop.stock) == ["rod_shells_b", "gone"]
    assert [one.key for one in shop.stock_of("rod_shells")] == ["rod_shells_b"]
    assert shop.stock_of("pistons") == ()


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("[stock.a]\ncount = 2\n", "it says which part of an engine it is"),
        (SHELLS + 'oversize = "0.25 mm"\n', "not at both"),
        ('[stock.a]\npart = "pins"\nundersize = "25 mm"\n', "a step of size is 0 to 2.5 mm"),
        ('[stock.a]\npart = "pins"\noversize = "-0.25 mm"\n', "a step of size is 0 to 2.5 mm"),
        ('[stock.a]\npart = "pins"\nsize = "-1 mm"\n', "a length above 0"),
        ('[stock.a]\npart = "pins"\nmeasured = "0 mm"\n', "a length above 0"),
        ('[stock.a]\npart = "pins"\ntolerance = "1 um"\n', "none is given"),
        (SHELLS.replace('"3 um"', '"3 mm"'), "smaller than it"),
        ('[stock.a]\npart = "pins"\ncount = -1\n', "a number greater than or equal 0 is needed"),
        ('[stock.a]\npart = "pins"\ncount = 1.5\n', "given '1.5'"),
        ('[stock.a]\npart = "pins"\nsize = "1.5"\n', "the unit is missing"),
        ('[stock.a]\npart = "pins"\nshelf = "2"\n', "this key is not known here"),
    ],
)
def test_what_cannot_be_meant_is_one_sentence(text: str, words: str) -> None:
    assert words in only_fault(text)
