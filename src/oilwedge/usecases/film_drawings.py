"""What is drawn of an engine's films: from the answer in SI units to what a drawing takes."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from oilwedge.engine.running import BearingData, Groove
from oilwedge.report.film_angle import AngleChart, FilmLine
from oilwedge.report.film_comparison import ComparedBearing, FilmComparison
from oilwedge.report.film_ink import BearingWords, Firing, Series
from oilwedge.report.film_orbit import JournalPath, OrbitDrawing
from oilwedge.report.film_polar import PolarLoad
from oilwedge.report.film_pressure import PressureMap, cut_opposite

if TYPE_CHECKING:
    from oilwedge.film.orbit import Orbit
    from oilwedge.film.path_groove import GroovePlace
    from oilwedge.usecases.crank_loads import BearingLoad
    from oilwedge.usecases.film_cycle_answer import BearingFilm, EngineFilm

__all__ = [
    "bearing_words",
    "comparison_of",
    "film_over_angle",
    "journal_path",
    "load_diagram",
    "worst_pressure",
]

Array = NDArray[np.float64]

UM = 1e6
KN = 1e-3
MPA = 1e-6
MM = 1e3


def bearing_words(load: BearingLoad) -> BearingWords:
    """What stands at the top and the bottom of a bearing, where its x axis points up."""
    return BearingWords(top="rod" if load.fit_key == "rod_bearing" else "block", bottom="cap")


def journal_path(one: BearingFilm, *, condition: str, chosen_film_m: float) -> OrbitDrawing:
    """The path as measured and at mid-limit, in µm."""
    data = one.load.data
    middle = data.groove_angle_deg
    grooves = {Groove.FULL: (0.0, 360.0), Groove.HALF: (middle - 90.0, middle + 90.0)}
    return OrbitDrawing(
        title=f"{_named(one)}, {condition}: journal path",
        path=_path(one.film.orbit),
        compared=None if one.at_mid_limit is None else _path(one.at_mid_limit.orbit),
        chosen_film_um=chosen_film_m * UM,
        firings=_firings(one.load),
        words=bearing_words(one.load),
        split_deg=math.degrees(one.shape.split_angle_rad),
        groove_deg=grooves.get(data.groove) if data.groove is not None else None,
    )


def film_over_angle(one: BearingFilm, *, condition: str, chosen_film_m: float) -> AngleChart:
    """Smallest film in µm as measured and at mid-limit, and the size of the load in kN."""
    angles, _, _ = _with_least(one.film.orbit)
    history = one.load.history
    sizes = np.hypot(history.force_x_n, history.force_y_n)
    return AngleChart(
        title=f"{_named(one)}, {condition}: film and load",
        film=_film_line(one.film.orbit),
        loads_kn=_series(np.interp(angles, history.angle_rad, sizes) * KN),
        compared=None if one.at_mid_limit is None else _film_line(one.at_mid_limit.orbit),
        chosen_film_um=chosen_film_m * UM,
        firings=_firings(one.load),
    )


def load_diagram(load: BearingLoad, *, condition: str) -> PolarLoad:
    """The load of a bearing as a polar diagram, in kN."""
    return PolarLoad(
        title=f"{_capital(load.title)}, {condition}: load",
        angles_deg=_series(np.degrees(load.history.angle_rad)),
        force_x_kn=_series(load.history.force_x_n * KN),
        force_y_kn=_series(load.history.force_y_n * KN),
        firings=_firings(load),
        words=bearing_words(load),
    )


def worst_pressure(one: BearingFilm, *, condition: str) -> PressureMap:
    """The pressure at the moment of the cycle when it is highest, in MPa.

    An oil hole is taken as closed, as in the path. Errors: those of
    :func:`~oilwedge.film.moment_pressure.moment_pressure`.
    """
    from oilwedge.film.moment_pressure import moment_pressure

    orbit, history, data = one.film.orbit, one.load.history, one.load.data
    moment = orbit.peak_pressure_angle_rad
    x, y = (
        float(np.interp(moment, orbit.angle_rad, values))
        for values in (orbit.eccentricity_x, orbit.eccentricity_y)
    )
    force_x, force_y = (
        float(np.interp(moment, history.angle_rad, values))
        for values in (history.force_x_n, history.force_y_n)
    )
    found = moment_pressure(
        eccentricity_x=x,
        eccentricity_y=y,
        force_x_n=force_x,
        force_y_n=force_y,
        diameter_m=one.load.diameter_m,
        width_m=data.width_m or 0.0,
        groove=_groove(data),
    )
    thinnest = math.degrees(math.atan2(y, x))
    cut = cut_opposite(thinnest)
    turned = np.mod(np.degrees(found.angles_rad) - cut, 360.0)
    order = np.argsort(turned)
    return PressureMap(
        title=f"{_named(one)}, {condition}: pressure at {math.degrees(moment):.0f}°",
        crank_angle_deg=math.degrees(moment),
        angles_deg=_series(turned[order] + cut),
        places_mm=_series(found.places_m * MM),
        pressures_mpa=tuple(_series(row) for row in found.pressures_pa[order] * MPA),
        load_deg=math.degrees(math.atan2(force_y, force_x)),
        thinnest_deg=thinnest,
        words=bearing_words(one.load),
    )


def _groove(data: BearingData) -> GroovePlace:
    """The groove as the journal's path has it: a hole as if closed."""
    from oilwedge.film.path_groove import NO_GROOVE, GroovePlace, PathGroove

    kinds = {Groove.HALF: PathGroove.HALF, Groove.FULL: PathGroove.FULL}
    if data.groove not in kinds:
        return NO_GROOVE
    return GroovePlace(
        kind=kinds[data.groove],
        width_m=data.groove_width_m or 0.0,
        angle_rad=math.radians(data.groove_angle_deg),
    )


