"""Loads on main bearings through a crank cut at its mains, torque, and what shakes the engine.

Axes of the engine, seen from the front with the crank turning clockwise: x straight up, y to the
right, so that the crank turns from x towards y and an angle counted clockwise from up has the
direction (cos, sin). z runs along the crank from the front to the rear.

The crank is statically determinate: cut at every main, each bay is a beam on the two mains at its
ends. A force F at the place z in the bay from z₀ to z₁ loads the front main with
F (z₁ − z)/(z₁ − z₀) and the rear one with the rest; what hangs out beyond the last main belongs to
the last bay. Each main carries what the two bays beside it give it.
Forces are those of the rods on their pins (:mod:`.rod_load`), turned into the engine's axes, and
the centrifugal force U ω² of every turning unbalance U (kg m). Stiffness, bending from bay to bay,
the flywheel's weight and its pull are left out: the usual simplification for bearings, which
misses how a stiff crank shares its load.

The main load is the force that presses the journal into the bearing (the film carries it); the
engine's block feels the same force. What is left free after the cylinders' own forces on the
block, the sum of all inertia forces, shakes the engine. Newtons, metres, radians.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from oilwedge.errors import Fault, InputError
from oilwedge.film.crank_train import CrankTrain
from oilwedge.film.rod_load import Cylinder, RodLoad, rod_load

__all__ = [
    "FreeForce",
    "MainLoads",
    "balancing_counterweight_kg_m",
    "free_force",
    "main_loads",
    "order_amplitude",
]


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class MainLoads:
    """Loads over the turn ψ of the crank, ``angle_rad`` (n,), in the engine's axes.

    ``force_x_n``, ``force_y_n`` (mains, n): the load that presses each journal into its bearing.
    ``torque_n_m`` (n,): of all cylinders on the crank. ``rods``: the loads of each cylinder, in
    order, at the same moments; their ``angle_rad`` count from the cylinder's own firing.
    """

    angle_rad: NDArray[np.float64]
    force_x_n: NDArray[np.float64]
    force_y_n: NDArray[np.float64]
    torque_n_m: NDArray[np.float64]
    rods: tuple[RodLoad, ...]
    speed_rad_s: float


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class FreeForce:
    """What shakes the engine, over ``angle_rad`` (n,): force in N and moment in N m.

    The force on the block in the engine's axes; ``moment_x_n_m``, ``moment_y_n_m`` are its moments
    about axes along x and y through the middle main place (mean of first and last).
    """

    angle_rad: NDArray[np.float64]
    force_x_n: NDArray[np.float64]
    force_y_n: NDArray[np.float64]
    moment_x_n_m: NDArray[np.float64]
    moment_y_n_m: NDArray[np.float64]


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class _Force:
    """A force over the cycle at one place along the crank, in the engine's axes."""

    place_m: float
    x_n: NDArray[np.float64]
    y_n: NDArray[np.float64]


def main_loads(
    *,
    train: CrankTrain,
    cylinders: Sequence[Cylinder],
    speed_rad_s: float,
    angle_rad: ArrayLike,
) -> MainLoads:
    """The loads at turns ψ of the crank (rad, any start) at a steady speed (rad/s).

    ``cylinders``: one to each of the layout, in order. InputError when their number, strokes or
    offsets are not those of the layout.
    """
    _check(train, cylinders)
    psi = np.atleast_1d(np.asarray(angle_rad, dtype=np.float64))
    rods = tuple(
        rod_load(cylinder=cylinder, speed_rad_s=speed_rad_s, angle_rad=psi - firing)
        for cylinder, firing in zip(cylinders, train.firing_angle_rad, strict=True)
    )
    forces = [
        *(
            _turned(place, bank, rod.space_x_n, rod.space_y_n)
            for place, bank, rod in zip(
                train.rod_place_m, train.layout.bank_angle_rad, rods, strict=True
            )
        ),
        *_turning(train, psi, speed_rad_s),
    ]
    shares = [_shares(train.main_place_m, force.place_m) for force in forces]
    return MainLoads(
        angle_rad=psi,
        force_x_n=_sum(np.outer(s, f.x_n) for s, f in zip(shares, forces, strict=True)),
        force_y_n=_sum(np.outer(s, f.y_n) for s, f in zip(shares, forces, strict=True)),
        torque_n_m=_sum(rod.torque_n_m for rod in rods),
        rods=rods,
        speed_rad_s=speed_rad_s,
    )


def _sum(arrays: Iterable[NDArray[np.float64]]) -> NDArray[np.float64]:
    return np.asarray(np.sum(np.stack(list(arrays)), axis=0), dtype=np.float64)


def _turned(
    place_m: float, bank_rad: float, x_n: NDArray[np.float64], y_n: NDArray[np.float64]
) -> _Force:
    """A force in a cylinder's axes, in the engine's."""
    c, s = math.cos(bank_rad), math.sin(bank_rad)
    return _Force(place_m=place_m, x_n=c * x_n - s * y_n, y_n=s * x_n + c * y_n)


