"""Write, check and describe engine files."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar

from oilwedge.engine.file import Checked, check_engine, decode_engine
from oilwedge.engine.json_schema import engine_schema
from oilwedge.engine.layout import LayoutKind
from oilwedge.engine.skeleton import LARGEST_CYLINDERS, SkeletonAnswers, write_skeleton
from oilwedge.errors import Fault, InputError, UnitError, Where
from oilwedge.usecases.engine_answers import (
    MOST_BEARINGS,
    MOST_VALVES,
    read_angle,
    read_caps,
    read_count,
    read_firing_order,
    read_kind,
    read_optional_count,
    read_strokes,
    read_units,
)
from oilwedge.usecases.opening import file_bytes

Ask = Callable[[str], str]
Say = Callable[[str], None]
Answer = TypeVar("Answer")


def check_engine_file(path: Path) -> Checked:
    """Check an engine file; all faults and warnings in one go."""
    data = file_bytes(path, what="an engine file")
    return check_engine(decode_engine(data, file=path.name), file=path.name)


def check_engine_text(text: str, *, file: str) -> Checked:
    """Check the text of an engine file; all faults and warnings in one go."""
    return check_engine(text, file=file)


def engine_text_of(data: bytes, *, file: str) -> str:
    """The text of an engine file that was sent; EngineFileError over 5 MB or when not UTF-8."""
    return decode_engine(data, file=file)


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
    kind = _ask_until(ask, say, "Layout: in-line, V or flat [in-line]: ", read_kind)
    cylinders = _ask_until(
        ask, say, "Cylinders [4]: ", lambda text: read_count(text, usual=4, most=LARGEST_CYLINDERS)
    )
    v_angle_deg = None
    if kind is LayoutKind.V:
        v_angle_deg = _ask_until(ask, say, "Angle between the banks [90 deg]: ", read_angle)
    mains = _ask_until(
        ask,
        say,
        "Main bearings [as usual for this layout]: ",
        lambda text: read_optional_count(text, most=MOST_BEARINGS),
    )
    caps = _ask_until(ask, say, "Main caps: separate, girdle or bedplate [separate]: ", read_caps)
    strokes = _ask_until(ask, say, "Strokes, 4 or 2 [4]: ", read_strokes)
    firing_order = _ask_until(
        ask,
        say,
        "Firing order, such as 1-3-4-2 [as usual; check yours]: ",
        lambda text: read_firing_order(text, cylinders=cylinders),
    )
    units = _ask_until(ask, say, "Units of the manual, mm or in [mm]: ", read_units)
    counts = [
        _ask_until(
            ask, say, f"{what} [none]: ", lambda text: read_optional_count(text, most=MOST_VALVES)
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
