"""Films of an invented engine with round numbers, to be told in words, tables and JSON."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np

from oilwedge.engine.file import read_engine
from oilwedge.engine.running import BearingData, Condition, Groove
from oilwedge.film.build_sample import Factor
from oilwedge.film.cycle_film import CycleFilm, HeatRecord
from oilwedge.film.film_shape import FilmShape
from oilwedge.film.load_history import LoadHistory
from oilwedge.film.oil import Oil
from oilwedge.film.orbit import Orbit
from oilwedge.film.orbit_family import FamilyError
from oilwedge.film.roughness import regime_of
from oilwedge.film.virtual_builds import Band, BuildBand, Sensitivity
from oilwedge.fits.verdict import State
from oilwedge.usecases.crank_loads import BearingLoad, EngineLoads, Firing
from oilwedge.usecases.film_cycle_answer import BearingFilm, EngineFilm, LeftOut

DATA = Path(__file__).parents[1] / "data"
ANGLES = np.radians(np.arange(0.0, 721.0, 10.0))
FULL_LOAD = Condition(name="full load", speed_rpm=4000.0, oil_temperature_c=100.0)
RADIAL_M = 20e-6
UM = 1e-6


def orbit(film_um: float) -> Orbit:
    """A circle with one thinner spot at 370 deg."""
    ratio = 1.0 - 2.0 * film_um * UM / RADIAL_M
    x, y = ratio * np.cos(ANGLES), ratio * np.sin(ANGLES)
    thinnest = 37
    factor = (1.0 - film_um * UM / RADIAL_M) / ratio
    x[thinnest], y[thinnest] = x[thinnest] * factor, y[thinnest] * factor
    return Orbit(
        angle_rad=ANGLES,
        eccentricity_x=x,
        eccentricity_y=y,
        radial_clearance_m=RADIAL_M,
        minimum_film_m=film_um * UM,
        minimum_film_angle_rad=math.radians(370.0),
        peak_pressures_pa=np.where(np.arange(ANGLES.size) == thinnest, 90e6, 30e6),
        friction_powers_w=np.full(ANGLES.size, 120.0),
        side_flows_m3_s=np.full(ANGLES.size, 2e-6),
        converged=True,
        residual=1e-6,
        cycles=3,
        film_change=1e-7,
    )


def cycle_film(film_um: float, *, chosen_um: float = 1.0) -> CycleFilm:
    path = orbit(film_um)
    ratio = film_um / 0.4
    return CycleFilm(
        orbit=path,
        cold_clearance_m=40e-6,
        hot_clearance_m=2.0 * RADIAL_M,
        film_temperature_c=121.0,
        outlet_temperature_c=142.0,
        viscosity_pa_s=0.006,
        shear_rate_per_s=5e5,
        mean_friction_power_w=120.0,
        side_flow_m3_s=2e-6,
        feed_flow_m3_s=1e-6,
        share_below_chosen=path.share_below(film_m=chosen_um * UM),
        film_ratio=ratio,
        regime=regime_of(film_ratio=ratio),
        heat=HeatRecord(residual_k=0.001, steps=7, converged=True),
    )


def bearing_load(key: str = "rod 2") -> BearingLoad:
    kind, number = key.split()
    rod = kind == "rod"
    history = LoadHistory(
        angle_rad=ANGLES,
        force_x_n=1000.0 * np.cos(ANGLES),
        force_y_n=np.full(ANGLES.size, 500.0),
        journal_speed_rad_s=np.full(ANGLES.size, 400.0),
        turning_speed_rad_s=400.0,
    )
    return BearingLoad(
        key=key,
        fit_key="rod_bearing" if rod else "main_bearing",
        number=int(number),
        title=f"{'big end' if rod else 'main bearing'} {number}",
        history=history,
        without_gas=history,
        data=BearingData(width_m=0.02, groove=Groove.NONE),
        diameter_m=0.048,
        firings=(Firing(cylinder=1, angle_rad=0.0),),
    )


def build_band(*, low_um: float, high_um: float, most: Factor, bound: bool = False) -> BuildBand:
    some = Band(low=1.0, median=2.0, high=3.0)
    return BuildBand(
        minimum_film_m=Band(
            low=low_um * UM,
            median=0.5 * (low_um + high_um) * UM,
            high=high_um * UM,
            low_is_bound=bound,
        ),
        film_temperature_c=some,
        friction_power_w=some,
        oil_flow_m3_s=some,
        peak_pressure_pa=some,
        outside=3 if bound else 0,
        share_under_chosen=0.1,
        sensitivities=(Sensitivity(factor=most, first=0.6, total=0.7),),
        interpolation=FamilyError(
            minimum_film=1e-3, friction_power=1e-4, side_flow=1e-4, peak_pressure=1e-3, orbits=9
        ),
        orbits=40,
    )


def bearing_film(
    key: str = "rod 2",
    *,
    film_um: float = 1.3,
    middle_um: float | None = 1.6,
    most: Factor = Factor.CLEARANCE,
    state: State = State.RIGHT,
    shape: FilmShape | None = None,
    shape_gap_um: float = 0.0,
) -> BearingFilm:
    return BearingFilm(
        load=bearing_load(key),
        cold_clearance_m=40e-6,
        clearance_u_m=2e-6,
        state=state,
        film=cycle_film(film_um),
        shape=shape or FilmShape(),
        shape_gap_m=shape_gap_um * UM,
        mid_limit_m=35e-6,
        at_mid_limit=None if middle_um is None else cycle_film(middle_um),
        band=build_band(low_um=0.7 * film_um, high_um=1.3 * film_um, most=most),
        thinnest_share=0.8,
    )


def engine_film(
    *bearings: BearingFilm, left_out: tuple[LeftOut, ...] = (), condition: Condition = FULL_LOAD
) -> EngineFilm:
    text = (DATA / "bench_four.toml").read_text(encoding="utf-8")
    return EngineFilm(
        engine=read_engine(text, file="engine.toml"),
        condition=condition,
        loads=EngineLoads(
            condition=condition,
            bearings=(*(one.load for one in bearings), *(bearing_load(o.key) for o in left_out)),
            angle_rad=ANGLES,
            torque_n_m=100.0 + 50.0 * np.cos(ANGLES),
            firings=(Firing(cylinder=1, angle_rad=0.0),),
            assumptions=(),
        ),
        oil=Oil(name="10W-40", density_kg_m3_at_15c=865.0, nu40_m2_s=95e-6, nu100_m2_s=14e-6),
        oil_name="10W-40",
        oil_words="Calculated with 10W-40 by the values of its data sheet.",
        supply_temperature_c=100.0,
        chosen_film_m=1e-6,
        chosen_from="rule of thumb, no source",
        bearings=bearings,
        left_out=left_out,
        sentences=(),
        assumptions=("Journals as warm as the oil (rule of thumb).",),
        notes=("Something to know.",),
        draws=2000,
        seed=1,
    )
