"""The character sets that a terminal may offer."""

from enum import Enum

from oilwedge.report.svg_text import legible


class Encoding(Enum):
    """What may be printed: any Unicode character, or ASCII only."""

    UNICODE = "unicode"
    ASCII = "ascii"


# Longest first where one is part of another. Units follow the keyboard spelling
# that the unit parser reads back ("um", "deg", "+/-").
_REPLACEMENTS = {
    "\N{MICRO SIGN}": "u",
    "\N{GREEK SMALL LETTER MU}": "u",
    "\N{PLUS-MINUS SIGN}": "+/-",
    "\N{MULTIPLICATION SIGN}": "x",
    "\N{DIVISION SIGN}": "/",
    "\N{DEGREE SIGN}": "deg",
    "\N{MINUS SIGN}": "-",
    "\N{EN DASH}": "-",
    "\N{EM DASH}": "-",
    "\N{HYPHEN}": "-",
    "\N{NON-BREAKING HYPHEN}": "-",
    "\N{MIDDLE DOT}": ".",
    "\N{BULLET}": "*",
    "\N{HORIZONTAL ELLIPSIS}": "...",
    "\N{LEFT SINGLE QUOTATION MARK}": "'",
    "\N{RIGHT SINGLE QUOTATION MARK}": "'",
    "\N{LEFT DOUBLE QUOTATION MARK}": '"',
    "\N{RIGHT DOUBLE QUOTATION MARK}": '"',
    "\N{PRIME}": "'",
    "\N{DOUBLE PRIME}": '"',
    "\N{LESS-THAN OR EQUAL TO}": "<=",
    "\N{GREATER-THAN OR EQUAL TO}": ">=",
    "\N{ALMOST EQUAL TO}": "~",
    "\N{RIGHTWARDS ARROW}": "->",
    "\N{LEFTWARDS ARROW}": "<-",
    "\N{LEFT RIGHT ARROW}": "<->",
    "\N{GREEK CAPITAL LETTER DELTA}": "d",
    "\N{GREEK SMALL LETTER PI}": "pi",
    "\N{GREEK SMALL LETTER ALPHA}": "alpha",
    "\N{GREEK SMALL LETTER SIGMA}": "s",
    "\N{SUPERSCRIPT TWO}": "2",
    "\N{SUPERSCRIPT THREE}": "3",
    "\N{VULGAR FRACTION ONE HALF}": "1/2",
    "\N{VULGAR FRACTION ONE QUARTER}": "1/4",
    "\N{VULGAR FRACTION THREE QUARTERS}": "3/4",
    "\N{LATIN SMALL LETTER SHARP S}": "ss",
    "\N{LATIN SMALL LETTER O WITH STROKE}": "o",
    "\N{LATIN CAPITAL LETTER O WITH STROKE}": "O",
    "\N{LATIN SMALL LETTER AE}": "ae",
    "\N{LATIN CAPITAL LETTER AE}": "AE",
    "\N{LATIN SMALL LETTER L WITH STROKE}": "l",
    "\N{LATIN CAPITAL LETTER L WITH STROKE}": "L",
    "\N{BALLOT BOX}": "[ ]",
    "\N{ZERO WIDTH SPACE}": "",
}
_TABLE = str.maketrans(_REPLACEMENTS)


def encode_text(text: str, *, encoding: Encoding) -> str:
    """Give the text in the characters that the encoding offers.

    In ASCII the signs of the trade are spelt out, accents fall away, and
    what is left over shows as a question mark, so that a loss can be seen.
    Non-breaking spaces stay what they are until the line is printed.
    """
    text = legible(text)
    if encoding is Encoding.UNICODE or text.isascii():
        return text
    spelt = text.translate(_TABLE)
    if spelt.isascii():
        return spelt
    return "".join(_ascii_character(character) for character in spelt)


def _ascii_character(character: str) -> str:
    import unicodedata

    if character.isascii() or character == "\N{NO-BREAK SPACE}":
        return character
    if unicodedata.combining(character) or unicodedata.category(character) in {"Cf", "Mn", "Me"}:
        return ""
    if unicodedata.category(character) == "Zs":
        return " "
    plain = unicodedata.normalize("NFKD", character).translate(_TABLE)
    letters = "".join(part for part in plain if part.isascii())
    return letters or "?"
