"""Sizes and limits of an engine file: given in three ways, put into one, looked at for sense."""

from __future__ import annotations

from dataclasses import dataclass

from oilwedge.engine.model import FitLimits, SizeRange
from oilwedge.engine.schema import LimitsTable, SizeTable
from oilwedge.engine.schema_values import Pair
from oilwedge.errors import InputError
from oilwedge.tables.iso286 import limits_for_class
from oilwedge.toml_faults import Findings
from oilwedge.toml_text import Path
from oilwedge.units import Dimension, Parsed, format_length, parse_quantity

_TRIED_UNITS = ("mm", "in", "thou", "µm")


@dataclass(frozen=True, kw_only=True, slots=True)
class Expected:
    """What a length is of, and between which lengths it can be."""

    title: str
    low_m: float
    high_m: float


def read_size(
    table: SizeTable, *, path: Path, expected: Expected, findings: Findings
) -> SizeRange | None:
    """The size that a table gives; None when it gives none or contradicts itself."""
    _check_one_way(table, path=path, findings=findings)
    nominal = table.nominal.value_si if table.nominal else None
    if table.nominal and not plausible(
        table.nominal, path=(*path, "nominal"), expected=expected, findings=findings
    ):
        return None
    if table.size is not None:
        sides = _ordered(table.size, path=(*path, "size"), expected=expected, findings=findings)
    elif nominal is not None and table.tolerance is not None:
        sides = _from_tolerance(nominal, table.tolerance, path=path, findings=findings)
    elif table.nominal is not None and table.class_ is not None:
        sides = _from_class(table.nominal, table.class_, path=path, findings=findings)
    elif nominal is not None:
        return SizeRange(nominal_m=nominal)
    else:
        return None
    return None if sides is None else SizeRange(nominal_m=nominal, low_m=sides[0], high_m=sides[1])


def size_unit(table: SizeTable) -> str | None:
    """The unit in which a size is given."""
    first = table.nominal or (table.size.low if table.size else None)
    return first.unit if first else None


def _check_one_way(table: SizeTable, *, path: Path, findings: Findings) -> None:
    given = [
        key
        for key, value in (
            ("size", table.size),
            ("tolerance", table.tolerance),
            ("class", table.class_),
        )
        if value is not None
    ]
    if len(given) > 1:
        findings.fault(
            (*path, given[1]),
            given=" and ".join(given),
            allowed="a size is given in one way only: size = [low, high], or nominal with "
            "tolerance, or nominal with class",
            action=f"take {given[1]} out",
        )
    elif given and given[0] != "size" and table.nominal is None:
        findings.missing(
            (*path, "nominal"),
            allowed=f"{given[0]} stands alone",
            action='add nominal = "..." in the same table',
        )


def plausible(value: Parsed, *, path: Path, expected: Expected, findings: Findings) -> bool:
    """Whether a length can be meant; notes a fault, with the unit that may be meant, if not."""
    if expected.low_m <= value.value_si <= expected.high_m:
        return True
    findings.fault(
        path,
        given=value.text,
        allowed=f"that is {_millimetres(value.value_si)}, and {expected.title} is between "
        f"{_millimetres(expected.low_m)} and {_millimetres(expected.high_m)}",
        action=_other_unit(value, expected=expected),
    )
    return False


def _other_unit(value: Parsed, *, expected: Expected) -> str:
    for unit in _TRIED_UNITS:
        other = parse_quantity(f"{value.decimal} {unit}", dimension=Dimension.LENGTH)
        if unit != value.unit and expected.low_m <= other.value_si <= expected.high_m:
            return f"did you mean {value.decimal} {unit}?"
    return "check the figure and its unit"


def _ordered(
    pair: Pair, *, path: Path, expected: Expected, findings: Findings
) -> tuple[float, float] | None:
    low, high = pair.low, pair.high
    if low is None or high is None:
        return None
    sides = [
        plausible(side, path=path, expected=expected, findings=findings) for side in (low, high)
    ]
    if low.value_si > high.value_si:
        reversed_pair(pair, path=path, findings=findings)
        return None
    return (low.value_si, high.value_si) if all(sides) else None


def reversed_pair(pair: Pair, *, path: Path, findings: Findings) -> None:
    """Note a low side above its high side."""
    low = pair.low.text if pair.low else ""
    high = pair.high.text if pair.high else ""
    alike = pair.low is not None and pair.high is not None and pair.low.unit == pair.high.unit
    findings.fault(
        path,
        given=f"{low} to {high}",
        allowed="the low side must not be above the high one",
        action="swap them" if alike else "check the units of both",
    )


