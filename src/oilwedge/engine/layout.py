"""How an engine is laid out: cylinders, banks, crank throws, main bearings."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum


class Per(Enum):
    """What a feature or a fit is counted by."""

    ENGINE = "engine"
    ROD = "rod"
    MAIN = "main"
    CYLINDER = "cylinder"
    CAM_BEARING = "cam bearing"
    INTAKE_VALVE = "intake valve"
    EXHAUST_VALVE = "exhaust valve"


class LayoutKind(Enum):
    """How the cylinders stand."""

    IN_LINE = "in-line"
    V = "V"
    FLAT = "flat"


class Caps(Enum):
    """What holds the main bearings from below."""

    SEPARATE = "separate"
    GIRDLE = "girdle"
    BEDPLATE = "bedplate"


@dataclass(frozen=True, kw_only=True, slots=True)
class Throw:
    """One crank pin: its angle and the rods (cylinder numbers) on it.

    The angle counts clockwise, seen from the front, with 0 for the first pin straight up.
    """

    angle_deg: float
    rods: tuple[int, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class Layout:
    """How the engine is laid out.

    ``bank_angle_deg``: for each cylinder (in order of number) the angle of its axis from the
    vertical, positive clockwise seen from the front; 0 for in-line. The first bank of a file is the
    positive one (on the right, seen from the front).
    """

    kind: LayoutKind
    cylinders: int
    firing_order: tuple[int, ...]
    throws: tuple[Throw, ...]
    bank_angle_deg: tuple[float, ...]
    main_bearings: int
    caps: Caps = Caps.SEPARATE
    strokes: int = 4
    numbering: str = "1 at the front"
    cam_bearings: int = 0
    intake_valves: int = 0
    exhaust_valves: int = 0

    def count(self, per: Per) -> int:
        """How many there are of something."""
        return {
            Per.ENGINE: 1,
            Per.ROD: self.cylinders,
            Per.MAIN: self.main_bearings,
            Per.CYLINDER: self.cylinders,
            Per.CAM_BEARING: self.cam_bearings,
            Per.INTAKE_VALVE: self.intake_valves,
            Per.EXHAUST_VALVE: self.exhaust_valves,
        }[per]

    def throw_of(self, rod: int) -> Throw:
        """The crank pin that a rod runs on."""
        return next(throw for throw in self.throws if rod in throw.rods)
