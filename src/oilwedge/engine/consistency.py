"""Whether the sizes of an engine file go together, with each other and with the limits."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from oilwedge.engine.catalogue import Catalogue, FitTraits
from oilwedge.engine.model import Feature, Fit, Judged, LimitsSource, Shape, Way
from oilwedge.toml_faults import Findings
from oilwedge.units import format_length

_ROUNDING_M = 1e-9  # sizes typed in inches meet limits typed in millimetres


@dataclass(frozen=True, slots=True)
class _Span:
    low_m: float
    high_m: float


def check_consistency(
    *,
    features: Mapping[str, Feature],
    fits: Mapping[str, Fit],
    catalogue: Catalogue,
    findings: Findings,
) -> None:
    """Faults for what cannot be assembled, warnings for sizes that the limits do not allow."""
    impossible = _impossible_pairs(features, catalogue=catalogue, findings=findings)
    for key, fit in fits.items():
        if fit.judged is not Judged.SIZE or fit.limits_source is LimitsSource.SIZE:
            continue
        for number in _numbers_to_check(fit, features):
            for way in fit.ways:
                if (key, way.key) not in impossible:
                    _check_way(fit, way, number=number, features=features, findings=findings)


def _numbers_to_check(fit: Fit, features: Mapping[str, Feature]) -> list[int]:
    """1 stands for all that are alike; numbers that differ are looked at one by one."""
    special = set(fit.exceptions)
    for key in fit.features:
        special |= set(features[key].exceptions) if key in features else set()
    usual = next((number for number in fit.numbers if number not in special), None)
    numbers = special if usual is None else special | {usual}
    return sorted(number for number in numbers if number in fit.numbers)


def _impossible_pairs(
    features: Mapping[str, Feature], *, catalogue: Catalogue, findings: Findings
) -> set[tuple[str, str]]:
    """Fits and ways in which a shaft is larger than the bore that it has to go into."""
    found: set[tuple[str, str]] = set()
    told: set[tuple[str, str, int]] = set()
    for key, fit in catalogue.fits.items():
        if catalogue.traits.get(key, FitTraits()).interference:
            continue
        for way in fit.ways:
            bores = [t.feature for t in way.terms if _is(t.feature, Shape.INSIDE, features)]
            shafts = [t.feature for t in way.terms if _is(t.feature, Shape.OUTSIDE, features)]
            if len(bores) != 1 or len(shafts) != 1:
                continue
            bore, shaft = features[bores[0]], features[shafts[0]]
            for number in sorted({1, *bore.exceptions, *shaft.exceptions}):
                outer, inner = _span(bore.at(number)), _span(shaft.at(number))
                if outer is None or inner is None or inner.low_m < outer.high_m:
                    continue
                found.add((key, way.key))
                if (shaft.key, bore.key, number) not in told:
                    told.add((shaft.key, bore.key, number))
                    _tell_impossible(shaft, bore, number=number, findings=findings)
    return found


def _is(key: str, shape: Shape, features: Mapping[str, Feature]) -> bool:
    return key in features and features[key].shape is shape


def _tell_impossible(shaft: Feature, bore: Feature, *, number: int, findings: Findings) -> None:
    inner, outer = _span(shaft.at(number)), _span(bore.at(number))
    if inner is None or outer is None:
        return
    one = number in shaft.exceptions or number in bore.exceptions
    words = f" {number}" if one else ""
    path: tuple[str, ...] = ("features", shaft.key)
    if number in shaft.exceptions:
        path = (*path, "numbers", str(number))
    findings.fault(
        path,
        given=_text(inner.low_m, shaft.unit),
        allowed=f"{shaft.title}{words} is not smaller than {bore.title}{words} "
        f"({_text(outer.high_m, bore.unit)}) that it goes into",
        action="check both figures and their units",
    )


def _span(feature: Feature) -> _Span | None:
    low = feature.low_m if feature.low_m is not None else feature.nominal_m
    high = feature.high_m if feature.high_m is not None else feature.nominal_m
    return None if low is None or high is None else _Span(low, high)


def _check_way(
    fit: Fit, way: Way, *, number: int, features: Mapping[str, Feature], findings: Findings
) -> None:
    limits = fit.at(number)
    low = high = 0.0
    figures: list[str] = []
    for term in way.terms:
        feature = features.get(term.feature)
        span = _span(feature.at(number)) if feature else None
        if feature is None or span is None:
            return
        ends = sorted((term.coefficient * span.low_m, term.coefficient * span.high_m))
        low, high = low + ends[0], high + ends[1]
        figures.append(feature.title)
    too_small = limits.low_m is not None and high < limits.low_m - _ROUNDING_M
    too_large = limits.high_m is not None and low > limits.high_m + _ROUNDING_M
    if not (too_small or too_large):
        return
    one = f" {number}" if number in fit.exceptions or len(fit.numbers) == 1 else ""
    path: tuple[str, ...] = ("fits", fit.key)
    if number in fit.exceptions:
        path = (*path, "numbers", str(number))
    findings.warning(
        (*path, "build"),
        given=_limits_text(limits),
        allowed=f"the sizes of {_listed(figures)} make {fit.title}{one} "
        f"{_range_text(low, high, fit.unit)}, which lies wholly "
        f"{'under' if too_small else 'over'} the build limits",
        action="check the sizes, the limits and their units",
    )


def _listed(titles: list[str]) -> str:
    return titles[0] if len(titles) == 1 else f"{', '.join(titles[:-1])} and {titles[-1]}"


def _limits_text(fit: Fit) -> str:
    low = _text(fit.low_m, fit.unit) if fit.low_m is not None else "no low limit"
    high = _text(fit.high_m, fit.unit) if fit.high_m is not None else "no high limit"
    return f"{low} to {high}"


def _range_text(low: float, high: float, unit: str) -> str:
    ends = _text(low, unit), _text(high, unit)
    return ends[0] if ends[0] == ends[1] else f"{ends[0]} to {ends[1]}"


_DECIMALS = {"mm": 3, "in": 5, "thou": 2, "µm": 1}


def _text(value_m: float, unit: str) -> str:
    shown = unit if unit in _DECIMALS else "mm"
    return format_length(value_m=value_m, unit=shown, decimals=_DECIMALS[shown])
