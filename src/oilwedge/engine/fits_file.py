"""The fits of an engine file: kinds of the catalogue with their limits, and a person's own."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from oilwedge.engine.catalogue import Catalogue, FitTraits
from oilwedge.engine.features_file import ask_for_cam_bearings, check_parts, exception_number
from oilwedge.engine.layout import Per
from oilwedge.engine.model import (
    Feature,
    Fit,
    FitLimits,
    Judged,
    JudgedAt,
    LimitsSource,
    RunoutMeaning,
    ServiceFor,
    Term,
    Way,
    WayKind,
)
from oilwedge.engine.schema import FitTable, LimitsTable, TermTable
from oilwedge.engine.sizes import Expected, limits_unit, read_limits
from oilwedge.errors import did_you_mean
from oilwedge.toml_faults import Findings
from oilwedge.toml_text import Path

_OWN_LIMITS = (-0.1, 2.0)
_SAME_COUNT = {Per.ROD: Per.CYLINDER}  # rod 3 is the rod of cylinder 3
_FROM_SIZE = "size of {title} in this file"


def used_features(tables: Mapping[str, FitTable], *, catalogue: Catalogue) -> list[str]:
    """Keys of the features that the fits of a file need."""
    keys: list[str] = []
    for key, table in tables.items():
        if key in catalogue.fits:
            keys += catalogue.fits[key].features
        elif table.terms:
            keys += [term.feature for term in table.terms if term.feature]
    return keys


def read_fits(
    tables: Mapping[str, FitTable],
    *,
    features: Mapping[str, Feature],
    counts: Mapping[Per, int],
    catalogue: Catalogue,
    findings: Findings,
) -> dict[str, Fit]:
    """Every fit of the file, in catalogue order, own ones last."""
    fits: dict[str, Fit] = {}
    order = [key for key in catalogue.fits if key in tables]
    order += [key for key in tables if key not in catalogue.fits]
    for key in order:
        table = tables[key]
        kind = catalogue.fits.get(key)
        if kind is None:
            kind = _own_kind(key, table, features=features, catalogue=catalogue, findings=findings)
        elif table.terms is not None:
            findings.fault(
                ("fits", key, "terms"),
                given=key,
                allowed="this fit is in the catalogue, which says what it is made of",
                action="take terms out, or give your fit a name of its own",
            )
        if kind is not None:
            filled = _filled(kind, table, counts=counts, catalogue=catalogue, findings=findings)
            fits[key] = _with_limits_of_size(filled, features=features)
            _check_length_known(filled, features=features, findings=findings)
    return fits


def _check_length_known(fit: Fit, *, features: Mapping[str, Feature], findings: Findings) -> None:
    """A taper per length can be judged only where the length of the feature is known."""
    feature = features.get(fit.features[0])
    if fit.judged is not Judged.TAPER or fit.per_length_m is None:
        return
    if feature is None or feature.length_m is not None:
        return
    findings.missing(
        ("features", feature.key, "length"),
        allowed=f"{fit.title} is limited per length, and over which length {feature.title} is"
        " read is not said",
        action='add length = "..."',
    )


def _own_kind(
    key: str,
    table: FitTable,
    *,
    features: Mapping[str, Feature],
    catalogue: Catalogue,
    findings: Findings,
) -> Fit | None:
    path: Path = ("fits", key)
    lacking = [
        name
        for name in ("title", "per", "terms")
        if getattr(table, name) is None and (*path, name) not in findings.cut
    ]
    if lacking:
        findings.fault(
            path,
            given=key,
            allowed="this fit is not in the catalogue, and one of your own needs "
            f"{', '.join(lacking)}",
            action=did_you_mean(given=key, allowed=catalogue.fits),
        )
    if table.title is None or table.per is None or table.terms is None:
        return None
    per = Per(table.per)
    terms = [
        _term(term, path=(*path, "terms", at), per=per, features=features, findings=findings)
        for at, term in enumerate(table.terms)
    ]
    known = tuple(term for term in terms if term is not None)
    if len(known) != len(terms):
        return None
    parts = dict.fromkeys(part for term in known for part in features[term.feature].parts)
    kind = WayKind.DIRECT if len(known) == 1 else WayKind.GAUGED
    way = Way(key="own", title="as the engine file says", kind=kind, terms=known)
    return Fit(key=key, title=table.title, per=per, count=0, ways=(way,), parts=tuple(parts))


def _term(
    table: TermTable,
    *,
    path: Path,
    per: Per,
    features: Mapping[str, Feature],
    findings: Findings,
) -> Term | None:
    if table.feature is None or table.times is None:
        findings.fault(
            path,
            given="a term",
            allowed="a term needs feature and times",
            action='write { feature = "pin", times = -1 }',
        )
        return None
    feature = features.get(table.feature)
    if feature is None:
        if ("features", table.feature) not in findings.cut:
            findings.fault(
                (*path, "feature"),
                given=table.feature,
                allowed="this feature is neither in the catalogue nor in this file",
                action=did_you_mean(given=table.feature, allowed=features)
                or f"add [features.{table.feature}] with title, per and shape",
            )
        return None
    if feature.per is not Per.ENGINE and _counted(feature.per) is not _counted(per):
        findings.fault(
            (*path, "feature"),
            given=table.feature,
            allowed=f"this fit is counted by {per.value} and '{feature.title}' by "
            f"{feature.per.value}",
            action="take features that are counted alike",
        )
        return None
    return Term(coefficient=table.times, feature=table.feature)


def _counted(per: Per) -> Per:
    return _SAME_COUNT.get(per, per)


def _filled(
    kind: Fit,
    table: FitTable,
    *,
    counts: Mapping[Per, int],
    catalogue: Catalogue,
    findings: Findings,
) -> Fit:
    path: Path = ("fits", kind.key)
    traits = catalogue.traits.get(kind.key, FitTraits(interference=True))
    kind = _judged(kind, table, catalogue=catalogue, findings=findings)
    upper_only = traits.upper_only or kind.judged is not Judged.SIZE
    expected = expected_limits(kind, catalogue=catalogue)
    count = counts.get(kind.per, 0)
    if count == 0 and kind.per is Per.CAM_BEARING:
        ask_for_cam_bearings(path=path, title=kind.title, findings=findings)
    _check_sides(table, path=path, upper_only=upper_only, findings=findings)
    limits = read_limits(table, path=path, expected=expected, findings=findings)
    at = JudgedAt(table.judged_at)
    if table.parts is not None:
        check_parts(table.parts, path=(*path, "parts"), catalogue=catalogue, findings=findings)
    filled = replace(
        kind,
        title=table.title or kind.title,
        count=count,
        ways=_ways(kind, table, findings=findings),
        parts=kind.parts if table.parts is None else tuple(table.parts),
        unit=limits_unit(table) or "mm",
        low_judged_at=at,
        high_judged_at=at,
        service_for=ServiceFor(table.service_for),
        words_small=table.too_small or kind.words_small,
        if_small=table.if_small or kind.if_small,
        if_large=table.if_large or kind.if_large,
        words_large=table.too_large or kind.words_large,
        words_loose=table.loose or kind.words_loose,
        words_past=table.past or kind.words_past,
        explain=kind.explain if table.explain is None else table.explain,
        exceptions=_exceptions(
            table,
            path=path,
            count=count,
            expected=expected,
            limits=limits,
            upper_only=upper_only,
            findings=findings,
        ),
    )
    return _with_meaning(
        filled.with_limits(limits), table, path=path, traits=traits, findings=findings
    )


def _judged(kind: Fit, table: FitTable, *, catalogue: Catalogue, findings: Findings) -> Fit:
    if table.judged is None or table.judged == kind.judged.value:
        return kind
    if kind.key in catalogue.fits or len(kind.ways[0].terms) != 1:
        findings.fault(
            ("fits", kind.key, "judged"),
            given=table.judged,
            allowed="taper and out of round are judged on one feature by itself, in a fit of "
            "its own",
        )
        return kind
    return replace(kind, judged=Judged(table.judged))


def expected_limits(kind: Fit, *, catalogue: Catalogue) -> Expected:
    """Between which lengths a limit of this fit can be."""
    low, high = catalogue.plausible_limits.get(kind.key, _OWN_LIMITS)
    return Expected(title=f"a limit of '{kind.title}'", low_m=low, high_m=high)


def _check_sides(table: LimitsTable, *, path: Path, upper_only: bool, findings: Findings) -> None:
    build = table.build
    if build is None:
        return
    if build.single and build.high is not None and not upper_only:
        findings.fault(
            (*path, "build"),
            given=build.high.text,
            allowed="a low and a high limit are needed here, [low, high]",
            action=f'write ["", "{build.high.text}"] if there is no low limit',
        )
    if upper_only and build.low is not None and build.low.value_si > 0:
        findings.fault(
            (*path, "build"),
            given=f"{build.low.text} as low limit",
            allowed="form and run-out have an upper limit only",
            action='write it as one text, such as build = "0.01 mm"',
        )


def _ways(kind: Fit, table: FitTable, *, findings: Findings) -> tuple[Way, ...]:
    if table.ways is None:
        return kind.ways
    known = {way.key: way for way in kind.ways}
    for name in table.ways:
        if name not in known:
            findings.fault(
                ("fits", kind.key, "ways"),
                given=name,
                allowed=f"ways of getting at '{kind.title}' are {', '.join(known)}",
                action=did_you_mean(given=name, allowed=known),
            )
    return tuple(known[name] for name in dict.fromkeys(table.ways) if name in known)


def _exceptions(
    table: FitTable,
    *,
    path: Path,
    count: int,
    expected: Expected,
    limits: FitLimits,
    upper_only: bool,
    findings: Findings,
) -> dict[int, FitLimits]:
    found: dict[int, FitLimits] = {}
    for text, own in table.numbers.items():
        number = exception_number(text, path=path, count=count, findings=findings)
        here = (*path, "numbers", text)
        _check_sides(own, path=here, upper_only=upper_only, findings=findings)
        merged = own.model_copy(
            update={
                key: getattr(table, key)
                for key in ("build", "service", "target", "source")
                if getattr(own, key) is None
            }
        )
        # what is inherited was looked at with the fit itself: say only what is new
        before = list(findings.faults)
        special = read_limits(merged, path=here, expected=expected, findings=findings)
        known = {(fault.given, fault.allowed) for fault in before}
        findings.faults[:] = before + [
            fault
            for fault in findings.faults[len(before) :]
            if (fault.given, fault.allowed) not in known
        ]
        if number is not None:
            found[number] = special
    return found


def _with_meaning(
    fit: Fit, table: FitTable, *, path: Path, traits: FitTraits, findings: Findings
) -> Fit:
    meaning = table.meaning
    allowed: tuple[str, ...] = ()
    if fit.judged is Judged.TAPER:
        allowed = ("whole length", "per length")
    elif traits.runout:
        allowed = ("total reading", "bend")
    if meaning is not None and meaning not in allowed:
        words = " or ".join(f"'{one}'" for one in allowed)
        findings.fault(
            (*path, "meaning"),
            given=meaning,
            allowed=f"for {fit.title} it is {words}" if allowed else f"{fit.title} has none",
        )
    if (meaning == "per length") != (table.length is not None):
        findings.fault(
            (*path, "length"),
            given="" if table.length is None else table.length.text,
            allowed='meaning = "per length" and length = "..." go together',
            action='write both, such as length = "25 mm"',
        )
    if meaning == "per length" and table.length is not None and table.length.value_si <= 0:
        findings.fault(
            (*path, "length"), given=table.length.text, allowed="a length above 0 is needed"
        )
    if meaning == "bend":
        halved = tuple(
            replace(
                way,
                terms=tuple(replace(term, coefficient=term.coefficient / 2) for term in way.terms),
            )
            for way in fit.ways
        )
        return replace(fit, meaning=RunoutMeaning.BEND, ways=halved)
    per_length = table.length.value_si if table.length else None
    return replace(fit, per_length_m=per_length)


def _with_limits_of_size(fit: Fit, *, features: Mapping[str, Feature]) -> Fit:
    """A fit that judges a size takes the size's own limits where it is given none."""
    if fit.limits_source is not LimitsSource.SIZE:
        return fit
    own = replace(fit, limits_source=LimitsSource.OWN)
    if fit.low_m is not None or fit.high_m is not None:
        return own
    feature = features.get(fit.features[0])
    if feature is None or (feature.low_m is None and not feature.exceptions):
        return own
    exceptions = dict(fit.exceptions)
    for number, size in feature.exceptions.items():
        base = exceptions.get(number) or FitLimits(
            service_low_m=fit.service_low_m, service_high_m=fit.service_high_m
        )
        exceptions[number] = replace(
            base,
            low_m=size.low_m,
            high_m=size.high_m,
            limits_from=base.limits_from or _FROM_SIZE.format(title=feature.title),
        )
    return replace(
        fit,
        low_m=feature.low_m,
        high_m=feature.high_m,
        unit=feature.unit,
        limits_from=fit.limits_from or _FROM_SIZE.format(title=feature.title),
        exceptions=exceptions,
    )
