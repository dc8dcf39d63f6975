"""Many engines that the readings could mean: the band of films that they leave.

What is not known for certain is drawn (:mod:`.build_sample`): of each bearing its clearance; shared
by all bearings the oil, its temperature, gas pressure and masses. Each build runs at the
temperature that its own film gives itself (:mod:`.build_films`). The bands hold the middle 95 % of
the builds; which factor matters most is told by Sobol's indices of the smallest film
(:mod:`oilwedge.uncertainty.sobol_indices`).

Builds that cannot be answered are counted, not left out: they are thinner and hotter than an edge
that is known, so that percentiles which they could move hold as bounds, and say so.
Not in the bands: what the model itself leaves out.
"""

from __future__ import annotations

from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from oilwedge.errors import Fault, InputError
from oilwedge.film.build_films import BuildFilms, solve_builds
from oilwedge.film.build_sample import (
    FACTORS,
    BuildBearing,
    Factor,
    Spread,
    inputs_of,
    sobol_points,
)
from oilwedge.film.oil_band import OilBand
from oilwedge.film.orbit_family import FamilyError
from oilwedge.uncertainty.sobol_indices import saltelli_design, sobol_indices

__all__ = [
    "Band",
    "BuildBand",
    "BuildBands",
    "BuildBearing",
    "Factor",
    "Sensitivity",
    "Spread",
    "draw_builds",
]

Array = NDArray[np.float64]

FEWEST, MOST = 100, 1_000_000
_QUANTILES = (0.025, 0.5, 0.975)
_SHARED = tuple(factor for factor in FACTORS if factor is not Factor.CLEARANCE)


@dataclass(frozen=True, kw_only=True, slots=True)
class Band:
    """Median and the middle 95 % of a quantity over the builds, in that quantity's unit.

    Where builds lie outside what can be computed, ``*_is_bound`` tell that the true figure is on
    the bad side of this one (a thinner film, a hotter one) or equal to it.
    """

    low: float
    median: float
    high: float
    low_is_bound: bool = False
    median_is_bound: bool = False
    high_is_bound: bool = False


@dataclass(frozen=True, kw_only=True, slots=True)
class Sensitivity:
    """How much of the variance of the smallest film one factor makes: Sobol's indices.

    ``first``: alone; ``total``: with all that it does together with others. Both have the noise of
    the sample, a few hundredths, and may stand a little under 0 or over 1.
    """

    factor: Factor
    first: float
    total: float


@dataclass(frozen=True, kw_only=True, slots=True)
class BuildBand:
    """What the virtual builds give for one bearing; SI units and °C.

    Friction, flow and peak pressure are over the builds that are answered. ``outside``: those that
    are not, for their film is thinner than any orbit that is answered, hotter than any oil's law,
    or without clearance when hot. ``share_under_chosen``: of the builds, smallest film under the
    case's chosen one (at least: some of those outside may be too). ``sensitivities``: largest total
    first. ``interpolation``: the table against direct orbits; ``orbits``: how many were solved.
    """

    minimum_film_m: Band
    film_temperature_c: Band
    friction_power_w: Band
    oil_flow_m3_s: Band
    peak_pressure_pa: Band
    outside: int
    share_under_chosen: float
    sensitivities: tuple[Sensitivity, ...]
    interpolation: FamilyError
    orbits: int

    @property
    def matters_most(self) -> Factor:
        """The factor with the largest total index."""
        return self.sensitivities[0].factor


@dataclass(frozen=True, kw_only=True, slots=True)
class BuildBands:
    """All bearings of an engine, in the order given; ``thinnest_film_m``: least of all bearings.

    ``thinnest_shares``: in which share of the builds each bearing is the one with the least film.
    """

    bearings: tuple[BuildBand, ...]
    thinnest_film_m: Band
    thinnest_shares: tuple[float, ...]
    count: int
    seed: int


