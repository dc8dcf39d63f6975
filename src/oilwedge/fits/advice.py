"""What would decide: how many fittings, with which instruments, or that none on the list can.

The number is fixed before anything more is measured. Measuring again until it passes is not on
offer: it turns a coin-toss into a pass.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from oilwedge.engine.model import Feature, Fit, Shape, Way, WayKind
from oilwedge.fits.verdict import Doubt, Evidence, Proof, Verdict
from oilwedge.metrology.instrument import Instrument
from oilwedge.uncertainty.conformity import DecisionRule
from oilwedge.uncertainty.quantity import SourceKind

MOST_FITTINGS = 10
TWO_SIDED = 1.959964  # normal quantile for 2.5 % on one side
ONE_SIDED = 1.644854  # for 5 %
SHARE_OF_WINDOW = 0.25  # the old 4:1 rule of the measuring room


@dataclass(frozen=True, kw_only=True, slots=True)
class Remedy:
    """One way of deciding: these instruments, this many fittings, then this U."""

    way: Way
    instruments: tuple[Instrument, ...]
    fittings: int
    expanded_m: float


@dataclass(frozen=True, kw_only=True, slots=True)
class Advice:
    """What would decide a fit.

    ``needed_m`` is the U that must be reached; ``remedies`` reach it, fewest fittings first;
    ``best`` is the most that the listed instruments could do when none reaches it.
    """

    needed_m: float
    remedies: tuple[Remedy, ...]
    best: Remedy | None


def needed_expanded_m(*, verdict: Verdict) -> float | None:
    """Give the U at which the open limits would be decided if the value stays where it is."""
    limits = verdict.limits
    if verdict.doubt in (Doubt.ONE_SIDED, Doubt.WIDER_THAN_WINDOW):
        if limits.low_m is not None and limits.high_m is not None:
            return SHARE_OF_WINDOW * (limits.high_m - limits.low_m)
        return None
    margins = [
        abs(one.margin_m)
        for one in verdict.findings
        if one.proof is Proof.OPEN and one.margin_m is not None
    ]
    return min(margins) if margins else None


def _suits(instrument: Instrument, feature: Feature) -> bool:
    if instrument.kind.value != feature.instrument:
        return False
    size_m = feature.nominal_m if feature.shape is not Shape.GAP else None
    if size_m is None:
        return True
    low_m = instrument.range_low_m if instrument.range_low_m is not None else -math.inf
    high_m = instrument.range_high_m if instrument.range_high_m is not None else math.inf
    return low_m <= size_m <= high_m


def _choices(
    way: Way, features: Mapping[str, Feature], instruments: Sequence[Instrument]
) -> list[tuple[Instrument, ...]]:
    """Every set of one instrument a term, like features (two walls) sharing theirs."""
    sets: list[tuple[Instrument, ...]] = [()]
    for term in way.terms:
        feature = features[term.feature]
        suited = [one for one in instruments if _suits(one, feature)]
        longer = []
        for chosen in sets:
            same = [
                one
                for one, other in zip(chosen, way.terms, strict=False)
                if features[other.feature].shape is feature.shape
            ]
            longer += [(*chosen, one) for one in (same[:1] or suited)]
        sets = longer
    return sets


def _shared_error_variance(
    way: Way, chosen: Sequence[Instrument], by_key: Mapping[str, Instrument]
) -> float:
    """Add up permissible errors with their signs, so that a shared one cancels."""
    weights: dict[str, float] = {}
    for term, instrument in zip(way.terms, chosen, strict=True):
        weights[instrument.key] = weights.get(instrument.key, 0.0) + term.coefficient
        if instrument.set_in in by_key:
            weights[instrument.set_in] = weights.get(instrument.set_in, 0.0) + term.coefficient
    return sum(
        weight**2 * by_key[key].permissible_error_m ** 2 / 3.0 for key, weight in weights.items()
    )


def _expanded(
    *,
    way: Way,
    features: Mapping[str, Feature],
    chosen: Sequence[Instrument],
    by_key: Mapping[str, Instrument],
    fittings: int,
    temperature_m: float,
    factor: float,
) -> float:
    """Predict U of a way's mean after so many fittings, quick plan, gauge set anew each time."""
    shrinking = 0.0
    for term, instrument in zip(way.terms, chosen, strict=True):
        feature = features[term.feature]
        readings = max(1, len(feature.quick_places)) * max(1, len(feature.quick_directions))
        repeat = instrument.repeatability_m or 0.0
        single = repeat**2 + instrument.resolution_m**2 / 12.0
        fitting = instrument.setup_m**2 + instrument.setting_m**2
        shrinking += term.coefficient**2 * (single / readings + fitting)
    variance = (
        shrinking / fittings
        + _shared_error_variance(way, chosen, by_key)
        + temperature_m**2
        + way.extra_standard_uncertainty_m**2
    )
    return factor * math.sqrt(variance)


def _temperature_m(evidence: Evidence) -> float:
    if evidence.mean is None:
        return 0.0
    return math.sqrt(
        sum(
            share**2
            for source, share in evidence.mean.contributions.items()
            if source.kind is SourceKind.TEMPERATURE
        )
    )


def what_would_decide(
    *,
    fit: Fit,
    verdict: Verdict,
    evidence: Evidence,
    features: Mapping[str, Feature],
    instruments: Iterable[Instrument],
) -> Advice | None:
    """Say how many fittings with which instruments on the list would decide this fit.

    Each candidate's U is predicted from its own budget (repeatability and resolution over the
    readings, set-up and setting over the fittings, permissible errors with their correlation,
    the temperature part as it stands). The strip is never the remedy: it is what a gauge decides.
    None when nothing is open.
    """
    needed = needed_expanded_m(verdict=verdict)
    if needed is None:
        return None
    listed = list(instruments)
    by_key = {one.key: one for one in listed}
    two_sided = verdict.limits.low_m is not None and verdict.limits.high_m is not None
    proving = verdict.rule is DecisionRule.SAFETY_MARGIN and not two_sided
    factor = ONE_SIDED if proving else TWO_SIDED
    remedies: list[Remedy] = []
    best: Remedy | None = None
    for way in fit.ways:
        if way.kind is WayKind.STRIP:
            continue
        for chosen in _choices(way, features, listed):
            for fittings in range(1, MOST_FITTINGS + 1):
                expanded = _expanded(
                    way=way,
                    features=features,
                    chosen=chosen,
                    by_key=by_key,
                    fittings=fittings,
                    temperature_m=_temperature_m(evidence),
                    factor=factor,
                )
                remedy = Remedy(way=way, instruments=chosen, fittings=fittings, expanded_m=expanded)
                if best is None or expanded < best.expanded_m:
                    best = remedy
                if expanded <= needed:
                    remedies.append(remedy)
                    break
    remedies.sort(key=lambda one: (one.fittings, one.expanded_m))
    return Advice(needed_m=needed, remedies=tuple(remedies), best=best)
