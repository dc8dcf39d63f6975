"""The path of a journal under a load that repeats, by the mobility method.

In axes fixed to the bearing, over the crank angle φ, which passes at ω (see
:mod:`oilwedge.film.mobility` for M)::

    dε/dφ = F (C/R)²/(μ L D ω) M + (ω_j/2ω) k × ε                                          (1)

integrated by the Bogacki-Shampine pair 3(2), whose step is held so that its error stays below a
set part of the film left, 1 − ε. A step that would leave the clearance circle is taken
again, smaller: nothing is clamped. Turn after turn, until the path closes: the residual is the
distance between start and end of a cycle over the smallest film of both.

Friction: the whole power that the film turns into heat (full gap, also where it is ruptured)::

    P = μ ω_j² R³ L/C · 2π/√(1 − ε²) + F² C (C/R)²/(μ L D) M_ξ                             (2)

shear, and the pressure flow, which equals the work of the load on the pure squeeze. For a steady
load it is the friction law of DIN 31652, 2π² S/√(1 − ε²) + (ε/2) sin φ. The peak pressure comes
from the map, thus from the same film.

Side flow: what the squeeze, without which the film would only turn, presses out at both ends::

    Q = D L C |v| (1 − 0.223 (L/D)²)     v = F (C/R)²/(μ L D) M                              (3)

exact for the short bearing, whose film is half full; the bracket is that of the side flow in
ISO 7902-2 (RECALLED), which for a steady load (3) becomes.

Source: J. F. Booker, J. Basic Engineering 87, 1965 (RECALLED); P. Bogacki and L. F. Shampine,
Appl. Math. Letters 2, 1989 (RECALLED).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from oilwedge.errors import Fault, InputError, OutOfRangeError
from oilwedge.film import fixed_map, mobility, path_kernel
from oilwedge.film.load_history import LoadHistory
from oilwedge.film.mobility import LARGEST_ECCENTRICITY
from oilwedge.film.path_groove import NO_GROOVE, GroovePlace, PathGroove
from oilwedge.film.path_kernel import BEYOND, RESIDUAL_ALLOWED, settle
from oilwedge.film.path_map import PathMap, Width, path_map

__all__ = ["Orbit", "Width", "is_compiled", "solve_orbit"]

Array = NDArray[np.float64]

_LARGEST_STEP_RAD = math.radians(1.0)


@dataclass(frozen=True, kw_only=True, slots=True)
class Orbit:
    """The journal's path over one cycle, and what the film does on it.

    Arrays over ``angle_rad`` (steps of 1° at the most): eccentricity ratio in x and y, in axes
    fixed to the bearing; friction power; peak pressure; side flow (at all edges of all lands).
    ``minimum_film_m`` is taken over every step of the integration. ``converged`` is true where
    ``residual`` is at most 1e-4; else nothing in here is an answer, and ``cycles`` says after how
    many cycles it was given up.
    ``film_change`` is the change of the smallest film over the last cycle, over that film.
    """

    angle_rad: Array
    eccentricity_x: Array
    eccentricity_y: Array
    radial_clearance_m: float
    minimum_film_m: float
    minimum_film_angle_rad: float
    peak_pressures_pa: Array
    friction_powers_w: Array
    side_flows_m3_s: Array
    converged: bool
    residual: float
    cycles: int
    film_change: float

    @property
    def films_m(self) -> Array:
        """The smallest film at each angle."""
        ratio = np.hypot(self.eccentricity_x, self.eccentricity_y)
        return np.asarray(self.radial_clearance_m * (1.0 - ratio))

    @property
    def peak_pressure_pa(self) -> float:
        """The largest pressure of the cycle."""
        return float(self.peak_pressures_pa.max())

    @property
    def peak_pressure_angle_rad(self) -> float:
        """Where the largest pressure of the cycle falls."""
        return float(self.angle_rad[int(self.peak_pressures_pa.argmax())])

    @property
    def mean_friction_power_w(self) -> float:
        """The mean over the cycle."""
        return self._mean(self.friction_powers_w)

    @property
    def mean_side_flow_m3_s(self) -> float:
        """Oil that leaves at the ends, the mean over the cycle."""
        return self._mean(self.side_flows_m3_s)

    def share_below(self, *, film_m: float) -> float:
        """The share of the cycle on which the smallest film is below ``film_m``."""
        return self._mean(np.asarray(self.films_m < film_m, dtype=float))

    def _mean(self, values: Array) -> float:
        span = float(self.angle_rad[-1] - self.angle_rad[0])
        return float(np.trapezoid(values, self.angle_rad)) / span


def is_compiled(*, kind: PathGroove = PathGroove.NONE) -> bool:
    """Tell whether the cache holds the kernels, at least as new as their sources.

    A cache for another processor or another numba counts too: then the wait comes unannounced.
    """
    kernel: Any = settle
    folder = Path(kernel.stats.cache_path)

    def cached(name: str, *sources: str) -> bool:
        newest = max(Path(file).stat().st_mtime for file in sources)
        return any(one.stat().st_mtime >= newest for one in folder.glob(f"{name}-*.nbi"))

    ready = cached("path_kernel.settle", path_kernel.__file__, mobility.__file__)
    if kind in (PathGroove.HALF, PathGroove.HOLE):
        return ready and cached("fixed_map.fixed_mobility_at", fixed_map.__file__)
    return ready


def solve_orbit(
    *,
    history: LoadHistory,
    diameter_m: float,
    width_m: float,
    diametral_clearance_m: float,
    viscosity_pa_s: float,
    groove_width_m: float = 0.0,
    groove: GroovePlace = NO_GROOVE,
    width: Width = Width.FINITE,
    largest_cycles: int = 90,
) -> Orbit:
    """The journal's periodic path under a load history.

    The bearing is open to ambient pressure at its ends; the viscosity is one. A full groove (also
    by ``groove_width_m`` alone) leaves two lands, of which each carries half the load; a half
    groove or a hole stands in the bearing and takes the map of :mod:`oilwedge.film.fixed_map`. The
    pressure in all of them is ambient. Errors: an :class:`InputError` for sizes that are not above
    0, a clearance that is no oil film's or two grooves; an :class:`OutOfRangeError` where the film
    falls under 0.2 % of the radial clearance, which no map covers, or width or groove is outside
    the map. A path that does not close is no error: see ``converged``.
    """
    _check(diameter_m, width_m, diametral_clearance_m, viscosity_pa_s)
    map_ = path_map(
        diameter_m=diameter_m, width_m=width_m, groove=_one(groove, groove_width_m), width=width
    )
    angle, force_x, force_y, spin = resampled(history)
    force_x, force_y = _turned(force_x, force_y, -map_.turn_rad)
    radial = diametral_clearance_m / 2.0
    scale = _rate(map_, diameter_m, radial, viscosity_pa_s)
    speed = history.turning_speed_rad_s
    path = np.empty((angle.size, 2))
    size = math.hypot(force_x[0], force_y[0]) or 1.0
    path[0] = 0.5 * force_x[0] / size, 0.5 * force_y[0] / size
    status, cycles, residual, change, least, where = settle(
        map_.kernel,
        angle,
        force_x * scale / speed,
        force_y * scale / speed,
        spin / (2.0 * speed),
        path,
        largest_cycles,
    )
    if status == BEYOND:
        raise OutOfRangeError(_too_thin(radial, math.degrees(where)))
    force = np.hypot(force_x, force_y)
    along, peak, whole = map_.film_along(path, force_x, force_y)
    area = map_.lands * map_.land_m * diameter_m
    side = area * radial * (1.0 - 0.223 * map_.width_ratio**2)
    sheared = map_.sheared_m(path, radius_m=diameter_m / 2.0)
    shear = viscosity_pa_s * spin**2 * (diameter_m / 2.0) ** 3 / radial * sheared
    x, y = _turned(path[:, 0], path[:, 1], map_.turn_rad)
    return Orbit(
        angle_rad=angle,
        eccentricity_x=x,
        eccentricity_y=y,
        radial_clearance_m=radial,
        minimum_film_m=radial * least,
        minimum_film_angle_rad=where,
        peak_pressures_pa=force / area * peak,
        friction_powers_w=shear + force**2 * radial * scale * along,
        side_flows_m3_s=side * force * scale * whole,
        converged=residual <= RESIDUAL_ALLOWED,
        residual=residual,
        cycles=cycles,
        film_change=change,
    )


def _one(groove: GroovePlace, full_width_m: float) -> GroovePlace:
    """The groove that is meant where a full one may also be given by its width alone."""
    if full_width_m == 0.0:
        return groove
    if groove.kind is not PathGroove.NONE:
        raise InputError(
            Fault(
                given=f"a groove of {full_width_m * 1000:g} mm beside another",
                allowed="a bearing has one groove here",
            )
        )
    return GroovePlace(kind=PathGroove.FULL, width_m=full_width_m)


def _turned(x: Array, y: Array, angle_rad: float) -> tuple[Array, Array]:
    """Vectors turned by an angle."""
    cosine, sine = math.cos(angle_rad), math.sin(angle_rad)
    return x * cosine - y * sine, x * sine + y * cosine


def _rate(map_: PathMap, diameter_m: float, radial_m: float, viscosity_pa_s: float) -> float:
    """(C/R)²/(μ L D) over (L/D)², which the map leaves out, and the lands [1/(N s)]."""
    slenderness = (2.0 * radial_m / diameter_m) ** 2
    area = map_.lands * map_.land_m * diameter_m
    return slenderness / (viscosity_pa_s * area) / map_.width_ratio**2


def resampled(history: LoadHistory) -> tuple[Array, Array, Array, Array]:
    """Angles, forces and speed with steps of 1° at the most; the given angles stay among them."""
    angle = history.angle_rad
    parts = np.ceil(np.diff(angle) / _LARGEST_STEP_RAD - 1e-6).astype(int)
    starts = np.repeat(angle[:-1], parts)
    steps = np.repeat(np.diff(angle) / parts, parts)
    counts = np.concatenate([np.arange(n) for n in parts])
    finer = np.append(starts + counts * steps, angle[-1])
    force_x, force_y, spin = (
        np.interp(finer, angle, column)
        for column in (history.force_x_n, history.force_y_n, history.journal_speed_rad_s)
    )
    for column in (force_x, force_y, spin):
        column[-1] = column[0]
    return finer, force_x, force_y, spin


def _check(diameter_m: float, width_m: float, clearance_m: float, viscosity_pa_s: float) -> None:
    for name, value, unit in (
        ("diameter", diameter_m, "m"),
        ("width", width_m, "m"),
        ("diametral clearance", clearance_m, "m"),
        ("viscosity", viscosity_pa_s, "Pa s"),
    ):
        if not (math.isfinite(value) and value > 0.0):
            raise InputError(
                Fault(given=f"{value:g} {unit}", allowed=f"the {name} has to be above 0")
            )
    if clearance_m > 0.02 * diameter_m:
        raise InputError(
            Fault(
                given=f"a clearance of {clearance_m * 1000:g} mm on {diameter_m * 1000:g} mm",
                allowed="a diametral clearance up to one fiftieth of the diameter",
                action="check the units",
            )
        )


def _too_thin(radial_m: float, angle_deg: float) -> Fault:
    least = (1.0 - LARGEST_ECCENTRICITY) * radial_m * 1e6
    return Fault(
        given="",
        allowed=f"at {angle_deg:.0f} deg the load is above what this film carries: it falls below"
        f" {least:.2g} µm, {(1 - LARGEST_ECCENTRICITY) * 100:.1f} % of the radial clearance,"
        " under which no answer is given",
        action="a load that turns at half the journal's speed is carried by no film, nor is a"
        " steady one where the journal stands; else check forces, viscosity and units",
    )
