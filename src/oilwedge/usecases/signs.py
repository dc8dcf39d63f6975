"""A fit's verdict as the signs that every face draws: the shape, the window, the crank."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from oilwedge.engine.model import Engine
from oilwedge.fits.verdict import LimitFinding, State
from oilwedge.report.crank_parts import CrankDrawing
from oilwedge.report.state_sign import StateSign
from oilwedge.report.window_sign import Bound, WindowMark, WindowSign
from oilwedge.uncertainty.quantity import Quantity
from oilwedge.units import to_unit
from oilwedge.usecases.judgement import WORST_FIRST, FitResult
from oilwedge.usecases.length_face import LengthFace
from oilwedge.usecases.planning.crank import unmeasured_crank
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


@dataclass(frozen=True, kw_only=True, slots=True)
class ShownLine:
    """One value of a fit, as every face shows it: a line of text beside a mark in the window.

    ``name`` is empty for the result itself. A one-sided reading has bounds and no value.
    """

    name: str
    value: Quantity | None = None
    at_least_m: float | None = None
    at_most_m: float | None = None


def _shown_by_mean(finding: LimitFinding, *, mean: Quantity, value: Quantity) -> bool:
    """Say whether the mean breaks the limit as well, and by about as much."""
    apart_m = abs(value.value - mean.value)
    outside_m = finding.limit_m - mean.value
    mean_breaks = outside_m > 0.0 if finding.limit.is_lower else outside_m < 0.0
    return apart_m < ALIKE_M or (mean_breaks and apart_m < 0.5 * value.expanded().half_width)


def decider(result: FitResult) -> ShownLine | None:
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
        if value is None or _shown_by_mean(finding, mean=evidence.mean, value=value):
            continue
        position = leading.smallest_at if lower else leading.largest_at
        place = place_words(position=position, places=result.places)
        name = f"at the {place}" if place else "tightest" if lower else "loosest"
        return ShownLine(name=name, value=value)
    return None


def _way_lines(result: FitResult) -> list[ShownLine]:
    return [
        ShownLine(
            name=f"by {way.way.key}",
            value=way.evidence.mean,
            at_least_m=way.evidence.at_least_m if way.evidence.mean is None else None,
            at_most_m=way.evidence.at_most_m if way.evidence.mean is None else None,
        )
        for way in result.measurement.ways
        if not way.evidence.empty
    ]


def shown_lines(result: FitResult, *, every_way: bool) -> tuple[ShownLine, ...]:
    """The values of a fit in the order in which every face shows them.

    The mean, then the place that decided against it, then (on request) each way of measuring
    where there were several. Where the ways contradict each other there is no mean, only them.
    """
    ways = _way_lines(result)
    mean = result.measurement.evidence.mean
    if result.measurement.disagree or mean is None:
        single = len(ways) == 1 and not result.measurement.disagree
        return (replace(ways[0], name=""),) if single else tuple(ways)
    found = decider(result)
    lines = [ShownLine(name="", value=mean)]
    lines += [found] if found is not None else []
    lines += ways if every_way and len(ways) > 1 else []
    return tuple(lines)


def line_text(line: ShownLine, *, face: LengthFace) -> str:
    """One value with its U, or what a one-sided reading says."""
    if line.value is not None:
        return face.value(line.value)
    parts = []
    if line.at_least_m is not None:
        parts.append(f"at least {face.length(line.at_least_m)}")
    if line.at_most_m is not None:
        parts.append(f"at most {face.length(line.at_most_m)}")
    return "\n".join(parts)


def shown_value(result: FitResult, *, face: LengthFace, every_way: bool = False) -> str:
    """The value column as one text, a line for each mark; a dash where nothing is known."""
    lines = shown_lines(result, every_way=every_way)
    return "\n".join(line_text(line, face=face) for line in lines) or "–"


def _marks(line: ShownLine, *, unit: str) -> list[WindowMark]:
    if line.value is not None:
        half_m = line.value.expanded().half_width
        return [
            WindowMark(
                value=to_unit(value_si=line.value.value, unit=unit),
                half_width=to_unit(value_si=half_m, unit=unit),
            )
        ]
    sides = ((line.at_least_m, Bound.AT_LEAST), (line.at_most_m, Bound.AT_MOST))
    return [
        WindowMark(value=to_unit(value_si=value_m, unit=unit), bound=bound)
        for value_m, bound in sides
        if value_m is not None
    ]


def window_sign(result: FitResult, *, unit: str, every_way: bool) -> WindowSign:
    """Draw a fit's window: its limits, and a mark for each of its shown lines."""
    limits = result.verdict.limits

    def shown(limit_m: float | None) -> float | None:
        return None if limit_m is None else to_unit(value_si=limit_m, unit=unit)

    lines = shown_lines(result, every_way=every_way)
    marks = [mark for line in lines for mark in _marks(line, unit=unit)]
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
    """Draw the crank of this engine, as its plan does, with the state of each bearing on it."""
    bare = unmeasured_crank(engine.layout)
    throws = tuple(
        replace(
            throw,
            rods=tuple(
                replace(rod, state=_worst_sign(results, key=rod_fit, number=int(rod.label)))
                for rod in throw.rods
            ),
        )
        for throw in bare.throws
    )
    mains = tuple(
        replace(main, state=_worst_sign(results, key=main_fit, number=int(main.label)))
        for main in bare.mains
    )
    return replace(bare, mains=mains, throws=throws)