def comparison_of(film: EngineFilm) -> FilmComparison | None:
    """All bearings of the engine at one condition; None where none has an answer."""
    if not film.bearings:
        return None
    known = {one.load.key: _compared(one) for one in film.bearings}
    left_out = {
        one.key: ComparedBearing(name=one.title, film_um=None, note="no answer")
        for one in film.left_out
    }
    order = [load.key for load in film.loads.bearings]
    rows = [known.get(key) or left_out.get(key) for key in order]
    return FilmComparison(
        title=f"All bearings, {film.condition.name}, {film.oil_name}",
        bearings=tuple(row for row in rows if row is not None),
        chosen_film_um=film.chosen_film_m * UM,
    )


def _compared(one: BearingFilm) -> ComparedBearing:
    band = None if one.band is None else one.band.minimum_film_m
    middle = one.at_mid_limit
    return ComparedBearing(
        name=one.load.title,
        film_um=one.minimum_film_m * UM,
        low_um=None if band is None else band.low * UM,
        high_um=None if band is None else band.high * UM,
        mid_limit_um=None if middle is None else middle.orbit.minimum_film_m * UM,
        low_open=band is not None and band.low_is_bound,
        stands=one.stands,
    )


def _with_least(orbit: Orbit) -> tuple[Array, Array, Array]:
    """Angles (rad) and eccentricity ratios with the smallest film of every step among them."""
    angles = orbit.angle_rad
    moment = orbit.minimum_film_angle_rad
    x = float(np.interp(moment, angles, orbit.eccentricity_x))
    y = float(np.interp(moment, angles, orbit.eccentricity_y))
    size = math.hypot(x, y)
    ratio = 1.0 - orbit.minimum_film_m / orbit.radial_clearance_m
    if size <= 0.0 or not angles[0] < moment < angles[-1]:
        return angles, orbit.eccentricity_x, orbit.eccentricity_y
    place = int(np.searchsorted(angles, moment))
    same = abs(angles[place] - moment) < 1e-9
    columns = []
    for values, value in (
        (angles, moment),
        (orbit.eccentricity_x, x * ratio / size),
        (orbit.eccentricity_y, y * ratio / size),
    ):
        kept = np.delete(values, place) if same else values
        columns.append(np.insert(kept, place, value))
    return columns[0], columns[1], columns[2]


def _path(orbit: Orbit) -> JournalPath:
    angles, x, y = _with_least(orbit)
    return JournalPath(
        angles_deg=_series(np.degrees(angles)),
        x=_series(x),
        y=_series(y),
        radial_clearance_um=orbit.radial_clearance_m * UM,
    )


def _film_line(orbit: Orbit) -> FilmLine:
    angles, x, y = _with_least(orbit)
    films = orbit.radial_clearance_m * (1.0 - np.hypot(x, y))
    return FilmLine(angles_deg=_series(np.degrees(angles)), films_um=_series(films * UM))


def _firings(load: BearingLoad) -> tuple[Firing, ...]:
    return tuple(
        Firing(angle_deg=math.degrees(one.angle_rad), cylinder=str(one.cylinder))
        for one in load.firings
    )


def _named(one: BearingFilm) -> str:
    return _capital(one.load.title)


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _series(values: Array) -> Series:
    return tuple(float(value) for value in values)
