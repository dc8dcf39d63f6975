"""The steady journal bearing under a load: how far off centre it runs, and what follows.

The film at a given eccentricity is :mod:`oilwedge.film.unit_film`'s; here the eccentricity is found
at which it carries the load, by a bracketed secant search on ln W over ln(ε/(1 − ε)), in which the
curve is nearly straight. Constant viscosity; rigid, smooth, parallel parts. The default grid is
within 0.3 % of its own converged values for ε from 0.1 to 0.99 and widths of 0.2 to 1 diameter
(tests/film/test_grid_convergence.py).
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from oilwedge.errors import Fault, InputError, OutOfRangeError
from oilwedge.film.bearing import Bearing, Groove, Rupture, require_positive
from oilwedge.film.closed_forms import require_eccentricity
from oilwedge.film.film_grid import FilmGrid
from oilwedge.film.unit_film import FilmNotSettledError, UnitFilm, unit_film

Floats = NDArray[np.float64]

DEFAULT_GRID = FilmGrid()
LEAST_ECCENTRICITY = 1e-6
MOST_ECCENTRICITY = 0.999
LOAD_TOLERANCE = 1e-8
MOST_STEPS = 60


@dataclass(frozen=True, kw_only=True, slots=True)
class Convergence:
    """How an answer was come by.

    ``load_error``: film force less load, over the load. ``eccentricity_steps``: films solved on
    the way. ``rupture_solves``: linear solves of the last film. ``grid_error``: estimate of the
    error of the film force by the grid, a third of its difference to the grid of twice the step
    (second order), None where the grid cannot be halved. ``mass_error``: what is supplied less
    what leaves at the ends, over what passes the largest gap.
    """

    grid: FilmGrid
    eccentricity_steps: int
    load_error: float
    rupture_solves: int
    grid_error: float | None
    mass_error: float


@dataclass(frozen=True, kw_only=True, slots=True)
class SteadyFilm:
    """A steady bearing. Angles count in the direction of rotation.

    ``sommerfeld_number`` S = (R/C)² μ N/p: C radial clearance, N in revolutions a second, p load
    over whole width times diameter. ``attitude_angle_rad`` from the load to the thinnest place
    (both as seen from the centre of the bearing), ``peak_pressure_angle_rad`` likewise.
    ``friction_moment_n_m`` on the journal with the gap full of oil all round, as the classical
    tables count; ``film_fraction_friction_moment_n_m`` with the shear of the cavity times its film
    fraction. ``groove_flow_m3_s``: all oil that flows from the groove into the film, Q of the
    tables for an axial groove, where the part that the cavity brought back is in it;
    ``fresh_flow_m3_s`` what the supply has to give; ``side_flow_m3_s`` what leaves at both ends.
    ``pressure_pa`` (n, m) over ``angle_rad`` (n, from the largest gap) and ``place_m`` (m, along
    the width: from the middle to one end; for a circumferential groove from its edge to the end).
    """

    bearing: Bearing
    rupture: Rupture
    load_n: float
    eccentricity_ratio: float
    sommerfeld_number: float
    attitude_angle_rad: float
    minimum_film_m: float
    peak_pressure_pa: float
    peak_pressure_angle_rad: float
    peak_pressure_place_m: float
    friction_moment_n_m: float
    friction_power_w: float
    film_fraction_friction_moment_n_m: float
    film_fraction_friction_power_w: float
    friction_coefficient: float
    side_flow_m3_s: float
    groove_flow_m3_s: float
    fresh_flow_m3_s: float
    angle_rad: Floats
    place_m: Floats
    pressure_pa: Floats
    film_fraction: Floats
    convergence: Convergence


def sommerfeld_number(
    *, bearing: Bearing, viscosity_pa_s: float, speed_rad_s: float, load_n: float
) -> float:
    """S = (R/C)² μ N/p with p = load/(L D): the number of Raimondi and Boyd, 1/(2π So)."""
    pressure = load_n / (bearing.width_m * bearing.diameter_m)
    slender = bearing.radius_m / bearing.radial_clearance_m
    return slender**2 * viscosity_pa_s * speed_rad_s / (2.0 * math.pi) / pressure


def solve_steady(
    *,
    bearing: Bearing,
    viscosity_pa_s: float,
    speed_rad_s: float,
    load_n: float,
    rupture: Rupture = Rupture.REYNOLDS,
    grid: FilmGrid = DEFAULT_GRID,
) -> SteadyFilm:
    """Find where the journal runs under a constant load, and what the film is there.

    ``speed_rad_s`` of the journal in a bearing and under a load that stand still. OutOfRangeError
    for input that no film goes with, FilmNotSettledError where the solution does not converge.
    """
    require_positive(viscosity_pa_s, what="the viscosity", unit="Pa s")
    require_positive(speed_rad_s, what="the speed", unit="rad/s")
    require_positive(load_n, what="the load", unit="N")
    _require_feed(bearing, rupture)
    unit_n = _force_unit_n(bearing, viscosity_pa_s, speed_rad_s)
    wanted = load_n / unit_n
    film_of = _solver(bearing, viscosity_pa_s, speed_rad_s, rupture)
    search = _Search(wanted=wanted, load_n=load_n, bearing=bearing)
    coarse = grid.coarser()
    start = 0.7
    if coarse is not None:
        start = search.run(lambda e: film_of(e, coarse), start=start, tolerance=1e-3)[0]
    _, film = search.run(lambda e: film_of(e, grid), start=start, tolerance=LOAD_TOLERANCE)
    return _with_units(
        film, bearing, viscosity_pa_s, speed_rad_s, load_n, rupture, grid, film_of, search.steps
    )


def solve_at_eccentricity(
    *,
    bearing: Bearing,
    viscosity_pa_s: float,
    speed_rad_s: float,
    eccentricity_ratio: float,
    rupture: Rupture = Rupture.REYNOLDS,
    grid: FilmGrid = DEFAULT_GRID,
) -> SteadyFilm:
    """Give the film of a journal that runs at this eccentricity ratio, with the load it carries."""
    require_positive(viscosity_pa_s, what="the viscosity", unit="Pa s")
    require_positive(speed_rad_s, what="the speed", unit="rad/s")
    require_eccentricity(eccentricity_ratio)
    _require_feed(bearing, rupture)
    film_of = _solver(bearing, viscosity_pa_s, speed_rad_s, rupture)
    film = film_of(eccentricity_ratio, grid)
    load_n = film.load * _force_unit_n(bearing, viscosity_pa_s, speed_rad_s)
    return _with_units(
        film, bearing, viscosity_pa_s, speed_rad_s, load_n, rupture, grid, film_of, 1
    )


def _require_feed(bearing: Bearing, rupture: Rupture) -> None:
    """Refuse what would run dry: oil that leaves at the ends has to come from somewhere."""
    if rupture is Rupture.REYNOLDS or bearing.groove is Groove.AXIAL:
        return
    if bearing.groove is Groove.NONE or bearing.supply_pressure_pa == 0.0:
        raise OutOfRangeError(
            Fault(
                given=f"groove '{bearing.groove.value}' at"
                f" {bearing.supply_pressure_pa / 1e5:g} bar",
                allowed="a steady film that conserves its oil runs dry unless an axial groove, or"
                " supply pressure in a circumferential one, replaces what leaves at the ends",
                action="give a supply pressure or choose the axial groove or Reynolds rupture",
            )
        )


def _pressure_unit_pa(bearing: Bearing, viscosity_pa_s: float, speed_rad_s: float) -> float:
    return viscosity_pa_s * speed_rad_s * (bearing.radius_m / bearing.radial_clearance_m) ** 2


def _force_unit_n(bearing: Bearing, viscosity_pa_s: float, speed_rad_s: float) -> float:
    return _pressure_unit_pa(bearing, viscosity_pa_s, speed_rad_s) * bearing.radius_m**2


def _solver(
    bearing: Bearing, viscosity_pa_s: float, speed_rad_s: float, rupture: Rupture
) -> Callable[[float, FilmGrid], UnitFilm]:
    supply = bearing.supply_pressure_pa / _pressure_unit_pa(bearing, viscosity_pa_s, speed_rad_s)

    def film_of(eccentricity_ratio: float, grid: FilmGrid) -> UnitFilm:
        return unit_film(
            eccentricity_ratio=eccentricity_ratio,
            land=bearing.land_width_m / bearing.radius_m,
            lands=bearing.land_count,
            groove=bearing.groove,
            rupture=rupture,
            supply_pressure=supply,
            grid=grid,
        )

    return film_of


@dataclass(kw_only=True, slots=True)
class _Search:
    """Search for the eccentricity at which the film carries the load."""

    wanted: float
    load_n: float
    bearing: Bearing
    steps: int = 0

    def run(
        self, film_of: Callable[[float], UnitFilm], *, start: float, tolerance: float
    ) -> tuple[float, UnitFilm]:
        low, high = _logit(LEAST_ECCENTRICITY), _logit(MOST_ECCENTRICITY)
        low_tried = high_tried = False
        x, slope = _logit(start), 1.5
        before: tuple[float, float] | None = None
        for _ in range(MOST_STEPS):
            film = film_of(_eccentricity(x))
            self.steps += 1
            miss = math.log(max(film.load, 1e-300) / self.wanted)
            if abs(miss) <= tolerance:
                return film.eccentricity_ratio, film
            if miss < 0.0:
                low, low_tried = x, True
            else:
                high, high_tried = x, True
            if high - low < 1e-13:
                break
            if before is not None and x != before[0]:
                slope = max((miss - before[1]) / (x - before[0]), 0.2)
            before = (x, miss)
            x = x - miss / slope
            if not low < x < high:
                x = self._bracketed(low, high, low_tried=low_tried, high_tried=high_tried)
        raise self._failed(low)

    def _bracketed(self, low: float, high: float, *, low_tried: bool, high_tried: bool) -> float:
        if low_tried and high_tried:
            return 0.5 * (low + high)
        return high if low_tried else low

    def _failed(self, low: float) -> InputError:
        given = f"a load of {self.load_n:g} N"
        if low >= _logit(MOST_ECCENTRICITY):
            return OutOfRangeError(
                Fault(
                    given=given,
                    allowed="it would press the film under a thousandth of the radial clearance"
                    f" ({self.bearing.radial_clearance_m * 1e6:.3g} nm), which no film carries",
                    action="check load, speed, viscosity and clearance",
                )
            )
        if low > _logit(LEAST_ECCENTRICITY):
            return FilmNotSettledError(
                Fault(
                    given=given,
                    allowed=f"after {self.steps} films the search ends at an eccentricity ratio of"
                    f" {_eccentricity(low):.6g} without balance",
                    action="try another grid or the other condition of rupture",
                )
            )
        return OutOfRangeError(
            Fault(
                given=given,
                allowed="no steady place of the journal carries it: the film of a nearly centred"
                " journal already pushes harder",
                action="give more load or less supply pressure",
            )
        )


def _logit(e: float) -> float:
    return math.log(e / (1.0 - e))


def _eccentricity(x: float) -> float:
    return 1.0 / (1.0 + math.exp(-x))


def _with_units(
    film: UnitFilm,
    bearing: Bearing,
    viscosity_pa_s: float,
    speed_rad_s: float,
    load_n: float,
    rupture: Rupture,
    grid: FilmGrid,
    film_of: Callable[[float, FilmGrid], UnitFilm],
    steps: int,
) -> SteadyFilm:
    pressure_unit = _pressure_unit_pa(bearing, viscosity_pa_s, speed_rad_s)
    force_unit = _force_unit_n(bearing, viscosity_pa_s, speed_rad_s)
    moment_unit = force_unit * bearing.radial_clearance_m
    flow_unit = speed_rad_s * bearing.radius_m**2 * bearing.radial_clearance_m
    peak, theta_peak, node = _peak(film)
    coarse = grid.coarser()
    grid_error = None
    if coarse is not None:
        grid_error = (film.load - film_of(film.eccentricity_ratio, coarse).load) / film.load / 3.0
    friction = film.friction * moment_unit
    film_fraction_friction = film.film_fraction_friction * moment_unit
    return SteadyFilm(
        bearing=bearing,
        rupture=rupture,
        load_n=load_n,
        eccentricity_ratio=film.eccentricity_ratio,
        sommerfeld_number=sommerfeld_number(
            bearing=bearing, viscosity_pa_s=viscosity_pa_s, speed_rad_s=speed_rad_s, load_n=load_n
        ),
        attitude_angle_rad=film.attitude_angle_rad,
        minimum_film_m=bearing.radial_clearance_m * (1.0 - film.eccentricity_ratio),
        peak_pressure_pa=peak * pressure_unit,
        peak_pressure_angle_rad=theta_peak - math.pi + film.attitude_angle_rad,
        peak_pressure_place_m=float(film.z[node]) * bearing.radius_m,
        friction_moment_n_m=friction,
        friction_power_w=friction * speed_rad_s,
        film_fraction_friction_moment_n_m=film_fraction_friction,
        film_fraction_friction_power_w=film_fraction_friction * speed_rad_s,
        friction_coefficient=friction / (load_n * bearing.radius_m),
        side_flow_m3_s=film.side_flow * flow_unit,
        groove_flow_m3_s=film.groove_flow * flow_unit,
        fresh_flow_m3_s=film.fresh_flow * flow_unit,
        angle_rad=film.theta,
        place_m=film.z * bearing.radius_m,
        pressure_pa=film.pressure * pressure_unit,
        film_fraction=film.film_fraction,
        convergence=Convergence(
            grid=grid,
            eccentricity_steps=steps,
            load_error=film.load * force_unit / load_n - 1.0,
            rupture_solves=film.solves,
            grid_error=grid_error,
            mass_error=film.mass_error,
        ),
    )


def _peak(film: UnitFilm) -> tuple[float, float, int]:
    """Largest pressure and its angle, by a parabola through three lines, and its node in z."""
    line, node = np.unravel_index(int(np.argmax(film.pressure)), film.pressure.shape)
    i, j = int(line), int(node)
    top, angle = float(film.pressure[i, j]), float(film.theta[i])
    if not 0 < i < film.theta.size - 1:
        return top, angle, j
    left, right = film.theta[i - 1] - film.theta[i], film.theta[i + 1] - film.theta[i]
    low, high = film.pressure[i - 1, j] - top, film.pressure[i + 1, j] - top
    bend = (high / right - low / left) / (right - left)
    if bend == 0.0:
        return top, angle, j
    lean = low / left - bend * left
    shift = -0.5 * lean / bend
    return top + float(0.5 * lean * shift), angle + float(shift), j
