"""One oil: its viscosity, density and specific heat by temperature, from a data sheet.

Kinematic viscosity after ASTM D341 (:mod:`oilwedge.film.viscosity_line`), dynamic = density times
kinematic, thinning in fast shear through HTHS (:mod:`oilwedge.film.shear_thinning`), pressure after
Roelands where a coefficient is given. Units: SI, temperatures in °C.

Range: -40 to 200 °C, beyond which an error is raised. Between the two measured temperatures the
law interpolates; outside them it extrapolates, and :meth:`Oil.reach` says so. From some 10 K above
its pour point downwards an oil is thicker than the line (common practice, no source).
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from enum import Enum

import numpy as np
from numpy.typing import ArrayLike, NDArray

from oilwedge.errors import Fault, InputError, OutOfRangeError
from oilwedge.film.pressure_viscosity import roelands_factor
from oilwedge.film.shear_thinning import HIGH_SHEAR_C, Thinning, thinning_from_high_shear
from oilwedge.film.viscosity_index import viscosity_index
from oilwedge.film.viscosity_line import ViscosityLine, ViscosityPoint, line_through

LEAST_C, MOST_C = -40.0, 200.0
LEAST_DENSITY_KG_M3, MOST_DENSITY_KG_M3 = 700.0, 1100.0
DENSITY_FALL_PER_K = 0.00065
"""Handbook rule, ± 0.00005 (recalled): ρ = ρ15 [1 - 0.00065 (T - 15)]."""
WATER_KG_M3 = 999.0  # at 15.6 °C, to which a specific gravity refers


class Reach(Enum):
    """Whether a temperature lies between those at which the viscosity was measured."""

    MEASURED = "between the measured temperatures"
    EXTRAPOLATED = "outside the measured temperatures"


@dataclass(frozen=True, slots=True, kw_only=True)
class Oil:
    """An oil by its data sheet.

    ``nu40_m2_s`` and ``nu100_m2_s``: kinematic viscosity at 40 and 100 °C;
    ``density_kg_m3_at_15c``: density at 15 °C;
    ``high_shear_150c_pa_s``: HTHS, at 150 °C and 1e6 1/s (None: not known, taken as not thinning);
    ``pressure_coefficient_per_pa``: α at ambient pressure (None: pressure has no effect);
    ``measured_c``: lowest and highest temperature at which the viscosity was measured.

    InputError where the viscosity does not fall with temperature or a value is no number;
    OutOfRangeError where a law does not hold.
    """

    name: str
    density_kg_m3_at_15c: float
    nu40_m2_s: float
    nu100_m2_s: float
    high_shear_150c_pa_s: float | None = None
    pressure_coefficient_per_pa: float | None = None
    measured_c: tuple[float, float] = (40.0, 100.0)
    line: ViscosityLine = field(init=False, repr=False, compare=False)
    thinning: Thinning | None = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        _check_density(self.density_kg_m3_at_15c)
        line = line_through(
            ViscosityPoint(temperature_c=40.0, kinematic_m2_s=self.nu40_m2_s),
            ViscosityPoint(temperature_c=100.0, kinematic_m2_s=self.nu100_m2_s),
        )
        object.__setattr__(self, "line", line)
        object.__setattr__(self, "thinning", self._thinning())

    def _thinning(self) -> Thinning | None:
        if self.high_shear_150c_pa_s is None:
            return None
        hot = np.asarray(HIGH_SHEAR_C)
        low_shear = float(self.line.kinematic_m2_s(hot) * _density(self, hot))
        return thinning_from_high_shear(
            high_shear_150c_pa_s=self.high_shear_150c_pa_s, low_shear_150c_pa_s=low_shear
        )

    def kinematic_viscosity_m2_s(self, temperature_c: float) -> float:
        """ν in m²/s after ASTM D341."""
        return float(self.line.kinematic_m2_s(_in_range(temperature_c)))

    def density_kg_m3(self, temperature_c: float) -> float:
        """ρ = ρ15 [1 - 0.00065 (T - 15)], kg/m³; handbook rule, recalled."""
        return float(_density(self, _in_range(temperature_c)))

    def specific_heat_j_kg_k(self, temperature_c: float) -> float:
        """c = (1684.8 + 3.391 T)/√s in J/(kg K), T in °C, s the specific gravity at 15.6 °C.

        Source: Cragoe 1929, c = (0.388 + 0.00045 t)/√s in cal/(g °C) with t in °F. Within 3.5 % of
        tabulated engine oil from 20 to 100 °C; ρc at 90 °C is within 5 % of 1.8e6 J/(m³ K).
        """
        gravity = self.density_kg_m3_at_15c / WATER_KG_M3
        return float((1684.8 + 3.391 * _in_range(temperature_c)) / math.sqrt(gravity))

    def volumetric_heats_j_m3_k(self, temperature_c: ArrayLike) -> NDArray[np.float64]:
        """ρ c in J/(m³ K) at temperatures in °C, of any shape."""
        gravity = self.density_kg_m3_at_15c / WATER_KG_M3
        warm = _in_range(temperature_c)
        return np.asarray(_density(self, warm) * (1684.8 + 3.391 * warm) / math.sqrt(gravity))

    def dynamic_viscosity_pa_s(
        self, temperature_c: float, *, shear_rate_per_s: float = 0.0, pressure_pa: float = 0.0
    ) -> float:
        """η in Pa s: ρ ν, thinned by the shear rate (1/s) and thickened by the pressure (Pa).

        Shear has an effect where HTHS is known, pressure where its coefficient is.
        """
        return float(
            self.dynamic_viscosities_pa_s(
                temperature_c, shear_rate_per_s=shear_rate_per_s, pressure_pa=pressure_pa
            )
        )

    def dynamic_viscosities_pa_s(
        self,
        temperature_c: ArrayLike,
        *,
        shear_rate_per_s: ArrayLike = 0.0,
        pressure_pa: ArrayLike = 0.0,
    ) -> NDArray[np.float64]:
        """:meth:`dynamic_viscosity_pa_s` for arrays; shapes broadcast."""
        warm = _in_range(temperature_c)
        rate = np.asarray(shear_rate_per_s, dtype=np.float64)
        if not np.all((rate >= 0.0) & np.isfinite(rate)):
            raise InputError(
                Fault(given="a shear rate under 0", allowed="a shear rate is 0 1/s or more")
            )
        ambient = self.line.kinematic_m2_s(warm) * _density(self, warm)
        viscosity = ambient
        if self.thinning is not None:
            viscosity = ambient * self.thinning.ratio(
                shear_rate_per_s=rate, low_shear_pa_s=ambient, temperature_c=warm
            )
        if self.pressure_coefficient_per_pa is not None:
            viscosity = viscosity * roelands_factor(
                pressure_pa=np.asarray(pressure_pa, dtype=np.float64),
                coefficient_per_pa=self.pressure_coefficient_per_pa,
                ambient_viscosity_pa_s=ambient,
            )
        return np.asarray(viscosity)

    def reach(self, temperature_c: float) -> Reach:
        """Whether the viscosity at this temperature is interpolated or extrapolated."""
        low, high = self.measured_c
        return Reach.MEASURED if low <= temperature_c <= high else Reach.EXTRAPOLATED

    def viscosity_index(self) -> float:
        """VI after ASTM D2270, not rounded; OutOfRangeError under 2 mm²/s at 100 °C."""
        return viscosity_index(at_40c_m2_s=self.nu40_m2_s, at_100c_m2_s=self.nu100_m2_s)


def oil_from_points(
    *,
    name: str,
    first: ViscosityPoint,
    second: ViscosityPoint,
    density_kg_m3: float,
    density_temperature_c: float = 15.0,
    high_shear_150c_pa_s: float | None = None,
    pressure_coefficient_per_pa: float | None = None,
) -> Oil:
    """An oil from kinematic viscosities at any two temperatures and a density at any one; SI units.

    The values at 40, 100 and 15 °C follow by the same laws.
    """
    line = line_through(first, second)
    at_40, at_100 = (float(nu) for nu in line.kinematic_m2_s(np.asarray([40.0, 100.0])))
    _check_density(density_kg_m3)
    fall = 1.0 - DENSITY_FALL_PER_K * (float(_in_range(density_temperature_c)) - 15.0)
    return Oil(
        name=name,
        density_kg_m3_at_15c=density_kg_m3 / fall,
        nu40_m2_s=at_40,
        nu100_m2_s=at_100,
        high_shear_150c_pa_s=high_shear_150c_pa_s,
        pressure_coefficient_per_pa=pressure_coefficient_per_pa,
        measured_c=(
            min(first.temperature_c, second.temperature_c),
            max(first.temperature_c, second.temperature_c),
        ),
    )


def _density(oil: Oil, temperature_c: NDArray[np.float64]) -> NDArray[np.float64]:
    return np.asarray(
        oil.density_kg_m3_at_15c * (1.0 - DENSITY_FALL_PER_K * (temperature_c - 15.0))
    )


def _in_range(temperature_c: ArrayLike) -> NDArray[np.float64]:
    warm = np.asarray(temperature_c, dtype=np.float64)
    inside = (warm >= LEAST_C) & (warm <= MOST_C)
    if not np.all(inside):
        given = float(np.ravel(warm)[int(np.argmin(inside))])
        raise OutOfRangeError(
            Fault(
                given=f"{given:g} °C",
                allowed="the laws for oil are used from -40 °C to 200 °C",
                action="colder it may not flow, hotter it does not last",
            )
        )
    return warm


def _check_density(density_kg_m3: float) -> None:
    if not LEAST_DENSITY_KG_M3 <= density_kg_m3 <= MOST_DENSITY_KG_M3:
        raise OutOfRangeError(
            Fault(
                given=f"{density_kg_m3:g} kg/m³",
                allowed="the density of a lubricating oil lies between 700 and 1100 kg/m³",
                action="look at its unit: 0.87 g/cm³ is 870 kg/m³",
            )
        )
