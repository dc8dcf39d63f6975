"""Tolerance classes of ISO 286-1, such as H6 or g5, that may stand instead of limits.

The table is what counts; the formulas behind the standard do not round to it everywhere and
serve the tests as an alarm only. Capital letters are holes, small ones shafts. A class or size
that is not in the table is refused, never worked out.
"""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass
from enum import Enum
from functools import cache
from pathlib import Path

from oilwedge.errors import Fault, OutOfRangeError
from oilwedge.sources import Status

_CLASS = re.compile(r"([A-Za-z]{1,2})\s*([0-9]{1,2})")


class _Side(Enum):
    """Which limit the fundamental deviation of a letter is."""

    LOWER = "lower"
    UPPER = "upper"
    BOTH = "both"


@dataclass(frozen=True, slots=True, kw_only=True)
class _Letter:
    side: _Side
    deviation_um: tuple[int | None, ...]
    grades: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Table:
    steps_mm: tuple[tuple[float, float], ...]
    status: tuple[Status, ...]
    grades_um: dict[int, tuple[int, ...]]
    letters: dict[str, _Letter]


@cache
def _table() -> _Table:
    data = tomllib.loads(Path(__file__).with_suffix(".toml").read_text(encoding="utf-8"))
    return _Table(
        steps_mm=tuple((float(low), float(high)) for low, high in data["steps"]),
        status=tuple(Status.READ if read else Status.RECALLED for read in data["read"]),
        grades_um={int(grade): tuple(row) for grade, row in data["grades"].items()},
        letters={
            letter: _Letter(
                side=_Side(row["side"]),
                deviation_um=tuple(None if d == "" else d for d in row["deviation"]),
                grades=tuple(row["grades"]),
            )
            for letter, row in data["letters"].items()
        },
    )


def classes() -> tuple[str, ...]:
    """Every class of the table: "H5", "H6" and so on."""
    return tuple(f"{k}{grade}" for k, letter in _table().letters.items() for grade in letter.grades)


def standard_tolerance_m(*, nominal_m: float, grade: int) -> float:
    """IT of this grade (4 to 9) for a nominal size, in metres; OutOfRangeError outside."""
    table = _table()
    if grade not in table.grades_um:
        raise OutOfRangeError(
            Fault(given=f"IT{grade}", allowed="the table holds the grades IT4 to IT9")
        )
    return table.grades_um[grade][_step(nominal_m, f"IT{grade}")] / 1e6


def limits_for_class(*, nominal_m: float, tolerance_class: str) -> tuple[float, float]:
    """Lower and upper deviation from ``nominal_m`` that a class such as "H6" allows, in metres.

    Source: ISO 286-1:2010, see the data file. OutOfRangeError for a class or a size that the
    table does not hold; its action is then to write the limits themselves.

    >>> limits_for_class(nominal_m=0.059, tolerance_class="H6")
    (0.0, 1.9e-05)
    """
    letter, grade = _split(tolerance_class)
    step = _step(nominal_m, tolerance_class)
    deviation = letter.deviation_um[step]
    if deviation is None:
        raise OutOfRangeError(
            Fault(
                given=f"{tolerance_class} at {nominal_m * 1e3:g} mm",
                allowed=f"the table holds {tolerance_class.strip()} from {_span(letter)}",
                action="write the limits themselves",
            )
        )
    tolerance = _table().grades_um[grade][step]
    if letter.side is _Side.LOWER:
        return deviation / 1e6, (deviation + tolerance) / 1e6
    if letter.side is _Side.UPPER:
        return (deviation - tolerance) / 1e6, deviation / 1e6
    return -tolerance / 2e6, tolerance / 2e6


def status_at(*, nominal_m: float) -> Status:
    """How the table's figures at this size are known: READ or RECALLED."""
    return _table().status[_step(nominal_m, "the size")]


def _split(tolerance_class: str) -> tuple[_Letter, int]:
    match = _CLASS.fullmatch(tolerance_class.strip())
    letter = _table().letters.get(match[1]) if match else None
    if match is None or letter is None or int(match[2]) not in letter.grades:
        raise OutOfRangeError(
            Fault(
                given=tolerance_class,
                allowed=f"the table holds {', '.join(classes())}",
                action="write the limits themselves",
            )
        )
    return letter, int(match[2])


def _step(nominal_m: float, asked: str) -> int:
    nominal_mm = round(nominal_m * 1e3, 9)  # 0.03 m must not fall past the end of its step
    steps = _table().steps_mm
    for index, (over, including) in enumerate(steps):
        if over < nominal_mm <= including:
            return index
    raise OutOfRangeError(
        Fault(
            given=f"{asked} at {nominal_mm:g} mm",
            allowed=f"the table holds sizes over {steps[0][0]:g} mm up to {steps[-1][1]:g} mm",
            action="write the limits themselves",
        )
    )


def _span(letter: _Letter) -> str:
    held = [
        step
        for step, deviation in zip(_table().steps_mm, letter.deviation_um, strict=True)
        if deviation is not None
    ]
    return f"over {held[0][0]:g} mm up to {held[-1][1]:g} mm"
