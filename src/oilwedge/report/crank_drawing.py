"""The crank drawing: its parts and its two drawings under one name."""

from oilwedge.report.crank_parts import (
    CrankDrawing,
    MainMark,
    RodMark,
    Stub,
    Throw,
    describe_crank,
    drawing_states,
)
from oilwedge.report.crank_svg import bearing_key, crank_svg
from oilwedge.report.crank_text import crank_text

__all__ = [
    "CrankDrawing",
    "MainMark",
    "RodMark",
    "Stub",
    "Throw",
    "bearing_key",
    "crank_svg",
    "crank_text",
    "describe_crank",
    "drawing_states",
]
