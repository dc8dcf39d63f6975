"""The answer for a steady bearing as measured, from a solved film free of units."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from oilwedge.film.bearing import Bearing, Rupture
from oilwedge.film.feed_place import FeedPlace
from oilwedge.film.film_grid import FilmGrid
from oilwedge.film.film_shape import FilmShape
from oilwedge.film.shaped_case import ShapedCase
from oilwedge.film.shaped_gap import ShapedGap
from oilwedge.film.shaped_search import Found
from oilwedge.film.shaped_unit import ShapedLand
from oilwedge.film.steady import sommerfeld_number

Floats = NDArray[np.float64]


@dataclass(frozen=True, kw_only=True, slots=True)
class ShapedConvergence:
    """How an answer was come by.

    ``load_error``: what is left of film force and load together, over the load. ``films``: solved
    on the way, on all grids. ``rupture_solves``: linear solves of the last one. ``grid_error``: of
    the film force, as :class:`oilwedge.film.steady.Convergence` has it. ``mass_error``: what is
    supplied less what leaves and what the turning shape takes up, over what passes the fullest
    line or is supplied, whichever is more.
    """

    grid: FilmGrid
    films: int
    load_error: float
    rupture_solves: int
    grid_error: float | None
    mass_error: float


@dataclass(frozen=True, kw_only=True, slots=True)
class ShapedFilm:
    """A steady bearing whose gap is as measured; angles from the x axis, in rad.

    ``ex_m``, ``ey_m``: the middle of the journal at the middle of the width, from that of the
    bearing. ``minimum_film_m`` over the whole surface, ``minimum_film_place_m`` and
    ``peak_pressure_place_m`` from the middle of the width towards the front (of two equal ends, the
    front). ``eccentricity_ratio`` |e|/C with the mean radial clearance C;
    ``attitude_angle_rad`` from the load to the direction of e. Moments, powers and flows as
    :class:`oilwedge.film.steady.SteadyFilm`. ``pressure_pa``, ``film_fraction``, ``gap_m`` (n, m)
    over ``angle_rad`` (n, once round from the feed) and ``place_m`` (m, rear to front over the
    whole width).
    """

    bearing: Bearing
    shape: FilmShape
    feed: FeedPlace
    rupture: Rupture
    journal_turn_rad: float
    load_n: float
    load_angle_rad: float
    ex_m: float
    ey_m: float
    eccentricity_ratio: float
    attitude_angle_rad: float
    sommerfeld_number: float
    minimum_film_m: float
    minimum_film_angle_rad: float
    minimum_film_place_m: float
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
    gap_m: Floats
    pressure_pa: Floats
    film_fraction: Floats
    convergence: ShapedConvergence


def _unfolded(lands: tuple[ShapedLand, ...]) -> tuple[Floats, Floats, Floats, Floats]:
    """Places in R, gap, pressure and film fraction from rear to front over the whole width."""
    parts = []
    for land in lands:
        fields = (land.cells.z, land.cells.gap, land.pressure, land.film_fraction)
        mirrored = (-land.cells.z, land.cells.gap, land.pressure, land.film_fraction)
        if land.cells.land.copies == 2:
            first = 1 if land.cells.land.symmetric else 0
            parts.append([field[..., first:][..., ::-1] for field in mirrored])
        parts.append(list(fields))
    z, gap, pressure, fraction = (
        np.concatenate([part[k] for part in parts], axis=-1) for k in range(4)
    )
    return z, gap, pressure, fraction


def with_units(
    *, case: ShapedCase, gap: ShapedGap, found: Found, films: int, grid_error: float | None
) -> ShapedFilm:
    """Give the answer in SI units; ``films`` solved on the way, ``grid_error`` of the force."""
    bearing, lands = case.bearing, found.lands
    thin = gap.thinnest(place=found.place)
    z, open_gap, pressure, fraction = _unfolded(lands)
    angle = lands[0].cells.angle[:-1]
    peak, peak_angle, peak_z = _peak(angle, z, pressure)
    clearance, radius = bearing.radial_clearance_m, bearing.radius_m
    moment_unit = case.pressure_unit_pa * radius**2 * clearance
    flow_unit = case.speed_rad_s * radius**2 * clearance
    off = math.atan2(found.place[1], found.place[0])

    def total(name: str) -> float:
        return float(sum(land.cells.land.copies * getattr(land, name) for land in lands))

    friction = total("friction") * moment_unit
    thinned = total("film_fraction_friction") * moment_unit
    return ShapedFilm(
        bearing=bearing,
        shape=case.shape,
        feed=case.feed,
        rupture=case.rupture,
        journal_turn_rad=gap.journal_turn_rad,
        load_n=case.load_n,
        load_angle_rad=case.load_angle_rad,
        ex_m=found.place[0] * clearance,
        ey_m=found.place[1] * clearance,
        eccentricity_ratio=math.hypot(*found.place),
        attitude_angle_rad=math.remainder(off - case.load_angle_rad, 2.0 * math.pi),
        sommerfeld_number=sommerfeld_number(
            bearing=bearing,
            viscosity_pa_s=case.viscosity_pa_s,
            speed_rad_s=case.speed_rad_s,
            load_n=case.load_n,
        ),
        minimum_film_m=thin.gap * clearance,
        minimum_film_angle_rad=thin.angle_rad % (2.0 * math.pi),
        minimum_film_place_m=thin.place_m,
        peak_pressure_pa=peak * case.pressure_unit_pa,
        peak_pressure_angle_rad=peak_angle % (2.0 * math.pi),
        peak_pressure_place_m=peak_z * radius,
        friction_moment_n_m=friction,
        friction_power_w=friction * case.speed_rad_s,
        film_fraction_friction_moment_n_m=thinned,
        film_fraction_friction_power_w=thinned * case.speed_rad_s,
        friction_coefficient=friction / (case.load_n * radius),
        side_flow_m3_s=total("side_flow") * flow_unit,
        groove_flow_m3_s=total("groove_flow") * flow_unit,
        fresh_flow_m3_s=total("fresh_flow") * flow_unit,
        angle_rad=angle,
        place_m=z * radius,
        gap_m=open_gap * clearance,
        pressure_pa=pressure * case.pressure_unit_pa,
        film_fraction=fraction,
        convergence=ShapedConvergence(
            grid=case.grid,
            films=films,
            load_error=found.miss,
            rupture_solves=max(land.solves for land in lands),
            grid_error=grid_error,
            mass_error=total("unbalanced") / total("passing"),
        ),
    )


def _peak(angle: Floats, z: Floats, pressure: Floats) -> tuple[float, float, float]:
    """Largest pressure, its angle by a parabola through three lines, and the place of its node."""
    line, node = np.unravel_index(int(np.argmax(pressure[:, ::-1])), pressure.shape)
    i, j = int(line), pressure.shape[1] - 1 - int(node)
    top, at = float(pressure[i, j]), float(angle[i])
    before, after = i - 1, (i + 1) % angle.size
    left = -((at - float(angle[before])) % (2.0 * math.pi))
    right = (float(angle[after]) - at) % (2.0 * math.pi)
    low, high = float(pressure[before, j]) - top, float(pressure[after, j]) - top
    bend = (high / right - low / left) / (right - left)
    if bend >= 0.0:
        return top, at, float(z[j])
    lean = low / left - bend * left
    shift = -0.5 * lean / bend
    return top + 0.5 * lean * shift, at + shift, float(z[j])
