"""The loads on all bearings of an engine, from its file: what is missing, and what is assumed."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from oilwedge.engine.model import Engine
from oilwedge.engine.running import BearingData, Condition
from oilwedge.film.load_history import LoadHistory

__all__ = [
    "BearingLoad",
    "EngineLoads",
    "Firing",
    "MissingDatum",
    "engine_loads",
    "missing_for_film",
]


@dataclass(frozen=True, kw_only=True, slots=True)
class MissingDatum:
    """Something that the film needs: what, the place in the file, and how to get it."""

    what: str
    where_in_file: str
    how_to_get: str


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
    seen from the front. ``firings``: who fires where in it.
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


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class EngineLoads:
    """All bearings of an engine at one condition: rods in order of number, then mains.

    ``torque_n_m`` of all cylinders on the crank over ``angle_rad``, which counts as in the mains.
    ``assumptions``: every rule of thumb and default that was used, in words.
    """

    condition: Condition
    bearings: tuple[BearingLoad, ...]
    angle_rad: NDArray[np.float64]
    torque_n_m: NDArray[np.float64]
    firings: tuple[Firing, ...]
    assumptions: tuple[str, ...]


def missing_for_film(*, engine: Engine, condition: str | None = None) -> tuple[MissingDatum, ...]:
    """What the engine file does not say and a film needs, for one condition or for all."""
    raise NotImplementedError


def engine_loads(
    *, engine: Engine, condition: str, folder: Path | None = None, steps_per_turn: int = 360
) -> EngineLoads:
    """The loads at one condition; InputError for what is missing, does not fit or is not known."""
    raise NotImplementedError
