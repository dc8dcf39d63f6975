"""One bearing over one engine cycle at the temperature that its film gives itself."""

from __future__ import annotations

from dataclasses import dataclass

from oilwedge.film.bearing_case import BearingCase
from oilwedge.film.oil import Oil
from oilwedge.film.orbit import Orbit
from oilwedge.film.roughness import Regime

__all__ = ["BearingCase", "CycleFilm", "HeatRecord", "solve_cycle"]


@dataclass(frozen=True, kw_only=True, slots=True)
class HeatRecord:
    """How the heat balance was met: what is left of it in K, orbits solved, and whether it is."""

    residual_k: float
    steps: int
    converged: bool


@dataclass(frozen=True, kw_only=True, slots=True)
class CycleFilm:
    """A bearing's film over one cycle: SI units, °C, clearances diametral."""

    orbit: Orbit
    cold_clearance_m: float
    hot_clearance_m: float
    film_temperature_c: float
    outlet_temperature_c: float
    viscosity_pa_s: float
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


def solve_cycle(*, case: BearingCase, oil: Oil, cold_clearance_m: float) -> CycleFilm:
    """The film of a bearing over one cycle, at the temperature of its own heat balance."""
    raise NotImplementedError
