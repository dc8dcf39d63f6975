"""The path of a journal by the whole film at every step: the reference for the mobility method.

On cells that are fixed to the bearing, over the crank angle φ, which passes at ω, with
h = C − e·n + the form of the parts, θ the film fraction and ω_j the journal's speed::

    ω ∂(θh)/∂φ + (ω_j/2) ∂(θh)/∂β = ∂/∂x (h³/12μ ∂p/∂x) + ∂/∂z (h³/12μ ∂p/∂z)             (1)
    ∫ p n dA = F                                                                            (2)

* Reynolds condition: p ≥ 0, θ counts as 1: what ruptured is full again as soon as it is squeezed;
* mass-conserving (Jakobsson, Floberg and Olsson): p ≥ 0, θ ≤ 1, p (1 − θ) = 0: the cavity holds
  the oil that it was given, from cycle to cycle.

p counts from the pressure of the cavity. It is that of the surroundings where the ends are open
(:class:`Ends`), and a vacuum where they stand in oil, so that the film can draw oil in.

Each step is implicit (:mod:`oilwedge.film.transient_kernel`): (1), (2) and the rupture are solved
together by Newton's method for pressure, film fraction and the journal's next place. Cycle follows
cycle until the journal's place, and the oil in the gap, repeat to 1e-4. Rigid, smooth parts without
inertia; one viscosity.

Friction: shear μ ω_j² R³/h over the full gap, and the work of the pressure flow, as
:mod:`oilwedge.film.orbit`; with the shear of the cavity times its film fraction beside it.

Source: B. Jakobsson and L. Floberg, 1957, and K.-O. Olsson, 1965, for the condition; H. G. Elrod,
J. Lubrication Technology 103, 1981, for pressure and film fraction on fixed cells (all RECALLED).
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from enum import Enum
from typing import Final

import numpy as np
from numpy.typing import NDArray

from oilwedge.errors import Fault, InputError, OutOfRangeError
from oilwedge.film.bearing import Bearing, Groove, Rupture, require_positive
from oilwedge.film.film_shape import ROUND, FilmShape
from oilwedge.film.load_history import LoadHistory
from oilwedge.film.orbit import Orbit, resampled
from oilwedge.film.transient_cycle import Cycle, FilmState, Ring, run_cycle
from oilwedge.film.transient_layout import (
    RingGrid,
    Strip,
    cell_angles,
    lay_out,
    ring_of,
    smallest_gaps,
    whole_width,
)
from oilwedge.film.transient_rates import FED, PEAK, PUMPED, SHEAR, SIDE_IN, SIDE_OUT, THIN_SHEAR

Array = NDArray[np.float64]

RESIDUAL_ALLOWED: Final = 1e-4
VACUUM_PA: Final = 101_325.0
"""How far the cavity is below the surroundings where the ends stand in oil."""
DEFAULT_RING: Final = RingGrid()


class Ends(Enum):
    """What stands at the ends of the bearing; the value is the word for it on the command line."""

    OPEN = "open"
    """Air: the cavity has its pressure, and no oil comes in there. As in the mobility map."""

    FLOODED = "flooded"
    """Oil at the pressure of the surroundings: a cavity, as a vacuum, draws it in."""


@dataclass(frozen=True, kw_only=True, slots=True)
class TransientOrbit(Orbit):
    """The path by the whole film: what :class:`~oilwedge.film.orbit.Orbit` has, and the oil.

    ``residual`` is the larger of what place and oil miss in repeating. ``friction_powers_w`` count
    the full gap, ``film_fraction_friction_powers_w`` the cavity's shear times its film fraction.
    ``side_flows_m3_s`` leave at the ends, ``drawn_flows_m3_s`` come in there, ``feed_flows_m3_s``
    from the groove. ``mass_error``: what came in less what left and what the gap took up over the
    last cycle, over what passed the edges; None with the Reynolds condition, which makes oil where
    the film forms again. ``oil_change``: of the oil in the gap over the last cycle, over the oil.
    ``least_films_m``: the smallest film at each angle, form of the parts included.
    ``thinnest_pressure_pa`` (from the surroundings) and ``thinnest_film_fraction`` (n, m) over
    ``cell_angle_rad`` and ``cell_place_m`` (whole width, from its middle) where the film is
    smallest. ``steps`` and ``rounds`` (linear solves) of all cycles.
    """

    rupture: Rupture
    ends: Ends
    grid: RingGrid
    least_films_m: Array
    film_fraction_friction_powers_w: Array
    drawn_flows_m3_s: Array
    feed_flows_m3_s: Array
    mass_error: float | None
    oil_change: float
    cell_angle_rad: Array
    cell_place_m: Array
    thinnest_pressure_pa: Array
    thinnest_film_fraction: Array
    steps: int
    rounds: int

    @property
    def films_m(self) -> Array:
        """The smallest film at each angle."""
        return self.least_films_m

    @property
    def mean_oil_flow_m3_s(self) -> float:
        """Fresh oil that the bearing takes, over the cycle: from the groove, or at the ends.

        With the Reynolds condition and open ends it is what leaves there, which nobody brings.
        """
        given = self.drawn_flows_m3_s + self.feed_flows_m3_s
        if not given.any():
            return self.mean_side_flow_m3_s
        return self._mean(given)


def solve_transient(
    *,
    history: LoadHistory,
    bearing: Bearing,
    viscosity_pa_s: float,
    rupture: Rupture = Rupture.REYNOLDS,
    ends: Ends = Ends.OPEN,
    shape: FilmShape = ROUND,
    grid: RingGrid = DEFAULT_RING,
    largest_cycles: int = 40,
    when_cycle: Callable[[int, float], None] = lambda cycle, residual: None,
) -> TransientOrbit:
    """The journal's periodic path under a load history, with the whole film at each step.

    ``bearing``: without a groove or with one all round the middle, whose supply pressure holds
    there. ``shape``: see :class:`~oilwedge.film.film_shape.FilmShape`; an oval journal turns, from
    the history's first angle, at which its turn is 0. ``when_cycle`` is told the number of each
    cycle and what it misses in repeating.

    Errors: an :class:`InputError` for an axial groove (the largest gap has no place of its own
    under a load that moves), for a film that must keep its oil but gets none, and for sizes that
    no film has; an :class:`OutOfRangeError` where the film gets thinner than the grid resolves.
    A path that does not close is no error: see ``converged``.
    """
    _check(bearing, viscosity_pa_s, rupture, ends)
    problem = _problem(history, bearing, viscosity_pa_s, rupture, ends, shape, grid)
    state = _start(problem)
    steps = rounds = cycles = 0
    residual, film = math.inf, math.inf
    while residual > RESIDUAL_ALLOWED and cycles < largest_cycles:
        held = state.oil(problem.ring, 0)
        cycle = run_cycle(
            ring=problem.ring, angle=problem.angle_rad, load=problem.load, state=state
        )
        cycles += 1
        steps, rounds = steps + cycle.steps, rounds + cycle.rounds
        _refuse_thin(cycle, problem)
        taken_up = state.oil(problem.ring, problem.angle_rad.size) - held
        apart = math.hypot(*(cycle.path[-1] - cycle.path[0]))
        residual = max(apart / float(cycle.least[[0, -1]].min()), abs(taken_up / held))
        change, film = cycle.thinnest / film - 1.0, cycle.thinnest
        when_cycle(cycles, residual)
    orbit = _orbit(problem, cycle, taken_up=taken_up, oil_change=taken_up / held)
    return replace(
        orbit,
        converged=residual <= RESIDUAL_ALLOWED,
        residual=residual,
        cycles=cycles,
        film_change=change,
        steps=steps,
        rounds=rounds,
    )


@dataclass(frozen=True, kw_only=True, slots=True)
class _Problem:
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


def _problem(
    history: LoadHistory,
    bearing: Bearing,
    viscosity_pa_s: float,
    rupture: Rupture,
    ends: Ends,
    shape: FilmShape,
    grid: RingGrid,
) -> _Problem:
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
    return _Problem(
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


def _start(problem: _Problem) -> FilmState:
    """Half way out, in the load's direction, with a gap full of oil."""
    ring = problem.ring
    x, y, _ = problem.load[0]
    size = math.hypot(x, y) or 1.0
    film = np.repeat((x * ring.ring[0] + y * ring.ring[1] > 0.0)[:, None], ring.fixed.shape[1], 1)
    share = 0.5 * min(1.0, float((1.0 + ring.forms).min()))
    place = np.array([x, y, x, y]) * share / size
    shape = ring.fixed.shape
    return FilmState(place=place, p=np.zeros(shape), theta=np.ones(shape), film=film)


