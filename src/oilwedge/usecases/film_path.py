"""The journal's path in one bearing under a load history from elsewhere, by either route."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum
from pathlib import Path
from typing import TYPE_CHECKING

from oilwedge.errors import Fault, InputError, OutOfRangeError, Where
from oilwedge.film.bearing import Bearing, Groove, Rupture
from oilwedge.film.path_groove import NO_GROOVE, GroovePlace, PathGroove
from oilwedge.unit_table import Dimension
from oilwedge.units import parse_quantity
from oilwedge.usecases.film_solver import numba_needed
from oilwedge.usecases.load_table import read_load_table

if TYPE_CHECKING:
    from oilwedge.film.load_history import LoadHistory
    from oilwedge.film.orbit import Orbit
    from oilwedge.film.transient import TransientOrbit


__all__ = [
    "USUAL_LINES",
    "EndsChoice",
    "FilmPathQuestion",
    "PathAnswer",
    "Route",
    "Rupture",
    "solve_path",
]

USUAL_LINES = 180
"""Round the bearing, in the transient route."""


class Route(Enum):
    """How the path is found."""

    MOBILITY = "mobility"
    """Fast, from a map of the squeezed film; it knows no oil history."""

    TRANSIENT = "transient"
    """The whole film at every step; with rupture mass-conserving it keeps its oil."""


class EndsChoice(Enum):
    """What stands at the ends of the bearing."""

    AUTO = "auto"
    """Open, unless the film has to keep its oil and no groove under pressure feeds it."""

    OPEN = "open"
    FLOODED = "flooded"


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
    route: Route = Route.MOBILITY
    rupture: Rupture = Rupture.REYNOLDS
    ends: EndsChoice = EndsChoice.AUTO
    supply_pressure: str = ""
    film: str = ""
    lines: int = USUAL_LINES


@dataclass(frozen=True, kw_only=True, slots=True)
class PathAnswer:
    """The path, and what belongs beside it.

    ``transient``: the same orbit where the route was the whole film, with its oil; ``beside``: the
    quick route's then, None where its map does not hold, as ``beside_fault`` says.
    ``chosen_film_m`` is the film under which the cycle's share is asked for. ``fault`` says what is
    wrong with a path that does not close: then nothing else is an answer.
    """

    orbit: Orbit
    groove: GroovePlace
    supply_pressure_pa: float = 0.0
    chosen_film_m: float | None = None
    transient: TransientOrbit | None = None
    beside: Orbit | None = None
    beside_fault: Fault | None = None
    fault: Fault | None = None

    @property
    def difference(self) -> float | None:
        """Minimum film of the quick route over that of the whole film, less 1: a ratio."""
        if self.beside is None:
            return None
        return self.beside.minimum_film_m / self.orbit.minimum_film_m - 1.0


@dataclass(frozen=True, kw_only=True, slots=True)
class _Case:
    history: LoadHistory
    diameter_m: float
    width_m: float
    clearance_m: float
    viscosity_pa_s: float
    supply_pa: float
    film_m: float | None


def solve_path(
    question: FilmPathQuestion,
    *,
    when_compiling: Callable[[], None],
    when_cycle: Callable[[int, float], None] = lambda cycle, residual: None,
) -> PathAnswer:
    """The path that closes; ``when_compiling`` is called if the kernels have to be compiled first.

    The clearance is the diametral one. ``when_cycle`` is told each cycle of the transient route and
    what it misses in repeating. A path that does not close comes back with its ``fault``. Errors:
    an :class:`InputError` for what cannot be used, an :class:`OutOfRangeError` where no film
    carries the load, a :class:`MissingExtraError` without numba.
    """
    _check_route(question)
    case = _read(question)
    with numba_needed():
        if question.route is Route.TRANSIENT:
            return _transient(question, case, when_compiling, when_cycle)
        orbit = _mobility(question, case, when_compiling)
    return PathAnswer(
        orbit=orbit, groove=question.groove, chosen_film_m=case.film_m, fault=_fault(orbit)
    )


def _mobility(question: FilmPathQuestion, case: _Case, when_compiling: Callable[[], None]) -> Orbit:
    from oilwedge.film.orbit import is_compiled, solve_orbit

    if not is_compiled(kind=question.groove.kind):
        when_compiling()
    return solve_orbit(
        history=case.history,
        diameter_m=case.diameter_m,
        width_m=case.width_m,
        diametral_clearance_m=case.clearance_m,
        viscosity_pa_s=case.viscosity_pa_s,
        groove=question.groove,
    )


def _transient(
    question: FilmPathQuestion,
    case: _Case,
    when_compiling: Callable[[], None],
    when_cycle: Callable[[int, float], None],
) -> PathAnswer:
    from oilwedge.film.transient import Ends, RingGrid, is_compiled, solve_transient

    fed = case.supply_pa > 0.0
    keeps = question.rupture is Rupture.MASS_CONSERVING
    ends = {
        EndsChoice.AUTO: Ends.FLOODED if keeps and not fed else Ends.OPEN,
        EndsChoice.OPEN: Ends.OPEN,
        EndsChoice.FLOODED: Ends.FLOODED,
    }[question.ends]
    full = question.groove.kind is PathGroove.FULL
    bearing = Bearing(
        diameter_m=case.diameter_m,
        width_m=case.width_m,
        diametral_clearance_m=case.clearance_m,
        groove=Groove.CIRCUMFERENTIAL if full else Groove.NONE,
        groove_width_m=question.groove.width_m if full else 0.0,
        supply_pressure_pa=case.supply_pa,
    )
    grid = RingGrid(around=question.lines)
    beside, beside_fault, thins = _beside(question, case, when_compiling)
    same_film = not keeps and ends is Ends.OPEN and not fed
    if beside_fault is not None and thins and same_film:
        raise OutOfRangeError(beside_fault)  # it would thin by the whole film too, for minutes
    if not is_compiled():
        when_compiling()
    orbit = solve_transient(
        history=case.history,
        bearing=bearing,
        viscosity_pa_s=case.viscosity_pa_s,
        rupture=question.rupture,
        ends=ends,
        grid=grid,
        when_cycle=when_cycle,
    )
    return PathAnswer(
        orbit=orbit,
        groove=question.groove,
        supply_pressure_pa=case.supply_pa,
        chosen_film_m=case.film_m,
        transient=orbit,
        beside=beside,
        beside_fault=beside_fault,
        fault=_fault(orbit),
    )


def _beside(
    question: FilmPathQuestion, case: _Case, when_compiling: Callable[[], None]
) -> tuple[Orbit | None, Fault | None, bool]:
    """The quick route's path, or why it has none; and whether its film thins for ever."""
    try:
        quick = _mobility(question, case, when_compiling)
    except InputError as error:
        return None, error.faults[0], False
    if quick.converged:
        return quick, None, False
    return None, _fault(quick), quick.film_change < 0.0


