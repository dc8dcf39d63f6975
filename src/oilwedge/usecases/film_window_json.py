"""Film against clearance as one JSON object; the units are in the names."""

from __future__ import annotations

from oilwedge.usecases.clearance_range import ClearanceRange
from oilwedge.usecases.film_window_curves import ConditionWindow, FilmWindow, KindWindow
from oilwedge.usecases.film_window_document import NOT_OVERRULED, window_sentences
from oilwedge.usecases.length_face import LengthFace

__all__ = ["film_window_json"]

Json = dict[str, object]


def film_window_json(window: FilmWindow) -> Json:
    """Everything; null where there is no answer."""
    return {
        "engine": window.engine_name,
        "film_um": window.film_m * 1e6,
        "film_from": window.film_from,
        "kinds": [_kind(kind, film_m=window.film_m) for kind in window.kinds],
        "assumptions": list(window.assumptions),
        "notes": list(window.notes),
        "meaning": NOT_OVERRULED,
    }


def _kind(kind: KindWindow, *, film_m: float) -> Json:
    return {
        "fit": kind.fit_key,
        "title": kind.title,
        "low_limit_mm": _mm(kind.low_m),
        "high_limit_mm": _mm(kind.high_m),
        "service_limit_mm": _mm(kind.service_m),
        "measured": [
            {
                "bearing": one.title,
                "clearance_mm": one.clearance_m * 1e3,
                "expanded_uncertainty_mm": one.half_width_m * 1e3,
            }
            for one in kind.measured
        ],
        "kept_everywhere": {oil: _range(kind.kept_everywhere(oil)) for oil in kind.oil_names},
        "conditions": [_condition(one) for one in kind.conditions],
        "sentences": list(window_sentences(kind, film_m=film_m, face=LengthFace())),
    }


def _condition(condition: ConditionWindow) -> Json:
    return {
        "condition": condition.name,
        "speed_rpm": condition.speed_rpm,
        "bearing": condition.bearing_title,
        "oils": [
            {
                "oil": curve.oil_name,
                "kept": _range(curve.kept),
                "no_answer": curve.no_answer,
                "clearance_mm": [value * 1e3 for value in curve.clearances_m],
                "minimum_film_um": [_times(one, 1e6) for one in curve.minimum_films_m],
                "film_temperature_c": list(curve.temperatures_c),
                "mean_friction_power_w": list(curve.friction_powers_w),
                "oil_flow_l_min": [_times(one, 60_000.0) for one in curve.flows_m3_s],
            }
            for curve in condition.curves
        ],
    }


def _range(found: ClearanceRange | None) -> Json | None:
    if found is None:
        return None
    return {
        "low_mm": found.low_m * 1e3,
        "high_mm": found.high_m * 1e3,
        "open_low": found.open_low,
        "open_high": found.open_high,
    }


def _mm(value_m: float | None) -> float | None:
    return _times(value_m, 1e3)


def _times(value: float | None, factor: float) -> float | None:
    return None if value is None else value * factor
