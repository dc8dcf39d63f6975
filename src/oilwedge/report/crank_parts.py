"""The crankshaft in side view: the map on which each bearing shows its state."""

import math
from dataclasses import dataclass
from enum import Enum

from oilwedge.report.state_sign import StateSign, states_in_order


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
    rods: tuple[RodMark, ...] = ()
    after_main: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class CrankDrawing:
    """Mains and throws from the front of the engine (left) to the rear."""

    mains: tuple[MainMark, ...]
    throws: tuple[Throw, ...]
    front_left: str = "front"
    rear_right: str = "rear"

    def __post_init__(self) -> None:
        for throw in self.throws:
            if not math.isfinite(throw.angle_deg):
                raise ValueError(f"throw angle {throw.angle_deg} cannot be drawn")
            if throw.after_main is not None and not 0 <= throw.after_main <= len(self.mains):
                raise ValueError(
                    f"after_main {throw.after_main} is not between 0 and {len(self.mains)}"
                )


def elements_in_order(drawing: CrankDrawing) -> tuple[MainMark | Throw, ...]:
    """Give mains and throws from front to rear.

    Throws without a place are spread over the gaps between the mains, the middle gaps
    taking no more than the outer ones where they do not go round evenly.
    """
    behind: dict[int, list[Throw]] = {number: [] for number in range(len(drawing.mains) + 1)}
    gaps = max(1, len(drawing.mains) - 1)
    first = 1 if drawing.mains else 0
    for number, throw in enumerate(drawing.throws):
        place = throw.after_main
        if place is None:
            place = first + number * gaps // max(1, len(drawing.throws))
        behind[place].append(throw)
    ordered: list[MainMark | Throw] = list(behind[0])
    for number, main in enumerate(drawing.mains, start=1):
        ordered.append(main)
        ordered.extend(behind[number])
    return tuple(ordered)


def drawing_states(drawing: CrankDrawing) -> tuple[StateSign, ...]:
    """Give each state that occurs once, for a legend."""
    rods = [rod.state for throw in drawing.throws for rod in throw.rods]
    return states_in_order([*(main.state for main in drawing.mains), *rods])


def describe_crank(drawing: CrankDrawing) -> str:
    """Say in words what the drawing shows: each bearing with its state, front to rear."""
    words = []
    for element in elements_in_order(drawing):
        if isinstance(element, MainMark):
            words.append(f"main {element.label}: {element.state.words}")
        else:
            words.extend(f"rod {rod.label}: {rod.state.words}" for rod in element.rods)
    return f"Crankshaft from {drawing.front_left} to {drawing.rear_right}. " + "; ".join(words)
