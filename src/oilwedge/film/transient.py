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
from pathlib import Path
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from oilwedge.errors import Fault, OutOfRangeError
from oilwedge.film import transient_kernel
from oilwedge.film.bearing import Bearing, Rupture
from oilwedge.film.film_shape import ROUND, FilmShape
from oilwedge.film.load_history import LoadHistory
from oilwedge.film.orbit import Orbit
from oilwedge.film.transient_cycle import Cycle, run_cycle
from oilwedge.film.transient_layout import RingGrid, cell_angles, smallest_gaps, whole_width
from oilwedge.film.transient_problem import Ends, Problem, start_of, transient_problem
from oilwedge.film.transient_rates import FED, PEAK, PUMPED, SHEAR, SIDE_IN, SIDE_OUT, THIN_SHEAR

__all__ = [
    "DEFAULT_RING",
    "RESIDUAL_ALLOWED",
    "Ends",
    "RingGrid",
    "TransientOrbit",
    "is_compiled",
    "solve_transient",
]

Array = NDArray[np.float64]

RESIDUAL_ALLOWED: Final = 1e-4
DEFAULT_RING: Final = RingGrid()


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
    def film_fraction_mean_friction_power_w(self) -> float:
        """The mean over the cycle, the shear of the cavity times its film fraction."""
        return self._mean(self.film_fraction_friction_powers_w)

    @property
    def mean_oil_flow_m3_s(self) -> float:
        """Fresh oil that the bearing takes, over the cycle: from the groove, or at the ends.

        With the Reynolds condition and open ends it is what leaves there, which nobody brings.
        """
        given = self.drawn_flows_m3_s + self.feed_flows_m3_s
        if not given.any():
            return self.mean_side_flow_m3_s
        return self._mean(given)


def is_compiled() -> bool:
    """Tell whether the cache holds the kernels, at least as new as their sources.

    A cache for another processor or another numba counts too: then the wait comes unannounced.
    """
    kernel: Any = transient_kernel.film_step
    folder = Path(transient_kernel.__file__).parent
    kernels = [folder / f"transient_{name}.py" for name in ("kernel", "lines", "rates")]
    newest = max(file.stat().st_mtime for file in kernels)
    indexes = Path(kernel.stats.cache_path).glob("transient_kernel.film_step-*.nbi")
    return any(index.stat().st_mtime >= newest for index in indexes)


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
    problem = transient_problem(history, bearing, viscosity_pa_s, rupture, ends, shape, grid)
    state = start_of(problem)
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


def _orbit(problem: Problem, cycle: Cycle, *, taken_up: float, oil_change: float) -> TransientOrbit:
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


def _films(problem: Problem, cycle: Cycle) -> tuple[Array, tuple[float, float]]:
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


def _refuse_thin(cycle: Cycle, problem: Problem) -> None:
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
