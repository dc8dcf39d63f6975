"""A fit's verdict as the signs that every face draws: the shape, the window, the crank."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from oilwedge.engine.model import Engine, LayoutKind
from oilwedge.fits.verdict import State
from oilwedge.fits.way import WayResult
from oilwedge.report.crank_parts import CrankDrawing, MainMark, RodMark, Stub, Throw
from oilwedge.report.state_sign import StateSign
from oilwedge.report.window_sign import Bound, WindowMark, WindowSign
from oilwedge.uncertainty.quantity import Quantity
from oilwedge.units import to_unit
from oilwedge.usecases.judgement import WORST_FIRST, FitResult
from oilwedge.usecases.wording import place_words

ALIKE_M = 0.5e-6  # places that differ by less show the same digits

_SIGNS: Mapping[State, StateSign] = {
    State.RIGHT: StateSign.RIGHT,
    State.LOOSE: StateSign.LOOSE,
    State.TOO_LOOSE: StateSign.TOO_LOOSE,
    State.PAST_SERVICE: StateSign.PAST_SERVICE,
    State.TOO_TIGHT: StateSign.TOO_TIGHT,
    State.CANNOT_TELL: StateSign.CANNOT_TELL,
    State.READINGS_DISAGREE: StateSign.READINGS_DISAGREE,
    State.NOT_MEASURED: StateSign.NOT_MEASURED,
    State.NO_LIMITS: StateSign.NO_LIMITS,
}


def state_sign(result: FitResult) -> StateSign:
    """Give the shape of a verdict; "right, close to the limit" has its own."""
    if result.verdict.state is State.RIGHT and result.verdict.close_to is not None:
        return StateSign.RIGHT_CLOSE
    return _SIGNS[result.verdict.state]


def _marks_of_way(way: WayResult, *, label: str, unit: str) -> list[WindowMark]:
    evidence = way.evidence
    if evidence.mean is not None:
        return [_mark(evidence.mean, label=label, unit=unit)]
    marks = []
    for value_m, bound in (
        (evidence.at_least_m, Bound.AT_LEAST),
        (evidence.at_most_m, Bound.AT_MOST),
    ):
        if value_m is not None:
            value = to_unit(value_si=value_m, unit=unit)
            marks.append(WindowMark(label=label, value=value, bound=bound))
    return marks


@dataclass(frozen=True, kw_only=True, slots=True)
class Decider:
    """The place that decided a verdict against the fit, where it is not the mean."""

    value: Quantity
    place: str


def decider(result: FitResult) -> Decider | None:
    """Give the tightest or loosest place that breaks a limit, if the mean does not show it.

    Service limits first, then the low limit, then the high one.
    """
    evidence, leading = result.measurement.evidence, result.measurement.leading
    if evidence.mean is None or leading is None:
        return None
    broken = [one for one in result.verdict.findings if one.inside is False]
    broken.sort(key=lambda one: (not one.limit.is_service, not one.limit.is_lower))
    for finding in broken:
        lower = finding.limit.is_lower
        value = evidence.smallest if lower else evidence.largest
        if value is None or abs(value.value - evidence.mean.value) < ALIKE_M:
            continue
        position = leading.smallest_at if lower else leading.largest_at
        place = place_words(position=position, places=result.places)
        return Decider(value=value, place=place or ("tightest" if lower else "loosest"))
    return None


def _mark(quantity: Quantity, *, label: str, unit: str) -> WindowMark:
    return WindowMark(
        label=label,
        value=to_unit(value_si=quantity.value, unit=unit),
        half_width=to_unit(value_si=quantity.expanded().half_width, unit=unit),
    )


def _ways_marks(result: FitResult, *, unit: str) -> list[WindowMark]:
    """Every way of measuring, and the place that decided."""
    marks = []
    for way in result.measurement.ways:
        marks += _marks_of_way(way, label=way.way.title, unit=unit)
    found = decider(result)
    if found is not None:
        marks.append(_mark(found.value, label=found.place, unit=unit))
    return marks


def _result_marks(result: FitResult, *, unit: str) -> list[WindowMark]:
    """The mean and the place that decided; every way where they contradict each other."""
    mean = result.measurement.evidence.mean
    if result.measurement.disagree or mean is None:
        marks = []
        for way in result.measurement.ways:
            marks += _marks_of_way(way, label="", unit=unit)
        return marks
    found = decider(result)
    marks = [_mark(mean, label="", unit=unit)]
    if found is not None:
        marks.append(_mark(found.value, label="", unit=unit))
    return marks


def window_sign(result: FitResult, *, unit: str, every_way: bool) -> WindowSign:
    """Draw a fit's window: its limits, its value with U, and on request every way and extreme."""
    limits = result.verdict.limits

    def shown(limit_m: float | None) -> float | None:
        return None if limit_m is None else to_unit(value_si=limit_m, unit=unit)

    marks = _ways_marks(result, unit=unit) if every_way else _result_marks(result, unit=unit)
    return WindowSign(
        low=shown(limits.low_m),
        high=shown(limits.high_m),
        service_low=shown(limits.service_low_m) if limits.service_holds else None,
        service_high=shown(limits.service_high_m) if limits.service_holds else None,
        marks=tuple(marks),
    )


def _worst_sign(results: Sequence[FitResult], *, key: str, number: int) -> StateSign:
    """The sign of one bearing on the crank drawing."""
    found = [one for one in results if one.key == key and one.number == number]
    if not found:
        return StateSign.NOT_MEASURED
    return state_sign(min(found, key=lambda one: WORST_FIRST.index(one.verdict.state)))


def crank_drawing(
    *,
    engine: Engine,
    results: Sequence[FitResult] = (),
    rod_fit: str = "rod_bearing",
    main_fit: str = "main_bearing",
) -> CrankDrawing:
    """Draw the crank of this engine with the state of each bearing on it."""
    layout = engine.layout
    throws = []
    for throw in layout.throws:
        rods = []
        for rod in throw.rods:
            flat = layout.kind is LayoutKind.FLAT and layout.bank_angle_deg[rod - 1] > 0.0
            rods.append(
                RodMark(
                    label=str(rod),
                    state=_worst_sign(results, key=rod_fit, number=rod),
                    stub=Stub.DOWN if flat else Stub.UP,
                )
            )
        throws.append(Throw(angle_deg=throw.angle_deg, rods=tuple(rods)))
    return CrankDrawing(
        mains=tuple(
            MainMark(label=str(number), state=_worst_sign(results, key=main_fit, number=number))
            for number in range(1, layout.main_bearings + 1)
        ),
        throws=tuple(throws),
    )
