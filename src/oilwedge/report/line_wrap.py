"""Breaking text into lines of so many terminal columns."""

import unicodedata

from oilwedge.report.value_text import NO_BREAK

_WHITE = " \t"


def text_columns(text: str) -> int:
    """Count the columns that a terminal takes for the text."""
    if text.isascii():
        return len(text)
    return sum(_character_columns(character) for character in text)


def _character_columns(character: str) -> int:
    if unicodedata.combining(character) or unicodedata.category(character) in {"Cf", "Mn", "Me"}:
        return 0
    return 2 if unicodedata.east_asian_width(character) in "WF" else 1


def longest_word_columns(text: str) -> int:
    """Count the columns of the longest stretch that may not be broken at a space."""
    return max(
        (text_columns(word) for line in text.split("\n") for word in _words(line)), default=0
    )


def wrap_text(text: str, *, columns: int) -> tuple[str, ...]:
    """Break at plain spaces; line breaks stay; a word longer than a line is cut.

    Non-breaking spaces hold and come out as plain ones.  At least one line is given.
    """
    lines: list[str] = []
    for paragraph in text.split("\n"):
        line = ""
        for word in _words(paragraph):
            if not line:
                line = word
            elif text_columns(line) + 1 + text_columns(word) <= columns:
                line = f"{line} {word}"
            else:
                lines.append(line)
                line = word
            while text_columns(line) > columns:
                head = _head(line, columns)
                lines.append(head)
                line = line[len(head) :]
        lines.append(line)
    return tuple(line.replace(NO_BREAK, " ") for line in lines)


def _words(line: str) -> list[str]:
    for white in _WHITE[1:]:
        line = line.replace(white, " ")
    return [word for word in line.split(" ") if word]


def _head(word: str, columns: int) -> str:
    used = 0
    for position, character in enumerate(word):
        used += _character_columns(character)
        if used > columns and position > 0:
            return word[:position]
    return word


def pad_text(text: str, *, columns: int) -> str:
    """Fill with spaces on the right."""
    return text + " " * max(0, columns - text_columns(text))


def cut_text(text: str, *, columns: int) -> str:
    """Cut a line that is too long for its place."""
    return text if text_columns(text) <= columns else _head(text, columns)
