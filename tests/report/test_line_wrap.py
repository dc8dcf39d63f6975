from hypothesis import given
from hypothesis import strategies as st

from oilwedge.report.line_wrap import cut_text, pad_text, text_columns, wrap_text


def test_a_held_space_is_not_broken_and_comes_out_plain() -> None:
    assert wrap_text("it is 0.038\xa0±\xa00.006\xa0mm", columns=17) == ("it is", "0.038 ± 0.006 mm")


def test_a_word_longer_than_the_line_is_cut_without_loss() -> None:
    assert wrap_text("abcdefgh", columns=3) == ("abc", "def", "gh")


def test_line_breaks_stay() -> None:
    assert wrap_text("a\n\nb", columns=10) == ("a", "", "b")


def test_wide_and_combining_characters_count_as_a_terminal_draws_them() -> None:
    assert text_columns("漢字") == 4
    assert text_columns("e\N{COMBINING ACUTE ACCENT}") == 1
    assert pad_text("漢", columns=4) == "漢  "
    assert cut_text("漢字", columns=3) == "漢"


@given(st.text(), st.integers(2, 40))
def test_no_line_is_wider_than_its_columns_and_nothing_is_lost(text: str, columns: int) -> None:
    lines = wrap_text(text, columns=columns)
    assert all(text_columns(line) <= columns for line in lines)
    white = str.maketrans("", "", " \t\n\xa0")
    assert "".join(lines).translate(white) == text.translate(white)
