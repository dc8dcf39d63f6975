"""Many engines that the readings could mean: the band of films that they leave."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from oilwedge.film.bearing_case import BearingCase
from oilwedge.film.oil_band import OilBand

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


class Factor(Enum):
    """What differs from one virtual build to the next; the value is the words for it."""

    CLEARANCE = "clearance"
    VISCOSITY = "viscosity of the oil"
    SUPPLY_TEMPERATURE = "temperature of the oil"
    GAS_PRESSURE = "gas pressure"
    MASS = "masses"


@dataclass(frozen=True, kw_only=True, slots=True)
class Spread:
    """Standard uncertainties that all bearings of an engine share: relative, and in K.

    ``viscosity`` counts where the oil's values are known; a grade spreads evenly between the two
    ends of its band instead. The defaults are judgement, no source.
    """

    viscosity: float = 0.05
    supply_temperature_k: float = 5.0
    gas_pressure: float = 0.05
    mass: float = 0.01


@dataclass(frozen=True, kw_only=True, slots=True)
class BuildBearing:
    """A bearing as measured: its case, cold diametral clearance and that one's u, in m."""

    case: BearingCase
    cold_clearance_m: float
    clearance_u_m: float


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

    ``first``: alone; ``total``: with all that it does together with others.
    """

    factor: Factor
    first: float
    total: float


@dataclass(frozen=True, kw_only=True, slots=True)
class BuildBand:
    """What the virtual builds give for one bearing; SI units and °C.

    ``outside``: builds whose film is thinner than any orbit that is answered, hotter than any oil's
    law, or without clearance when hot. ``sensitivities``: largest total first.
    ``interpolation_error``: worst relative error of the smallest film against orbits solved
    directly; ``orbits``: how many were solved.
    """

    minimum_film_m: Band
    film_temperature_c: Band
    friction_power_w: Band
    oil_flow_m3_s: Band
    peak_pressure_pa: Band
    outside: int
    share_under_chosen: float
    sensitivities: tuple[Sensitivity, ...]
    interpolation_error: float
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
    bearings: tuple[BuildBearing, ...],
    oil: OilBand,
    spread: Spread,
    count: int = 10_000,
    seed: int = 1,
) -> BuildBands:
    """Draw engines and give the bands of their films."""
    raise NotImplementedError
