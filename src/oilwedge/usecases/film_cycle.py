"""What the oil films of an engine do over a cycle, with its bearings as they were measured."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from oilwedge.engine.model import Engine
from oilwedge.errors import Fault, InputError, Where, did_you_mean
from oilwedge.usecases.film_case import bearing_case
from oilwedge.usecases.film_cycle_answer import BearingFilm, EngineFilm, LeftOut, ReferenceFilm
from oilwedge.usecases.film_cycle_measured import (
    MeasuredBearing,
    Unmeasured,
    measured_bearing,
    shape_gap_m,
)
from oilwedge.usecases.film_cycle_words import bearing_sentence, engine_sentences
from oilwedge.usecases.film_oil import ChosenOil, chosen_oil
from oilwedge.usecases.film_solver import COMPILING, ready_for_paths
from oilwedge.usecases.judgement import Judgement

if TYPE_CHECKING:
    from oilwedge.engine.running import Condition
    from oilwedge.film.bearing_case import BearingCase
    from oilwedge.film.cycle_film import CycleFilm
    from oilwedge.usecases.crank_loads import BearingLoad, EngineLoads

__all__ = ["BearingFilm", "EngineFilm", "LeftOut", "ReferenceFilm", "film_cycle"]

USUAL_FILM_M = 1e-6
USUAL_FILM_FROM = "rule of thumb, no source"
USUAL_DRAWS, FEWEST_DRAWS, MOST_DRAWS = 2000, 100, 1_000_000
SENSITIVITY_BASE = 512
OIL_PLACE = "[oil] grade"


def _silent(text: str) -> None:
    del text


@dataclass(frozen=True, kw_only=True, slots=True)
class _Question:
    """What all conditions of one call share."""

    judgement: Judgement
    oil: ChosenOil
    film_m: float
    film_from: str
    draws: int
    seed: int
    reference: str
    folder: Path | None
    progress: Callable[[str], None]


@dataclass(frozen=True, kw_only=True, slots=True)
class _Solved:
    film: BearingFilm
    case: BearingCase


def film_cycle(
    *,
    judgement: Judgement,
    condition: str | None = None,
    oil: str = "",
    data_sheet: Sequence[str] = (),
    film_m: float | None = None,
    draws: int = USUAL_DRAWS,
    seed: int = 1,
    reference: str = "",
    folder: Path | None = None,
    progress: Callable[[str], None] = _silent,
) -> tuple[EngineFilm, ...]:
    """The films of all bearings as measured: one answer for each condition of the engine file.

    ``condition``: only this one. ``oil``, ``data_sheet``: instead of the engine file's oil.
    ``film_m``: the film below which the share of the cycle is counted; None: 1 µm. ``draws``:
    virtual builds for the bands, 0 for none, drawn from ``seed``. ``reference``: key of a bearing
    ("rod 2") that is solved by the reference route too. ``folder``: where pressure traces lie.
    ``progress`` hears what long work is about. Bearings without an answer are in ``left_out``.
    InputError lists all that the engine file does not say, each with the way to get it;
    MissingExtraError without numba.
    """
    _check_draws(draws)
    engine = judgement.engine
    named = bool(oil.strip() or data_sheet)
    names = _conditions(engine, condition, oil_named=named)
    question = _Question(
        judgement=judgement,
        oil=chosen_oil(engine=engine, grade=oil, data_sheet=data_sheet),
        film_m=USUAL_FILM_M if film_m is None else film_m,
        film_from=USUAL_FILM_FROM if film_m is None else "as asked for",
        draws=draws,
        seed=seed,
        reference=reference,
        folder=folder,
        progress=progress,
    )
    ready_for_paths(lambda: progress(COMPILING))
    return tuple(_at_condition(question, name) for name in names)


def _conditions(engine: Engine, condition: str | None, *, oil_named: bool) -> tuple[str, ...]:
    """The names of the conditions; InputError with all that is missing for them."""
    from oilwedge.usecases.film_data import missing_for_film, refuse_missing

    known = [one.name for one in engine.running.conditions]
    if condition is not None:
        condition = _as_written(condition, known)
    refuse_missing(
        one
        for one in missing_for_film(engine=engine, condition=condition)
        if not (oil_named and one.where_in_file == OIL_PLACE)
    )
    return (condition,) if condition is not None else tuple(known)


def _as_written(name: str, known: Sequence[str]) -> str:
    """The name as it is known, whatever its capitals and spaces; else as it came."""
    plain = " ".join(name.split()).casefold()
    return next((one for one in known if one.casefold() == plain), name)


def _check_draws(draws: int) -> None:
    if draws and not FEWEST_DRAWS <= draws <= MOST_DRAWS:
        raise InputError(
            Fault(
                where=Where(column="--draws"),
                given=f"{draws}",
                allowed=f"0 for no bands, or {FEWEST_DRAWS} to {MOST_DRAWS} virtual builds",
            )
        )


def _at_condition(question: _Question, name: str) -> EngineFilm:
    from oilwedge.usecases.crank_loads import engine_loads

    engine = question.judgement.engine
    loads = engine_loads(engine=engine, condition=name, folder=question.folder)
    reference = _reference_key(question.reference, loads)
    question.progress(f"{name}: journal paths of {len(loads.bearings)} bearings ...")
    solved: list[_Solved] = []
    left_out: list[LeftOut] = []
    assumed: list[str] = list(loads.assumptions)
    notes: list[str] = list(question.judgement.notes)
    for load in loads.bearings:
        found = _bearing(question, loads, load, assumed, notes)
        if isinstance(found, LeftOut):
            left_out.append(found)
        else:
            solved.append(found)
    if question.draws and solved:
        question.progress(f"{name}: {question.draws} virtual builds ...")
        solved = _with_bands(question, solved, notes)
    bearings = tuple(
        replace(one, sentence=bearing_sentence(one, condition=loads.condition))
        for one in (_referenced(question, each, key=reference) for each in solved)
    )
    film = EngineFilm(
        engine=engine,
        condition=loads.condition,
        loads=loads,
        oil=question.oil.oil,
        oil_name=question.oil.name,
        oil_words=question.oil.words,
        supply_temperature_c=_supply_c(loads.condition),
        chosen_film_m=question.film_m,
        chosen_from=question.film_from,
        bearings=bearings,
        left_out=tuple(left_out),
        sentences=(),
        assumptions=tuple(dict.fromkeys(assumed)),
        notes=tuple(dict.fromkeys(notes)),
        draws=question.draws if any(one.band for one in bearings) else 0,
        seed=question.seed,
    )
    return replace(film, sentences=engine_sentences(film))


def _supply_c(condition: Condition) -> float:
    assert condition.oil_temperature_c is not None  # missing_for_film has asked for it
    return condition.oil_temperature_c


def _reference_key(name: str, loads: EngineLoads) -> str:
    """The key of the bearing that is meant, by key or title; empty for none."""
    if not name.strip():
        return ""
    keys = [one.key for one in loads.bearings]
    titles = {one.title: one.key for one in loads.bearings}
    found = _as_written(name, [*keys, *titles])
    if found not in keys and found not in titles:
        raise InputError(
            Fault(
                where=Where(column="--bearing"),
                given=name,
                allowed=f"a bearing is one of {', '.join(keys)}",
                action=did_you_mean(given=name, allowed=keys),
            )
        )
    return titles.get(found, found)


def _bearing(
    question: _Question,
    loads: EngineLoads,
    load: BearingLoad,
    assumed: list[str],
    notes: list[str],
) -> _Solved | LeftOut:
    measured = measured_bearing(
        judgement=question.judgement,
        fit_key=load.fit_key,
        number=load.number,
        width_m=load.data.width_m or 0.0,
        bore_relief_m=load.data.bore_relief_m or 0.0,
    )
    if isinstance(measured, Unmeasured):
        return LeftOut(key=load.key, title=load.title, why=measured.why)
    cased = bearing_case(
        engine=question.judgement.engine, loads=loads, load=load, chosen_film_m=question.film_m
    )
    film = _cycle(question, cased.case, measured.clearance_m)
    if isinstance(film, str):
        return LeftOut(key=load.key, title=load.title, why=film)
    assumed += cased.assumptions
    middle: CycleFilm | str | None = None
    if measured.mid_limit_m is not None:
        middle = _cycle(question, cased.case, measured.mid_limit_m)
    if isinstance(middle, str):
        notes.append(f"No answer for {load.title} at the middle of its limits: {middle}.")
        middle = None
    return _Solved(film=_film(load, measured, film, middle), case=cased.case)


def _film(
    load: BearingLoad, measured: MeasuredBearing, film: CycleFilm, middle: CycleFilm | None
) -> BearingFilm:
    return BearingFilm(
        load=load,
        cold_clearance_m=measured.clearance_m,
        clearance_u_m=measured.clearance_u_m,
        state=measured.state,
        film=film,
        shape=measured.shape,
        shape_gap_m=shape_gap_m(measured.shape),
        mid_limit_m=measured.mid_limit_m,
        at_mid_limit=middle,
    )


def _cycle(question: _Question, case: BearingCase, clearance_m: float) -> CycleFilm | str:
    """The film, or why there is none."""
    from oilwedge.film.cycle_film import solve_cycle

    try:
        film = solve_cycle(case=case, oil=question.oil.oil, cold_clearance_m=clearance_m)
    except InputError as error:
        return _phrase(error)
    if not film.orbit.converged:
        return (
            f"the path does not close within {film.orbit.cycles} cycles (residual"
            f" {film.orbit.residual:.1e} of the film, 1e-4 allowed)"
        )
    if not film.heat.converged:
        return (
            f"the heat balance does not settle in {film.heat.steps} steps"
            f" ({film.heat.residual_k:.2g} K are left)"
        )
    return film


def _phrase(error: InputError) -> str:
    """What is wrong, as a phrase that goes on a sentence."""
    return error.faults[0].allowed.rstrip(".")


def _with_bands(question: _Question, solved: list[_Solved], notes: list[str]) -> list[_Solved]:
    """The same bearings with their bands; all at once, for they share oil, gas and masses."""
    from oilwedge.film.virtual_builds import BuildBands, BuildBearing, Spread, draw_builds

    def drawn(some: Sequence[_Solved]) -> BuildBands:
        return draw_builds(
            bearings=[
                BuildBearing(
                    case=one.case,
                    cold_clearance_m=one.film.cold_clearance_m,
                    clearance_u_m=one.film.clearance_u_m,
                )
                for one in some
            ],
            oil=question.oil.band,
            spread=Spread(),
            count=question.draws,
            seed=question.seed,
            sensitivity_base=SENSITIVITY_BASE,
        )

    try:
        bands = drawn(solved)
    except InputError:
        return [_banded_alone(one, drawn, notes) for one in solved]
    return [
        replace(one, film=replace(one.film, band=band, thinnest_share=share))
        for one, band, share in zip(solved, bands.bearings, bands.thinnest_shares, strict=True)
    ]


def _banded_alone(
    one: _Solved, drawn: Callable[[Sequence[_Solved]], object], notes: list[str]
) -> _Solved:
    from oilwedge.film.virtual_builds import BuildBands

    try:
        bands = drawn([one])
    except InputError as error:
        notes.append(f"{one.film.load.title} has no band: {_phrase(error)}.")
        return one
    assert isinstance(bands, BuildBands)
    return replace(one, film=replace(one.film, band=bands.bearings[0]))


def _referenced(question: _Question, one: _Solved, *, key: str) -> BearingFilm:
    from oilwedge.usecases.film_cycle_reference import with_reference

    if one.film.load.key != key:
        return one.film
    return with_reference(one.film, case=one.case, progress=question.progress)
