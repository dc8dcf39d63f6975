"""The groove or hole of one bearing, from what a person typed."""

from __future__ import annotations

import math
from typing import Final

from oilwedge.errors import Fault, InputError, Where
from oilwedge.film.path_groove import NO_GROOVE, GroovePlace, PathGroove
from oilwedge.unit_table import Dimension
from oilwedge.units import format_number, parse_quantity

__all__ = ["PathGroove", "groove_words", "read_groove"]

_WORDS: Final = {
    PathGroove.FULL: "full groove {width} wide in the middle, which leaves two lands",
    PathGroove.HALF: "half groove {width} wide in the middle, about {angle}",
    PathGroove.HOLE: "oil hole of {width} in the middle, at {angle}",
}


def read_groove(*, kind: PathGroove, width: str, angle: str) -> GroovePlace:
    """The groove: its width (the diameter of a hole) with a unit, the angle of its middle.

    Empty texts are not given. Errors: an :class:`InputError` for a width that is missing or too
    much, an angle that says nothing of this groove, and quantities that cannot be read.
    """
    if kind is PathGroove.NONE:
        if width or angle:
            raise InputError(
                Fault(
                    where=Where(column="--groove-width" if width else "--groove-angle"),
                    given=width or angle,
                    allowed="without a groove it has neither width nor place",
                    action="choose the groove: --groove full, half or hole",
                )
            )
        return NO_GROOVE
    if not width:
        raise InputError(
            Fault(
                where=Where(column="--groove-width"),
                given="",
                allowed="a groove needs its width, a hole its diameter",
                action='give it with its unit: "4mm"',
            )
        )
    if angle and kind is PathGroove.FULL:
        raise InputError(
            Fault(
                where=Where(column="--groove-angle"),
                given=angle,
                allowed="a full groove runs all round and has no place of its own",
            )
        )
    return GroovePlace(
        kind=kind,
        width_m=_value(width, Dimension.LENGTH, "--groove-width"),
        angle_rad=_value(angle, Dimension.ANGLE, "--groove-angle") if angle else 0.0,
    )


def groove_words(groove: GroovePlace) -> str:
    """The groove in a few words."""
    if groove.kind is PathGroove.NONE:
        return "no groove"
    width = f"{format_number(value=groove.width_m * 1e3, decimals=1)} mm"
    angle = f"{format_number(value=math.degrees(groove.angle_rad), decimals=0)}°"
    return f"{_WORDS[groove.kind].format(width=width, angle=angle)}, at ambient pressure"


def _value(text: str, dimension: Dimension, option: str) -> float:
    try:
        return parse_quantity(text, dimension=dimension).value_si
    except InputError as error:
        raise error.at(Where(column=option)) from error