def draw_builds(
    *,
    bearings: Sequence[BuildBearing],
    oil: OilBand,
    spread: Spread,
    count: int = 10_000,
    seed: int = 1,
    sensitivity_base: int = 1024,
    workers: int = 2,
) -> BuildBands:
    """Draw ``count`` engines and give the bands of their films; the same for the same seed.

    ``sensitivity_base``: a Saltelli design of that many rows a matrix is solved besides, seven
    times as many films a bearing. ``workers``: threads; they do not change the result. InputError
    for a count outside 100 to 1,000,000 or no bearing; OutOfRangeError as
    :func:`~oilwedge.film.build_films.solve_builds`.
    """
    if not (FEWEST <= count <= MOST and bearings):
        raise InputError(
            Fault(
                given=f"{count} builds of {len(bearings)} bearings",
                allowed=f"{FEWEST} to {MOST} builds of at least one bearing",
            )
        )
    shared = len(_SHARED)
    points = sobol_points(dimensions=shared + len(bearings), count=count, seed=seed)
    design = saltelli_design(
        points=sobol_points(dimensions=2 * len(FACTORS), count=sensitivity_base, seed=seed)
    )

    def solved(number: int) -> BuildFilms:
        columns = [
            points[:, shared + number] if f is Factor.CLEARANCE else points[:, _SHARED.index(f)]
            for f in FACTORS
        ]
        everything = np.concatenate((np.stack(columns, axis=1), design))
        bearing = bearings[number]
        inputs = inputs_of(bearing=bearing, oil=oil, spread=spread, points=everything)
        return solve_builds(case=bearing.case, inputs=inputs)

    with ThreadPoolExecutor(max_workers=workers) as pool:
        films = list(pool.map(solved, range(len(bearings))))
    bands = [_band(film, bearing, count) for film, bearing in zip(films, bearings, strict=True)]
    return _engine(bands, films, count, seed)


def _band(films: BuildFilms, bearing: BuildBearing, count: int) -> BuildBand:
    """One bearing's band from its first ``count`` builds, and the indices from the rest."""
    inside = films.inside[:count]
    film = films.minimum_film_m[:count]
    indices = sobol_indices(values=films.minimum_film_m[count:], factors=len(FACTORS))
    sensitivities = [
        Sensitivity(factor=factor, first=float(first), total=float(total))
        for factor, first, total in zip(FACTORS, indices.first, indices.total, strict=True)
    ]
    assert films.family.error is not None
    return BuildBand(
        minimum_film_m=_film_band(film, inside),
        film_temperature_c=_hot_band(films.film_temperature_c[:count], inside),
        friction_power_w=_quantiles(films.friction_power_w[:count][inside]),
        oil_flow_m3_s=_quantiles(films.oil_flow_m3_s[:count][inside]),
        peak_pressure_pa=_quantiles(films.peak_pressure_pa[:count][inside]),
        outside=int((~inside).sum()),
        share_under_chosen=float((film < bearing.case.chosen_film_m).mean()),
        sensitivities=tuple(sorted(sensitivities, key=lambda s: -s.total)),
        interpolation=films.family.error,
        orbits=films.orbits,
    )


def _engine(bands: list[BuildBand], films: list[BuildFilms], count: int, seed: int) -> BuildBands:
    every = np.stack([film.minimum_film_m[:count] for film in films])
    inside = np.logical_and.reduce([film.inside[:count] for film in films])
    shares = np.bincount(every.argmin(axis=0), minlength=len(films)) / count
    return BuildBands(
        bearings=tuple(bands),
        thinnest_film_m=_film_band(every.min(axis=0), inside),
        thinnest_shares=tuple(float(share) for share in shares),
        count=count,
        seed=seed,
    )


def _quantiles(values: Array) -> Band:
    low, median, high = (float(q) for q in np.quantile(values, _QUANTILES))
    return Band(low=low, median=median, high=high)


def _film_band(films: Array, inside: NDArray[np.bool_]) -> Band:
    """Upper bounds stand for the builds outside, so a quantile up to the largest of them is one."""
    band = _quantiles(films)
    largest = float(films[~inside].max(initial=-np.inf))
    return Band(
        low=band.low,
        median=band.median,
        high=band.high,
        low_is_bound=band.low <= largest,
        median_is_bound=band.median <= largest,
        high_is_bound=band.high <= largest,
    )


def _hot_band(temperatures: Array, inside: NDArray[np.bool_]) -> Band:
    """Lower bounds stand for the builds outside; a quantile from the least of them on is one."""
    band = _quantiles(temperatures)
    least = float(temperatures[~inside].min(initial=np.inf))
    return Band(
        low=band.low,
        median=band.median,
        high=band.high,
        low_is_bound=band.low >= least,
        median_is_bound=band.median >= least,
        high_is_bound=band.high >= least,
    )
