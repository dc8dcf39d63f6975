"""Where oil comes into a steady bearing, in axes that are fixed to it."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import Enum

from oilwedge.errors import Fault, OutOfRangeError


class Feed(Enum):
    """How the oil comes in; the value is the word for it on the command line."""

    AXIAL = "axial"
    """A groove over the full width, a line; without an angle opposite to where the journal goes."""

    CIRCUMFERENTIAL = "circumferential"
    """All round the middle: two lands."""

    HALF = "half"
    """In the middle of the width, from one angle to another: there two lands, else one."""

    HOLE = "hole"
    """One round hole in the middle of the width."""

    NONE = "none"
    """No groove: both ends open."""


@dataclass(frozen=True, kw_only=True, slots=True)
class FeedPlace:
    """A feed, its place and its pressure above the surroundings.

    ``angle_rad`` from the x axis in the direction of rotation: of an axial groove (None: at the
    largest gap, opposite to the displacement of the journal's middle, as in the classical tables),
    of the middle of a hole, or where a half groove begins; ``end_angle_rad``: where that ends.
    ``width_m`` of a circumferential or half groove, diameter of a hole. OutOfRangeError for what
    does not go with the kind.
    """

    kind: Feed = Feed.AXIAL
    angle_rad: float | None = None
    end_angle_rad: float | None = None
    width_m: float = 0.0
    supply_pressure_pa: float = 0.0

    def __post_init__(self) -> None:
        if not (math.isfinite(self.supply_pressure_pa) and self.supply_pressure_pa >= 0.0):
            raise OutOfRangeError(
                Fault(
                    given=f"{self.supply_pressure_pa:g} Pa",
                    allowed="the supply pressure counts from the surroundings and is 0 or more",
                )
            )
        if self.kind is Feed.NONE and self.supply_pressure_pa > 0.0:
            raise OutOfRangeError(
                Fault(
                    given=f"{self.supply_pressure_pa:g} Pa without a groove",
                    allowed="a supply pressure needs a groove to act in",
                    action="choose a groove or leave the supply pressure out",
                )
            )
        self._check_width()
        self._check_angles()

    def _check_width(self) -> None:
        wide = self.kind in (Feed.HALF, Feed.HOLE)
        allowed = ""
        if not math.isfinite(self.width_m) or self.width_m < 0.0:
            allowed = "a groove's width is a length of 0 or more"
        elif wide and self.width_m == 0.0:
            allowed = f"the feed '{self.kind.value}' needs the width of its groove or hole"
        elif not wide and self.kind is not Feed.CIRCUMFERENTIAL and self.width_m != 0.0:
            allowed = "only a circumferential or half groove and a hole have a width of their own"
        if allowed:
            raise OutOfRangeError(Fault(given=f"{self.width_m * 1e3:g} mm", allowed=allowed))

    def _check_angles(self) -> None:
        angled = self.kind in (Feed.HALF, Feed.HOLE)
        allowed = ""
        if any(not math.isfinite(a) for a in (self.angle_rad, self.end_angle_rad) if a is not None):
            allowed = "the angles of a feed are finite numbers"
        elif angled and self.angle_rad is None:
            allowed = f"the feed '{self.kind.value}' needs the angle where it is"
        elif self.kind in (Feed.CIRCUMFERENTIAL, Feed.NONE) and self.angle_rad is not None:
            allowed = f"the feed '{self.kind.value}' is the same all round and has no angle"
        elif (self.kind is Feed.HALF) != (self.end_angle_rad is not None):
            allowed = "a half groove, and nothing else, needs the angle where it ends"
        elif self.kind is Feed.HALF and not math.radians(10.0) <= self.span_rad <= 6.11:
            allowed = "a half groove spans 10° to 350°; all round it is a circumferential one"
        if allowed:
            raise OutOfRangeError(Fault(given=f"feed '{self.kind.value}'", allowed=allowed))

    @property
    def span_rad(self) -> float:
        """From the beginning of a half groove to its end, in the direction of rotation; else 0."""
        if self.angle_rad is None or self.end_angle_rad is None:
            return 0.0
        return (self.end_angle_rad - self.angle_rad) % (2.0 * math.pi)


AT_LARGEST_GAP = FeedPlace()
"""The default: a line groove at the largest gap, at the pressure of the surroundings."""
