"""The crankshaft in side view: the map on which each bearing shows its state."""

from dataclasses import dataclass, field
from enum import Enum

from oilwedge.report.state_sign import StateSign


class Stub(Enum):
    """The side of the drawing to which a rod points; flat engines use both."""

    UP = "up"
    DOWN = "down"


@dataclass(frozen=True, slots=True, kw_only=True)
class MainMark:
    """A main bearing: its label and state."""

    label: str
    state: StateSign = StateSign.NOT_MEASURED


@dataclass(frozen=True, slots=True, kw_only=True)
class RodMark:
    """A rod bearing: its label (the rod's number), state and side."""

    label: str
    state: StateSign = StateSign.NOT_MEASURED
    stub: Stub = Stub.UP


@dataclass(frozen=True, slots=True, kw_only=True)
class Throw:
    """A crank throw; at 0 degrees it points up, at 180 degrees down.

    ``after_main`` counts the main bearings to the left of the throw; None
    spreads the throws evenly between the mains.
    """

    angle_deg: float
    rods: tuple[RodMark, ...] = field(default=())
    after_main: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class CrankDrawing:
    """Mains and throws from the front of the engine (left) to the rear."""

    mains: tuple[MainMark, ...]
    throws: tuple[Throw, ...]
    front_left: str = "front"
    rear_right: str = "rear"
