"""A crank train as plain arrays: throws, banks, rods on a throw, firing, places along the crank.

Seen from the front, the crank turns clockwise. Angles count clockwise from straight up: the throw
angles at the position 0 of the crank, and the bank angles of the cylinders' axes. Cylinder i with
bank β_i on a throw at α is at top dead centre (without offset) when the crank has turned by
ψ = β_i − α, give or take whole turns; an offset adds the little angle of
:attr:`.kinematics.SliderCrank.top_angle_rad`. Places along the crank count from the front to the
rear, in metres, or in any other length when only loads are wanted. Cylinders, throws and main
bearings are counted from 0 here.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from oilwedge.errors import Fault, InputError
from oilwedge.film.gas_pressure import Strokes

__all__ = ["CrankTrain", "Layout", "even_places", "firing_angles_by_intervals", "firing_angles_rad"]

_FITS_RAD = math.radians(0.5)  # how far a typed interval may miss top dead centre
_TINY_RAD = 1e-9


@dataclass(frozen=True, kw_only=True, slots=True)
class Layout:
    """How cylinders stand round the crank.

    ``throw_angle_rad`` (throws,), ``bank_angle_rad`` (cylinders,), ``throw_of_cylinder``
    (cylinders,) with the number of the throw, counted from 0; ``top_angle_rad`` (cylinders,) from
    an offset, or empty for none.
    """

    strokes: Strokes
    throw_angle_rad: tuple[float, ...]
    bank_angle_rad: tuple[float, ...]
    throw_of_cylinder: tuple[int, ...]
    top_angle_rad: tuple[float, ...] = ()

    def __post_init__(self) -> None:
        count = len(self.bank_angle_rad)
        if count == 0 or len(self.throw_of_cylinder) != count:
            raise _fault(
                f"{count} bank angles, {len(self.throw_of_cylinder)} cylinders on throws",
                "each cylinder has one bank angle and one throw",
            )
        if self.top_angle_rad and len(self.top_angle_rad) != count:
            raise _fault(
                f"{len(self.top_angle_rad)} offsets for {count} cylinders",
                "offsets are given for all cylinders or for none",
            )
        missing = set(range(len(self.throw_angle_rad))) ^ set(self.throw_of_cylinder)
        if missing:
            raise _fault(
                f"throw {min(missing) + 1}",
                f"each of the {len(self.throw_angle_rad)} throws carries at least one rod, and "
                "each rod runs on one of them",
            )
        angles = (*self.throw_angle_rad, *self.bank_angle_rad, *self.top_angle_rad)
        if not all(math.isfinite(angle) for angle in angles):
            raise _fault("an angle that is no number", "throws and banks stand at known angles")

    @property
    def cylinders(self) -> int:
        """How many cylinders there are."""
        return len(self.bank_angle_rad)

    def top_dead_centre_rad(self, cylinder: int) -> float:
        """Turn ψ of the crank, 0 to 2π rad, at which a cylinder (from 0) is at top dead centre."""
        throw = self.throw_angle_rad[self.throw_of_cylinder[cylinder]]
        top = self.top_angle_rad[cylinder] if self.top_angle_rad else 0.0
        return _wrapped(self.bank_angle_rad[cylinder] + top - throw, 2.0 * math.pi)


def _wrapped(angle: float, period: float) -> float:
    """The angle in [0, period), with what lies just under a whole period taken as 0."""
    found = angle % period
    return 0.0 if period - found < _TINY_RAD else found


def _fault(given: str, allowed: str, action: str = "check the layout") -> InputError:
    return InputError(Fault(given=given, allowed=allowed, action=action))


def firing_angles_rad(*, layout: Layout, firing_order: Sequence[int]) -> tuple[float, ...]:
    """Turn ψ (rad, within one cycle) at which each cylinder fires, from the firing order alone.

    ``firing_order`` counts cylinders from 0. Each cylinder fires at the first top dead centre that
    it has after the one before it fired; cylinders that reach it together fire together only where
    a two-stroke engine leaves no choice. InputError when that does not close in one cycle: the
    order does not fit the crank. Where an order can be met in two ways (a pair that fires twice
    close together), give intervals to :func:`firing_angles_by_intervals`.
    """
    _check_order(layout, firing_order)
    cycle = layout.strokes.cycle_rad
    first = layout.top_dead_centre_rad(firing_order[0])
    found = {firing_order[0]: first}
    passed = 0.0
    for cylinder in firing_order[1:]:
        turn = _wrapped(layout.top_dead_centre_rad(cylinder) - first - passed, 2.0 * math.pi)
        if turn < 1e-6 and layout.strokes is Strokes.FOUR:
            turn = 2.0 * math.pi
        passed += turn
        if passed > cycle - 1e-6:
            raise _order_fault(layout, firing_order, cylinder)
        found[cylinder] = (first + passed) % cycle
    return tuple(found[cylinder] for cylinder in range(layout.cylinders))


def firing_angles_by_intervals(
    *, layout: Layout, firing_order: Sequence[int], interval_rad: Sequence[float]
) -> tuple[float, ...]:
    """The same from intervals (rad): from each firing to the next, the last one back to the first.

    They add up to one cycle and meet each cylinder within 0.5° of a top dead centre, else
    InputError; the angles given back are those of top dead centre exactly.
    """
    _check_order(layout, firing_order)
    cycle, turn = layout.strokes.cycle_rad, 2.0 * math.pi
    if len(interval_rad) != layout.cylinders or min(interval_rad) < 0.0:
        raise _fault(
            f"{len(interval_rad)} firing intervals",
            f"there is one interval to each of the {layout.cylinders} firings, none negative",
        )
    if abs(math.fsum(interval_rad) - cycle) > _FITS_RAD:
        raise _fault(
            f"firing intervals that add up to {math.degrees(math.fsum(interval_rad)):.5g}°",
            f"they add up to one cycle, {math.degrees(cycle):.5g}°",
        )
    at = layout.top_dead_centre_rad(firing_order[0])
    found = {}
    for cylinder, interval in zip(firing_order, interval_rad, strict=True):
        miss = (at - layout.top_dead_centre_rad(cylinder) + math.pi) % turn - math.pi
        if abs(miss) > _FITS_RAD:
            raise _order_fault(layout, firing_order, cylinder)
        found[cylinder] = _wrapped(at - miss, cycle)
        at += interval
    return tuple(found[cylinder] for cylinder in range(layout.cylinders))


def _check_order(layout: Layout, firing_order: Sequence[int]) -> None:
    if sorted(firing_order) != list(range(layout.cylinders)):
        raise _fault(
            f"firing order {_spoken(firing_order)}",
            f"it names each of the {layout.cylinders} cylinders once",
            "write the firing order of one cycle",
        )


def _order_fault(layout: Layout, firing_order: Sequence[int], cylinder: int) -> InputError:
    top = math.degrees(layout.top_dead_centre_rad(cylinder))
    return _fault(
        f"firing order {_spoken(firing_order)}",
        f"it does not fit the layout: cylinder {cylinder + 1}, which is at top dead centre "
        f"{top:.5g}° from the crank's position 0, cannot fire in that place",
        "check the firing order and the throw and bank angles",
    )


def _spoken(firing_order: Sequence[int]) -> str:
    return "-".join(str(cylinder + 1) for cylinder in firing_order)


@dataclass(frozen=True, kw_only=True, slots=True)
class CrankTrain:
    """A layout with its firing angles (rad) and where things are along the crank (m).

    ``rod_place_m`` (cylinders,), ``throw_place_m`` (throws,), ``main_place_m`` (mains, front to
    rear). Unbalanced turning masses, as mass times radius of their centre (kg m): the throws' own
    (pin and webs, along the throw) in ``throw_unbalance_kg_m`` (throws,), and counterweights with
    their size, angle (rad, like throw angles) and place (m). InputError for fewer than two mains:
    with one, the load on it cannot be told from the bending.
    """

    layout: Layout
    firing_angle_rad: tuple[float, ...]
    rod_place_m: tuple[float, ...]
    throw_place_m: tuple[float, ...]
    main_place_m: tuple[float, ...]
    throw_unbalance_kg_m: tuple[float, ...] = ()
    counterweight_kg_m: tuple[float, ...] = ()
    counterweight_angle_rad: tuple[float, ...] = ()
    counterweight_place_m: tuple[float, ...] = ()

    def __post_init__(self) -> None:
        throws = len(self.layout.throw_angle_rad)
        weights = len(self.counterweight_kg_m)
        for words, count, wanted in (
            ("firing angles", len(self.firing_angle_rad), self.layout.cylinders),
            ("places of rods", len(self.rod_place_m), self.layout.cylinders),
            ("places of throws", len(self.throw_place_m), throws),
            ("unbalances of throws", len(self.throw_unbalance_kg_m) or throws, throws),
            ("angles of counterweights", len(self.counterweight_angle_rad), weights),
            ("places of counterweights", len(self.counterweight_place_m), weights),
        ):
            if count != wanted:
                raise _fault(f"{count} {words}", f"there are {wanted} of them in this layout")
        if len(self.main_place_m) < 2:
            raise _fault(
                f"{len(self.main_place_m)} main bearings",
                "a crank that is cut at its mains stands on two at least",
            )
        if min(np.diff(self.main_place_m)) <= 0.0:
            raise _fault(
                "main bearings out of order", "their places rise from the front to the rear"
            )


def even_places(
    *, layout: Layout, main_bearings: int, spacing_m: float = 1.0
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Places (m) of throws and mains when nobody measured: mains ``spacing_m`` apart, throws even.

    The throws share the bays between mains evenly, in order; InputError when they cannot. Loads
    on the mains depend on shares of the bays only, so that the spacing falls out of them. An
    assumption, and to be called one.
    """
    throws, bays = len(layout.throw_angle_rad), main_bearings - 1
    if bays < 1 or throws % bays:
        raise _fault(
            f"{throws} throws and {main_bearings} main bearings",
            "without places along the crank, the throws share the bays between mains evenly",
            "give the places of throws and mains",
        )
    each = throws // bays
    mains = np.arange(main_bearings, dtype=np.float64) * spacing_m
    within = (np.arange(each) + 1.0) / (each + 1.0)
    places = (np.arange(bays)[:, np.newaxis] + within).ravel() * spacing_m
    return places, mains
