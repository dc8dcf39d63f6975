"""The journal's path in one bearing as a JSON object; the units are in the names."""

from __future__ import annotations

import math

from oilwedge.film.bearing import Rupture
from oilwedge.usecases.film_path import PathAnswer, Route
from oilwedge.usecases.film_path_words import GRID_WORDS, conditions

L_MIN_PER_M3_S = 60_000.0


def path_json(answer: PathAnswer) -> dict[str, object]:
    """Everything; ``converged`` is false, and ``fault`` says why, where nothing is an answer."""
    orbit = answer.orbit
    largest = float(abs(1.0 - orbit.films_m / orbit.radial_clearance_m).max())
    return {
        "minimum_film_um": orbit.minimum_film_m * 1e6,
        "minimum_film_angle_deg": math.degrees(orbit.minimum_film_angle_rad),
        "largest_eccentricity_ratio": max(
            largest, 1.0 - orbit.minimum_film_m / orbit.radial_clearance_m
        ),
        "peak_pressure_mpa": orbit.peak_pressure_pa / 1e6,
        "peak_pressure_angle_deg": math.degrees(orbit.peak_pressure_angle_rad),
        "mean_friction_power_w": orbit.mean_friction_power_w,
        "side_flow_l_min": orbit.mean_side_flow_m3_s * L_MIN_PER_M3_S,
        "chosen_film_um": None if answer.chosen_film_m is None else answer.chosen_film_m * 1e6,
        "share_below_chosen": None
        if answer.chosen_film_m is None
        else orbit.share_below(film_m=answer.chosen_film_m),
        "converged": orbit.converged,
        "residual": orbit.residual,
        "cycles": orbit.cycles,
        "fault": None if answer.fault is None else answer.fault.sentence(),
        "route": (Route.MOBILITY if answer.transient is None else Route.TRANSIENT).value,
        "groove": answer.groove.kind.value,
        "conditions": conditions(answer),
        **_transient(answer),
        "path": _path(answer),
    }


def _transient(answer: PathAnswer) -> dict[str, object]:
    """What the whole film tells beyond, and the quick route beside it."""
    orbit = answer.transient
    if orbit is None:
        return {"rupture": Rupture.REYNOLDS.value}
    beside, difference = answer.beside, answer.difference
    thin = orbit.film_fraction_mean_friction_power_w
    return {
        "rupture": orbit.rupture.value,
        "ends": orbit.ends.value,
        "supply_pressure_bar": answer.supply_pressure_pa / 1e5,
        "grid": {"around": orbit.grid.around, "across": orbit.grid.across},
        "grid_note": None if orbit.mass_error is None else GRID_WORDS,
        "film_fraction_friction_power_w": thin,
        "oil_flow_l_min": orbit.mean_oil_flow_m3_s * L_MIN_PER_M3_S,
        "mass_error": orbit.mass_error,
        "oil_change": orbit.oil_change,
        "steps": orbit.steps,
        "rounds": orbit.rounds,
        "mobility_minimum_film_um": None if beside is None else beside.minimum_film_m * 1e6,
        "mobility_difference_percent": None if difference is None else difference * 100.0,
        "mobility_fault": None if answer.beside_fault is None else answer.beside_fault.sentence(),
    }


def _path(answer: PathAnswer) -> list[dict[str, float]]:
    orbit = answer.orbit
    films = orbit.films_m * 1e6
    return [
        {
            "angle_deg": math.degrees(orbit.angle_rad[k]),
            "eccentricity_x": float(orbit.eccentricity_x[k]),
            "eccentricity_y": float(orbit.eccentricity_y[k]),
            "film_um": float(films[k]),
            "peak_pressure_mpa": float(orbit.peak_pressures_pa[k]) / 1e6,
            "friction_power_w": float(orbit.friction_powers_w[k]),
            "side_flow_l_min": float(orbit.side_flows_m3_s[k]) * L_MIN_PER_M3_S,
        }
        for k in range(orbit.angle_rad.size)
    ]
