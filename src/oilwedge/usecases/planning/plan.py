"""The plan: what to measure on an engine, with what, where, and in which order.

Preparations come first, then bare parts, then trial assembly, then the crank in its bearings,
turned as little as can be. The plan holds values only; document.py puts it in words.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import Enum

from oilwedge.engine.layout import Per
from oilwedge.engine.model import Engine, Feature, Fit, Shape, WayKind
from oilwedge.metrology.instrument import Instrument
from oilwedge.usecases.planning.crank import CrankPlan, CrankPosition, plan_crank, plan_tops
from oilwedge.usecases.planning.instruments import (
    Capability,
    ShopList,
    WayCheck,
    check_ways,
    holder_for,
    nominal_of,
)
from oilwedge.usecases.planning.strips import StripAdvice, strip_advice


class Depth(Enum):
    """How much is measured."""

    QUICK = "quick"
    FULL = "full"


class Stage(Enum):
    """The steps in working order."""

    MARKS = "Record the marks before anything comes apart"
    CLEANING = "Clean, then look for cracks"
    WARMING = "Let everything come to room temperature"
    ZERO_BEFORE = "Check the zeros, set the gauges"
    CRANKSHAFT = "Measure the crankshaft"
    HOUSINGS = "Measure the bare housings, caps at full torque"
    WALLS = "Measure the shells"
    SHELL_BORES = "Measure the bores with shells fitted, caps at full torque"
    CYLINDERS = "Measure pistons, pins, rings and cylinders"
    HEAD = "Measure camshaft and valves"
    OTHERS = "Measure the rest"
    CRANK_IN = "Lay the crank in its shells"
    RODS = "Go round the rods, turning the crank least"
    PISTONS = "Measure with the pistons at top dead centre"
    ZERO_AFTER = "Check the zeros again"
    CLOSING = "Before the engine is closed"


@dataclass(frozen=True, kw_only=True, slots=True)
class Measurement:
    """One feature: where it is measured, and with what.

    ``instrument`` is None where nothing on the shop's list has the kind and range;
    ``places`` and ``directions`` are those of the depth.
    """

    feature: Feature
    places: tuple[str, ...]
    directions: tuple[str, ...]
    instrument: Instrument | None
    fits: tuple[str, ...]  # titles of the fits that it serves

    @property
    def readings_each(self) -> int:
        """Readings for one number."""
        return max(1, len(self.places)) * max(1, len(self.directions))

    @property
    def readings(self) -> int:
        """Readings for all numbers."""
        return self.readings_each * self.feature.count


@dataclass(frozen=True, kw_only=True, slots=True)
class GaugeSetting:
    """A gauge to be set to a size before it reads a feature.

    ``size_m`` is None for a gauge zeroed at each journal itself. ``set_in`` is what it is set in
    (None: nothing on the list spans the size); ``usual`` False when that is another than the
    shop names for it, because the named one does not span the size.
    """

    gauge: Instrument
    feature: Feature
    size_m: float | None
    set_in: Instrument | None
    usual: bool


@dataclass(frozen=True, kw_only=True, slots=True)
class Step:
    """One step: its measurements, and for turning the crank its positions."""

    stage: Stage
    measurements: tuple[Measurement, ...] = ()
    positions: tuple[CrankPosition, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class Plan:
    """What to do on one engine, in working order, and what is known before anyone measures."""

    engine: Engine
    depth: Depth
    steps: tuple[Step, ...]
    instruments: tuple[Instrument, ...]  # in use, each once
    settings: tuple[GaugeSetting, ...]
    ways: tuple[WayCheck, ...]  # of the fits that are measured
    strips: tuple[StripAdvice, ...]
    crank: CrankPlan
    without_limits: tuple[str, ...]  # titles of fits that cannot be judged

    @property
    def measurements(self) -> tuple[Measurement, ...]:
        """All measurements in working order."""
        return tuple(one for step in self.steps for one in step.measurements)

    @property
    def readings(self) -> int:
        """How many readings the plan asks for."""
        return sum(one.readings for one in self.measurements)


def make_plan(*, engine: Engine, shop: ShopList, depth: Depth) -> Plan:
    """Plan the measuring of an engine with what the shop owns.

    QUICK takes for each fit with limits the first way that the listed instruments can resolve, and
    the strip as a cross-check of the assembly; FULL takes every fit and every way that the list
    can do (the zeroed gauge only where bore and journal are not measured anyway).
    """
    checks = check_ways(engine=engine, shop=shop)
    fits = [fit for fit in engine.fits.values() if depth is Depth.FULL or fit.has_limits]
    by_feature = _instrument_of(checks)
    serves: dict[str, list[str]] = {}
    for fit in fits:
        for key in _features_to_measure(fit, checks, depth):
            serves.setdefault(key, []).append(fit.title)
    measurements = [
        _measurement(engine.features[key], depth, by_feature.get(key), serves[key])
        for key in engine.features
        if key in serves
    ]
    crank = plan_crank(engine.layout)
    strip_keys = {one.feature.key for one in measurements if one.feature.shape is Shape.STRIP}
    measured = {fit.key for fit in fits}
    return Plan(
        engine=engine,
        depth=depth,
        steps=_steps(engine, measurements, crank),
        instruments=_once([one.instrument for one in measurements]),
        settings=_settings(measurements, shop.instruments),
        ways=tuple(check for check in checks if check.fit in measured),
        strips=tuple(
            strip_advice(fit=fit, strips=shop.strips)
            for fit in fits
            if strip_keys & set(fit.features)
        ),
        crank=crank,
        without_limits=tuple(fit.title for fit in engine.fits.values() if not fit.has_limits),
    )


def ways_of(fit: Fit, checks: Sequence[WayCheck]) -> tuple[WayCheck, ...]:
    """The checks of one fit, the most capable first; among equals the engine's own order."""
    rank = {Capability.ENOUGH: 0, Capability.SHORT: 1, Capability.NO_USE: 3}
    own = [check for check in checks if check.fit == fit.key]
    return tuple(
        sorted(
            own,
            key=lambda one: (
                4 if one.capability is Capability.NOT_LISTED else rank.get(one.capability, 2)
            ),
        )
    )


