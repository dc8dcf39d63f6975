"""Films of the demo engine with four cylinders, invented: paths are ovals, nothing is solved."""

from __future__ import annotations

import math
from functools import cache
from importlib import resources

import numpy as np

from oilwedge.engine.file import read_engine
from oilwedge.engine.model import Engine
from oilwedge.film.cycle_film import CycleFilm, HeatRecord
from oilwedge.film.film_shape import FilmShape
from oilwedge.film.oil import Oil
from oilwedge.film.orbit import Orbit
from oilwedge.fits.verdict import State
from oilwedge.usecases.crank_loads import BearingLoad, EngineLoads, engine_loads
from oilwedge.usecases.film_cycle_answer import BearingFilm, EngineFilm, LeftOut

LEAST_DEG = 200.0  # where the film of an oval is thinnest
OIL = Oil(name="5W-30", density_kg_m3_at_15c=850.0, nu40_m2_s=61e-6, nu100_m2_s=10.6e-6)


@cache
def engine() -> Engine:
    file = resources.files("oilwedge.demo") / "four.toml"
    return read_engine(file.read_text(encoding="utf-8"), file="four.toml")


@cache
def loads(condition: str = "full load") -> EngineLoads:
    return engine_loads(engine=engine(), condition=condition, steps_per_turn=36)


def oval(load: BearingLoad, *, film_m: float, radial_m: float = 25e-6) -> Orbit:
    """Thinnest at LEAST_DEG, 1° round the bearing for 2° of the crank, highest pressure there."""
    angle = load.history.angle_rad
    turn = angle / 2.0
    ratio = 1.0 - film_m / radial_m * (2.0 - np.cos(turn - math.radians(LEAST_DEG / 2.0)))
    return Orbit(
        angle_rad=angle,
        eccentricity_x=ratio * np.cos(turn),
        eccentricity_y=ratio * np.sin(turn),
        radial_clearance_m=radial_m,
        minimum_film_m=film_m,
        minimum_film_angle_rad=math.radians(LEAST_DEG),
        peak_pressures_pa=40e6 * ratio,
        friction_powers_w=np.full(angle.size, 120.0),
        side_flows_m3_s=np.full(angle.size, 2e-6),
        converged=True,
        residual=1e-5,
        cycles=3,
        film_change=0.0,
    )


def cycle(load: BearingLoad, *, film_m: float, clearance_m: float) -> CycleFilm:
    return CycleFilm(
        orbit=oval(load, film_m=film_m, radial_m=clearance_m / 2.0),
        cold_clearance_m=clearance_m,
        hot_clearance_m=clearance_m,
        film_temperature_c=120.0,
        outlet_temperature_c=130.0,
        viscosity_pa_s=0.006,
        shear_rate_per_s=1e6,
        mean_friction_power_w=120.0,
        side_flow_m3_s=2e-6,
        feed_flow_m3_s=1e-6,
        share_below_chosen=0.0,
        film_ratio=None,
        regime=None,
        heat=HeatRecord(residual_k=0.001, steps=4, converged=True),
    )


def bearing(load: BearingLoad, *, film_m: float) -> BearingFilm:
    return BearingFilm(
        load=load,
        cold_clearance_m=50e-6,
        clearance_u_m=3e-6,
        state=State.RIGHT,
        film=cycle(load, film_m=film_m, clearance_m=50e-6),
        shape=FilmShape(),
        mid_limit_m=40e-6,
        at_mid_limit=cycle(load, film_m=1.5 * film_m, clearance_m=40e-6),
        sentence=f"A sentence on {load.title}.",
    )


def engine_film(condition: str = "full load", *, film_m: float = 2e-6) -> EngineFilm:
    """Big ends 1 and 2 and main 1 with answers, big end 2 the thinnest; main 2 has none."""
    found = loads(condition)
    return EngineFilm(
        engine=engine(),
        condition=found.condition,
        loads=found,
        oil=OIL,
        oil_name="5W-30",
        oil_words="Calculated with 5W-30 by the values of its data sheet.",
        supply_temperature_c=110.0,
        chosen_film_m=1e-6,
        chosen_from="rule of thumb, no source",
        bearings=(
            bearing(found.bearing("rod 1"), film_m=1.2 * film_m),
            bearing(found.bearing("rod 2"), film_m=film_m),
            bearing(found.bearing("main 1"), film_m=2.0 * film_m),
        ),
        left_out=(LeftOut(key="main 2", title="main bearing 2", why="it was not measured"),),
        sentences=(f"At {condition} big end 2 is the thinnest.", "More."),
        assumptions=("A rule of thumb.",),
        notes=("A note.",),
        draws=0,
        seed=1,
    )
