"""Where to turn the crank so that each rod's cap can be reached, and in which order.

Convention: a crank position is the angle, in the normal direction of rotation, from cylinder 1 at
top dead centre. Throw angles count in the same direction (clockwise seen from the front, as bank
angles do), so at position p the throw with angle a stands at ``b1 + a - a1 + p`` from the
vertical, where b1 is the bank angle and a1 the throw angle of cylinder 1. A cap lies on the far
side of the crank pin from its piston; it comes to the opening when the throw is at bottom dead
centre of its own cylinder, at ``b + 180``.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

from oilwedge.engine.layout import Layout, LayoutKind
from oilwedge.report.crank_drawing import CrankDrawing, MainMark, RodMark, Stub, Throw

REACH_DEG = 30.0  # a cap is taken as reachable this far either side of bottom dead centre: a choice
_FULL_TURN_DEG = 360.0
_SAME_DEG = 1e-6  # closer than this, two positions are one


class Turn(Enum):
    """Which way the crank is turned."""

    NORMAL = "in the normal direction of rotation"
    BACKWARDS = "against the normal direction of rotation"
    NONE = "not at all"


@dataclass(frozen=True, kw_only=True, slots=True)
class CrankPosition:
    """A position in which the caps of ``rods`` can be reached, and the turn that leads to it.

    ``offset_deg`` is how far the worst placed of these rods is from its bottom dead centre.
    """

    position_deg: float
    rods: tuple[int, ...]
    turn: Turn
    turn_deg: float
    offset_deg: float


@dataclass(frozen=True, kw_only=True, slots=True)
class CrankPlan:
    """Positions in working order; the sum of the turns, and the same done one way only."""

    positions: tuple[CrankPosition, ...]
    total_turn_deg: float
    normal_only_turn_deg: float
    reach_deg: float


@dataclass(frozen=True, kw_only=True, slots=True)
class Route:
    """An order of stops (indices), the signed turn to each, and the sum of their amounts."""

    order: tuple[int, ...]
    turns_deg: tuple[float, ...]
    total_deg: float


def cap_positions_deg(layout: Layout) -> tuple[float, ...]:
    """For each rod (in order of number) the crank position with its throw at bottom dead centre.

    ``p = b + 180 - (b1 + a - a1)``, in degrees from 0 up to 360; symbols as on top of the module.
    """
    first_bank = layout.bank_angle_deg[0]
    first_throw = layout.throw_of(1).angle_deg
    found = []
    for rod in range(1, layout.cylinders + 1):
        bank = layout.bank_angle_deg[rod - 1]
        throw = layout.throw_of(rod).angle_deg
        found.append(_wrapped(bank + 180.0 - (first_bank + throw - first_throw)))
    return tuple(found)


def shortest_route(stops_deg: Sequence[float]) -> Route:
    """The order of stops on a circle that turns the crank least in total, from 0 degrees.

    The least walk that sees every stop leaves out one gap of the circle: it goes one way to the
    gap's near edge, and back to its far edge unless that is the start. So the walks to compare
    are two for each gap. Walks of the same length: the one that turns backwards least.
    """
    order = sorted(range(len(stops_deg)), key=lambda i: (_wrapped(stops_deg[i]), i))
    if not order:
        return Route(order=(), turns_deg=(), total_deg=0.0)
    candidates = []
    for cut in range(len(order) + 1):
        ahead, behind = order[:cut], order[cut:][::-1]
        for first, second in ((ahead, behind), (behind, ahead)):
            candidates.append(_walk(stops_deg, first, second, forward_first=first is ahead))
    return min(
        candidates,
        key=lambda route: (
            round(route.total_deg, 6),
            round(-sum(turn for turn in route.turns_deg if turn < 0), 6),
        ),
    )


def _walk(
    stops_deg: Sequence[float], first: list[int], second: list[int], *, forward_first: bool
) -> Route:
    signs = (1.0, -1.0) if forward_first else (-1.0, 1.0)
    here, turns, order = 0.0, [], []
    for stops, sign in zip((first, second), signs, strict=True):
        for stop in stops:
            angle = _wrapped(stops_deg[stop])
            there = angle if sign > 0 or angle == 0.0 else angle - _FULL_TURN_DEG
            turns.append(there - here)
            order.append(stop)
            here = there
    return Route(
        order=tuple(order), turns_deg=tuple(turns), total_deg=sum(abs(turn) for turn in turns)
    )


def plan_crank(layout: Layout, *, reach_deg: float = REACH_DEG) -> CrankPlan:
    """Group the rods into as few crank positions as can be, and order these for least turning.

    ``reach_deg`` (from 0 to under 90): how far from bottom dead centre a cap still counts as
    reachable; rods within twice this share a position, midway between the outermost of them.
    Among groupings with as few positions, the one that turns the crank least, then the one whose
    worst placed cap is nearest to its bottom dead centre.
    """
    if not 0 <= reach_deg < 90:
        raise ValueError(f"reach is {reach_deg:g} deg; it must be from 0 to under 90 deg")
    return _least_turning(cap_positions_deg(layout), reach_deg)


def plan_tops(layout: Layout) -> CrankPlan:
    """The positions with pistons at top dead centre, in the order of least turning."""
    tops = [_wrapped(cap + _FULL_TURN_DEG / 2) for cap in cap_positions_deg(layout)]
    return _least_turning(tops, 0.0)


def _least_turning(stops: Sequence[float], reach_deg: float) -> CrankPlan:
    plans = [_ordered(stops, groups, reach_deg) for groups in _groupings(stops, 2 * reach_deg)]
    return min(
        plans,
        key=lambda plan: (
            len(plan.positions),
            round(plan.total_turn_deg, 6),
            round(max(position.offset_deg for position in plan.positions), 6),
        ),
    )


def _groupings(caps: Sequence[float], span_deg: float) -> list[list[list[int]]]:
    """Group greedily round the circle, once from each rod: one of these has the fewest groups."""
    order = sorted(range(len(caps)), key=lambda i: (caps[i], i))
    found = []
    for start in range(len(order)):
        if start and caps[order[start]] - caps[order[start - 1]] <= _SAME_DEG:
            continue  # would part rods that stand alike
        turned = order[start:] + order[:start]
        groups: list[list[int]] = []
        for rod in turned:
            if groups and _ahead(caps[groups[-1][0]], caps[rod]) <= span_deg + _SAME_DEG:
                groups[-1].append(rod)
            else:
                groups.append([rod])
        found.append(groups)
    return found


def _ordered(caps: Sequence[float], groups: list[list[int]], reach_deg: float) -> CrankPlan:
    spans = [_ahead(caps[group[0]], caps[group[-1]]) for group in groups]
    stops = [_wrapped(caps[g[0]] + span / 2) for g, span in zip(groups, spans, strict=True)]
    route = shortest_route(stops)
    positions = tuple(
        CrankPosition(
            position_deg=stops[stop],
            rods=tuple(sorted(index + 1 for index in groups[stop])),
            turn=_direction(turn),
            turn_deg=abs(turn),
            offset_deg=spans[stop] / 2,
        )
        for stop, turn in zip(route.order, route.turns_deg, strict=True)
    )
    return CrankPlan(
        positions=positions,
        total_turn_deg=route.total_deg,
        normal_only_turn_deg=max(stops),
        reach_deg=reach_deg,
    )


def _direction(turn_deg: float) -> Turn:
    if abs(turn_deg) < _SAME_DEG:
        return Turn.NONE
    return Turn.NORMAL if turn_deg > 0 else Turn.BACKWARDS


def _ahead(start_deg: float, end_deg: float) -> float:
    """How far the end lies ahead of the start, from 0 up to 360."""
    return _wrapped(end_deg - start_deg)


def _wrapped(angle_deg: float) -> float:
    """The angle from 0 up to 360, with a hair under 360 taken as 0."""
    angle = angle_deg % _FULL_TURN_DEG
    return 0.0 if _FULL_TURN_DEG - angle < _SAME_DEG else angle


def unmeasured_crank(layout: Layout) -> CrankDrawing:
    """The crank's drawing with its numbers, nothing measured yet.

    Rods of cylinders that lean to the left (seen from the front) of a flat engine point down.
    """

    def stub(rod: int) -> Stub:
        flat = layout.kind is LayoutKind.FLAT
        return Stub.DOWN if flat and layout.bank_angle_deg[rod - 1] < 0 else Stub.UP

    return CrankDrawing(
        mains=tuple(MainMark(label=str(n)) for n in range(1, layout.main_bearings + 1)),
        throws=tuple(
            Throw(
                angle_deg=throw.angle_deg,
                rods=tuple(RodMark(label=str(rod), stub=stub(rod)) for rod in throw.rods),
            )
            for throw in layout.throws
        ),
    )
