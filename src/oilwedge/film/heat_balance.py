"""How warm the film gets: the oil carries away what friction gives, in the manner of ISO 7902-1.

The film has one effective temperature, the mean of that at which oil is supplied and that at which
it leaves (recalled)::

    T = T_supply + P/(2 ρ c Q)

P the friction power with the gap full of oil, Q the fresh oil that the bearing takes in, ρ c at T,
viscosity at T and at the mean shear rate ω R/C. Cooling by the housing is left out, so T is on the
warm side where parts are cooler than oil. P falls and Q hardly changes as the film warms up: there
is one T, found by halving between the supply's temperature and the end of the oil's range.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Generic, Protocol, TypeVar

from oilwedge.errors import Fault, OutOfRangeError
from oilwedge.film.bearing import Bearing, Rupture
from oilwedge.film.oil import MOST_C, Oil
from oilwedge.film.steady import SteadyFilm, solve_steady

MOST_STEPS = 60
TEMPERATURE_TOLERANCE_K = 0.01


class FedFilm(Protocol):
    """A film that says what friction gives and how much fresh oil takes it up."""

    @property
    def friction_power_w(self) -> float:
        """Friction power with the gap full."""

    @property
    def fresh_flow_m3_s(self) -> float:
        """Fresh oil that the supply gives."""


Film = TypeVar("Film", bound=FedFilm)


@dataclass(frozen=True, kw_only=True, slots=True)
class WarmFilm(Generic[Film]):
    """A steady film at the temperature it gives itself.

    ``residual_k``: the balance's right side less the temperature taken; ``steps``: films solved.
    """

    film: Film
    oil: Oil
    supply_temperature_c: float
    film_temperature_c: float
    outlet_temperature_c: float
    viscosity_pa_s: float
    residual_k: float
    steps: int


def solve_warm(
    *,
    bearing: Bearing,
    oil: Oil,
    supply_temperature_c: float,
    speed_rad_s: float,
    load_n: float,
    rupture: Rupture = Rupture.REYNOLDS,
) -> WarmFilm[SteadyFilm]:
    """Find the film's temperature by the module's balance, to 0.01 K, and the film at it.

    OutOfRangeError where the film would get hotter than the oil's law holds for, or takes in no
    fresh oil, and for what :func:`~oilwedge.film.steady.solve_steady` refuses.
    """

    def film_of(viscosity_pa_s: float) -> SteadyFilm:
        return solve_steady(
            bearing=bearing,
            viscosity_pa_s=viscosity_pa_s,
            speed_rad_s=speed_rad_s,
            load_n=load_n,
            rupture=rupture,
        )

    return balance_heat(
        film_of=film_of,
        bearing=bearing,
        oil=oil,
        supply_temperature_c=supply_temperature_c,
        speed_rad_s=speed_rad_s,
    )


def balance_heat(
    *,
    film_of: Callable[[float], Film],
    bearing: Bearing,
    oil: Oil,
    supply_temperature_c: float,
    speed_rad_s: float,
) -> WarmFilm[Film]:
    """Balance any steady film, ``film_of`` a viscosity in Pa s; as :func:`solve_warm`."""
    shear_rate_per_s = speed_rad_s * bearing.radius_m / bearing.radial_clearance_m

    def film_at(temperature_c: float) -> tuple[Film, float, float]:
        """The film, its viscosity, and the temperature of the balance less this one."""
        viscosity = oil.dynamic_viscosity_pa_s(temperature_c, shear_rate_per_s=shear_rate_per_s)
        film = film_of(viscosity)
        heat = oil.density_kg_m3(temperature_c) * oil.specific_heat_j_kg_k(temperature_c)
        if film.fresh_flow_m3_s <= 0.0:
            raise OutOfRangeError(
                Fault(
                    given=f"groove '{bearing.groove.value}'",
                    allowed="no fresh oil comes in that could carry heat away",
                    action="choose a groove that feeds the film",
                )
            )
        rise = film.friction_power_w / (2.0 * heat * film.fresh_flow_m3_s)
        return film, viscosity, supply_temperature_c + rise - temperature_c

    low, high = supply_temperature_c, MOST_C
    if film_at(high)[2] > 0.0:
        raise OutOfRangeError(
            Fault(
                given=f"oil supplied at {supply_temperature_c:g} °C",
                allowed=f"the film would get hotter than {MOST_C:g} °C, where no oil's law holds",
                action="check speed, clearance and supply, or give the viscosity itself",
            )
        )
    for step in range(2, MOST_STEPS):
        middle = 0.5 * (low + high)
        film, viscosity, residual = film_at(middle)
        if abs(residual) <= TEMPERATURE_TOLERANCE_K:
            return WarmFilm(
                film=film,
                oil=oil,
                supply_temperature_c=supply_temperature_c,
                film_temperature_c=middle,
                outlet_temperature_c=2.0 * middle - supply_temperature_c,
                viscosity_pa_s=viscosity,
                residual_k=residual,
                steps=step,
            )
        low, high = (middle, high) if residual > 0.0 else (low, middle)
    raise OutOfRangeError(
        Fault(
            given=f"oil supplied at {supply_temperature_c:g} °C",
            allowed=f"the heat balance did not settle in {MOST_STEPS} films; {residual:.3g} K are"
            " left",
            action="give the viscosity itself",
        )
    )
