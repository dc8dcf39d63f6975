"""Film against clearance for both kinds of bearings of an engine, at each condition and oil."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from oilwedge.engine.model import Engine, Fit
from oilwedge.errors import Fault, InputError, MissingExtraError, OutOfRangeError, Where
from oilwedge.units import Dimension, parse_quantity
from oilwedge.usecases.clearance_range import range_above
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

__all__ = ["film_window", "read_film_m"]

Array = NDArray[np.float64]

USUAL_FILM_M = 1e-6
USUAL_FILM_FROM = "rule of thumb, no source; the roughness of the parts says more"
POINTS = 61
LEAST_OF_LOW, MOST_OF_HIGH = 0.4, 1.4  # of the limits: how far beyond them is looked
OF_DIAMETER = (0.0004, 0.002)  # where the file has no limits
KINDS = (("rod_bearing", "Big ends"), ("main_bearing", "Main bearings"))


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

    names = tuple(conditions) or tuple(one.name for one in engine.running.conditions)
    if not names:
        raise _nothing_to_run(engine)
    loads = [engine_loads(engine=engine, condition=name, folder=folder) for name in names]
    _prepare(when_compiling)
    kept_m = USUAL_FILM_M if film_m is None else film_m
    kinds = tuple(
        _kind(engine, judgement, loads, fit_key=key, title=title, oils=oils, film_m=kept_m)
        for key, title in KINDS
        if any(one.fit_key == key for one in loads[0].bearings)
    )
    return FilmWindow(
        engine_name=engine.name,
        film_m=kept_m,
        film_from=USUAL_FILM_FROM if film_m is None else "as asked for",
        kinds=kinds,
        assumptions=tuple(dict.fromkeys(text for one in loads for text in one.assumptions)),
        notes=(),
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


def _nothing_to_run(engine: Engine) -> InputError:
    """All that is missing, where the file has no condition at all."""
    from oilwedge.usecases.crank_loads import missing_for_film

    return InputError(
        *(
            Fault(
                where=Where(file="engine file", column=one.where_in_file),
                given="",
                allowed=f"films need {one.what}, and the file does not say",
                action=one.how_to_get,
            )
            for one in missing_for_film(engine=engine)
        )
    )


def _prepare(when_compiling: Callable[[], None]) -> None:
    try:
        from oilwedge.film.orbit import is_compiled
    except ModuleNotFoundError as error:
        if error.name is None or not error.name.startswith(("numba", "llvmlite")):
            raise
        raise MissingExtraError(
            "Numba is needed to calculate the oil film; install it with:"
            " pip install 'oilwedge[film]'."
        ) from error
    if not is_compiled():
        when_compiling()


def _kind(
    engine: Engine,
    judgement: Judgement | None,
    loads: Sequence[EngineLoads],
    *,
    fit_key: str,
    title: str,
    oils: Sequence[str],
    film_m: float,
) -> KindWindow:
    fit = engine.fits.get(fit_key)
    measured = tuple(_measured(judgement, loads[0], fit_key))
    bearings = [one for one in loads[0].bearings if one.fit_key == fit_key]
    clearances = _clearances(fit, measured, diameter_m=bearings[0].diameter_m)
    return KindWindow(
        fit_key=fit_key,
        title=title,
        low_m=None if fit is None else fit.low_m,
        high_m=None if fit is None else fit.high_m,
        service_m=None if fit is None else fit.service_high_m,
        measured=measured,
        conditions=tuple(
            _condition(
                engine,
                one,
                [bearing for bearing in one.bearings if bearing.fit_key == fit_key],
                clearances,
                oils=oils,
                film_m=film_m,
            )
            for one in loads
        ),
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


def _condition(
    engine: Engine,
    loads: EngineLoads,
    bearings: Sequence[BearingLoad],
    clearances: Array,
    *,
    oils: Sequence[str],
    film_m: float,
) -> ConditionWindow:
    from oilwedge.film.clearance_sweep import family_over, sweep_clearances

    chosen = [_oil(engine, name) for name in oils or ("",)]
    worst, case = _worst(loads, bearings, chosen[0], float(clearances[POINTS // 2]))
    family = family_over(case=case, oils=chosen, cold_clearance_m=clearances)
    curves = tuple(
        _curve(sweep_clearances(family=family, oil=oil, cold_clearance_m=clearances), oil, film_m)
        for oil in chosen
    )
    return ConditionWindow(
        name=loads.condition.name,
        speed_rpm=loads.condition.speed_rpm or 0.0,
        bearing_title=worst.title,
        curves=curves,
    )


def _worst(
    loads: EngineLoads, bearings: Sequence[BearingLoad], oil: Oil, clearance_m: float
) -> tuple[BearingLoad, BearingCase]:
    """The bearing whose load leaves the thinnest film with the same clearance and oil."""
    from oilwedge.film.bearing_case import case_orbit

    found = []
    for bearing in bearings:
        case = _case(loads, bearing)
        viscosity = oil.dynamic_viscosity_pa_s(case.supply_temperature_c)
        try:
            film = case_orbit(
                case=case,
                history=case.history,
                hot_clearance_m=clearance_m,
                viscosity_pa_s=viscosity,
            ).minimum_film_m
        except OutOfRangeError:
            film = 0.0
        found.append((film, bearing.number, bearing, case))
    _, _, worst, case = min(found, key=lambda one: one[:2])
    return worst, case


def _case(loads: EngineLoads, bearing: BearingLoad) -> BearingCase:
    from oilwedge.film.bearing_case import BearingCase
    from oilwedge.film.path_groove import PathGroove

    data = bearing.data
    return BearingCase(
        history=bearing.history,
        without_gas=bearing.without_gas,
        diameter_m=bearing.diameter_m,
        width_m=data.width_m or 0.0,
        supply_temperature_c=loads.condition.oil_temperature_c or 0.0,
        supply_pressure_pa=loads.condition.oil_pressure_pa or 0.0,
        groove=PathGroove(data.groove.value) if data.groove else PathGroove.NONE,
        groove_width_m=data.groove_width_m or 0.0,
        hole_diameter_m=data.hole_diameter_m or 0.0,
    )


def _oil(engine: Engine, name: str) -> Oil:
    from oilwedge.usecases.oil_query import ask_oil

    answer = ask_oil(
        grade=name or engine.oil.grade, data_sheet=(), at=("100C",), shear_rate_per_s=1e6
    )
    return answer.band.thinnest(100.0, shear_rate_per_s=1e6)


def _curve(swept: ClearanceSweep, oil: Oil, film_m: float) -> WindowCurve:
    clearances = tuple(float(value) for value in swept.cold_clearance_m)
    films = _column(swept.minimum_film_m)
    reasons = dict.fromkeys(one.value for one in swept.why if one is not None)
    return WindowCurve(
        oil_name=oil.name,
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