def _turning(train: CrankTrain, psi: NDArray[np.float64], speed_rad_s: float) -> list[_Force]:
    """The centrifugal forces of throws and counterweights."""
    own = train.throw_unbalance_kg_m
    throws = zip(own, train.layout.throw_angle_rad, train.throw_place_m, strict=True) if own else ()
    weights = zip(
        train.counterweight_kg_m,
        train.counterweight_angle_rad,
        train.counterweight_place_m,
        strict=True,
    )
    return [
        _Force(
            place_m=place,
            x_n=size * speed_rad_s**2 * np.cos(psi + angle),
            y_n=size * speed_rad_s**2 * np.sin(psi + angle),
        )
        for size, angle, place in (*throws, *weights)
    ]


def _shares(mains: Sequence[float], place_m: float) -> NDArray[np.float64]:
    """The share of a force that each main carries; they add up to 1."""
    bay = min(max(int(np.searchsorted(mains, place_m)) - 1, 0), len(mains) - 2)
    rear = (place_m - mains[bay]) / (mains[bay + 1] - mains[bay])
    found = np.zeros(len(mains))
    found[bay], found[bay + 1] = 1.0 - rear, rear
    return found


def _check(train: CrankTrain, cylinders: Sequence[Cylinder]) -> None:
    layout = train.layout
    if len(cylinders) != layout.cylinders:
        raise InputError(
            Fault(
                given=f"{len(cylinders)} cylinders",
                allowed=f"the layout has {layout.cylinders}",
                action="give each cylinder of the layout, in order",
            )
        )
    for i, cylinder in enumerate(cylinders):
        if cylinder.trace.strokes is not layout.strokes:
            raise InputError(
                Fault(
                    given=f"a {cylinder.trace.strokes.name.lower()}-stroke pressure trace",
                    allowed=f"the engine is {layout.strokes.name.lower()}-stroke",
                    action=f"give cylinder {i + 1} a trace of the engine's own cycle",
                )
            )
        psi, throw = train.firing_angle_rad[i], layout.throw_angle_rad[layout.throw_of_cylinder[i]]
        wanted = layout.bank_angle_rad[i] + cylinder.crank.top_angle_rad - throw
        if abs((psi - wanted + math.pi) % (2.0 * math.pi) - math.pi) > 1e-6:
            raise InputError(
                Fault(
                    given=f"cylinder {i + 1} firing at {math.degrees(psi):.6g}°",
                    allowed="a cylinder fires at its own top dead centre, here "
                    f"{math.degrees(wanted % (2.0 * math.pi)):.6g}° or a whole turn later",
                    action="take the firing angles from the layout, with its offsets",
                )
            )


def free_force(*, train: CrankTrain, cylinders: Sequence[Cylinder], loads: MainLoads) -> FreeForce:
    """Everything that the crank train does to the block, added up (N, N m).

    Main loads, the pistons' side forces on the walls and the gas on the heads (outwards along each
    cylinder, against the gas on the piston). The gas falls out, as it must; what is left is the
    sum of the inertia forces.
    """
    forces = [
        _turned(place, bank, rod.gas_force_n, rod.side_force_n)
        for place, bank, rod in zip(
            train.rod_place_m, train.layout.bank_angle_rad, loads.rods, strict=True
        )
    ]
    forces += [
        _Force(place_m=place, x_n=x, y_n=y)
        for place, x, y in zip(train.main_place_m, loads.force_x_n, loads.force_y_n, strict=True)
    ]
    middle = (train.main_place_m[0] + train.main_place_m[-1]) / 2.0
    arms = [force.place_m - middle for force in forces]
    return FreeForce(
        angle_rad=loads.angle_rad,
        force_x_n=_sum(force.x_n for force in forces),
        force_y_n=_sum(force.y_n for force in forces),
        # r × F with r = (0, 0, z)
        moment_x_n_m=-_sum(arm * force.y_n for arm, force in zip(arms, forces, strict=True)),
        moment_y_n_m=_sum(arm * force.x_n for arm, force in zip(arms, forces, strict=True)),
    )


def order_amplitude(*, angle_rad: ArrayLike, values: ArrayLike, order: float) -> float:
    """Amplitude, in the unit of ``values``, of what repeats ``order`` times a turn.

    |2/N Σ v exp(−i·order·ψ)| over N even angles (rad) that span whole cycles; order ½ is the
    firing of one four-stroke cylinder.
    """
    turning = np.exp(-1j * order * np.asarray(angle_rad, dtype=np.float64))
    return float(2.0 * abs(np.mean(np.asarray(values, dtype=np.float64) * turning)))


def balancing_counterweight_kg_m(
    *, cylinder: Cylinder, throw_unbalance_kg_m: float = 0.0, reciprocating_share: float = 0.5
) -> float:
    """U = U_throw + (m_big + share·m_rec) r, in kg m: what balances one rod on its throw, opposite.

    The share of the reciprocating mass is a designer's choice: ½ leaves a single cylinder the
    smallest force that turns; 0 leaves all of it along the cylinder. To first order only.
    """
    masses = cylinder.masses
    carried = masses.big_end_kg + reciprocating_share * masses.reciprocating_kg
    return throw_unbalance_kg_m + carried * cylinder.crank.throw_m
