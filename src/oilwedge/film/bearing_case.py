"""One bearing of an engine under one condition: all that its film needs but clearance and oil."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from oilwedge.errors import Fault, InputError
from oilwedge.film.bearing import require_positive
from oilwedge.film.hot_clearance import HotFit
from oilwedge.film.load_history import LoadHistory
from oilwedge.film.orbit import Orbit, solve_orbit
from oilwedge.film.path_groove import NO_GROOVE, GroovePlace, PathGroove
from oilwedge.film.path_map import Width, path_map

Array = NDArray[np.float64]


@dataclass(frozen=True, kw_only=True, slots=True)
class BearingCase:
    """A bearing under the load of one engine cycle, m, Pa and °C.

    ``history``: the load; ``without_gas``: the same with no pressure on the pistons, at the same
    angles (what is left is the load of the masses). ``width_m``: of the shell that carries.
    ``groove_width_m``: of a full or half groove; ``hole_diameter_m`` of an oil hole, ``groove_rad``
    where the middle of half groove or hole lies, from x towards y. ``hot_fit`` None: the clearance
    is taken as it is given. ``supply_pressure_pa`` counts from the surroundings. ``roughness_m``:
    joint Rq of journal and shell; ``chosen_film_m``: the film under which the cycle's share is
    counted. InputError for what no bearing can be.
    """

    history: LoadHistory
    without_gas: LoadHistory
    diameter_m: float
    width_m: float
    supply_temperature_c: float
    supply_pressure_pa: float = 0.0
    groove: PathGroove = PathGroove.NONE
    groove_width_m: float = 0.0
    hole_diameter_m: float = 0.0
    groove_rad: float = 0.0
    hot_fit: HotFit | None = None
    roughness_m: float | None = None
    chosen_film_m: float = 1e-6

    def __post_init__(self) -> None:
        require_positive(self.diameter_m, what="the diameter", unit="m")
        require_positive(self.width_m, what="the width", unit="m")
        require_positive(self.chosen_film_m, what="the film to compare with", unit="m")
        if not (math.isfinite(self.supply_pressure_pa) and self.supply_pressure_pa >= 0.0):
            raise InputError(
                Fault(
                    given=f"{self.supply_pressure_pa:g} Pa",
                    allowed="the oil pressure counts from the surroundings and is 0 or more",
                )
            )
        if self.history.angle_rad.shape != self.without_gas.angle_rad.shape:
            raise InputError(
                Fault(
                    given="loads with and without gas at different angles",
                    allowed="both hold the same angles of one cycle",
                )
            )
        opening_m = self.place.width_m
        if not opening_m < 0.9 * self.width_m:
            raise InputError(
                Fault(
                    given=f"an opening {opening_m * 1e3:g} mm wide in {self.width_m * 1e3:g} mm",
                    allowed="groove or hole leave lands on both sides that carry the load",
                )
            )

    @property
    def place(self) -> GroovePlace:
        """Groove or hole, as the journal's path takes it."""
        widths = {
            PathGroove.NONE: 0.0,
            PathGroove.HOLE: self.hole_diameter_m,
            PathGroove.FULL: self.groove_width_m,
            PathGroove.HALF: self.groove_width_m,
        }
        return GroovePlace(kind=self.groove, width_m=widths[self.groove], angle_rad=self.groove_rad)


def mean_shear_rate_per_s(*, case: BearingCase, hot_clearance_m: ArrayLike) -> Array:
    """The mean over the cycle of ω_j R/C, in 1/s; the clearance diametral."""
    history = case.history
    span = float(history.angle_rad[-1] - history.angle_rad[0])
    spin = float(np.trapezoid(np.abs(history.journal_speed_rad_s), history.angle_rad)) / span
    return np.asarray(spin * case.diameter_m / np.asarray(hot_clearance_m))


def path_groove(case: BearingCase) -> GroovePlace:
    """What the path takes for the groove, widths in m: a hole feeds oil, but carries as if closed.

    A hole in the journal turns with it, and one in the shell is small; no map is right for both.
    """
    return NO_GROOVE if case.groove is PathGroove.HOLE else case.place


def require_map(case: BearingCase) -> None:
    """Raise :class:`OutOfRangeError` where no map holds for this width or groove (ratios to D)."""
    path_map(
        diameter_m=case.diameter_m,
        width_m=case.width_m,
        groove=path_groove(case),
        width=Width.FINITE,
    )


def case_orbit(
    *, case: BearingCase, history: LoadHistory, hot_clearance_m: float, viscosity_pa_s: float
) -> Orbit:
    """The journal's path in a case's bearing under a history, at one clearance and viscosity.

    Errors: those of :func:`~oilwedge.film.orbit.solve_orbit`.
    """
    return solve_orbit(
        history=history,
        diameter_m=case.diameter_m,
        width_m=case.width_m,
        diametral_clearance_m=hot_clearance_m,
        viscosity_pa_s=viscosity_pa_s,
        groove=path_groove(case),
    )
