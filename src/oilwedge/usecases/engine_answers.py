"""What is answered before a new engine file is written: layout and counts, read from text."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, TypeVar

from oilwedge.engine.layout import Caps, LayoutKind
from oilwedge.engine.skeleton import LARGEST_CYLINDERS, SkeletonAnswers, write_skeleton
from oilwedge.errors import UnitError
from oilwedge.units import Dimension, parse_quantity

Answer = TypeVar("Answer")

MOST_BEARINGS = 40
MOST_VALVES = 200


@dataclass(frozen=True, kw_only=True, slots=True)
class NewEngine:
    """A new engine file, or what was wrong with the answers: a sentence for each field."""

    text: str = ""
    faults: Mapping[str, str]


def engine_from_answers(answers: Mapping[str, str]) -> NewEngine:
    """Write a commented engine file from what was typed into a form; empty: what is usual.

    Keys: name, kind, cylinders, v_angle, main_bearings, caps, strokes, firing_order, units,
    cam_bearings, intake_valves, exhaust_valves.
    """
    faults: dict[str, str] = {}

    def read(key: str, reader: Callable[[str], Any]) -> Any:
        try:
            return reader(answers.get(key, "").strip())
        except (ValueError, UnitError) as error:
            faults[key] = str(error)
            return None

    kind = read("kind", read_kind)
    cylinders = read("cylinders", lambda text: read_count(text, usual=4, most=LARGEST_CYLINDERS))
    taken = {
        "kind": kind,
        "cylinders": cylinders,
        "name": answers.get("name", "").strip() or "engine without a name",
        "units": read("units", read_units),
        "main_bearings": read(
            "main_bearings", lambda text: read_optional_count(text, most=MOST_BEARINGS)
        ),
        "caps": read("caps", read_caps),
        "strokes": read("strokes", read_strokes),
        "v_angle_deg": read("v_angle", read_angle) if kind is LayoutKind.V else None,
        "firing_order": read(
            "firing_order", lambda text: read_firing_order(text, cylinders=cylinders or 0)
        )
        if cylinders
        else None,
    }
    for key in ("cam_bearings", "intake_valves", "exhaust_valves"):
        taken[key] = read(key, lambda text: read_optional_count(text, most=MOST_VALVES))
    if faults:
        return NewEngine(faults=faults)
    return NewEngine(text=write_skeleton(answers=SkeletonAnswers(**taken)), faults={})


def read_kind(text: str) -> LayoutKind:
    """The layout: in-line, V or flat."""
    known = {"in-line": LayoutKind.IN_LINE, "inline": LayoutKind.IN_LINE}
    known |= {kind.value.casefold(): kind for kind in LayoutKind}
    return _one_of(text or "in-line", known, "in-line, V or flat")


def read_caps(text: str) -> Caps:
    """How the main caps are made."""
    known = {caps.value: caps for caps in Caps}
    return _one_of(text or "separate", known, "separate, girdle or bedplate")


def read_units(text: str) -> str:
    """The unit of the manual."""
    known = {"mm": "mm", "in": "in", "inch": "in", "inches": "in"}
    return _one_of(text or "mm", known, "mm or in")


def read_strokes(text: str) -> int:
    """Four or two strokes."""
    return _one_of(text or "4", {"4": 4, "2": 2}, "4 or 2")


def _one_of(text: str, known: dict[str, Answer], allowed: str) -> Answer:
    found = known.get(text.casefold())
    if found is None:
        raise ValueError(f"'{text}' was given; write {allowed}.")
    return found


def read_count(text: str, *, usual: int, most: int) -> int:
    """A number of things, from 1 to the most there can be."""
    if not text:
        return usual
    if not text.isdecimal() or not 1 <= int(text) <= most:
        raise ValueError(f"'{text}' was given; write a number from 1 to {most}.")
    return int(text)


def read_optional_count(text: str, *, most: int) -> int | None:
    """A number, or None for nothing typed."""
    return read_count(text, usual=1, most=most) if text else None


def read_angle(text: str) -> float:
    """The angle between the banks, in degrees."""
    parsed = parse_quantity(text or "90 deg", dimension=Dimension.ANGLE, default_unit="deg")
    angle_deg = math.degrees(parsed.value_si)
    if not 0.0 < angle_deg < 180.0:
        raise ValueError(f"'{text}' was given; write an angle between 0 and 180 deg.")
    return round(angle_deg, 9)


def read_firing_order(text: str, *, cylinders: int) -> tuple[int, ...] | None:
    """Cylinders in the order in which they fire; None for nothing typed."""
    if not text:
        return None
    parts = text.replace("-", " ").replace(",", " ").split()
    if not all(part.isdecimal() for part in parts):
        raise ValueError(f"'{text}' was given; write the cylinders in order, such as 1-3-4-2.")
    order = tuple(int(part) for part in parts)
    if sorted(order) != list(range(1, cylinders + 1)):
        raise ValueError(
            f"'{text}' was given; each of the cylinders 1 to {cylinders} stands in it once."
        )
    return order
