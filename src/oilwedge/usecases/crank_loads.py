"""The loads on all bearings of an engine, from its file: nothing is invented, rules are named."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from oilwedge.engine.model import Engine
from oilwedge.engine.running import BearingData, Condition, Groove
from oilwedge.errors import Fault, InputError
from oilwedge.film.bearing_duty import big_end_history, cycle_angles_rad
from oilwedge.film.gas_pressure import Strokes
from oilwedge.film.load_history import LoadHistory
from oilwedge.film.main_load import MainLoads, main_loads
from oilwedge.usecases.crank_parts import (
    CASE_PRESSURE_PA,
    cylinder_of,
    no_gas,
    pressure_of,
    train_of,
)
from oilwedge.usecases.film_data import (
    OIL_PLACE,
    MissingDatum,
    condition_of,
    missing_for_film,
    refuse_missing,
)

__all__ = [
    "HEAT_OVER_OIL_K",
    "BearingLoad",
    "EngineLoads",
    "Firing",
    "MissingDatum",
    "engine_loads",
    "missing_for_film",
]

HEAT_OVER_OIL_K = {"rod": (15.0, 10.0), "main": (10.0, 0.0)}
"""Journal and housing over the oil that comes in, in K, where the file does not say: a rule of
thumb without a source."""

_KINDS = {
    "rod": ("rod_bearing", "rod_journal", "big end"),
    "main": ("main_bearing", "main_journal", "main bearing"),
}
_NOTHING = 1e-9  # of the load with gas
_MOST_STEPS = 3600
_FEWEST_STEPS = 24


@dataclass(frozen=True, kw_only=True, slots=True)
class Firing:
    """A cylinder (from 1) and the angle of a history, in rad, at which it fires."""

    cylinder: int
    angle_rad: float


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class BearingLoad:
    """The load on one bearing over a cycle, with gas and without.

    ``key``: "rod 1", "main 3"; ``fit_key``: its oil clearance, "rod_bearing" or "main_bearing";
    ``title``: "big end 1", "main bearing 3". ``without_gas``: the same with the pressure of the
    crankcase in the cylinders; loads are linear in gas pressure between the two. A big end's angles
    count from the firing of its own cylinder and its x runs from big end to small end; a main's
    count from the firing of the first cylinder in the firing order, with x up and y to the right,
    seen from the front (to the left where the crank turns anticlockwise: an assumption says so).
    Where the masses leave a main unloaded, ``without_gas`` is a billionth of ``history``, which
    stands for nothing. ``firings``: who fires where in it. ``data`` has its width, groove and
    temperatures filled in; roughness is None where the file does not say.
    """

    key: str
    fit_key: str
    number: int
    title: str
    history: LoadHistory
    without_gas: LoadHistory
    data: BearingData
    diameter_m: float
    firings: tuple[Firing, ...]

    @property
    def largest_n(self) -> float:
        """The largest load of the cycle, in N."""
        return float(np.hypot(self.history.force_x_n, self.history.force_y_n).max())

    @property
    def specific_load_pa(self) -> float:
        """The largest load over diameter times width, in Pa."""
        width_m = self.data.width_m
        return math.nan if width_m is None else self.largest_n / (self.diameter_m * width_m)


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class EngineLoads:
    """All bearings of an engine at one condition: rods in order of number, then mains.

    A main that no load reaches is not among them, and an assumption says so.
    ``torque_n_m`` of all cylinders on the crank over ``angle_rad``, which counts as in the mains.
    ``assumptions``: every rule of thumb and default that was used, in words.
    """

    condition: Condition
    bearings: tuple[BearingLoad, ...]
    angle_rad: NDArray[np.float64]
    torque_n_m: NDArray[np.float64]
    firings: tuple[Firing, ...]
    assumptions: tuple[str, ...]

    def bearing(self, key: str) -> BearingLoad:
        """The bearing of a key such as "rod 1"; KeyError where there is none."""
        found = next((one for one in self.bearings if one.key == key), None)
        if found is None:
            raise KeyError(key)
        return found


def engine_loads(
    *, engine: Engine, condition: str, folder: Path | None = None, steps_per_turn: int = 360
) -> EngineLoads:
    """The loads at one condition of the engine file, from a crank that is cut at its mains.

    ``folder``: that of the engine file, where a pressure trace is looked for. InputError for all
    that is missing (with the way to get it), for what does not go together (masses, firing order,
    places, a trace with a gap), each in one sentence with its place. The oil is not needed here.
    """
    if not _FEWEST_STEPS <= steps_per_turn <= _MOST_STEPS:
        raise InputError(
            Fault(
                given=f"{steps_per_turn} steps a turn",
                allowed=f"loads are computed at {_FEWEST_STEPS} to {_MOST_STEPS} steps a turn",
            )
        )
    chosen = condition_of(engine=engine, name=condition)
    _refuse_missing(engine, condition=condition)
    assumed: list[str] = []
    trace, said = pressure_of(engine=engine, condition=chosen, folder=folder)
    assumed += said
    cylinder, said = cylinder_of(engine=engine, trace=trace)
    assumed += said
    idle_cylinder = dataclasses.replace(cylinder, trace=no_gas(strokes=trace.strokes))
    train, said = train_of(engine=engine, cylinder=cylinder)
    assumed += said
    omega = (chosen.speed_rpm or 0.0) * math.pi / 30.0
    angles = cycle_angles_rad(strokes=trace.strokes, steps_per_turn=steps_per_turn)
    start = train.firing_angle_rad[engine.layout.firing_order[0] - 1]
    loads, unpressed = (
        dataclasses.replace(
            main_loads(
                train=train,
                cylinders=[one] * engine.layout.cylinders,
                speed_rad_s=omega,
                angle_rad=angles + start,
            ),
            angle_rad=angles,
        )
        for one in (cylinder, idle_cylinder)
    )
    firings = _firings(train.firing_angle_rad, start=start, strokes=trace.strokes)
    big_end, still = (
        big_end_history(cylinder=one, speed_rad_s=omega, steps_per_turn=steps_per_turn)
        for one in (cylinder, idle_cylinder)
    )
    pairs = {
        "rod": dict.fromkeys(range(1, engine.layout.cylinders + 1), (big_end, still)),
        "main": _main_pairs(loads, unpressed),
    }
    bearings: list[BearingLoad] = []
    for kind, histories in pairs.items():
        data, said = _filled(engine, kind)
        assumed += said
        bearings += _bearings(engine, kind, histories, data=data, firings=firings)
    assumed += [
        f"Main bearing {number} is left out: no load reaches it."
        for number in range(1, engine.layout.main_bearings + 1)
        if number not in pairs["main"]
    ]
    return EngineLoads(
        condition=chosen,
        bearings=tuple(bearings),
        angle_rad=angles,
        torque_n_m=loads.torque_n_m,
        firings=firings,
        assumptions=(*dict.fromkeys(assumed), *_always(trace.strokes)),
    )


def _refuse_missing(engine: Engine, *, condition: str) -> None:
    refuse_missing(
        one
        for one in missing_for_film(engine=engine, condition=condition)
        if one.where_in_file != OIL_PLACE
    )


def _main_pairs(
    with_gas: MainLoads, without: MainLoads
) -> dict[int, tuple[LoadHistory, LoadHistory]]:
    """Each main (from 1) that carries anything, with gas and without.

    Opposite throws may leave a main nothing but the gas, and nothing at all where both fire at
    once: then it is not among them.
    """
    found = {}
    most = float(np.hypot(with_gas.force_x_n, with_gas.force_y_n).max())
    for at, (x, y) in enumerate(zip(with_gas.force_x_n, with_gas.force_y_n, strict=True)):
        largest = float(np.hypot(x, y).max())
        if largest <= _NOTHING * most:
            continue
        history = LoadHistory(
            angle_rad=with_gas.angle_rad,
            force_x_n=x,
            force_y_n=y,
            journal_speed_rad_s=np.full_like(with_gas.angle_rad, with_gas.speed_rad_s),
            turning_speed_rad_s=with_gas.speed_rad_s,
        )
        x, y = without.force_x_n[at], without.force_y_n[at]
        if float(np.hypot(x, y).max()) <= _NOTHING * largest:
            x, y = _NOTHING * history.force_x_n, _NOTHING * history.force_y_n
        found[at + 1] = (history, dataclasses.replace(history, force_x_n=x, force_y_n=y))
    return found


def _firings(angles_rad: Sequence[float], *, start: float, strokes: Strokes) -> tuple[Firing, ...]:
    """Who fires where, counted from the first one, in order of angle."""
    cycle = strokes.cycle_rad
    found = []
    for number, angle in enumerate(angles_rad, start=1):
        after = (angle - start) % cycle
        found.append(Firing(cylinder=number, angle_rad=0.0 if cycle - after < 1e-9 else after))
    return tuple(sorted(found, key=lambda one: one.angle_rad))


def _bearings(
    engine: Engine,
    kind: str,
    histories: Mapping[int, tuple[LoadHistory, LoadHistory]],
    *,
    data: BearingData,
    firings: tuple[Firing, ...],
) -> list[BearingLoad]:
    fit_key, journal, title = _KINDS[kind]
    found = []
    for number, (history, without_gas) in histories.items():
        diameter_m = engine.feature(journal, number).reference_m
        assert diameter_m is not None  # missing_for_film has asked for it
        found.append(
            BearingLoad(
                key=f"{kind} {number}",
                fit_key=fit_key,
                number=number,
                title=f"{title} {number}",
                history=history,
                without_gas=without_gas,
                data=data,
                diameter_m=diameter_m,
                firings=firings if kind == "main" else (Firing(cylinder=number, angle_rad=0.0),),
            )
        )
    return found


def _filled(engine: Engine, kind: str) -> tuple[BearingData, list[str]]:
    """The bearing's data with the rules of thumb for what the file leaves open, and their words."""
    data = engine.running.bearing(kind)
    title = {"rod": "big ends", "main": "main bearings"}[kind]
    journal_k, housing_k = HEAT_OVER_OIL_K[kind]
    said = []
    if data.groove is None:
        said.append(f"The shells of the {title} are taken without groove: the file does not say.")
    if data.journal_temperature_over_oil_k is None:
        said.append(
            f"The journals of the {title} are taken {journal_k:g} K warmer than the oil that comes"
            " in (rule of thumb, no source)."
        )
    if data.housing_temperature_over_oil_k is None:
        warmer = f"{housing_k:g} K warmer than" if housing_k else "as warm as"
        said.append(
            f"The housings of the {title} are taken {warmer} the oil that comes in (rule of thumb,"
            " no source)."
        )
    own = (data.journal_temperature_over_oil_k, data.housing_temperature_over_oil_k)
    return (
        dataclasses.replace(
            data,
            groove=data.groove or Groove.NONE,
            journal_temperature_over_oil_k=journal_k if own[0] is None else own[0],
            housing_temperature_over_oil_k=housing_k if own[1] is None else own[1],
        ),
        said,
    )


def _always(strokes: Strokes) -> tuple[str, ...]:
    """What these loads leave out for every engine."""
    case = f"The crankcase stays at {CASE_PRESSURE_PA * 1e-5:g} bar"
    if strokes is Strokes.TWO:
        case += "; where the crankcase pumps the charge, that is only roughly so"
    return (
        f"{case}.",
        "The rod is taken as two masses at its ends, and speed as steady; friction, weight, the"
        " flywheel and belts are left out.",
        "The crank is cut at each main bearing: a stiff crank shares its loads further.",
        "All cylinders are taken alike.",
    )
