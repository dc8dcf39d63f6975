"""The journal's path in one bearing under a load history from elsewhere."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum
from pathlib import Path
from typing import TYPE_CHECKING

from oilwedge.errors import Fault, InputError, MissingExtraError, OutOfRangeError, Where
from oilwedge.film.path_groove import NO_GROOVE, GroovePlace, PathGroove
from oilwedge.report.document import Document, KeyValues, Paragraph
from oilwedge.unit_table import Dimension
from oilwedge.units import format_number, parse_quantity
from oilwedge.usecases.film_groove import groove_words
from oilwedge.usecases.load_table import read_load_table

if TYPE_CHECKING:
    from oilwedge.film.orbit import Orbit


class Route(Enum):
    """How the path is found."""

    MOBILITY = "mobility"


CONDITIONS = (
    "ends open to the surroundings; rigid, round and parallel parts; one viscosity;"
    " rupture by the Reynolds condition"
)
_ROUTES = {
    PathGroove.NONE: "mobility on a map of finite width",
    PathGroove.FULL: "mobility on a map of finite width, for each land",
    PathGroove.HALF: "mobility on a map fixed to the bearing",
    PathGroove.HOLE: "mobility on a map fixed to the bearing",
}


@dataclass(frozen=True, kw_only=True, slots=True)
class FilmPathQuestion:
    """What a person typed: quantities with their units, and the table of loads."""

    loads: Path
    diameter: str
    width: str
    clearance: str
    viscosity: str
    speed: str
    groove: GroovePlace = NO_GROOVE


def solve_path(question: FilmPathQuestion, *, when_compiling: Callable[[], None]) -> Orbit:
    """The path that closes; ``when_compiling`` is called if the kernels have to be compiled first.

    The clearance is the diametral one. Errors: an :class:`InputError` for what cannot be used, an
    :class:`OutOfRangeError` where no film carries the load or the path does not close, a
    :class:`MissingExtraError` without numba.
    """
    speed = _positive(question.speed, "speed", Dimension.SPEED)
    diameter = _positive(question.diameter, "diameter", Dimension.LENGTH)
    width = _positive(question.width, "width", Dimension.LENGTH)
    clearance = _positive(question.clearance, "clearance", Dimension.LENGTH)
    viscosity = _positive(question.viscosity, "viscosity", Dimension.DYNAMIC_VISCOSITY)
    history = read_load_table(path=question.loads, speed_rad_s=speed)
    try:
        from oilwedge.film.orbit import is_compiled, solve_orbit
    except ModuleNotFoundError as error:
        if error.name is None or not error.name.startswith(("numba", "llvmlite")):
            raise
        raise MissingExtraError(
            "Numba is needed to calculate the oil film; install it with:"
            " pip install 'oilwedge[film]'."
        ) from error
    if not is_compiled(kind=question.groove.kind):
        when_compiling()
    orbit = solve_orbit(
        history=history,
        diameter_m=diameter,
        width_m=width,
        diametral_clearance_m=clearance,
        viscosity_pa_s=viscosity,
        groove=question.groove,
    )
    if not orbit.converged:
        raise OutOfRangeError(
            _not_closed(orbit.cycles, orbit.residual, orbit.film_change, orbit.minimum_film_m)
        )
    return orbit


def _positive(text: str, name: str, dimension: Dimension) -> float:
    where = Where(column=f"--{name}")
    try:
        value = parse_quantity(text, dimension=dimension).value_si
    except InputError as error:
        raise error.at(where) from error
    if not value > 0.0:
        why = ": a shaft that stands builds no film" if name == "speed" else ""
        raise OutOfRangeError(
            Fault(
                where=where,
                given=text.strip(),
                allowed=f"a {dimension.value} of more than 0 is needed here{why}",
            )
        )
    return value


def path_json(orbit: Orbit, *, groove: GroovePlace = NO_GROOVE) -> dict[str, object]:
    """Everything as a JSON object; the units are in the names."""
    films = orbit.films_m * 1e6
    path = [
        {
            "angle_deg": math.degrees(orbit.angle_rad[k]),
            "eccentricity_x": float(orbit.eccentricity_x[k]),
            "eccentricity_y": float(orbit.eccentricity_y[k]),
            "film_um": float(films[k]),
            "peak_pressure_mpa": float(orbit.peak_pressures_pa[k]) / 1e6,
            "friction_power_w": float(orbit.friction_powers_w[k]),
        }
        for k in range(orbit.angle_rad.size)
    ]
    return {
        "minimum_film_um": orbit.minimum_film_m * 1e6,
        "minimum_film_angle_deg": math.degrees(orbit.minimum_film_angle_rad),
        "largest_eccentricity_ratio": 1.0 - orbit.minimum_film_m / orbit.radial_clearance_m,
        "peak_pressure_mpa": orbit.peak_pressure_pa / 1e6,
        "peak_pressure_angle_deg": math.degrees(orbit.peak_pressure_angle_rad),
        "mean_friction_power_w": orbit.mean_friction_power_w,
        "converged": orbit.converged,
        "residual": orbit.residual,
        "cycles": orbit.cycles,
        "route": Route.MOBILITY.value,
        "groove": groove.kind.value,
        "conditions": f"{groove_words(groove)}, {CONDITIONS}",
        "path": path,
    }


def path_document(orbit: Orbit, *, groove: GroovePlace = NO_GROOVE) -> Document:
    """The same for a person to read, without the path itself."""
    thin = 2.0 * orbit.minimum_film_m
    ratio = 1.0 - orbit.minimum_film_m / orbit.radial_clearance_m
    pairs = (
        ("Minimum film", _number(orbit.minimum_film_m * 1e6, 2, "µm")),
        ("At", _degrees(orbit.minimum_film_angle_rad)),
        ("Largest eccentricity ratio", _number(ratio, 4, "")),
        ("Below twice that film", _number(orbit.share_below(film_m=thin) * 100.0, 0, "% of cycle")),
        ("Peak pressure", _number(orbit.peak_pressure_pa / 1e6, 1, "MPa")),
        ("At", _degrees(orbit.peak_pressure_angle_rad)),
        ("Friction, mean", _number(orbit.mean_friction_power_w, 1, "W")),
        ("Route", _ROUTES[groove.kind]),
        ("Film", f"{groove_words(groove)}, {CONDITIONS}"),
        (
            "Convergence",
            f"path closed in {orbit.cycles} cycles, to {orbit.residual:.0e} of the film",
        ),
    )
    return Document(
        title="Path of one journal under a load that repeats",
        blocks=(
            KeyValues(pairs=pairs),
            Paragraph(
                text="Rigid, round and parallel parts. It compares clearances, oils and loads; it"
                " does not overrule the maker's limits."
            ),
        ),
    )


def _number(value: float, decimals: int, unit: str) -> str:
    return f"{format_number(value=value, decimals=decimals)} {unit}".rstrip()


def _degrees(angle_rad: float) -> str:
    return f"{format_number(value=math.degrees(angle_rad), decimals=0)}°"


def _not_closed(cycles: int, residual: float, change: float, film_m: float) -> Fault:
    if change < 0.0:
        body = (
            f"the film does not settle: after {cycles} cycles it is down to {film_m * 1e6:.2g} µm"
            f" and still thins by {-change * 100:.2g} % a cycle (residual {residual:.1e})"
        )
        advice = (
            "a load that turns at half the journal's speed is carried by no film; check the"
            " journal's speed relative to the load's axes, and their sense"
        )
    else:
        body = (
            f"the path does not close within {cycles} cycles (residual {residual:.1e} of the film,"
            " 1e-4 allowed)"
        )
        advice = "check that the load is that of one settled cycle, and the speed and its unit"
    return Fault(given="", allowed=body, action=advice)
