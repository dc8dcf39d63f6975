"""One bearing's film against its clearance: every clearance at the temperature it gives itself.

The same balance as in :mod:`.cycle_film`, for many cold clearances at once: the orbits come from
one table of the bearing (:mod:`.orbit_family`) with its load as it is, temperatures from
:mod:`.cycle_heat`. Where there is no answer, an array holds NaN, and ``why`` says what stands
against it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

import numpy as np
from numpy.typing import NDArray

from oilwedge.errors import Fault, OutOfRangeError
from oilwedge.film.bearing_case import BearingCase, mean_shear_rate_per_s
from oilwedge.film.cycle_heat import Places, settle_temperatures
from oilwedge.film.hot_clearance import hot_clearance_m
from oilwedge.film.oil import MOST_C, Oil
from oilwedge.film.oil_feed import feed_flow_m3_s, fresh_share
from oilwedge.film.orbit_family import OrbitFamily, log_reach_of, solve_family

__all__ = ["ClearanceSweep", "NoAnswer", "family_over", "sweep_clearances"]

Array = NDArray[np.float64]

_LEAST_OF_LARGEST = 0.05  # under that share of the largest clearance no orbits are solved
_HOTTEST_C = 180.0  # a film that would get hotter has left what engines run at
_WARMER_K = 15.0  # a film at the widest clearance over oil that is supplied hotter still


class NoAnswer(Enum):
    """Why a clearance has no answer; the value is a phrase for a sentence."""

    CLOSED = "no clearance is left when hot"
    TOO_HOT = f"the film would get hotter than {MOST_C:g} °C"
    TOO_THIN = "the film is thinner than any that is computed (0.2 % of the radial clearance)"
    TOO_STIFF = "the clearance is too small for the paths that were computed"


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class ClearanceSweep:
    """Films over cold diametral clearance (m); arrays of one length, NaN without an answer.

    Hot clearance and smallest film in m, effective film temperature in °C, mean friction power in
    W, fresh oil in m³/s, largest pressure in Pa; ``why``: None where there is an answer.
    """

    cold_clearance_m: Array
    hot_clearance_m: Array
    minimum_film_m: Array
    film_temperature_c: Array
    friction_power_w: Array
    oil_flow_m3_s: Array
    peak_pressure_pa: Array
    why: tuple[NoAnswer | None, ...]


def family_over(
    *, case: BearingCase, oils: Sequence[Oil], cold_clearance_m: Array, checks: int = 0
) -> OrbitFamily:
    """The orbits that these oils and clearances can need, with the load as it is.

    From the least clearance in the thickest oil to the largest in the thinnest; the viscosity at
    most that of the supplied oil, at least that of a film at 180 °C, or 15 K over a supply that is
    hotter still. OutOfRangeError where no clearance is left when hot or no film carries the load.
    """
    hot = _hot(case, cold_clearance_m)
    if not (hot > 0.0).any():
        raise OutOfRangeError(
            Fault(
                given=f"clearances up to {float(np.max(cold_clearance_m)) * 1e6:.3g} µm at 20 °C",
                allowed="a bearing that has a clearance left when its parts are warm",
                action="check the clearances, the materials and the temperatures of the parts",
            )
        )
    largest = float(hot.max())
    least = max(float(hot[hot > 0.0].min()), _LEAST_OF_LARGEST * largest)
    thick = max(_viscosity(case, oil, least, case.supply_temperature_c) for oil in oils)
    hottest = min(MOST_C, max(_HOTTEST_C, case.supply_temperature_c + _WARMER_K))
    thin = min(_viscosity(case, oil, largest, hottest) for oil in oils)
    ends = log_reach_of(
        hot_clearance_m=(least, largest), viscosity_pa_s=(thick, thin), mass_scale=1.0
    )
    return solve_family(
        case=case, log_reach=(float(ends[0]), float(ends[1])), gas_shares=(1.0, 1.0), checks=checks
    )


def sweep_clearances(*, family: OrbitFamily, oil: Oil, cold_clearance_m: Array) -> ClearanceSweep:
    """The film at each cold diametral clearance (m), with this oil supplied as the case says."""
    case = family.case
    hot = _hot(case, cold_clearance_m)
    open_ = np.flatnonzero(hot > 0.0)
    columns = np.full((5, hot.size), np.nan)
    why: list[NoAnswer | None] = [NoAnswer.CLOSED] * hot.size
    if open_.size:
        values, reasons = _balanced(family, oil, hot[open_])
        columns[:, open_] = values
        for place, reason in zip(open_, reasons, strict=True):
            why[int(place)] = reason
    film, warm, friction, flow, peak = columns
    return ClearanceSweep(
        cold_clearance_m=cold_clearance_m,
        hot_clearance_m=hot,
        minimum_film_m=film,
        film_temperature_c=warm,
        friction_power_w=friction,
        oil_flow_m3_s=flow,
        peak_pressure_pa=peak,
        why=tuple(why),
    )


def _balanced(
    family: OrbitFamily, oil: Oil, clearance_m: Array
) -> tuple[Array, list[NoAnswer | None]]:
    """Film, temperature, friction, flow and pressure at hot clearances above 0, and why not."""
    case = family.case
    rate = mean_shear_rate_per_s(case=case, hot_clearance_m=clearance_m)
    ones = np.ones(clearance_m.size)

    def reach_at(viscosity: Array, places: Places) -> Array:
        return log_reach_of(
            hot_clearance_m=clearance_m[places], viscosity_pa_s=viscosity, mass_scale=1.0
        )

    def rise_k(warm_c: Array, places: Places) -> Array:
        viscosity = oil.dynamic_viscosities_pa_s(warm_c, shear_rate_per_s=rate[places])
        inside = np.clip(reach_at(viscosity, places), family.log_reach[0], family.log_reach[-1])
        means = family.means_at(log_reach=inside, gas_share=ones[places])
        radial = 0.5 * clearance_m[places]
        fresh = _fresh(case, radial, viscosity, means.side_flow_number * radial, means.gap_number)
        power = means.friction_number * viscosity / radial
        return np.asarray(power / (2.0 * _heat_j_m3_k(oil, warm_c) * fresh))

    found = settle_temperatures(
        rise_k=rise_k, supply_temperature_c=case.supply_temperature_c * ones
    )
    warm = found.temperature_c
    viscosity = oil.dynamic_viscosities_pa_s(warm, shear_rate_per_s=rate)
    reach = reach_at(viscosity, np.arange(clearance_m.size))
    held = family.holds(log_reach=reach, gas_share=ones)
    good = found.converged & held
    values = np.full((5, clearance_m.size), np.nan)
    if good.any():
        films = family.evaluate(
            hot_clearance_m=clearance_m[good],
            viscosity_pa_s=viscosity[good],
            gas_scale=ones[good],
            mass_scale=ones[good],
        )
        fresh = _fresh(
            case,
            0.5 * clearance_m[good],
            viscosity[good],
            films.side_flow_m3_s,
            films.gap_number,
        )
        values[:, good] = (
            films.minimum_film_m,
            warm[good],
            films.friction_power_w,
            fresh,
            films.peak_pressure_pa,
        )
    too_thin = reach > family.log_reach[-1]
    return values, [
        None
        if good[n]
        else NoAnswer.TOO_THIN
        if too_thin[n]
        else NoAnswer.TOO_STIFF
        if not held[n]
        else NoAnswer.TOO_HOT
        for n in range(clearance_m.size)
    ]


def _fresh(
    case: BearingCase, radial_m: Array, viscosity: Array, side_m3_s: Array, gap_number: Array
) -> Array:
    place = case.place
    feed = feed_flow_m3_s(
        place=place,
        diameter_m=case.diameter_m,
        width_m=case.width_m,
        radial_clearance_m=radial_m,
        viscosity_pa_s=viscosity,
        supply_pressure_pa=case.supply_pressure_pa,
        gap_number=gap_number,
    )
    return np.asarray(fresh_share(place) * side_m3_s + feed)


def _viscosity(case: BearingCase, oil: Oil, clearance_m: float, warm_c: float) -> float:
    rate = float(mean_shear_rate_per_s(case=case, hot_clearance_m=clearance_m))
    return oil.dynamic_viscosity_pa_s(warm_c, shear_rate_per_s=rate)


def _heat_j_m3_k(oil: Oil, warm_c: Array) -> Array:
    """ρ c in J/(m³ K)."""
    return np.array(
        [oil.density_kg_m3(float(t)) * oil.specific_heat_j_kg_k(float(t)) for t in warm_c]
    )


def _hot(case: BearingCase, cold_m: Array) -> Array:
    if case.hot_fit is None:
        return np.asarray(cold_m, dtype=np.float64)
    return hot_clearance_m(
        cold_clearance_m=cold_m,
        diameter_m=case.diameter_m,
        fit=case.hot_fit,
        oil_temperature_c=case.supply_temperature_c,
    )
