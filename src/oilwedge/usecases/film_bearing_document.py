"""The film of one bearing under a steady load, in words and as JSON."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, cast

from oilwedge.film.bearing import Rupture
from oilwedge.report.document import Document, KeyValues, Paragraph
from oilwedge.units import format_number
from oilwedge.usecases.film_bearing import BearingAnswer, Warm
from oilwedge.usecases.film_measured import feed_words, measured_json, shape_words

if TYPE_CHECKING:
    from oilwedge.film.shaped_film import ShapedFilm
    from oilwedge.film.steady import SteadyFilm

L_MIN_PER_M3_S = 60_000.0


def film_json(answer: BearingAnswer) -> dict[str, object]:
    """Everything as a JSON object; the units are in the names, the definitions in docs/theory."""
    film, warm = answer.film, answer.thinnest
    record = film.convergence
    shaped = shaped_film(answer)
    supply_pa = answer.measured.feed.supply_pressure_pa
    return {
        "eccentricity_ratio": film.eccentricity_ratio,
        "sommerfeld_number": film.sommerfeld_number,
        "attitude_angle_deg": math.degrees(film.attitude_angle_rad),
        "minimum_film_um": film.minimum_film_m * 1e6,
        "peak_pressure_mpa": film.peak_pressure_pa / 1e6,
        "peak_pressure_angle_deg": math.degrees(_peak_past_load(answer)),
        "minimum_film_angle_deg": math.degrees(_thin_angle(answer)) % 360.0,
        "friction_moment_n_m": film.friction_moment_n_m,
        "friction_power_w": film.friction_power_w,
        "film_fraction_friction_power_w": film.film_fraction_friction_power_w,
        "friction_coefficient": film.friction_coefficient,
        "side_flow_l_min": film.side_flow_m3_s * L_MIN_PER_M3_S,
        "groove_flow_l_min": film.groove_flow_m3_s * L_MIN_PER_M3_S,
        "fresh_flow_l_min": _fresh_flow_l_min(answer),
        "film_temperature_c": None if warm is None else warm.film_temperature_c,
        "heat_balance": None if warm is None else _balance_json(warm),
        "thickest_oil": None if answer.thickest is None else _thickest_json(answer.thickest),
        "rupture": film.rupture.value,
        "groove": answer.measured.feed.kind.value,
        "supply_pressure_bar": supply_pa / 1e5,
        **measured_json(
            answer.measured,
            width_m=film.bearing.width_m,
            film=shaped,
            turns=len(answer.turns) if answer.measured.shape.journal_out_of_round_m else 0,
        ),
        "convergence": {
            "converged": True,
            "cells_around": record.grid.around,
            "cells_across": record.grid.across,
            "eccentricity_steps": _films(answer),
            "load_error": record.load_error,
            "rupture_solves": record.rupture_solves,
            "estimated_grid_error_of_load": record.grid_error,
            "mass_error": record.mass_error,
        },
    }


def _fresh_flow_l_min(answer: BearingAnswer) -> float | None:
    """What the supply gives; None where the Reynolds condition makes oil before the feed."""
    if shaped_film(answer) is not None and answer.film.rupture is Rupture.REYNOLDS:
        return None
    return answer.film.fresh_flow_m3_s * L_MIN_PER_M3_S


def shaped_film(answer: BearingAnswer) -> ShapedFilm | None:
    """The film as one of a gap as measured; None for the round bearing."""
    return None if answer.measured.is_plain else cast("ShapedFilm", answer.film)


def _thin_angle(answer: BearingAnswer) -> float:
    """From the x axis to the thinnest place."""
    shaped = shaped_film(answer)
    if shaped is None:
        return answer.measured.load_angle_rad + answer.film.attitude_angle_rad
    return shaped.minimum_film_angle_rad


def _peak_past_load(answer: BearingAnswer) -> float:
    angle = answer.film.peak_pressure_angle_rad
    if shaped_film(answer) is None:
        return angle
    return math.remainder(angle - answer.measured.load_angle_rad, 2.0 * math.pi)


def _films(answer: BearingAnswer) -> int:
    """Films solved on the way to the answer."""
    shaped = shaped_film(answer)
    if shaped is not None:
        return shaped.convergence.films
    return cast("SteadyFilm", answer.film).convergence.eccentricity_steps


def _balance_json(warm: Warm) -> dict[str, object]:
    return {
        "oil": warm.oil.name,
        "supply_temperature_c": warm.supply_temperature_c,
        "outlet_temperature_c": warm.outlet_temperature_c,
        "viscosity_mpa_s": warm.viscosity_pa_s * 1e3,
        "residual_k": warm.residual_k,
        "steps": warm.steps,
    }


def _thickest_json(warm: Warm) -> dict[str, object]:
    return {
        "minimum_film_um": warm.film.minimum_film_m * 1e6,
        "film_temperature_c": warm.film_temperature_c,
        "friction_power_w": warm.film.friction_power_w,
        "viscosity_mpa_s": warm.viscosity_pa_s * 1e3,
    }


_RUPTURE_WORDS = {
    Rupture.REYNOLDS: "Reynolds condition, as the classical tables",
    Rupture.MASS_CONSERVING: "mass-conserving (Jakobsson, Floberg, Olsson)",
}


def film_document(answer: BearingAnswer) -> Document:
    """The same for a person to read."""
    film = answer.film

    def number(value: float, decimals: int, unit: str) -> str:
        return f"{format_number(value=value, decimals=decimals)} {unit}".rstrip()

    record, bearing = film.convergence, film.bearing
    grid_error = "not known"
    if record.grid_error is not None:
        grid_error = f"about {abs(record.grid_error) * 100:.1g} %"
    pairs = (
        ("Minimum film", number(film.minimum_film_m * 1e6, 2, "µm")),
        ("Its place", _past_load(_thin_past_load(answer)) + _along(answer)),
        ("Eccentricity ratio", number(film.eccentricity_ratio, 4, "")),
        ("Sommerfeld number S", f"{film.sommerfeld_number:.4g}"),
        ("Peak pressure", number(film.peak_pressure_pa / 1e6, 2, "MPa")),
        ("Its place", _past_load(_peak_past_load(answer))),
        ("Friction, gap full", number(film.friction_power_w, 1, "W")),
        ("Friction, by film fraction", number(film.film_fraction_friction_power_w, 1, "W")),
        ("Side flow", number(film.side_flow_m3_s * L_MIN_PER_M3_S, 4, "L/min")),
        ("Flow from the groove", number(film.groove_flow_m3_s * L_MIN_PER_M3_S, 4, "L/min")),
        *_oil_pairs(answer),
        ("Gap", shape_words(answer.measured.shape, width_m=bearing.width_m)),
        *_turn_pairs(answer),
        ("Feed", feed_words(answer.measured.feed)),
        ("Rupture", _RUPTURE_WORDS[film.rupture]),
        (
            "Convergence",
            f"load met to {abs(record.load_error):.0e} in {_films(answer)} films of"
            f" {record.grid.around} x {record.grid.across} cells; error of the load by the grid"
            f" {grid_error}; oil balance {abs(record.mass_error):.0e}",
        ),
    )
    return Document(
        title="Oil film of one bearing, steady load",
        blocks=(
            KeyValues(pairs=pairs),
            Paragraph(
                text="Rigid parts, a gap as given above. It compares clearances and oils; it does"
                " not overrule the maker's limits."
            ),
        ),
    )


def _thin_past_load(answer: BearingAnswer) -> float:
    return math.remainder(_thin_angle(answer) - answer.measured.load_angle_rad, 2.0 * math.pi)


def _along(answer: BearingAnswer) -> str:
    """Where along the width the film is thinnest."""
    shaped = shaped_film(answer)
    if shaped is None:
        return ""
    place = shaped.minimum_film_place_m
    shape = answer.measured.shape
    if not (shape.journal_taper_m or shape.tilt_x_rad or shape.tilt_y_rad):
        if not shape.journal_barrel_m:
            return ", all along the width"
        return "; both ends" if abs(place) > 0.25 * shaped.bearing.width_m else "; the middle"
    end = "front" if place > 0.0 else "rear"
    return f"; {abs(place) * 1e3:.1f} mm to the {end} of the middle"


def _turn_pairs(answer: BearingAnswer) -> tuple[tuple[str, str], ...]:
    if not answer.measured.shape.journal_out_of_round_m:
        return ()
    films = [film * 1e6 for _, film in answer.turns]
    turn = min(answer.turns, key=lambda one: one[1])[0]
    return (
        (
            "Turn of the journal",
            f"{math.degrees(turn):.0f}°, the worst of {len(films)}, between which the minimum goes"
            f" from {min(films):.2f} to {max(films):.2f} µm; the journal's middle follows",
        ),
    )


def _past_load(angle_rad: float) -> str:
    degrees = format_number(value=abs(math.degrees(angle_rad)), decimals=1)
    side = "past" if angle_rad >= 0.0 else "before"
    return f"{degrees}° {side} the line of the load, in the direction of rotation"


def _oil_pairs(answer: BearingAnswer) -> tuple[tuple[str, str], ...]:
    thin, thick = answer.thinnest, answer.thickest
    if thin is None or thick is None:
        return (("Oil", "viscosity as given, the same everywhere"),)

    def one(warm: Warm) -> str:
        return (
            f"{warm.film_temperature_c:.1f} °C, {warm.viscosity_pa_s * 1e3:.3g} mPa s; oil in at"
            f" {warm.supply_temperature_c:g}, out at {warm.outlet_temperature_c:.1f} °C"
        )

    if thin is thick:
        return (("Film temperature", one(thin)),)
    least = format_number(value=thick.film.minimum_film_m * 1e6, decimals=2)
    return (
        ("Film temperature", f"{one(thin)} (thinnest oil of the name, as all above)"),
        ("With the thickest", f"{least} µm minimum film; {one(thick)}"),
    )
