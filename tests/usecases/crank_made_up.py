"""Invented engines of any layout that say how they run, for tests of loads and of what is missing.

The slider-crank is that of the printed exercise in tests/published/SLIDER_CRANK: throw 80 mm, rod
245 mm, 1000 rpm.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from oilwedge.engine.file import read_engine
from oilwedge.engine.model import Engine
from oilwedge.engine.running import CrankTrainData

CRANK = {
    "stroke": '"160 mm"',
    "rod_length": '"245 mm"',
    "bore": '"140 mm"',
    "compression_ratio": "9.0",
    "piston_set": '"2000 g"',
    "pin": '"500 g"',
    "rod": '"3000 g"',
    "rod_big_end": '"2000 g"',
    "rod_small_end": '"1000 g"',
}
BEARINGS = """
[bearings.rod]
width = "40 mm"
[bearings.main]
width = "45 mm"
groove = "half"
groove_width = "4 mm"
"""
DUTY = """
[duty.conditions."full load"]
speed = "1000 rpm"
peak_pressure = "50 bar"
inlet_pressure = "1 bar"
oil_pressure = "3 bar"
oil_temperature = "90 C"
"""


def text(
    *,
    kind: str = "in-line",
    order: Sequence[int] = (1, 3, 4, 2),
    throws: Sequence[float] = (0, 180, 180, 0),
    mains: int = 5,
    strokes: int = 4,
    layout: str = "",
    crank: str = "",
    without: Sequence[str] = (),
    bearings: str = BEARINGS,
    duty: str = DUTY,
    oil: str = 'grade = "5W-30"',
) -> str:
    """An engine file; ``crank``: more lines of [crank_train]; ``without``: keys to leave out."""
    angles = ", ".join(f'"{angle!r} deg"' for angle in throws)
    lines = [f"{key} = {value}" for key, value in CRANK.items() if key not in without]
    return f"""format = 1
[engine]
name = "Made up"
[layout]
kind = "{kind}"
cylinders = {len(order)}
firing_order = {list(order)}
throw_angles = [{angles}]
main_bearings = {mains}
strokes = {strokes}
{layout}
[features.rod_journal]
size = ["69.98 mm", "70.02 mm"]
[features.main_journal]
size = ["79.98 mm", "80.02 mm"]
[fits.rod_bearing]
build = ["0.03 mm", "0.07 mm"]
[fits.main_bearing]
build = ["0.03 mm", "0.07 mm"]
[oil]
{oil}
[crank_train]
{chr(10).join(lines)}
{crank}
{bearings}
{duty}
"""


def engine(**parts: object) -> Engine:
    """The engine of :func:`text`."""
    return read_engine(text(**parts), file="made_up.toml")  # type: ignore[arg-type]


SINGLE = {"order": (1,), "throws": (0,), "mains": 2}


def with_train(made: Engine, train: CrankTrainData) -> Engine:
    """The engine with another crank train, past what the file's own check would refuse."""
    return replace(made, running=replace(made.running, crank_train=train))
