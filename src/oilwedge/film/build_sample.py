"""The inputs of virtual builds: quasi-random points, and what they mean for one bearing.

Points are Owen-scrambled Sobol points (scipy), the same for the same seed. The first columns are
shared by all bearings of an engine: oil, its temperature, gas pressure, masses; then one a bearing
for its clearance. Source: A. B. Owen, 1995; S. Joe and F. Y. Kuo, 2008 (RECALLED).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import Enum

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtri

from oilwedge.errors import Fault, InputError
from oilwedge.film.bearing_case import BearingCase, mean_shear_rate_per_s
from oilwedge.film.oil import Oil
from oilwedge.film.oil_band import OilBand

Array = NDArray[np.float64]

_BITS = 30
_LARGEST_SPREAD = 0.2
_LARGEST_SPREAD_K = 40.0


class Factor(Enum):
    """What differs from one virtual build to the next; the value is the words for it."""

    CLEARANCE = "clearance"
    VISCOSITY = "viscosity of the oil"
    SUPPLY_TEMPERATURE = "temperature of the oil"
    GAS_PRESSURE = "gas pressure"
    MASS = "masses"


FACTORS = tuple(Factor)
"""In the order of the columns of a bearing's points."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Spread:
    """Standard uncertainties that all bearings of an engine share: relative, and in K.

    ``viscosity`` counts where the oil's values are known; a grade spreads evenly between the two
    ends of its band instead. The defaults are judgement, no source. InputError for a negative one
    or one over 0.2 (40 K): so little known is no duty.
    """

    viscosity: float = 0.05
    supply_temperature_k: float = 5.0
    gas_pressure: float = 0.05
    mass: float = 0.01

    def __post_init__(self) -> None:
        for what, value, most, unit in (
            ("viscosity", self.viscosity, _LARGEST_SPREAD, ""),
            ("oil temperature", self.supply_temperature_k, _LARGEST_SPREAD_K, " K"),
            ("gas pressure", self.gas_pressure, _LARGEST_SPREAD, ""),
            ("masses", self.mass, _LARGEST_SPREAD, ""),
        ):
            if not 0.0 <= value <= most:
                raise InputError(
                    Fault(
                        given=f"{value:g}{unit}",
                        allowed=f"the standard uncertainty of the {what} lies between 0 and"
                        f" {most:g}{unit}",
                    )
                )


@dataclass(frozen=True, kw_only=True, slots=True)
class BuildBearing:
    """A bearing as measured: its case, cold diametral clearance and that one's u, in m."""

    case: BearingCase
    cold_clearance_m: float
    clearance_u_m: float

    def __post_init__(self) -> None:
        if not (math.isfinite(self.cold_clearance_m) and self.cold_clearance_m > 0.0):
            raise InputError(
                Fault(
                    given=f"{self.cold_clearance_m * 1e6:g} µm",
                    allowed="the clearance of a bearing that turns is above 0",
                )
            )
        if not (math.isfinite(self.clearance_u_m) and self.clearance_u_m >= 0.0):
            raise InputError(
                Fault(
                    given=f"{self.clearance_u_m * 1e6:g} µm",
                    allowed="the uncertainty of a clearance is 0 or more",
                )
            )


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class BuildInputs:
    """Drawn values of one bearing, one a build; scales are over what the case says."""

    cold_clearance_m: Array
    supply_temperature_c: Array
    gas_scale: Array
    mass_scale: Array
    oil: DrawnOil


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class DrawnOil:
    """One oil a build, between a thin and a thick one: ``thick_share`` of the way in ln η.

    ``scale`` multiplies it.
    """

    thin: Oil
    thick: Oil
    thick_share: Array
    scale: Array

    def viscosity_pa_s(
        self, temperature_c: Array, *, shear_rate_per_s: Array, places: NDArray[np.intp]
    ) -> Array:
        """η in Pa s of the builds of these places, each at its temperature and shear rate."""
        thin = self.thin.dynamic_viscosities_pa_s(temperature_c, shear_rate_per_s=shear_rate_per_s)
        scale = self.scale[places]
        if self.thick is self.thin:
            return np.asarray(thin * scale)
        thick = self.thick.dynamic_viscosities_pa_s(
            temperature_c, shear_rate_per_s=shear_rate_per_s
        )
        return np.asarray(thin * (thick / thin) ** self.thick_share[places] * scale)

    def heat_j_m3_k(self, temperature_c: Array, *, places: NDArray[np.intp]) -> Array:
        """ρ c of the builds of these places."""
        thin, thick = (
            oil.volumetric_heats_j_m3_k(temperature_c) for oil in (self.thin, self.thick)
        )
        return np.asarray(thin + (thick - thin) * self.thick_share[places])


def sobol_points(*, dimensions: int, count: int, seed: int) -> Array:
    """``count`` scrambled Sobol points, count × dimensions, inside (0, 1)."""
    from scipy.stats import qmc  # noqa: TID251 - slow to import, and used here alone

    engine = qmc.Sobol(dimensions, scramble=True, bits=_BITS, seed=np.random.default_rng(seed))
    points = engine.random_base2(max(0, math.ceil(math.log2(count))))[:count]
    return np.asarray(points) + 0.5 ** (_BITS + 1)  # the middle of its cell: never 0


def inputs_of(*, bearing: BuildBearing, oil: OilBand, spread: Spread, points: Array) -> BuildInputs:
    """What points (builds × the factors in their order) mean for one bearing.

    Normal, but for the oil of a grade, which lies evenly between the thinnest and the thickest
    that the grade may mean at the temperature of the supply.
    """
    normal = dict(zip(FACTORS, ndtri(points).T, strict=True))
    warm = bearing.case.supply_temperature_c
    rate = float(mean_shear_rate_per_s(case=bearing.case, hot_clearance_m=bearing.cold_clearance_m))
    thin = oil.thinnest(warm, shear_rate_per_s=rate)
    thick = oil.thickest(warm, shear_rate_per_s=rate)
    evenly = points[:, FACTORS.index(Factor.VISCOSITY)]
    scale = 1.0 + spread.viscosity * normal[Factor.VISCOSITY]
    return BuildInputs(
        cold_clearance_m=bearing.cold_clearance_m
        + bearing.clearance_u_m * normal[Factor.CLEARANCE],
        supply_temperature_c=warm + spread.supply_temperature_k * normal[Factor.SUPPLY_TEMPERATURE],
        gas_scale=1.0 + spread.gas_pressure * normal[Factor.GAS_PRESSURE],
        mass_scale=1.0 + spread.mass * normal[Factor.MASS],
        oil=DrawnOil(
            thin=thin,
            thick=thick,
            thick_share=np.zeros_like(evenly) if oil.measured else evenly,
            scale=scale if oil.measured else np.ones_like(evenly),
        ),
    )