def _features_to_measure(fit: Fit, checks: Sequence[WayCheck], depth: Depth) -> tuple[str, ...]:
    strips = [way for way in fit.ways if way.kind is WayKind.STRIP]
    best_first = [check.way for check in ways_of(fit, checks)]
    if depth is Depth.QUICK:
        taken = [*best_first[:1], *strips]
    else:
        kinds = {way.kind for way in fit.ways}
        both = {WayKind.GAUGED, WayKind.ZEROED_GAUGE} <= kinds
        useless = _useless_ways(ways_of(fit, checks))
        taken = [
            way
            for way in fit.ways
            if way.key not in useless and not (both and way.kind is WayKind.ZEROED_GAUGE)
        ]
    return tuple(dict.fromkeys(term.feature for way in taken for term in way.terms))


def _useless_ways(best_first: Sequence[WayCheck]) -> set[str]:
    """Ways that the list cannot carry out or resolve, where it can another one."""
    hopeless = {Capability.NO_USE, Capability.NOT_LISTED}
    if not best_first or best_first[0].capability in hopeless:
        return set()
    return {check.way.key for check in best_first if check.capability in hopeless}


def _instrument_of(checks: Sequence[WayCheck]) -> dict[str, Instrument]:
    found: dict[str, Instrument] = {}
    for check in checks:
        for key, one in zip(check.features, check.instruments, strict=True):
            if one is not None:
                found.setdefault(key, one)
    return found


def _measurement(
    feature: Feature, depth: Depth, instrument: Instrument | None, fits: Sequence[str]
) -> Measurement:
    quick = depth is Depth.QUICK
    return Measurement(
        feature=feature,
        places=tuple(one.name for one in (feature.quick_places if quick else feature.places)),
        directions=tuple(
            one.name for one in (feature.quick_directions if quick else feature.directions)
        ),
        instrument=instrument,
        fits=tuple(fits),
    )


def _once(instruments: Sequence[Instrument | None]) -> tuple[Instrument, ...]:
    return tuple({one.key: one for one in instruments if one is not None}.values())


def _settings(
    measurements: Sequence[Measurement], instruments: Mapping[str, Instrument]
) -> tuple[GaugeSetting, ...]:
    found = []
    for one in measurements:
        gauge = one.instrument
        if gauge is None or not gauge.set_in:
            continue
        size = nominal_of(one.feature)
        holder = holder_for(gauge=gauge, size_m=size, instruments=instruments)
        found.append(
            GaugeSetting(
                gauge=gauge,
                feature=one.feature,
                size_m=size,
                set_in=holder,
                usual=holder is not None and holder.key == gauge.set_in,
            )
        )
    return tuple(found)


_WHOLE_STAGES = (Stage.MARKS, Stage.CLEANING, Stage.WARMING, Stage.ZERO_BEFORE)
_LAST_STAGES = (Stage.ZERO_AFTER, Stage.CLOSING)


def _steps(
    engine: Engine, measurements: Sequence[Measurement], crank: CrankPlan
) -> tuple[Step, ...]:
    positions = {
        Stage.RODS: crank.positions,
        Stage.PISTONS: plan_tops(engine.layout).positions,
    }
    steps = []
    for stage in Stage:
        own = tuple(one for one in measurements if stage_of(one.feature) is stage)
        if own or stage in _WHOLE_STAGES or stage in _LAST_STAGES:
            steps.append(Step(stage=stage, measurements=own, positions=positions.get(stage, ())))
    return tuple(steps)


def stage_of(feature: Feature) -> Stage:
    """The step in which a feature can be measured, from its shape, its parts and what it is per."""
    parts = set(feature.parts)
    shelled = any(part.endswith("shells") for part in parts)
    if feature.shape is Shape.WALL:
        return Stage.WALLS
    if feature.shape is Shape.STRIP or (feature.shape is Shape.GAP and feature.per is Per.ROD):
        zeroed = feature.shape is Shape.GAP and shelled
        return Stage.SHELL_BORES if zeroed else _turning_stage(feature)
    if feature.shape is Shape.GAP and shelled:
        return Stage.SHELL_BORES
    if feature.shape is Shape.INSIDE and shelled:
        return Stage.SHELL_BORES
    if feature.shape is Shape.HEIGHT and "crankshaft" in parts:
        return Stage.PISTONS
    if "crankshaft" in parts:
        return Stage.CRANK_IN if "block" in parts else Stage.CRANKSHAFT
    return _bare_stage(parts)


def _turning_stage(feature: Feature) -> Stage:
    return Stage.RODS if feature.per is Per.ROD else Stage.CRANK_IN


def _bare_stage(parts: set[str]) -> Stage:
    if parts & {"pistons", "pins", "rings", "cylinders"}:
        return Stage.CYLINDERS
    if parts & {"camshaft", "cam_bearings", "head", "valve_guides"} or any(
        part.endswith("valves") for part in parts
    ):
        return Stage.HEAD
    if parts & {"rods", "rod_caps", "main_caps", "block"}:
        return Stage.HOUSINGS
    if parts & {"rod_journals", "main_journals"}:
        return Stage.CRANKSHAFT
    return Stage.OTHERS
