"""One bearing over one engine cycle, at the temperature that its film gives itself.

Clearance: that of the parts as warm as they run (:mod:`.hot_clearance`). Path: the mobility method
(:mod:`.orbit`). Viscosity: of the oil at the film's temperature and at the mean shear rate ω_j R/C.
Temperature: friction over the cycle against the fresh oil of the cycle (:mod:`.cycle_heat`,
:mod:`.oil_feed`). Viscosity and temperature are found together. Left out: heat that housing and
crank take away, so that T is on the warm side; one temperature for the whole film and cycle.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from oilwedge.errors import Fault, InputError, OutOfRangeError
from oilwedge.film import roughness
from oilwedge.film.bearing_case import BearingCase, case_orbit, mean_shear_rate_per_s
from oilwedge.film.cycle_heat import Places, settle_temperatures
from oilwedge.film.hot_clearance import hot_clearance_m
from oilwedge.film.oil import MOST_C, Oil
from oilwedge.film.oil_feed import feed_flow_m3_s, fresh_share, mean_gap_number
from oilwedge.film.orbit import Orbit
from oilwedge.film.roughness import Regime

__all__ = ["BearingCase", "CycleFilm", "HeatRecord", "solve_cycle"]

Array = NDArray[np.float64]


@dataclass(frozen=True, kw_only=True, slots=True)
class HeatRecord:
    """How the heat balance was met: what is left of it in K, orbits solved, and whether it is."""

    residual_k: float
    steps: int
    converged: bool


@dataclass(frozen=True, kw_only=True, slots=True)
class CycleFilm:
    """A bearing's film over one cycle; SI units, °C, clearances diametral.

    ``film_temperature_c``: effective, of the heat balance; ``outlet_temperature_c``: of the oil as
    it leaves. ``side_flow_m3_s`` and ``feed_flow_m3_s`` as in :mod:`.oil_feed`, means of the cycle.
    ``share_below_chosen``: of the cycle, with the smallest film under the case's chosen one.
    ``film_ratio`` and ``regime``: λ, None where no roughness is known. Nothing in here is an answer
    unless ``converged``: the path closes and the heat balance is met.
    """

    orbit: Orbit
    cold_clearance_m: float
    hot_clearance_m: float
    film_temperature_c: float
    outlet_temperature_c: float
    viscosity_pa_s: float
    shear_rate_per_s: float
    mean_friction_power_w: float
    side_flow_m3_s: float
    feed_flow_m3_s: float
    share_below_chosen: float
    film_ratio: float | None
    regime: Regime | None
    heat: HeatRecord

    @property
    def oil_flow_m3_s(self) -> float:
        """All fresh oil that the bearing takes in: side flow and what the pressure feeds."""
        return self.side_flow_m3_s + self.feed_flow_m3_s

    @property
    def minimum_film_m(self) -> float:
        """The smallest film of the cycle."""
        return self.orbit.minimum_film_m

    @property
    def converged(self) -> bool:
        """Whether the path closes and the heat balance is met."""
        return self.orbit.converged and self.heat.converged


@dataclass(frozen=True, kw_only=True, slots=True)
class _Moment:
    """The film at one temperature."""

    orbit: Orbit
    viscosity_pa_s: float
    friction_w: float
    side_m3_s: float
    feed_m3_s: float
    rise_k: float


def running_clearance_m(*, case: BearingCase, cold_clearance_m: float) -> float:
    """The diametral clearance of a bearing as it runs, in m.

    InputError where none is left when hot.
    """
    if case.hot_fit is None:
        return cold_clearance_m
    hot = float(
        hot_clearance_m(
            cold_clearance_m=cold_clearance_m,
            diameter_m=case.diameter_m,
            fit=case.hot_fit,
            oil_temperature_c=case.supply_temperature_c,
        )
    )
    if cold_clearance_m > 0.0 and hot <= 0.0:
        raise InputError(
            Fault(
                given=f"a clearance of {cold_clearance_m * 1e6:.3g} µm at 20 °C",
                allowed=f"with the parts as warm as they run {hot * 1e6:.3g} µm are left: the"
                " bearing would seize",
                action="check the clearance, the materials and the temperatures of the parts",
            )
        )
    return hot


def solve_cycle(*, case: BearingCase, oil: Oil, cold_clearance_m: float) -> CycleFilm:
    """The film of a bearing over one cycle, at the temperature of its own heat balance.

    ``cold_clearance_m``: diametral, at 20 °C. InputError where no clearance is left when hot;
    OutOfRangeError where the film would get hotter than 200 °C, the load is above what the film
    carries, or no map holds for width or groove. A hole feeds oil; the path takes it as closed.
    """
    clearance_m = running_clearance_m(case=case, cold_clearance_m=cold_clearance_m)
    shear_rate = float(mean_shear_rate_per_s(case=case, hot_clearance_m=clearance_m))
    seen: dict[float, _Moment] = {}

    def rise_k(temperature_c: Array, places: Places) -> Array:
        del places
        warm = float(temperature_c[0])
        seen[warm] = _moment(case, oil, clearance_m, warm, shear_rate)
        return np.array([seen[warm].rise_k])

    found = settle_temperatures(
        rise_k=rise_k, supply_temperature_c=np.array([case.supply_temperature_c])
    )
    warm, residual = float(found.temperature_c[0]), float(found.residual_k[0])
    if warm >= MOST_C and residual > 0.0:
        raise OutOfRangeError(
            Fault(
                given=f"oil supplied at {case.supply_temperature_c:g} °C",
                allowed=f"the film would get hotter than {MOST_C:g} °C, where no oil's law holds",
                action="check clearance, speed, groove and the temperature of the oil",
            )
        )
    moment = seen[warm]
    ratio = None
    if case.roughness_m is not None:
        ratio = roughness.film_ratio(
            minimum_film_m=moment.orbit.minimum_film_m, roughness_m=case.roughness_m
        )
    return CycleFilm(
        orbit=moment.orbit,
        cold_clearance_m=cold_clearance_m,
        hot_clearance_m=clearance_m,
        film_temperature_c=warm,
        outlet_temperature_c=2.0 * warm - case.supply_temperature_c,
        viscosity_pa_s=moment.viscosity_pa_s,
        shear_rate_per_s=shear_rate,
        mean_friction_power_w=moment.friction_w,
        side_flow_m3_s=moment.side_m3_s,
        feed_flow_m3_s=moment.feed_m3_s,
        share_below_chosen=moment.orbit.share_below(film_m=case.chosen_film_m),
        film_ratio=ratio,
        regime=None if ratio is None else roughness.regime_of(film_ratio=ratio),
        heat=HeatRecord(residual_k=residual, steps=found.steps, converged=bool(found.converged[0])),
    )


def _moment(
    case: BearingCase, oil: Oil, clearance_m: float, temperature_c: float, shear_rate: float
) -> _Moment:
    viscosity = oil.dynamic_viscosity_pa_s(temperature_c, shear_rate_per_s=shear_rate)
    place = case.place
    orbit = case_orbit(
        case=case, history=case.history, hot_clearance_m=clearance_m, viscosity_pa_s=viscosity
    )
    side = fresh_share(place) * orbit.mean_side_flow_m3_s
    feed = float(
        feed_flow_m3_s(
            place=place,
            diameter_m=case.diameter_m,
            width_m=case.width_m,
            radial_clearance_m=orbit.radial_clearance_m,
            viscosity_pa_s=viscosity,
            supply_pressure_pa=case.supply_pressure_pa,
            gap_number=mean_gap_number(
                angle_rad=orbit.angle_rad,
                path=np.stack((orbit.eccentricity_x, orbit.eccentricity_y), axis=1),
            ),
        )
    )
    friction = orbit.mean_friction_power_w
    heat = float(oil.volumetric_heats_j_m3_k(temperature_c))
    return _Moment(
        orbit=orbit,
        viscosity_pa_s=viscosity,
        friction_w=friction,
        side_m3_s=side,
        feed_m3_s=feed,
        rise_k=friction / (2.0 * heat * (side + feed)),
    )