def _check_route(question: FilmPathQuestion) -> None:
    """Refuse what a route does not solve."""
    kind = question.groove.kind
    if question.route is Route.TRANSIENT:
        if kind in (PathGroove.HALF, PathGroove.HOLE):
            raise _only(
                "--groove", kind.value, "the transient route solves no groove or a full one"
            )
        if question.supply_pressure and kind is PathGroove.NONE:
            allowed = "a supply pressure needs a groove to act in"
            raise _only("--supply-pressure", question.supply_pressure, allowed, "--groove full")
        return
    for option, given, usual in (
        ("--rupture", question.rupture.value, Rupture.REYNOLDS.value),
        ("--ends", question.ends.value, None),
        ("--supply-pressure", question.supply_pressure, ""),
    ):
        fine = (EndsChoice.AUTO.value, EndsChoice.OPEN.value) if usual is None else (usual,)
        if given not in fine:
            allowed = "the map of the mobility route has open ends, ambient pressure and no history"
            raise _only(option, given, allowed, "--route transient")


def _only(option: str, given: str, allowed: str, choose: str = "") -> InputError:
    action = f"choose {choose}" if choose else ""
    return InputError(
        Fault(where=Where(column=option), given=given, allowed=allowed, action=action)
    )


def _read(question: FilmPathQuestion) -> _Case:
    speed = _positive(question.speed, "speed", Dimension.SPEED)
    supply = question.supply_pressure.strip()
    film = question.film.strip()
    return _Case(
        diameter_m=_positive(question.diameter, "diameter", Dimension.LENGTH),
        width_m=_positive(question.width, "width", Dimension.LENGTH),
        clearance_m=_positive(question.clearance, "clearance", Dimension.LENGTH),
        viscosity_pa_s=_positive(question.viscosity, "viscosity", Dimension.DYNAMIC_VISCOSITY),
        supply_pa=_positive(supply, "supply-pressure", Dimension.PRESSURE) if supply else 0.0,
        film_m=_positive(film, "film", Dimension.LENGTH) if film else None,
        history=read_load_table(path=question.loads, speed_rad_s=speed),
    )


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


def _fault(orbit: Orbit) -> Fault | None:
    """What is wrong with a path that does not close; None for one that does."""
    if orbit.converged:
        return None
    return _not_closed(orbit.cycles, orbit.residual, orbit.film_change, orbit.minimum_film_m)


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