def _orbit(
    problem: _Problem, cycle: Cycle, *, taken_up: float, oil_change: float
) -> TransientOrbit:
    """The last cycle in SI units; how it was come by is filled in later."""
    rates = cycle.rates
    spans = np.diff(problem.angle_rad)
    came, left, fed = (float(rates[:, k] @ spans) for k in (SIDE_IN, SIDE_OUT, FED))
    conserving = problem.rupture is Rupture.MASS_CONSERVING
    passed = came + left + abs(fed)
    clearance = problem.bearing.radial_clearance_m
    films, thinnest = _films(problem, cycle)
    pumped = rates[:, PUMPED] / 12.0
    power, flow = problem.power_unit_w, problem.flow_unit_m3_s
    place = problem.strip.place * problem.bearing.radius_m
    copies = problem.strip.copies
    return TransientOrbit(
        angle_rad=problem.angle_rad,
        eccentricity_x=cycle.path[:, 0].copy(),
        eccentricity_y=cycle.path[:, 1].copy(),
        radial_clearance_m=clearance,
        least_films_m=films * clearance,
        minimum_film_m=thinnest[0] * clearance,
        minimum_film_angle_rad=thinnest[1],
        peak_pressures_pa=_at_angles(rates[:, PEAK]) * problem.pressure_unit_pa - problem.cavity_pa,
        friction_powers_w=_at_angles(rates[:, SHEAR] + pumped) * power,
        film_fraction_friction_powers_w=_at_angles(rates[:, THIN_SHEAR] + pumped) * power,
        side_flows_m3_s=_at_angles(rates[:, SIDE_OUT]) * flow,
        drawn_flows_m3_s=_at_angles(rates[:, SIDE_IN]) * flow,
        feed_flows_m3_s=_at_angles(rates[:, FED]) * flow,
        rupture=problem.rupture,
        ends=problem.ends,
        grid=problem.grid,
        mass_error=(came + fed - left - taken_up) / passed if conserving and passed else None,
        oil_change=oil_change,
        cell_angle_rad=cell_angles(problem.grid.around),
        cell_place_m=np.concatenate([-place[::-1], place]) if copies == 2 else place,
        thinnest_pressure_pa=whole_width(cycle.thinnest_p, copies=copies) * problem.pressure_unit_pa
        - problem.cavity_pa,
        thinnest_film_fraction=whole_width(cycle.thinnest_theta, copies=copies),
        converged=False,
        residual=math.inf,
        cycles=0,
        film_change=0.0,
        steps=0,
        rounds=0,
    )