def _from_tolerance(
    nominal_m: float, pair: Pair, *, path: Path, findings: Findings
) -> tuple[float, float] | None:
    if pair.low is None or pair.high is None:
        return None
    if pair.low.value_si > pair.high.value_si:
        reversed_pair(pair, path=(*path, "tolerance"), findings=findings)
        return None
    largest = max(abs(pair.low.value_si), abs(pair.high.value_si))
    if largest > 0.1 * abs(nominal_m):
        findings.fault(
            (*path, "tolerance"),
            given=f"{pair.low.text} to {pair.high.text}",
            allowed="a tolerance is counted from the nominal size and is small beside it",
            action="write size = [low, high] for whole sizes, or check the unit",
        )
        return None
    return nominal_m + pair.low.value_si, nominal_m + pair.high.value_si


def _from_class(
    nominal: Parsed, name: str, *, path: Path, findings: Findings
) -> tuple[float, float] | None:
    try:
        low, high = limits_for_class(nominal_m=nominal.value_si, tolerance_class=name)
    except InputError as error:
        findings.take(error, path=(*path, "class"))
        return None
    return nominal.value_si + low, nominal.value_si + high


def read_limits(
    table: LimitsTable, *, path: Path, expected: Expected, findings: Findings
) -> FitLimits:
    """The limits that a table gives; sides that make no sense are noted and left out."""
    build = _limits(table.build, path=(*path, "build"), expected=expected, findings=findings)
    service = _limits(table.service, path=(*path, "service"), expected=expected, findings=findings)
    target = table.target
    if target is not None and not plausible(
        target, path=(*path, "target"), expected=expected, findings=findings
    ):
        target = None
    _check_service(build, service, path=(*path, "service"), findings=findings)
    if target is not None and (
        (build.low is not None and target.value_si < build.low.value_si)
        or (build.high is not None and target.value_si > build.high.value_si)
    ):
        findings.fault(
            (*path, "target"),
            given=target.text,
            allowed=f"the target must lie inside the build limits ({pair_text(build)})",
        )
    return FitLimits(
        low_m=_si(build.low),
        high_m=_si(build.high),
        service_low_m=_si(service.low),
        service_high_m=_si(service.high),
        target_m=_si(target),
        limits_from=table.source or "",
    )


def limits_unit(table: LimitsTable) -> str | None:
    """The unit in which limits are given."""
    pairs = [pair for pair in (table.build, table.service) if pair is not None]
    sides = [side for pair in pairs for side in (pair.high, pair.low) if side is not None]
    first = next(iter(sides), table.target)
    return first.unit if first else None


def _limits(pair: Pair | None, *, path: Path, expected: Expected, findings: Findings) -> Pair:
    if pair is None:
        return Pair(None, None)
    low, high = (
        side
        if side is not None and plausible(side, path=path, expected=expected, findings=findings)
        else None
        for side in (pair.low, pair.high)
    )
    if low is not None and high is not None and low.value_si > high.value_si:
        reversed_pair(pair, path=path, findings=findings)
        return Pair(None, None)
    return Pair(low, high)


def _check_service(build: Pair, service: Pair, *, path: Path, findings: Findings) -> None:
    for side, words in (("high", "below the high"), ("low", "above the low")):
        ours: Parsed | None = getattr(service, side)
        theirs: Parsed | None = getattr(build, side)
        if ours is None or theirs is None:
            continue
        inside = ours.value_si - theirs.value_si
        if (inside < 0) if side == "high" else (inside > 0):
            findings.fault(
                path,
                given=ours.text,
                allowed=f"the service limit lies inside the build limits: it is {words} build "
                f"limit of {theirs.text}",
                action="a service limit lets more wear through than a build limit; check both",
            )


def pair_text(pair: Pair) -> str:
    """Both sides as typed."""
    low = pair.low.text if pair.low else "no low limit"
    high = pair.high.text if pair.high else "no high limit"
    return f"{low} to {high}"


def _si(value: Parsed | None) -> float | None:
    return None if value is None else value.value_si


def _millimetres(value_m: float) -> str:
    text = format_length(value_m=value_m, unit="mm", decimals=3)
    number, unit = text.split()
    number = number.rstrip("0").rstrip(".") if "." in number else number
    return f"{number} {unit}"
