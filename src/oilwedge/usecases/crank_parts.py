"""An engine file's words turned into what the loads are computed from: trace, cylinder, crank.

Each function gives what it made and, in words, the rules of thumb and defaults that it took.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path as FilePath
from typing import TypeVar

import numpy as np

from oilwedge.engine.model import Engine
from oilwedge.engine.running import Condition, CrankTrainData
from oilwedge.errors import Fault, InputError
from oilwedge.film.crank_train import (
    CrankTrain,
    Layout,
    even_places,
    firing_angles_by_intervals,
    firing_angles_rad,
)
from oilwedge.film.gas_cycle import (
    GasCycle,
    cycle_for_mean_pressure,
    cycle_for_peak_pressure,
    four_stroke_cycle,
    two_stroke_cycle,
)
from oilwedge.film.gas_pressure import PressureTrace, Strokes
from oilwedge.film.kinematics import SliderCrank
from oilwedge.film.rod_load import Cylinder, RodMasses
from oilwedge.toml_text import Path
from oilwedge.usecases.duty_trace import read_pressure_trace
from oilwedge.usecases.film_data import place_in_file
from oilwedge.usecases.opening import file_bytes

__all__ = ["CASE_PRESSURE_PA", "cylinder_of", "no_gas", "pressure_of", "slider_crank", "train_of"]

CASE_PRESSURE_PA = 100_000.0
"""What the crankcase is taken at, absolute."""

Made = TypeVar("Made")


def _at(engine: Engine, path: Path, make: Callable[[], Made]) -> Made:
    """What ``make`` makes, with the place in the engine file given to its faults."""
    try:
        return make()
    except InputError as error:
        where = place_in_file(engine=engine, path=path)
        raise InputError(*(fault.at(where) for fault in error.faults)) from None


def slider_crank(*, engine: Engine) -> SliderCrank:
    """The slider-crank of every cylinder; the throw is half the stroke."""
    train = engine.running.crank_train
    return _at(
        engine,
        ("crank_train", "rod_length"),
        lambda: SliderCrank(
            throw_m=_known(train.stroke_m) / 2.0,
            rod_length_m=_known(train.rod_length_m),
            offset_m=train.pin_offset_m,
        ),
    )


def _known(value: float | None) -> float:
    assert value is not None  # missing_for_film has asked for it
    return value


def pressure_of(
    *, engine: Engine, condition: Condition, folder: FilePath | None
) -> tuple[PressureTrace, list[str]]:
    """The pressure in a cylinder: measured where the file names a trace, else the built-in cycle.

    InputError, with its place, for a trace that is not there or no whole cycle, and for a pressure
    that the built-in cycle cannot have.
    """
    strokes = Strokes(engine.layout.strokes)
    path: Path = ("duty", "conditions", condition.name)
    if condition.pressure_trace:
        return _measured(engine, condition, folder=folder, strokes=strokes), []
    cycle, said = _cycle(engine, condition, strokes=strokes)
    crank = slider_crank(engine=engine)
    peak, mean = condition.peak_pressure_pa, condition.mean_pressure_pa
    if peak is not None:
        trace = _at(
            engine,
            (*path, "peak_pressure"),
            lambda: cycle_for_peak_pressure(cycle=cycle, crank=crank, peak_pressure_pa=peak),
        )
        what = f"peak pressure {peak * 1e-5:.4g} bar"
    else:
        trace = _at(
            engine,
            (*path, "mean_pressure"),
            lambda: cycle_for_mean_pressure(
                cycle=cycle, crank=crank, mean_pressure_pa=_known(mean)
            ),
        )
        what = f"mean effective pressure {_known(mean) * 1e-5:.4g} bar"
    said.append(
        f"Nobody measured the pressure in the cylinder at {condition.name}: a built-in cycle with"
        f" {what} stands in"
        f" (exponents {cycle.compression_exponent:g} and {cycle.expansion_exponent:g}, burning from"
        f" {math.degrees(cycle.burn_start_rad):.0f}° for"
        f" {math.degrees(cycle.burn_duration_rad):.0f}°: common practice, no source)."
    )
    return trace, said


def _measured(
    engine: Engine, condition: Condition, *, folder: FilePath | None, strokes: Strokes
) -> PressureTrace:
    path: Path = ("duty", "conditions", condition.name, "pressure_trace")
    name = condition.pressure_trace
    if folder is None or not (folder / name).is_file():
        raise InputError(
            Fault(
                where=place_in_file(engine=engine, path=path),
                given=name,
                allowed="this pressure trace is not beside the engine file",
                action="put it there, or give peak_pressure or mean_pressure instead",
            )
        )
    data = file_bytes(folder / name, what="a pressure trace")
    return read_pressure_trace(data, file=name, strokes=strokes)


def _cycle(engine: Engine, condition: Condition, *, strokes: Strokes) -> tuple[GasCycle, list[str]]:
    ratio = _known(engine.running.crank_train.compression_ratio)
    make = four_stroke_cycle if strokes is Strokes.FOUR else two_stroke_cycle
    cycle = _at(engine, ("crank_train", "compression_ratio"), lambda: make(compression_ratio=ratio))
    inlet = condition.inlet_pressure_pa
    if inlet is not None:
        return replace(cycle, inlet_pressure_pa=inlet), []
    return cycle, [
        f"At {condition.name} the cylinder fills at {cycle.inlet_pressure_pa * 1e-5:g} bar"
        " absolute: no inlet_pressure is given (a throttle lowers it, a blower raises it)."
    ]


def no_gas(*, strokes: Strokes) -> PressureTrace:
    """A trace that stays at the pressure of the crankcase: the load of the masses alone is left."""
    return PressureTrace(
        strokes=strokes,
        angle_rad=np.array([0.0, math.pi]),
        pressure_pa=np.full(2, CASE_PRESSURE_PA),
    )


def cylinder_of(*, engine: Engine, trace: PressureTrace) -> tuple[Cylinder, list[str]]:
    """One cylinder for all; an end of the rod that was not weighed is the rest of the rod."""
    train = engine.running.crank_train
    masses, said = _masses(engine, train)
    return (
        Cylinder(
            crank=slider_crank(engine=engine),
            bore_m=_known(train.bore_m),
            masses=masses,
            trace=trace,
            crankcase_pressure_pa=CASE_PRESSURE_PA,
        ),
        said,
    )


def _masses(engine: Engine, train: CrankTrainData) -> tuple[RodMasses, list[str]]:
    rod, big, small = train.rod_kg, train.rod_big_end_kg, train.rod_small_end_kg
    said = []
    if small is None:
        small = _known(rod) - _known(big)
        said.append("The small end's mass is that of the rod less its big end: only one was given.")
    elif big is None:
        big = _known(rod) - small
        said.append("The big end's mass is that of the rod less its small end: only one was given.")
    elif rod is None:
        rod = big + small
        said.append("The rod's mass is that of its two ends together.")
    masses = _at(
        engine,
        ("crank_train", "rod"),
        lambda: RodMasses(
            piston_set_kg=_known(train.piston_set_kg),
            pin_kg=_known(train.pin_kg),
            rod_kg=_known(rod),
            rod_big_end_kg=_known(big),
            rod_small_end_kg=_known(small),
        ),
    )
    return masses, said


def train_of(*, engine: Engine, cylinder: Cylinder) -> tuple[CrankTrain, list[str]]:
    """The crank: firing angles, places and what turns unbalanced, with the rules taken.

    A firing order that only a crank turning anticlockwise can meet makes the mirror image of the
    engine, in which the crank turns clockwise: all angles change their sign, and it is said.
    """
    data, throws = engine.running.crank_train, engine.layout.throws
    layout, firing, sense, said = _fired(engine, top_angle_rad=cylinder.crank.top_angle_rad)
    throw_places, main_places, words = _places(engine, layout)
    said += words
    rod_places = data.rod_places_m or tuple(
        throw_places[throw] for throw in layout.throw_of_cylinder
    )
    if not data.rod_places_m and len(throws) < engine.layout.cylinders:
        said.append("Rods that share a crank pin are taken at the pin's middle: no rod_places.")
    own, words = _throw_unbalance(engine, cylinder)
    said += words
    weights = data.counterweights
    angles_deg = [
        throws[one.throw - 1].angle_deg + 180.0 if one.angle_deg is None else one.angle_deg
        for one in weights
    ]
    train = CrankTrain(
        layout=layout,
        firing_angle_rad=firing,
        rod_place_m=rod_places,
        throw_place_m=throw_places,
        main_place_m=main_places,
        throw_unbalance_kg_m=own,
        counterweight_kg_m=tuple(one.unbalance_kg_m for one in weights),
        counterweight_angle_rad=tuple(math.radians(sense * angle) for angle in angles_deg),
        counterweight_place_m=tuple(
            throw_places[one.throw - 1] if one.place_m is None else one.place_m for one in weights
        ),
    )
    return train, said


def _fired(
    engine: Engine, *, top_angle_rad: float
) -> tuple[Layout, tuple[float, ...], float, list[str]]:
    """Layout and firing angles, of the mirror image where only that one can fire in this order."""
    layout = _layout(engine, sense=1.0, top_angle_rad=top_angle_rad)
    try:
        return layout, _firing(engine, layout), 1.0, []
    except InputError as error:
        mirrored = _layout(engine, sense=-1.0, top_angle_rad=top_angle_rad)
        try:
            firing = _firing(engine, mirrored)
        except InputError:
            raise error from None
    said = (
        "The crank can fire in this order only when it turns anticlockwise, seen from the front:"
        " the engine's mirror image is computed, and y of the main bearings counts to the left."
    )
    return mirrored, firing, -1.0, [said]


def _layout(engine: Engine, *, sense: float, top_angle_rad: float) -> Layout:
    given = engine.layout
    of_rod = {rod: at for at, throw in enumerate(given.throws) for rod in throw.rods}
    return Layout(
        strokes=Strokes(given.strokes),
        throw_angle_rad=tuple(math.radians(sense * throw.angle_deg) for throw in given.throws),
        bank_angle_rad=tuple(math.radians(sense * angle) for angle in given.bank_angle_deg),
        throw_of_cylinder=tuple(of_rod[rod] for rod in range(1, given.cylinders + 1)),
        top_angle_rad=(top_angle_rad,) * given.cylinders,
    )


def _firing(engine: Engine, layout: Layout) -> tuple[float, ...]:
    order = [number - 1 for number in engine.layout.firing_order]
    intervals = engine.running.crank_train.firing_intervals_deg
    if intervals:
        return _at(
            engine,
            ("crank_train", "firing_intervals"),
            lambda: firing_angles_by_intervals(
                layout=layout,
                firing_order=order,
                interval_rad=[math.radians(angle) for angle in intervals],
            ),
        )
    return _at(
        engine,
        ("layout", "firing_order"),
        lambda: firing_angles_rad(layout=layout, firing_order=order),
    )


def _places(
    engine: Engine, layout: Layout
) -> tuple[tuple[float, ...], tuple[float, ...], list[str]]:
    data = engine.running.crank_train
    if data.main_places_m:
        return data.throw_places_m, data.main_places_m, []
    throws, mains = even_places(layout=layout, main_bearings=engine.layout.main_bearings)
    said = "Main bearings are taken evenly apart, with the crank pins even between them."
    return tuple(map(float, throws)), tuple(map(float, mains)), [said]


def _throw_unbalance(engine: Engine, cylinder: Cylinder) -> tuple[tuple[float, ...], list[str]]:
    """What turns unbalanced at each throw, beside the counterweights that the file lists."""
    data, throws = engine.running.crank_train, engine.layout.throws
    radius = cylinder.crank.throw_m
    if data.bobweight_kg is not None:
        return (-data.bobweight_kg * radius,) * len(throws), []
    if data.counterweights or data.throw_unbalance_kg_m is not None:
        said = []
        if data.throw_unbalance_kg_m is None:
            said.append("Crank pins and webs are taken to be balanced in themselves.")
        if not data.counterweights:
            said.append("The crank is taken to have no counterweights: the file lists none.")
        return (data.throw_unbalance_kg_m or 0.0,) * len(throws), said
    big_end = cylinder.masses.big_end_kg
    return tuple(-big_end * radius * len(throw.rods) for throw in throws), [
        "Counterweights are not known: each throw is taken to be balanced together with the big"
        " ends on it (rule of thumb, no source); the bobweight of whoever balanced the crank is"
        " better."
    ]
