"""What an engine file has to say before a film over a cycle can be computed, and how to get it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from oilwedge.engine.model import Engine
from oilwedge.engine.running import Condition, Groove
from oilwedge.errors import Fault, InputError, Where, did_you_mean
from oilwedge.toml_text import Path, line_index, path_text

__all__ = [
    "OIL_PLACE",
    "MissingDatum",
    "condition_of",
    "film_remarks",
    "missing_for_film",
    "place_in_file",
    "refuse_missing",
]

OIL_PLACE = "[oil] grade"
"""Where the oil stands; an oil may be named for a single question instead."""

_TRAIN = {
    "stroke_m": ("the stroke", "stroke", "from the manual, or twice the throw, measured"),
    "rod_length_m": (
        "the length of the rod between its centres",
        "rod_length",
        "from the manual, or measure the rod from bore to bore and add half of both bores",
    ),
    "bore_m": ("the cylinder bore", "bore", "from the manual; or give [features.cylinder_bore]"),
    "piston_set_kg": (
        "the mass of a piston with rings and clips",
        "piston_set",
        "weigh it, without its pin",
    ),
    "pin_kg": ("the mass of a piston pin", "pin", "weigh it"),
}
_ENDS = ("rod_kg", "rod_big_end_kg", "rod_small_end_kg")
_NAMES = {"rod": ("big ends", "rod_journal"), "main": ("main bearings", "main_journal")}


@dataclass(frozen=True, kw_only=True, slots=True)
class MissingDatum:
    """Something that the film needs: what, the place in the file, and how to get it."""

    what: str
    where_in_file: str
    how_to_get: str


def missing_for_film(*, engine: Engine, condition: str | None = None) -> tuple[MissingDatum, ...]:
    """What the engine file does not say and a film needs, for one condition or for all.

    The oil is among it (:data:`OIL_PLACE`). InputError for a condition that the file does not have.
    """
    running = engine.running
    conditions = running.conditions
    if condition is not None:
        conditions = (condition_of(engine=engine, name=condition),)
    found = [*_train(engine, conditions), *_bearings(engine), *_duty(conditions)]
    if engine.oil.data_sheet is None and not engine.oil.grade.strip():
        found.append(
            MissingDatum(
                what="the oil",
                where_in_file=OIL_PLACE,
                how_to_get='write its grade, such as "5W-30", or its data sheet in '
                "[oil.data_sheet]",
            )
        )
    return tuple(found)


def refuse_missing(missing: Iterable[MissingDatum]) -> None:
    """Raise an :class:`InputError` that tells all of it, each with the way to get it; else none."""
    faults = [
        Fault(
            where=Where(file="engine file", column=one.where_in_file),
            given="",
            allowed=f"films over a cycle need {one.what}, and the file does not say",
            action=one.how_to_get,
        )
        for one in missing
    ]
    if faults:
        raise InputError(*faults)


def condition_of(*, engine: Engine, name: str) -> Condition:
    """The condition of this name; InputError that names those the file has."""
    found = engine.running.condition(name)
    if found is not None:
        return found
    names = [one.name for one in engine.running.conditions]
    known = f"the engine file has {', '.join(names)}" if names else "the engine file has none"
    raise InputError(
        Fault(
            given=name,
            allowed=f"there is no such condition; {known}",
            action=did_you_mean(given=name, allowed=names)
            or f'write [duty.conditions."{name}"] with its speed and pressures',
        )
    )


def place_in_file(*, engine: Engine, path: Path) -> Where:
    """Where a key stands in the engine file, with its line where it is there."""
    return Where(
        file="engine file", line=line_index(engine.text).line(path), column=path_text(path)
    )


def film_remarks(*, engine: Engine) -> tuple[str, ...]:
    """For the check of a file: what a film over a cycle would still need; nothing is at fault."""
    missing = missing_for_film(engine=engine)
    if not missing:
        return ()
    train, bearings = engine.running.crank_train, engine.running.bearings.values()
    if train.stroke_m is None and train.rod_kg is None and not any(b.width_m for b in bearings):
        return (
            "Not in the file: what films over a cycle need beside clearances, in [crank_train],"
            " [bearings] and [duty.conditions]. Nothing else needs it.",
        )
    return tuple(
        f"For films over a cycle there is no {one.what.removeprefix('the ')} yet:"
        f" {one.where_in_file}; {one.how_to_get}."
        for one in missing
    )


def _train(engine: Engine, conditions: tuple[Condition, ...]) -> Iterator[MissingDatum]:
    train = engine.running.crank_train
    for field, (what, key, how) in _TRAIN.items():
        if getattr(train, field) is None:
            yield MissingDatum(what=what, where_in_file=f"[crank_train] {key}", how_to_get=how)
    if sum(getattr(train, field) is not None for field in _ENDS) < 2:
        yield MissingDatum(
            what="the mass of a rod and of its two ends",
            where_in_file="[crank_train] rod, rod_big_end, rod_small_end",
            how_to_get="weigh the rod with bolts and shells, then each end with the other one"
            " held level; a total is not split by a rule of thumb",
        )
    measured = bool(conditions) and all(one.pressure_trace for one in conditions)
    if train.compression_ratio is None and not measured:
        yield MissingDatum(
            what="the compression ratio",
            where_in_file="[crank_train] compression_ratio",
            how_to_get="from the manual; a measured pressure trace for each condition does "
            "without it",
        )
    throws, bays = len(engine.layout.throws), engine.layout.main_bearings - 1
    if not train.main_places_m and bays > 0 and throws % bays:
        yield MissingDatum(
            what="places of mains and throws along the crank",
            where_in_file="[crank_train] main_places, throw_places",
            how_to_get=f"measure along the crank from its front; {throws} throws do not share "
            f"{bays} bays evenly",
        )


def _bearings(engine: Engine) -> Iterator[MissingDatum]:
    for kind, (title, journal) in _NAMES.items():
        data = engine.running.bearing(kind)
        feature = engine.features.get(journal)
        wanted: list[tuple[str, str, str]] = []
        if data.width_m is None:
            wanted.append(("width of the shell", "width", "measure a shell, without its chamfers"))
        if data.groove in {Groove.HALF, Groove.FULL} and data.groove_width_m is None:
            wanted.append(("width of the groove", "groove_width", "measure it in the shell"))
        if data.groove is Groove.HOLE and data.hole_diameter_m is None:
            wanted.append(("diameter of the oil hole", "hole_diameter", "measure it"))
        for what, key, how in wanted:
            yield MissingDatum(
                what=f"the {what} of the {title}",
                where_in_file=f"[bearings.{kind}] {key}",
                how_to_get=how,
            )
        if feature is None or any(feature.at(n).reference_m is None for n in feature.numbers):
            yield MissingDatum(
                what=f"the journal diameter of the {title}",
                where_in_file=f"[features.{journal}] size",
                how_to_get="from the manual",
            )


def _duty(conditions: tuple[Condition, ...]) -> Iterator[MissingDatum]:
    if not conditions:
        yield MissingDatum(
            what="conditions at which the engine runs",
            where_in_file='[duty.conditions."full load"]',
            how_to_get='write speed, peak pressure, oil pressure and temperature, for "hot idle", '
            '"full load" and "top speed"',
        )
    for one in conditions:
        pressed = one.peak_pressure_pa or one.mean_pressure_pa or one.pressure_trace
        for given, what, key, how in (
            (one.speed_rpm, "the speed", "speed", "from the manual"),
            (
                pressed,
                "the pressure in the cylinder",
                "peak_pressure",
                "from the manual, a measured trace (pressure_trace), or the mean effective"
                " pressure that torque and displacement make (mean_pressure)",
            ),
            (
                one.oil_pressure_pa,
                "the oil pressure",
                "oil_pressure",
                "from a gauge, or the manual",
            ),
            (
                one.oil_temperature_c,
                "the oil temperature",
                "oil_temperature",
                "from a gauge in the gallery, or the manual",
            ),
        ):
            if not given and given != 0.0:
                yield MissingDatum(
                    what=f"{what} at {one.name}",
                    where_in_file=f'[duty.conditions."{one.name}"] {key}',
                    how_to_get=how,
                )
