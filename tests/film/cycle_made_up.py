"""An invented big end of a four-stroke engine, its oil, and builds of it."""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from oilwedge.film.bearing_case import BearingCase
from oilwedge.film.build_sample import BuildBearing
from oilwedge.film.load_history import LoadHistory
from oilwedge.film.oil import Oil
from oilwedge.film.path_groove import PathGroove

SPEED = 3000.0 * math.pi / 30.0
ANGLE = np.linspace(0.0, 4.0 * np.pi, 289)
CLEARANCE = 45e-6
OIL = Oil(
    name="invented",
    density_kg_m3_at_15c=870.0,
    nu40_m2_s=90e-6,
    nu100_m2_s=14e-6,
    high_shear_150c_pa_s=3.5e-3,
)
NEWTONIAN = Oil(
    name="invented, straight", density_kg_m3_at_15c=880.0, nu40_m2_s=95e-6, nu100_m2_s=11e-6
)


def loaded(*, gas: float = 1.0, mass: float = 1.0, size: float = 1.0) -> LoadHistory:
    """Masses that turn with the crank, and a push of gas at the start of the cycle."""
    push = 22000.0 * np.exp(-(((ANGLE - 0.8) / 0.35) ** 2))
    force_x = mass * (5000.0 * np.cos(ANGLE) + 2000.0 * np.cos(2.0 * ANGLE)) - gas * push
    force_y = mass * 6000.0 * np.sin(ANGLE) + gas * 0.2 * push
    spin = SPEED * (1.0 - 0.28 * np.cos(ANGLE))
    for column in (force_x, force_y, spin):
        column[-1] = column[0]
    return LoadHistory(
        angle_rad=ANGLE,
        force_x_n=size * force_x,
        force_y_n=size * force_y,
        journal_speed_rad_s=spin,
        turning_speed_rad_s=SPEED,
    )


def made_up(**changed: Any) -> BearingCase:
    return BearingCase(
        **{
            "history": loaded(),
            "without_gas": loaded(gas=0.0),
            "diameter_m": 0.048,
            "width_m": 0.019,
            "supply_temperature_c": 100.0,
            "supply_pressure_pa": 3e5,
            "groove": PathGroove.HOLE,
            "hole_diameter_m": 5e-3,
            **changed,
        }
    )


def measured(**changed: Any) -> BuildBearing:
    return BuildBearing(
        **{
            "case": made_up(),
            "cold_clearance_m": CLEARANCE,
            "clearance_u_m": 3e-6,
            **changed,
        }
    )
