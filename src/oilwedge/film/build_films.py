"""The films of many virtual builds of one bearing, each at the temperature of its own balance.

As :mod:`.cycle_film` for one build, over arrays: paths come from a table of orbits
(:mod:`.orbit_family`), temperature and viscosity of all builds are found together
(:mod:`.cycle_heat`). A coarse table finds how far the builds reach, a fine one over just that range
answers. While a temperature is searched, a step that leaves the table is judged by the table's
edge; what then ends outside is no answer and counts as outside.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from oilwedge.errors import Fault, InputError
from oilwedge.film.bearing_case import BearingCase, mean_shear_rate_per_s
from oilwedge.film.build_sample import BuildInputs
from oilwedge.film.cycle_heat import Places, Temperatures, settle_temperatures
from oilwedge.film.hot_clearance import hot_clearance_m
from oilwedge.film.oil_feed import feed_flow_m3_s, fresh_share
from oilwedge.film.orbit_family import FamilyMeans, OrbitFamily, log_reach_of, solve_family

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]

_COARSE_LOG_STEP, _COARSE_SHARE_STEP = 0.6, 0.3
_WARMEST_RISE_K = 60.0
_ROOM_TO_SPARE = 0.05  # in ln s


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class BuildFilms:
    """Arrays over the builds; SI units, °C.

    Where ``inside`` is false there is no answer: ``minimum_film_m`` is then an upper bound of it,
    ``film_temperature_c`` a lower bound, and the rest is nan. ``orbits``: solved for both tables.
    """

    inside: Mask
    hot_clearance_m: Array
    minimum_film_m: Array
    film_temperature_c: Array
    friction_power_w: Array
    oil_flow_m3_s: Array
    peak_pressure_pa: Array
    family: OrbitFamily
    orbits: int


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class _Builds:
    """The builds of one bearing that have a clearance when hot."""

    case: BearingCase
    inputs: BuildInputs
    rows: NDArray[np.intp]
    hot_clearance_m: Array

    @property
    def share(self) -> Array:
        return (self.inputs.gas_scale / self.inputs.mass_scale)[self.rows]

    def viscosity_pa_s(self, temperature_c: Array, places: Places) -> Array:
        rate = mean_shear_rate_per_s(case=self.case, hot_clearance_m=self.hot_clearance_m[places])
        return self.inputs.oil.viscosity_pa_s(
            temperature_c, shear_rate_per_s=rate, places=self.rows[places]
        )

    def log_reach(self, viscosity_pa_s: Array, places: Places) -> Array:
        return log_reach_of(
            hot_clearance_m=self.hot_clearance_m[places],
            viscosity_pa_s=viscosity_pa_s,
            mass_scale=self.inputs.mass_scale[self.rows[places]],
        )

    def oil_flow_m3_s(self, means: FamilyMeans, viscosity_pa_s: Array, places: Places) -> Array:
        radial = 0.5 * self.hot_clearance_m[places]
        feed = feed_flow_m3_s(
            place=self.case.place,
            diameter_m=self.case.diameter_m,
            width_m=self.case.width_m,
            radial_clearance_m=radial,
            viscosity_pa_s=viscosity_pa_s,
            supply_pressure_pa=self.case.supply_pressure_pa,
            gap_number=means.gap_number,
        )
        return fresh_share(self.case.place) * means.side_flow_number * radial + feed

    def rise_k(self, family: OrbitFamily, temperature_c: Array, places: Places) -> Array:
        """P/(2 ρ c Q), beyond the table's ends by the table's edge."""
        viscosity = self.viscosity_pa_s(temperature_c, places)
        reach = self.log_reach(viscosity, places)
        edge = np.clip(reach, family.log_reach[0], family.log_reach[-1])
        means = family.means_at(log_reach=edge, gas_share=self.share[places])
        friction = means.friction_number * viscosity / (0.5 * self.hot_clearance_m[places])
        heat = self.inputs.oil.heat_j_m3_k(temperature_c, places=self.rows[places])
        return friction / (2.0 * heat * self.oil_flow_m3_s(means, viscosity, places))

    def settle(self, family: OrbitFamily) -> Temperatures:
        return settle_temperatures(
            rise_k=lambda warm, places: self.rise_k(family, warm, places),
            supply_temperature_c=self.inputs.supply_temperature_c[self.rows],
        )


def solve_builds(*, case: BearingCase, inputs: BuildInputs) -> BuildFilms:
    """The films of all drawn builds of one bearing.

    OutOfRangeError where next to no orbit of the range can be answered, or a supply temperature is
    none that an oil's law holds for.
    """
    hot = inputs.cold_clearance_m
    if case.hot_fit is not None:
        hot = hot_clearance_m(
            cold_clearance_m=hot,
            diameter_m=case.diameter_m,
            fit=case.hot_fit,
            oil_temperature_c=inputs.supply_temperature_c,
        )
    rows = np.flatnonzero(hot > 0.0)
    if rows.size == 0:
        raise InputError(
            Fault(
                given=f"clearances up to {float(hot.max()) * 1e6:.3g} µm when hot",
                allowed="no clearance is left in any build: the bearing would seize",
                action="check the clearance, the materials and the temperatures of the parts",
            )
        )
    builds = _Builds(case=case, inputs=inputs, rows=rows, hot_clearance_m=hot[rows])
    everyone = np.arange(rows.size)
    supply = inputs.supply_temperature_c[rows]
    shares = (float(builds.share.min()), float(builds.share.max()))
    cold, warm = (
        builds.log_reach(builds.viscosity_pa_s(temperature, everyone), everyone)
        for temperature in (supply, np.minimum(supply + _WARMEST_RISE_K, 200.0))
    )
    coarse = solve_family(
        case=case,
        log_reach=(float(cold.min()), float(warm.max())),
        gas_shares=shares,
        log_step=_COARSE_LOG_STEP,
        share_step=_COARSE_SHARE_STEP,
        checks=0,
    )
    first = builds.settle(coarse).temperature_c
    reach = builds.log_reach(builds.viscosity_pa_s(first, everyone), everyone)
    low, high = coarse.log_reach[[0, -1]]
    family = solve_family(
        case=case,
        log_reach=(
            max(float(reach.min()) - _ROOM_TO_SPARE, float(low)),
            min(float(reach.max()) + _ROOM_TO_SPARE, float(high)),
        ),
        gas_shares=shares,
    )
    return _answered(builds, family, hot, coarse.orbits + family.orbits)


def _answered(builds: _Builds, family: OrbitFamily, hot: Array, orbits: int) -> BuildFilms:
    found = builds.settle(family)
    everyone = np.arange(builds.rows.size)
    viscosity = builds.viscosity_pa_s(found.temperature_c, everyone)
    reach = builds.log_reach(viscosity, everyone)
    good = found.converged & family.holds(log_reach=reach, gas_share=builds.share)
    rows, lost = builds.rows[good], builds.rows[~good]
    films = family.evaluate(
        hot_clearance_m=hot[rows],
        viscosity_pa_s=viscosity[good],
        gas_scale=builds.inputs.gas_scale[rows],
        mass_scale=builds.inputs.mass_scale[rows],
    )
    means = FamilyMeans(
        friction_number=films.friction_power_w,
        side_flow_number=films.side_flow_m3_s / (0.5 * hot[rows]),
        gap_number=films.gap_number,
    )
    film = np.zeros(hot.size)
    film[rows] = films.minimum_film_m
    film[lost] = 0.5 * hot[lost] * _most_room(family, reach[~good], builds.share[~good])
    temperature = builds.inputs.supply_temperature_c.astype(np.float64)
    temperature[rows] = found.temperature_c[good]
    friction, flow, peak = (np.full(hot.size, np.nan) for _ in range(3))
    friction[rows], peak[rows] = films.friction_power_w, films.peak_pressure_pa
    flow[rows] = builds.oil_flow_m3_s(means, viscosity[good], everyone[good])
    return BuildFilms(
        inside=~np.isnan(friction),
        hot_clearance_m=hot,
        minimum_film_m=film,
        film_temperature_c=temperature,
        friction_power_w=friction,
        oil_flow_m3_s=flow,
        peak_pressure_pa=peak,
        family=family,
        orbits=orbits,
    )


def _most_room(family: OrbitFamily, reach: Array, share: Array) -> Array:
    """An upper bound of 1 − ε beyond the table: that at its thin edge; 1 beyond its thick one."""
    low, high = family.log_reach[[0, -1]]
    edge = family.rooms_at(log_reach=np.clip(reach, low, high), gas_share=share)
    return np.where(reach >= low, edge, 1.0)
