"""A value, its uncertainty and its unit stay on one line and under one another."""

import functools
import re

from oilwedge.units import UNITS

NO_BREAK = "\N{NO-BREAK SPACE}"
_PLUS_MINUS = re.compile(r"(?<=\d) ?(?:±|\+/-) ?(?=[\d.,])")
_COMPARISON = re.compile(r"(?<=[≤≥<>±~≈=]) (?=[\d.,+−-])")
_RANGE = re.compile(r"(?<=\d) (?:to|–) (?=[+−-]?[\d.,])")
_NUMBER = re.compile(r"[^\d\s]{0,2}\d+")


def keep_together(text: str) -> str:
    """Put non-breaking spaces between a number, its uncertainty, its range and its unit."""
    if " " not in text:
        return text
    for pattern in (_PLUS_MINUS, _RANGE, _COMPARISON, _unit_pattern()):
        text = pattern.sub(lambda found: found.group(0).replace(" ", NO_BREAK), text)
    return text


@functools.cache
def _unit_pattern() -> re.Pattern[str]:
    names = {name for unit in UNITS.values() for name in (unit.name, *unit.aliases) if name}
    # "a" and the like would swallow words; one-letter units are short enough to be safe.
    longest_first = sorted(names, key=lambda name: (-len(name), name))
    return re.compile(rf"(?<=\d) (?:{'|'.join(map(re.escape, longest_first))})(?!\w)")


def align_on_point(texts: tuple[str, ...]) -> tuple[str, ...]:
    """Pad mono texts with non-breaking spaces so that their first numbers align.

    The units column of each number stands in the same place: the decimal point follows it.
    Texts that do not begin with a number (words, a dash) are left alone.  All lines of a
    text count.
    """
    heads = [_integer_columns(line) for text in texts for line in text.split("\n")]
    widest = max((head for head in heads if head is not None), default=0)
    longest = max(
        (
            len(line) - head
            for text in texts
            for line in text.split("\n")
            if (head := _integer_columns(line)) is not None
        ),
        default=0,
    )
    return tuple(
        "\n".join(_padded(line, widest, longest) for line in text.split("\n")) for text in texts
    )


def _integer_columns(line: str) -> int | None:
    found = _NUMBER.match(line)
    return found.end() if found else None


def _padded(line: str, widest: int, longest: int) -> str:
    head = _integer_columns(line)
    if head is None:
        return line
    return NO_BREAK * (widest - head) + line + NO_BREAK * (longest - (len(line) - head))
