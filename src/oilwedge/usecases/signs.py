"""A fit's verdict as the signs that every face draws: the shape, the window, the crank."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from oilwedge.engine.model import Engine, LayoutKind
from oilwedge.fits.verdict import State
from oilwedge.fits.way import WayResult
from oilwedge.report.crank_parts import CrankDrawing, MainMark, RodMark, Stub, Throw
from oilwedge.report.state_sign import StateSign
from oilwedge.report.window_sign import Bound, WindowMark, WindowSign
from oilwedge.units import to_unit
from oilwedge.usecases.judgement import WORST_FIRST, FitResult

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
        return [
            WindowMark(
                label=label,
                value=to_unit(value_si=evidence.mean.value, unit=unit),
                half_width=to_unit(value_si=evidence.mean.expanded().half_width, unit=unit),
            )
        ]
    marks = []
    for value_m, bound in (
        (evidence.at_least_m, Bound.AT_LEAST),
        (evidence.at_most_m, Bound.AT_MOST),
    ):
        if value_m is not None:
            value = to_unit(value_si=value_m, unit=unit)
            marks.append(WindowMark(label=label, value=value, bound=bound))
    return marks


def _extreme_marks(result: FitResult, *, unit: str) -> list[WindowMark]:
    """The tightest and the loosest place, which are what is judged, where they differ."""
    evidence = result.measurement.evidence
    if evidence.smallest is None or evidence.largest is None or evidence.mean is None:
        return []
    if evidence.largest.value - evidence.smallest.value < 0.5e-6:
        return []
    return [
        WindowMark(
            label=label,
            value=to_unit(value_si=quantity.value, unit=unit),
            half_width=to_unit(value_si=quantity.expanded().half_width, unit=unit),
        )
        for label, quantity in (("tightest", evidence.smallest), ("loosest", evidence.largest))
    ]


def window_sign(result: FitResult, *, unit: str, every_way: bool) -> WindowSign:
    """Draw a fit's window: its limits, its value with U, and on request every way and extreme."""
    limits = result.verdict.limits

    def shown(limit_m: float | None) -> float | None:
        return None if limit_m is None else to_unit(value_si=limit_m, unit=unit)

    ways = [way for way in result.measurement.ways if not way.evidence.empty]
    leading = result.measurement.leading
    marks: list[WindowMark] = []
    if every_way or result.measurement.disagree:
        for way in ways:
            marks += _marks_of_way(way, label=way.way.title, unit=unit)
        marks += _extreme_marks(result, unit=unit) if every_way else []
    elif result.measurement.evidence.mean is not None and leading is not None:
        mean = result.measurement.evidence.mean
        marks = [
            WindowMark(
                value=to_unit(value_si=mean.value, unit=unit),
                half_width=to_unit(value_si=mean.expanded().half_width, unit=unit),
            )
        ]
    else:
        for way in ways:
            marks += _marks_of_way(way, label="", unit=unit)
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
