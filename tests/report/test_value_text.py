import pytest
from hypothesis import given
from hypothesis import strategies as st

from oilwedge.report.value_text import align_on_point, keep_together


@pytest.mark.parametrize(
    ("text", "held"),
    [
        ("0.038 ± 0.006 mm", "0.038~±~0.006~mm"),
        ("0.038 +/- 0.006 mm", "0.038~+/-~0.006~mm"),
        ("about 47.97 mm wide", "about 47.97~mm wide"),
        ("12 µm and 3 thou", "12~µm and 3~thou"),
        ("0.021 to 0.049 mm", "0.021~to~0.049~mm"),
        ("at ≤ 0.05 mm", "at ≤~0.05~mm"),
        ("60 N m", "60~N~m"),
        ("journal 3 rear", "journal 3 rear"),
        ("3 mmx", "3 mmx"),
    ],
)
def test_a_value_is_held_together_and_words_are_not(text: str, held: str) -> None:
    assert keep_together(text) == held.replace("~", "\xa0")


def test_decimal_points_stand_under_one_another() -> None:
    texts = ("3.5", "12.25", "101.203 ± 0.010", "−0.5")
    aligned = align_on_point(texts)
    assert {line.index(".") for line in aligned} == {3}
    assert len({len(line) for line in aligned}) == 1


def test_a_number_without_point_stands_where_the_points_are() -> None:
    whole, broken = align_on_point(("12", "3.5"))
    assert whole.rstrip("\xa0") == "12"
    assert broken.index(".") == 2


def test_words_in_a_number_column_are_left_alone() -> None:
    assert align_on_point(("not measured", "3.5"))[0] == "not measured"


@given(st.lists(st.text(max_size=20), max_size=5))
def test_alignment_adds_only_held_spaces(texts: list[str]) -> None:
    aligned = align_on_point(tuple(texts))
    assert [line.replace("\xa0", "") for line in aligned] == [
        text.replace("\xa0", "") for text in texts
    ]
