"""How the oil comes into a bearing whose journal runs a path: what the film cannot carry.

The pressure in the groove or hole is that of the surroundings: a supply pressure of some bar is
little beside that of a loaded film, and is neglected. Axes are fixed to the bearing.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import Enum

from oilwedge.errors import Fault, InputError


class PathGroove(Enum):
    """The word for it on the command line."""

    NONE = "none"
    """No groove: the film spans the whole width all round."""

    FULL = "full"
    """All round the middle: two lands."""

    HALF = "half"
    """Round one half of the bearing, in the middle: there two lands, full width elsewhere."""

    HOLE = "hole"
    """One round hole in the middle of the width."""


@dataclass(frozen=True, kw_only=True, slots=True)
class GroovePlace:
    """A groove or hole in the middle of the width.

    width_m: of the groove, or the diameter of the hole; 0 without. angle_rad: where the middle of
    the half groove lies, or the hole, from x towards y; of no meaning else.
    Errors: an :class:`InputError` for a width that does not go with the kind.
    """

    kind: PathGroove = PathGroove.NONE
    width_m: float = 0.0
    angle_rad: float = 0.0

    def __post_init__(self) -> None:
        there = self.kind is not PathGroove.NONE
        what = "diameter of the hole" if self.kind is PathGroove.HOLE else "width of the groove"
        if not (math.isfinite(self.width_m) and (self.width_m > 0.0) == there):
            allowed = (
                f"the {what} has to be above 0 and narrower than the bearing"
                if there
                else "where there is no groove, none is wide"
            )
            raise InputError(Fault(given=f"{self.width_m * 1000:g} mm", allowed=allowed))
        if not math.isfinite(self.angle_rad):
            raise InputError(
                Fault(given=f"{self.angle_rad:g} rad", allowed="the groove's place is an angle")
            )


NO_GROOVE = GroovePlace()