def _at_angles(means: Array) -> Array:
    """Values at the angles from means between them; the cycle closes on itself."""
    both = 0.5 * (means + np.roll(means, 1))
    return np.append(both, both[0])


def _films(problem: _Problem, cycle: Cycle) -> tuple[Array, tuple[float, float]]:
    """Smallest gap over C at each angle, and the smallest of all with its angle."""
    ring = problem.ring
    if ring.is_round:
        films = 1.0 - np.hypot(cycle.path[:, 0], cycle.path[:, 1])
        place = int(cycle.least.argmin())
        return films, (float(cycle.least[place]), float(cycle.where[place]))
    plain = 1.0 - cycle.path @ ring.ring[:2]
    films = smallest_gaps(plain[:, :, None] + ring.forms, problem.strip)
    place = int(films.argmin())
    return films, (float(films[place]), float(problem.angle_rad[place]))


def _refuse_thin(cycle: Cycle, problem: _Problem) -> None:
    """Raise where a film was thinner than the cells resolve, or no step settled."""
    clearance, least = problem.bearing.radial_clearance_m, problem.grid.least_gap
    if cycle.stuck_at is None and cycle.thinnest >= least:
        return
    place = int(cycle.least[np.isfinite(cycle.least)].argmin())
    stuck = cycle.stuck_at is not None and cycle.thinnest >= 2.0 * least
    if cycle.stuck_at is not None and stuck:
        raise OutOfRangeError(
            Fault(
                given="",
                allowed=f"at {math.degrees(cycle.stuck_at):.0f} deg the film and the journal's"
                f" place do not settle, at a film of {cycle.thinnest * clearance * 1e6:.2g} µm",
                action="try another grid, and check that forces and speed do not jump",
            )
        )
    raise OutOfRangeError(
        Fault(
            given="",
            allowed=f"at {math.degrees(float(cycle.where[place])):.0f} deg the film falls below"
            f" {least * clearance * 1e6:.2g} µm, which {problem.grid.around} lines round the"
            " bearing do not resolve",
            action="take more of them, or check forces, viscosity and units; a load that turns"
            " at half the journal's speed is carried by no film",
        )
    )


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
