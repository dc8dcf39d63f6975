"""Write, check and describe engine files."""

from __future__ import annotations

import math
from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar

from oilwedge.engine.file import Checked, check_engine, decode_engine
from oilwedge.engine.json_schema import engine_schema
from oilwedge.engine.layout import Caps, LayoutKind
from oilwedge.engine.skeleton import LARGEST_CYLINDERS, SkeletonAnswers, write_skeleton
from oilwedge.errors import Fault, InputError, UnitError, Where
from oilwedge.units import Dimension, parse_quantity
from oilwedge.usecases.opening import file_bytes

Ask = Callable[[str], str]
Say = Callable[[str], None]
Answer = TypeVar("Answer")

MOST_BEARINGS = 40
MOST_VALVES = 200


def check_engine_file(path: Path) -> Checked:
    """Check an engine file; all faults and warnings in one go."""
    data = file_bytes(path, what="an engine file")
    return check_engine(decode_engine(data, file=path.name), file=path.name)


def schema() -> dict[str, Any]:
    """The JSON Schema of the engine file."""
    return engine_schema()


def refuse_overwriting(path: Path) -> None:
    """Raise InputError where there is a file already."""
    if path.exists():
        raise InputError(
            Fault(
                where=Where(file=str(path)),
                given="",
                allowed="there is a file already, and it is not overwritten",
                action="name another file",
            )
        )


def ask_for_engine(*, ask: Ask, say: Say) -> str:
    """Ask for layout and counts and give a commented engine file.

    Each question shows what Enter alone stands for; an answer that cannot be is said in one
    sentence and asked again.
    """
    say("Layout and counts; Enter takes what stands in brackets. Nothing is final: it is a file.")
    name = ask("Name of the engine [engine without a name]: ").strip() or "engine without a name"
    kind = _ask_until(ask, say, "Layout: in-line, V or flat [in-line]: ", _kind)
    cylinders = _ask_until(
        ask, say, "Cylinders [4]: ", lambda text: _count(text, usual=4, most=LARGEST_CYLINDERS)
    )
    v_angle_deg = None
    if kind is LayoutKind.V:
        v_angle_deg = _ask_until(ask, say, "Angle between the banks [90 deg]: ", _angle)
    mains = _ask_until(
        ask,
        say,
        "Main bearings [as usual for this layout]: ",
        lambda text: _optional_count(text, most=MOST_BEARINGS),
    )
    caps = _ask_until(ask, say, "Main caps: separate, girdle or bedplate [separate]: ", _caps)
    strokes = _ask_until(ask, say, "Strokes, 4 or 2 [4]: ", _strokes)
    firing_order = _ask_until(
        ask,
        say,
        "Firing order, such as 1-3-4-2 [as usual; check yours]: ",
        lambda text: _firing_order(text, cylinders=cylinders),
    )
    units = _ask_until(ask, say, "Units of the manual, mm or in [mm]: ", _units)
    counts = [
        _ask_until(
            ask, say, f"{what} [none]: ", lambda text: _optional_count(text, most=MOST_VALVES)
        )
        for what in ("Camshaft bearings", "Intake valves", "Exhaust valves")
    ]
    return write_skeleton(
        answers=SkeletonAnswers(
            kind=kind,
            cylinders=cylinders,
            name=name,
            units=units,
            main_bearings=mains,
            caps=caps,
            strokes=strokes,
            v_angle_deg=v_angle_deg,
            firing_order=firing_order,
            cam_bearings=counts[0],
            intake_valves=counts[1],
            exhaust_valves=counts[2],
        )
    )


def _ask_until(ask: Ask, say: Say, question: str, read: Callable[[str], Answer]) -> Answer:
    while True:
        text = ask(question).strip()  # outside: the end of the input is no answer to ask again
        try:
            return read(text)
        except (ValueError, UnitError) as error:
            say(f"  {error}")


def _kind(text: str) -> LayoutKind:
    known = {"in-line": LayoutKind.IN_LINE, "inline": LayoutKind.IN_LINE}
    known |= {kind.value.casefold(): kind for kind in LayoutKind}
    return _one_of(text or "in-line", known, "in-line, V or flat")


def _caps(text: str) -> Caps:
    known = {caps.value: caps for caps in Caps}
    return _one_of(text or "separate", known, "separate, girdle or bedplate")


def _units(text: str) -> str:
    known = {"mm": "mm", "in": "in", "inch": "in", "inches": "in"}
    return _one_of(text or "mm", known, "mm or in")


def _strokes(text: str) -> int:
    return _one_of(text or "4", {"4": 4, "2": 2}, "4 or 2")


def _one_of(text: str, known: dict[str, Answer], allowed: str) -> Answer:
    found = known.get(text.casefold())
    if found is None:
        raise ValueError(f"'{text}' was given; write {allowed}.")
    return found


def _count(text: str, *, usual: int, most: int) -> int:
    if not text:
        return usual
    if not text.isdecimal() or not 1 <= int(text) <= most:
        raise ValueError(f"'{text}' was given; write a number from 1 to {most}.")
    return int(text)


def _optional_count(text: str, *, most: int) -> int | None:
    return _count(text, usual=1, most=most) if text else None


def _angle(text: str) -> float:
    parsed = parse_quantity(text or "90 deg", dimension=Dimension.ANGLE, default_unit="deg")
    angle_deg = math.degrees(parsed.value_si)
    if not 0.0 < angle_deg < 180.0:
        raise ValueError(f"'{text}' was given; write an angle between 0 and 180 deg.")
    return round(angle_deg, 9)


def _firing_order(text: str, *, cylinders: int) -> tuple[int, ...] | None:
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
