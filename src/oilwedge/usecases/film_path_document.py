"""The journal's path in one bearing for a person to read, without the path itself."""

from __future__ import annotations

import math

from oilwedge.report.document import Document, KeyValues, Paragraph
from oilwedge.units import format_number
from oilwedge.usecases.film_path import PathAnswer
from oilwedge.usecases.film_path_words import GRID_WORDS, conditions, route_words

_L_MIN_PER_M3_S = 60_000.0


def path_document(answer: PathAnswer) -> Document:
    """Film, pressure, friction and oil, and how the answer was come by."""
    orbit = answer.orbit
    thin = 2.0 * orbit.minimum_film_m
    ratio = 1.0 - orbit.minimum_film_m / orbit.radial_clearance_m
    share = orbit.share_below(film_m=thin) * 100.0
    pairs = [
        ("Minimum film", _number(orbit.minimum_film_m * 1e6, 2, "µm")),
        ("At", _degrees(orbit.minimum_film_angle_rad)),
        ("Largest eccentricity ratio", _number(ratio, 4, "")),
        ("Below twice that film", _number(share, 0, "% of cycle")),
    ]
    if answer.chosen_film_m is not None:
        below = orbit.share_below(film_m=answer.chosen_film_m) * 100.0
        chosen = _number(answer.chosen_film_m * 1e6, 2, "µm")
        pairs.append((f"Below {chosen}", _number(below, 0, "% of cycle")))
    pairs += [
        ("Peak pressure", _number(orbit.peak_pressure_pa / 1e6, 1, "MPa")),
        ("At", _degrees(orbit.peak_pressure_angle_rad)),
        ("Friction, mean", _number(orbit.mean_friction_power_w, 1, "W")),
        ("Side flow, mean", _number(orbit.mean_side_flow_m3_s * _L_MIN_PER_M3_S, 3, "l/min")),
        *_whole_film(answer),
        ("Route", route_words(answer)),
        ("Film", conditions(answer)),
        (
            "Convergence",
            f"path closed in {orbit.cycles} cycles, to {orbit.residual:.0e} of the film",
        ),
    ]
    return Document(
        title="Path of one journal under a load that repeats",
        blocks=(
            KeyValues(pairs=tuple(pairs)),
            Paragraph(
                text="Rigid, round and parallel parts. It compares clearances, oils and loads; it"
                " does not overrule the maker's limits."
            ),
        ),
    )


def _whole_film(answer: PathAnswer) -> list[tuple[str, str]]:
    """Oil and its balance, and the quick route beside."""
    orbit = answer.transient
    if orbit is None:
        return []
    pairs = [
        ("Oil taken in, mean", _number(orbit.mean_oil_flow_m3_s * _L_MIN_PER_M3_S, 3, "l/min"))
    ]
    if orbit.mass_error is not None:
        pairs.append(("Oil not accounted for", f"{abs(orbit.mass_error):.0e} of what passes"))
        pairs.append(("Grid", GRID_WORDS))
    if answer.beside is not None and answer.difference is not None:
        quick = _number(answer.beside.minimum_film_m * 1e6, 2, "µm")
        percent = format_number(value=answer.difference * 100.0, decimals=1)
        pairs.append(("By the mobility route", f"{quick} ({percent} % from here)"))
    elif answer.beside_fault is not None:
        pairs.append(("By the mobility route", answer.beside_fault.sentence()))
    return pairs


def _number(value: float, decimals: int, unit: str) -> str:
    return f"{format_number(value=value, decimals=decimals)} {unit}".rstrip()


def _degrees(angle_rad: float) -> str:
    return f"{format_number(value=math.degrees(angle_rad), decimals=0)}°"
