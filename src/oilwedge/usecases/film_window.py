"""Film against clearance for both kinds of bearings of an engine, at each condition and oil."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from oilwedge.engine.model import Engine, Fit
from oilwedge.errors import Fault, InputError, OutOfRangeError, Where
from oilwedge.units import Dimension, parse_quantity
from oilwedge.usecases.clearance_range import range_above
from oilwedge.usecases.film_case import bearing_case
from oilwedge.usecases.film_solver import ready_for_paths
from oilwedge.usecases.film_window_curves import (
    ConditionWindow,
    FilmWindow,
    KindWindow,
    MeasuredClearance,
    WindowCurve,
)
from oilwedge.usecases.judgement import Judgement

if TYPE_CHECKING:
    from oilwedge.film.bearing_case import BearingCase
    from oilwedge.film.clearance_sweep import ClearanceSweep
    from oilwedge.film.oil import Oil
    from oilwedge.usecases.crank_loads import BearingLoad, EngineLoads
    from oilwedge.usecases.film_oil import ChosenOil

__all__ = ["film_window", "read_film_m"]

Array = NDArray[np.float64]

USUAL_FILM_M = 1e-6
USUAL_FILM_FROM = "rule of thumb, no source; the roughness of the parts says more"
WORST_OF_ITS_KIND = (
    "Each chart stands for the bearing of its kind whose load leaves the thinnest film; the others"
    " run on more."
)
POINTS = 61
LEAST_OF_LOW, MOST_OF_HIGH = 0.4, 1.4  # of the limits: how far beyond them is looked
OF_DIAMETER = (0.0004, 0.002)  # where the file has no limits
KINDS = (("rod_bearing", "Big ends"), ("main_bearing", "Main bearings"))


@dataclass(frozen=True, kw_only=True, slots=True)
class _Question:
    """What all kinds and conditions of one call share."""

    engine: Engine
    oils: tuple[ChosenOil, ...]
    film_m: float


def film_window(
    *,
    engine: Engine,
    judgement: Judgement | None = None,
    oils: Sequence[str] = (),
    film_m: float | None = None,
    conditions: Sequence[str] = (),
    folder: Path | None = None,
    when_compiling: Callable[[], None] = lambda: None,
) -> FilmWindow:
    """Sweep the clearance of each kind of bearing, at every condition of the engine file.

    ``oils``: grades to compare; none takes the engine file's oil. ``film_m``: the film to be kept.
    ``conditions``: their names; none takes all. Of each kind the bearing is taken whose load leaves
    the thinnest film in the middle of the limits. ``folder``: where pressure traces lie;
    ``when_compiling`` is called if kernels have to be compiled first. InputError for what is
    missing or does not fit, each with the way to get it; MissingExtraError without numba.
    """
    from oilwedge.usecases.crank_loads import engine_loads
    from oilwedge.usecases.film_data import OIL_PLACE, missing_for_film, refuse_missing
    from oilwedge.usecases.film_oil import chosen_oil

    names = tuple(conditions) or tuple(one.name for one in engine.running.conditions)
    if not names:  # no condition at all: tell everything that a film needs
        refuse_missing(
            one
            for one in missing_for_film(engine=engine)
            if not (oils and one.where_in_file == OIL_PLACE)
        )
    loads = [engine_loads(engine=engine, condition=name, folder=folder) for name in names]
    ready_for_paths(when_compiling)
    question = _Question(
        engine=engine,
        oils=tuple(chosen_oil(engine=engine, grade=name) for name in oils or ("",)),
        film_m=USUAL_FILM_M if film_m is None else film_m,
    )
    assumed = [text for one in loads for text in one.assumptions]
    kinds = tuple(
        _kind(question, judgement, loads, assumed, fit_key=key, title=title)
        for key, title in KINDS
        if any(one.fit_key == key for one in loads[0].bearings)
    )
    return FilmWindow(
        engine_name=engine.name,
        film_m=question.film_m,
        film_from=USUAL_FILM_FROM if film_m is None else "as asked for",
        kinds=kinds,
        assumptions=tuple(
            dict.fromkeys((*assumed, *(f"Oil: {one.words}." for one in question.oils)))
        ),
        notes=(WORST_OF_ITS_KIND,),
    )


def read_film_m(text: str, *, where: Where) -> float | None:
    """The film to be kept, from what was typed; None where nothing was."""
    if not text.strip():
        return None
    try:
        film_m = parse_quantity(text, dimension=Dimension.LENGTH).value_si
    except InputError as error:
        raise error.at(where) from error
    if not film_m > 0.0:
        raise OutOfRangeError(
            Fault(where=where, given=text.strip(), allowed="the film to be kept is above 0")
        )
    return film_m


def _kind(
    question: _Question,
    judgement: Judgement | None,
    loads: Sequence[EngineLoads],
    assumed: list[str],
    *,
    fit_key: str,
    title: str,
) -> KindWindow:
    fit = question.engine.fits.get(fit_key)
    measured = tuple(_measured(judgement, loads[0], fit_key))
    diameter_m = next(one.diameter_m for one in loads[0].bearings if one.fit_key == fit_key)
    clearances = _clearances(fit, measured, diameter_m=diameter_m)
    conditions = []
    for one in loads:
        cases = [
            (
                bearing,
                bearing_case(
                    engine=question.engine, loads=one, load=bearing, chosen_film_m=question.film_m
                ),
            )
            for bearing in one.bearings
            if bearing.fit_key == fit_key
        ]
        assumed += [text for _, cased in cases for text in cased.assumptions]
        conditions.append(
            _condition(
                question,
                one,
                [(load, cased.case) for load, cased in cases],
                clearances,
                _middle_m(fit, clearances),
            )
        )
    return KindWindow(
        fit_key=fit_key,
        title=title,
        low_m=None if fit is None else fit.low_m,
        high_m=None if fit is None else fit.high_m,
        service_m=None if fit is None else fit.service_high_m,
        measured=measured,
        conditions=tuple(conditions),
    )


def _measured(
    judgement: Judgement | None, loads: EngineLoads, fit_key: str
) -> Iterator[MeasuredClearance]:
    """The bearings whose mean clearance is known."""
    if judgement is None:
        return
    titles = {one.number: one.title for one in loads.bearings if one.fit_key == fit_key}
    for fit in judgement.fits:
        mean = fit.measurement.evidence.mean
        wanted = fit.key == fit_key and fit.number in titles
        if wanted and mean is not None and not fit.measurement.disagree:
            yield MeasuredClearance(
                title=titles[fit.number],
                clearance_m=mean.value,
                half_width_m=mean.expanded().half_width,
            )


def _clearances(
    fit: Fit | None, measured: Sequence[MeasuredClearance], *, diameter_m: float
) -> Array:
    """From well under the low limit to well over the highest, and past all that was measured."""
    low, high = (share * diameter_m for share in OF_DIAMETER)
    if fit is not None and fit.low_m is not None and fit.low_m > 0.0:
        low = LEAST_OF_LOW * fit.low_m
    limits = [] if fit is None else [one for one in (fit.high_m, fit.service_high_m) if one]
    if limits:
        high = MOST_OF_HIGH * max(limits)
    for one in measured:
        low = min(low, max(one.clearance_m - 2.0 * one.half_width_m, 0.2 * low))
        high = max(high, one.clearance_m + 2.0 * one.half_width_m)
    return np.linspace(low, high, POINTS)


def _middle_m(fit: Fit | None, clearances: Array) -> float:
    """The middle of the build limits; without them that of what is looked at."""
    if fit is None or fit.low_m is None or fit.high_m is None:
        return float(clearances[POINTS // 2])
    return 0.5 * (fit.low_m + fit.high_m)


def _condition(
    question: _Question,
    loads: EngineLoads,
    cases: Sequence[tuple[BearingLoad, BearingCase]],
    clearances: Array,
    middle_m: float,
) -> ConditionWindow:
    from oilwedge.film.clearance_sweep import family_over, sweep_clearances

    oils = [one.oil for one in question.oils]
    worst, case = _worst(cases, oils[0], middle_m)
    try:
        family = family_over(case=case, oils=oils, cold_clearance_m=clearances)
    except OutOfRangeError as error:
        curves = tuple(_no_curve(clearances, one.name, str(error)) for one in question.oils)
    else:
        curves = tuple(
            _curve(
                sweep_clearances(family=family, oil=one.oil, cold_clearance_m=clearances),
                oil_name=one.name,
                film_m=question.film_m,
            )
            for one in question.oils
        )
    return ConditionWindow(
        name=loads.condition.name,
        speed_rpm=loads.condition.speed_rpm or 0.0,
        bearing_title=worst.title,
        curves=curves,
    )


def _worst(
    cases: Sequence[tuple[BearingLoad, BearingCase]], oil: Oil, clearance_m: float
) -> tuple[BearingLoad, BearingCase]:
    """The bearing whose load leaves the thinnest film with the same clearance and oil."""
    from oilwedge.film.cycle_film import solve_cycle

    films: dict[int, float] = {}  # big ends of one engine share a load

    def film_m(case: BearingCase) -> float:
        load = id(case.history)
        if load not in films:
            try:
                found = solve_cycle(case=case, oil=oil, cold_clearance_m=clearance_m)
                films[load] = found.minimum_film_m
            except InputError:  # no clearance left, or no film that carries it
                films[load] = 0.0
        return films[load]

    return min(cases, key=lambda one: (film_m(one[1]), one[0].number))


def _no_curve(clearances: Array, oil_name: str, why: str) -> WindowCurve:
    nothing = (None,) * clearances.size
    return WindowCurve(
        oil_name=oil_name,
        clearances_m=tuple(float(value) for value in clearances),
        minimum_films_m=nothing,
        temperatures_c=nothing,
        friction_powers_w=nothing,
        flows_m3_s=nothing,
        kept=None,
        no_answer=why,
    )


def _curve(swept: ClearanceSweep, *, oil_name: str, film_m: float) -> WindowCurve:
    clearances = tuple(float(value) for value in swept.cold_clearance_m)
    films = _column(swept.minimum_film_m)
    reasons = dict.fromkeys(one.value for one in swept.why if one is not None)
    return WindowCurve(
        oil_name=oil_name,
        clearances_m=clearances,
        minimum_films_m=films,
        temperatures_c=_column(swept.film_temperature_c),
        friction_powers_w=_column(swept.friction_power_w),
        flows_m3_s=_column(swept.oil_flow_m3_s),
        kept=range_above(clearances_m=clearances, films_m=films, film_m=film_m),
        no_answer="; ".join(reasons),
    )


def _column(values: Array) -> tuple[float | None, ...]:
    return tuple(None if np.isnan(value) else float(value) for value in values)
