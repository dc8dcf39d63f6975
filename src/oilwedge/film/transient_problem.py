"""What :mod:`oilwedge.film.transient` solves: a bearing and its load on cells, without units."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import Enum
from typing import Final

import numpy as np
from numpy.typing import NDArray

from oilwedge.errors import Fault, InputError
from oilwedge.film.bearing import Bearing, Groove, Rupture, require_positive
from oilwedge.film.film_shape import FilmShape
from oilwedge.film.load_history import LoadHistory
from oilwedge.film.orbit import resampled
from oilwedge.film.transient_cycle import FilmState, Ring
from oilwedge.film.transient_layout import RingGrid, Strip, cell_angles, lay_out, ring_of

Array = NDArray[np.float64]

VACUUM_PA: Final = 101_325.0
"""How far the cavity is below the surroundings where the ends stand in oil."""


class Ends(Enum):
    """What stands at the ends of the bearing; the value is the word for it on the command line."""

    OPEN = "open"
    """Air: the cavity has its pressure, and no oil comes in there. As in the mobility map."""

    FLOODED = "flooded"
    """Oil at the pressure of the surroundings: a cavity, as a vacuum, draws it in."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Problem:
    """What is solved, and what 1 of the kernel stands for in SI units.

    ``load`` (nodes, 3): W in x and y, ω_j/ω. ``cavity_pa``: how far the cavity is below the
    surroundings.
    """

    bearing: Bearing
    rupture: Rupture
    ends: Ends
    shape: FilmShape
    grid: RingGrid
    angle_rad: Array
    load: Array
    strip: Strip
    ring: Ring
    cavity_pa: float
    pressure_unit_pa: float
    power_unit_w: float
    flow_unit_m3_s: float


def transient_problem(
    history: LoadHistory,
    bearing: Bearing,
    viscosity_pa_s: float,
    rupture: Rupture,
    ends: Ends,
    shape: FilmShape,
    grid: RingGrid,
) -> Problem:
    """Put a bearing and its load into the units of the kernel, from SI units.

    Errors: an :class:`InputError` for an axial groove, a film that must keep its oil but gets none,
    an oval journal that does not repeat, and a viscosity that is not above 0.
    """
    _check(bearing, viscosity_pa_s, rupture, ends)
    angle, force_x, force_y, spin = resampled(history)
    omega = history.turning_speed_rad_s
    radius, clearance = bearing.radius_m, bearing.radial_clearance_m
    pressure = viscosity_pa_s * omega * (radius / clearance) ** 2
    force = pressure * radius**2
    cavity = VACUUM_PA if ends is Ends.FLOODED else 0.0
    strip = lay_out(bearing=bearing, shape=shape, across=grid.across)
    turns = np.concatenate([[0.0], np.cumsum(np.diff(angle) * 0.5 * (spin[1:] + spin[:-1]))])
    flags = np.array(
        [
            cavity / pressure,
            (bearing.supply_pressure_pa + cavity) / pressure,
            strip.copies,
            1.0 if rupture is Rupture.MASS_CONSERVING else 0.0,
            1.0,
        ]
    )
    return Problem(
        bearing=bearing,
        rupture=rupture,
        ends=ends,
        shape=shape,
        grid=grid,
        angle_rad=angle,
        load=np.stack([force_x / force, force_y / force, spin / omega], axis=1),
        strip=strip,
        ring=Ring(
            ring=ring_of(grid.around),
            strip=strip.strip,
            flags=flags,
            fixed=np.zeros((grid.around, strip.place.size), dtype=np.bool_),
            forms=_forms(bearing, shape, strip, grid, turns / omega),
        ),
        cavity_pa=cavity,
        pressure_unit_pa=pressure,
        power_unit_w=viscosity_pa_s * omega**2 * radius**4 / clearance,
        flow_unit_m3_s=omega * radius**2 * clearance / 12.0,
    )


def _forms(
    bearing: Bearing, shape: FilmShape, strip: Strip, grid: RingGrid, turns_rad: Array
) -> Array:
    """What the shape adds to the gap over C; at every angle where an oval journal turns."""
    angle = cell_angles(grid.around)[:, None]
    place = strip.place[None, :] * bearing.radius_m
    still = turns_rad[:1] if shape.journal_out_of_round_m == 0.0 else turns_rad
    forms = [
        shape.gap_change_m(
            angle_rad=angle, place_m=place, width_m=bearing.width_m, journal_turn_rad=float(turn)
        )
        for turn in still
    ]
    half_turns = turns_rad[-1] / math.pi
    if len(forms) > 1 and abs(half_turns - round(half_turns)) > 1e-3:
        raise InputError(
            Fault(
                given=f"{math.degrees(turns_rad[-1]):.1f} deg turned by the journal",
                allowed="an oval journal repeats only after half turns in its bearing",
                action="give its speed relative to the bearing's axes over one settled cycle",
            )
        )
    return np.stack(forms) / bearing.radial_clearance_m


def start_of(problem: Problem) -> FilmState:
    """Half way out, in the load's direction, with a gap full of oil."""
    ring = problem.ring
    x, y, _ = problem.load[0]
    size = math.hypot(x, y) or 1.0
    film = np.repeat((x * ring.ring[0] + y * ring.ring[1] > 0.0)[:, None], ring.fixed.shape[1], 1)
    share = 0.5 * min(1.0, float((1.0 + ring.forms).min()))
    place = np.array([x, y, x, y]) * share / size
    shape = ring.fixed.shape
    return FilmState(place=place, p=np.zeros(shape), theta=np.ones(shape), film=film)


def _check(bearing: Bearing, viscosity_pa_s: float, rupture: Rupture, ends: Ends) -> None:
    require_positive(viscosity_pa_s, what="the viscosity", unit="Pa s")
    if bearing.groove is Groove.AXIAL:
        raise InputError(
            Fault(
                given="an axial groove at the largest gap",
                allowed="under a load that moves the largest gap has no place of its own: no"
                " groove, or one all round the middle",
                action="choose one of the two",
            )
        )
    fed = bearing.groove is Groove.CIRCUMFERENTIAL and bearing.supply_pressure_pa > 0.0
    if rupture is Rupture.MASS_CONSERVING and ends is Ends.OPEN and not fed:
        raise InputError(
            Fault(
                given="a film that keeps its oil, with open ends and no supply",
                allowed="what leaves at the ends has to come in somewhere",
                action="let the ends be flooded, or give a groove all round with a supply pressure",
            )
        )
