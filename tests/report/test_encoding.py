import pytest
from hypothesis import given
from hypothesis import strategies as st

from oilwedge.report.encoding import Encoding, encode_text


@pytest.mark.parametrize(
    ("text", "plain"),
    [
        ("38 µm", "38 um"),
        ("0.038 ± 0.006", "0.038 +/- 0.006"),
        ("−12", "-12"),
        ("90°", "90deg"),
        ("Åsa Łuć", "Asa Luc"),
        ("漢", "?"),
    ],
)
def test_signs_of_the_trade_are_spelt_out_in_ascii(text: str, plain: str) -> None:
    assert encode_text(text, encoding=Encoding.ASCII) == plain


def test_unicode_is_left_alone() -> None:
    assert encode_text("38 µm", encoding=Encoding.UNICODE) == "38 µm"


@given(st.text())
def test_nothing_but_ascii_and_the_held_space_is_left(text: str) -> None:
    assert encode_text(text, encoding=Encoding.ASCII).replace("\xa0", " ").isascii()
