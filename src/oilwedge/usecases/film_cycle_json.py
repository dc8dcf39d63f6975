"""The films of an engine as JSON; the units are in the names (docs/formats/film-cycle.md)."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from oilwedge import __version__
from oilwedge.usecases.film_cycle_answer import BearingFilm, EngineFilm, ReferenceFilm
from oilwedge.usecases.film_cycle_words import NOT_OVERRULED, ROUND_PARTS

if TYPE_CHECKING:
    from oilwedge.film.cycle_film import CycleFilm
    from oilwedge.film.film_shape import FilmShape
    from oilwedge.film.transient import TransientOrbit
    from oilwedge.film.virtual_builds import Band, BuildBand

__all__ = ["SCHEMA", "film_cycle_json"]

SCHEMA = 1
Json = dict[str, object]
L_MIN_PER_M3_S = 60_000.0
UM, MM, MPA = 1e6, 1e3, 1e-6


def film_cycle_json(films: Sequence[EngineFilm]) -> Json:
    """Everything, one entry a condition; null where there is no answer."""
    engine = films[0].engine
    return {
        "oilwedge_film_cycle": SCHEMA,
        "oilwedge_version": __version__,
        "engine": {"name": engine.name, "digest": engine.digest},
        "conditions": [_condition(film) for film in films],
        "meaning": NOT_OVERRULED,
        "model": ROUND_PARTS,
    }


def _condition(film: EngineFilm) -> Json:
    thinnest, condition, torque = film.thinnest, film.condition, film.loads.torque_n_m
    angle = film.loads.angle_rad
    return {
        "condition": condition.name,
        "speed_rpm": condition.speed_rpm,
        "oil": film.oil_name,
        "oil_words": film.oil_words,
        "supply_temperature_c": film.supply_temperature_c,
        "oil_pressure_bar": _times(condition.oil_pressure_pa, 1e-5),
        "chosen_film_um": film.chosen_film_m * UM,
        "chosen_film_from": film.chosen_from,
        "thinnest": None if thinnest is None else thinnest.load.key,
        "bearings": [_bearing(one) for one in film.bearings],
        "left_out": [
            {"bearing": one.key, "title": one.title, "why": one.why} for one in film.left_out
        ],
        "torque": {
            "mean_n_m": float(np.trapezoid(torque, angle)) / float(angle[-1] - angle[0]),
            "angle_deg": _list(np.degrees(angle)),
            "torque_n_m": _list(torque),
        },
        "firings": [
            {"cylinder": one.cylinder, "angle_deg": math.degrees(one.angle_rad)}
            for one in film.loads.firings
        ],
        "draws": film.draws,
        "seed": film.seed,
        "sentences": list(film.sentences),
        "assumptions": list(film.assumptions),
        "notes": list(film.notes),
    }


def _bearing(one: BearingFilm) -> Json:
    middle = one.at_mid_limit
    return {
        "bearing": one.load.key,
        "title": one.load.title,
        "fit": one.load.fit_key,
        "number": one.load.number,
        "state": one.state.name.lower(),
        "clearance_mm": one.cold_clearance_m * MM,
        "clearance_standard_uncertainty_mm": one.clearance_u_m * MM,
        "diameter_mm": one.load.diameter_m * MM,
        "width_mm": _times(one.load.data.width_m, MM),
        "groove": None if one.load.data.groove is None else one.load.data.groove.value,
        "film": _film(one.film),
        "mid_limit_mm": _times(one.mid_limit_m, MM),
        "at_mid_limit": None if middle is None else _film(middle),
        "change_from_mid_limit": one.change_from_mid_limit,
        "band": None if one.band is None else _band(one.band),
        "thinnest_share": one.thinnest_share,
        "shape": _shape(one.shape),
        "shape_gap_um": one.shape_gap_m * UM,
        "reference": None if one.reference is None else _reference(one.reference),
        "load": _load(one),
        "path": _path(one.film),
        "sentence": one.sentence,
    }


def _film(film: CycleFilm) -> Json:
    orbit = film.orbit
    return {
        "minimum_film_um": orbit.minimum_film_m * UM,
        "minimum_film_angle_deg": math.degrees(orbit.minimum_film_angle_rad),
        "largest_eccentricity_ratio": 1.0 - orbit.minimum_film_m / orbit.radial_clearance_m,
        "peak_pressure_mpa": orbit.peak_pressure_pa * MPA,
        "peak_pressure_angle_deg": math.degrees(orbit.peak_pressure_angle_rad),
        "cold_clearance_mm": film.cold_clearance_m * MM,
        "hot_clearance_mm": film.hot_clearance_m * MM,
        "film_temperature_c": film.film_temperature_c,
        "outlet_temperature_c": film.outlet_temperature_c,
        "viscosity_mpa_s": film.viscosity_pa_s * 1e3,
        "shear_rate_per_s": film.shear_rate_per_s,
        "mean_friction_power_w": film.mean_friction_power_w,
        "side_flow_l_min": film.side_flow_m3_s * L_MIN_PER_M3_S,
        "feed_flow_l_min": film.feed_flow_m3_s * L_MIN_PER_M3_S,
        "oil_flow_l_min": film.oil_flow_m3_s * L_MIN_PER_M3_S,
        "share_below_chosen": film.share_below_chosen,
        "film_ratio": film.film_ratio,
        "regime": None if film.regime is None else film.regime.value,
        "convergence": {
            "converged": film.converged,
            "residual": orbit.residual,
            "cycles": orbit.cycles,
            "heat_residual_k": film.heat.residual_k,
            "heat_steps": film.heat.steps,
        },
    }


def _band(band: BuildBand) -> Json:
    return {
        "minimum_film_um": _interval(band.minimum_film_m, UM),
        "film_temperature_c": _interval(band.film_temperature_c, 1.0),
        "friction_power_w": _interval(band.friction_power_w, 1.0),
        "oil_flow_l_min": _interval(band.oil_flow_m3_s, L_MIN_PER_M3_S),
        "peak_pressure_mpa": _interval(band.peak_pressure_pa, MPA),
        "builds_outside": band.outside,
        "share_under_chosen": band.share_under_chosen,
        "matters_most": band.matters_most.value,
        "sensitivities": [
            {"factor": one.factor.value, "first": one.first, "total": one.total}
            for one in band.sensitivities
        ],
        "interpolation_error": {
            "minimum_film": band.interpolation.minimum_film,
            "friction_power": band.interpolation.friction_power,
            "side_flow": band.interpolation.side_flow,
            "peak_pressure": band.interpolation.peak_pressure,
            "orbits": band.interpolation.orbits,
        },
        "orbits": band.orbits,
    }


def _interval(band: Band, factor: float) -> Json:
    return {
        "low": _finite(band.low * factor),
        "median": _finite(band.median * factor),
        "high": _finite(band.high * factor),
        "low_is_bound": band.low_is_bound,
        "median_is_bound": band.median_is_bound,
        "high_is_bound": band.high_is_bound,
    }


def _shape(shape: FilmShape) -> Json:
    return {
        "journal_taper_um": shape.journal_taper_m * UM,
        "journal_barrel_um": shape.journal_barrel_m * UM,
        "journal_out_of_round_um": shape.journal_out_of_round_m * UM,
        "journal_high_angle_deg": math.degrees(shape.journal_high_angle_rad),
        "bore_relief_um": shape.bore_relief_m * UM,
        "split_angle_deg": math.degrees(shape.split_angle_rad),
    }


def _reference(reference: ReferenceFilm) -> Json:
    return {
        "film": _transient(reference.film),
        "mass_conserving": _transient(reference.mass_conserving),
        "shaped": _transient(reference.shaped),
        "notes": list(reference.notes),
    }


def _transient(orbit: TransientOrbit | None) -> Json | None:
    if orbit is None:
        return None
    return {
        "minimum_film_um": orbit.minimum_film_m * UM,
        "minimum_film_angle_deg": math.degrees(orbit.minimum_film_angle_rad),
        "peak_pressure_mpa": orbit.peak_pressure_pa * MPA,
        "mean_friction_power_w": orbit.mean_friction_power_w,
        "rupture": orbit.rupture.value,
        "ends": orbit.ends.value,
        "converged": orbit.converged,
        "residual": orbit.residual,
        "cycles": orbit.cycles,
        "mass_error": orbit.mass_error,
        "cells_around": orbit.grid.around,
        "cells_across": orbit.grid.across,
    }


def _load(one: BearingFilm) -> Json:
    history = one.load.history
    return {
        "largest_kn": one.load.largest_n * 1e-3,
        "specific_mpa": _finite(one.load.specific_load_pa * MPA),
        "angle_deg": _list(np.degrees(history.angle_rad)),
        "fx_n": _list(history.force_x_n),
        "fy_n": _list(history.force_y_n),
        "journal_speed_rpm": _list(history.journal_speed_rad_s * 30.0 / math.pi),
    }


def _path(film: CycleFilm) -> Json:
    orbit = film.orbit
    return {
        "angle_deg": _list(np.degrees(orbit.angle_rad)),
        "eccentricity_x": _list(orbit.eccentricity_x),
        "eccentricity_y": _list(orbit.eccentricity_y),
        "film_um": _list(orbit.films_m * UM),
        "peak_pressure_mpa": _list(orbit.peak_pressures_pa * MPA),
        "friction_power_w": _list(orbit.friction_powers_w),
    }


def _list(values: NDArray[np.float64]) -> list[float]:
    """Six digits: more would say nothing and fill pages."""
    return [float(f"{value:.6g}") for value in values]


def _times(value: float | None, factor: float) -> float | None:
    return None if value is None else value * factor


def _finite(value: float) -> float | None:
    """JSON knows no infinity and no nan; None stands for it."""
    return value if math.isfinite(value) else None
