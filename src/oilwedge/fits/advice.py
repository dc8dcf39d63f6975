"""What would decide: how many fittings, with which instruments, or that none on the list can.

The number is fixed before anything more is measured. Measuring again until it passes is not on
offer: it turns a coin-toss into a pass.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from oilwedge.engine.model import Feature, Fit, Judged, JudgedAt, Shape, Way, WayKind
from oilwedge.fits.evidence import Evidence
from oilwedge.fits.verdict import Doubt, Proof, Verdict
from oilwedge.metrology.form import Design, form_design
from oilwedge.metrology.instrument import GENERIC_INSTRUMENTS, Instrument
from oilwedge.metrology.size import UNSEEN_FORM_M
from oilwedge.uncertainty.conformity import DecisionRule
from oilwedge.uncertainty.coverage import normal_cdf
from oilwedge.uncertainty.quantity import SourceKind

MOST_FITTINGS = 10
TWO_SIDED = 1.959964  # normal quantile for 2.5 % on one side
ONE_SIDED = 1.644854  # for 5 %
SHARE_OF_WINDOW = 0.25  # the old 4:1 rule of the measuring room

Scatters = Mapping[tuple[str, str], float]


@dataclass(frozen=True, kw_only=True, slots=True)
class Remedy:
    """One way of deciding: these instruments, this many fittings, then this U.

    ``chance`` is the chance that this U decides; None where there is no value to go by.
    """

    way: Way
    instruments: tuple[Instrument, ...]
    fittings: int
    expanded_m: float
    chance: float | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class Advice:
    """What would decide a fit.

    ``needed_m`` is the U that must be reached; ``remedies`` reach it, fewest fittings first;
    ``best`` is the most that the listed instruments could do when none reaches it.
    """

    needed_m: float
    remedies: tuple[Remedy, ...]
    best: Remedy | None


def needed_expanded_m(*, verdict: Verdict, evidence: Evidence) -> float | None:
    """Give the U at which the open limits would be decided if the value stays where it is.

    Form that may hide is room lost on the allowed side. Where there is no value to stay (one-sided
    readings) or none to be had (U as wide as the window), a quarter of the window, or of the way
    from the bound to an only limit.
    """
    limits = verdict.limits
    if verdict.doubt in (Doubt.ONE_SIDED, Doubt.WIDER_THAN_WINDOW):
        if limits.low_m is not None and limits.high_m is not None:
            return SHARE_OF_WINDOW * (limits.high_m - limits.low_m)
        bounds = [one for one in (evidence.at_least_m, evidence.at_most_m) if one is not None]
        rooms = [
            abs(one.limit_m - bound_m)
            for one in verdict.findings
            if one.proof is Proof.OPEN
            for bound_m in bounds
            if bound_m != one.limit_m
        ]
        return SHARE_OF_WINDOW * min(rooms) if rooms else None
    margins = [
        one.margin_m - evidence.hidden_form_m if one.inside else -one.margin_m
        for one in verdict.findings
        if one.proof is Proof.OPEN and one.margin_m is not None
    ]
    # With no room left no U decides: the form has to be read in full first.
    return min(margins) if margins and min(margins) > 0.0 else None


def _suits(instrument: Instrument, feature: Feature) -> bool:
    if instrument.kind.value != feature.instrument:
        return False
    return instrument.spans(feature.reference_m if feature.positive else None)


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
                if features[other.feature].shape is feature.shape and one in suited
            ]
            longer += [(*chosen, one) for one in (same[:1] or suited)]
        sets = longer
    return sets


def _shared_error_variance(
    way: Way,
    chosen: Sequence[Instrument],
    features: Mapping[str, Feature],
    by_key: Mapping[str, Instrument],
) -> float:
    """Add up permissible errors with their signs, so that a shared one cancels.

    A gap is read as a difference: what its gauge was set in has no part in it.
    """
    weights: dict[str, float] = {}
    for term, instrument in zip(way.terms, chosen, strict=True):
        weights[instrument.key] = weights.get(instrument.key, 0.0) + term.coefficient
        if instrument.set_in and features[term.feature].shape is not Shape.GAP:
            weights[instrument.set_in] = weights.get(instrument.set_in, 0.0) + term.coefficient
    return sum(
        weight**2 * by_key[key].permissible_error_m ** 2 / 3.0
        for key, weight in weights.items()
        if key in by_key
    )


def quick_plan_design(feature: Feature) -> Design:
    """The quick plan of a feature as the form fit sees it."""
    spots = [
        (place.position if place else None, direction.angle_deg if direction else None)
        for place in feature.quick_places or (None,)
        for direction in feature.quick_directions or (None,)
    ]
    return form_design(
        positions=tuple(z for z, _ in spots), angles_deg=tuple(angle for _, angle in spots)
    )


@dataclass(frozen=True, kw_only=True, slots=True)
class _Scatter:
    """Variances of mean, slope, barrel and of each two-lobed part that scatter alone causes."""

    mean: float = 0.0
    slope: float = 0.0
    barrel: float = 0.0
    lobes: tuple[float, ...] = ()

    def plus(self, design: Design, *, times: float) -> _Scatter:
        """Add what one more feature brings: each coefficient carries Σ weight² of a reading's."""
        mean, slope, barrel, cosine, sine = (times * (design.weights**2).sum(axis=1)).tolist()
        return _Scatter(
            mean=self.mean + mean,
            slope=self.slope + slope,
            barrel=self.barrel + barrel,
            lobes=(*self.lobes, cosine + sine),
        )

    def of(self, fit: Fit) -> float:
        """The variance of what the fit judges.

        Taper is twice the slope, out-of-round twice the lobe. The extremes are mean less (or
        plus) |slope|, barrel and lobes: near zero these are all of one sign, whatever the noise,
        so that they add up more than independent errors do (E|x||y| = 2/π for normal ones).
        """
        if fit.judged is Judged.TAPER:
            return 4.0 * self.slope
        if fit.judged is Judged.OUT_OF_ROUND:
            return 4.0 * sum(self.lobes)
        if JudgedAt.EXTREME not in (fit.low_judged_at, fit.high_judged_at):
            return self.mean
        parts = (self.slope, (2.0 / 3.0) ** 2 * self.barrel, *self.lobes)
        together = sum(math.sqrt(part) for part in parts) ** 2
        alike = 2.0 / math.pi
        return self.mean + (1.0 - alike) * sum(parts) + alike * together


def _scatter_of(instrument: Instrument, feature: str, scatters: Scatters) -> float:
    """What the readings showed, else experience, else what is assumed of such an instrument."""
    seen = scatters.get((feature, instrument.key))
    if seen is not None:
        return seen
    if instrument.repeatability_m is not None:
        return instrument.repeatability_m
    return max(instrument.permissible_error_m / 2.0, instrument.resolution_m)


@dataclass(frozen=True, kw_only=True, slots=True)
class _Candidate:
    """A way with its instruments: what more fittings shrink, and what they do not."""

    way: Way
    instruments: tuple[Instrument, ...]
    shrinking: float
    staying: float
    factor: float

    def after(self, fittings: int) -> Remedy:
        variance = self.shrinking / fittings + self.staying
        return Remedy(
            way=self.way,
            instruments=self.instruments,
            fittings=fittings,
            expanded_m=self.factor * math.sqrt(variance),
        )


def _candidate(
    *,
    fit: Fit,
    way: Way,
    chosen: tuple[Instrument, ...],
    features: Mapping[str, Feature],
    by_key: Mapping[str, Instrument],
    scatters: Scatters,
    temperature_m: float,
    factor: float,
) -> _Candidate:
    """Reckon the variances of one quick plan a fitting, the gauge set anew each time."""
    form_only = fit.judged is not Judged.SIZE
    scatter, shrinking = _Scatter(), 0.0
    for term, instrument in zip(way.terms, chosen, strict=True):
        feature = features[term.feature]
        scatter_m = _scatter_of(instrument, term.feature, scatters)
        single = scatter_m**2 + instrument.resolution_m**2 / 12.0
        scatter = scatter.plus(quick_plan_design(feature), times=term.coefficient**2 * single)
        if not form_only:  # what all readings of a fitting share leaves the form alone
            fitting = instrument.setup_m**2 + instrument.setting_m**2
            if way.kind is WayKind.ZEROED_GAUGE and instrument.set_in in by_key:
                master = by_key[instrument.set_in]  # felt at the journal with each zeroing
                fitting += (master.repeatability_m or 0.0) ** 2 + master.setup_m**2
            shrinking += term.coefficient**2 * fitting
    shrinking += scatter.of(fit)
    staying = 0.0
    if not form_only:
        staying = _shared_error_variance(way, chosen, features, by_key)
        staying += temperature_m**2 + way.extra_standard_uncertainty_m**2
        if way.kind is WayKind.ZEROED_GAUGE:
            staying += UNSEEN_FORM_M**2 / 3.0
    return _Candidate(
        way=way, instruments=chosen, shrinking=shrinking, staying=staying, factor=factor
    )


def chance_to_decide(
    *, margin_m: float, now_m: float, remedy: Remedy, factor: float, hidden_m: float = 0.0
) -> float:
    """The chance that a value measured by the remedy clears the limit by its U, on either side.

    The value is at ``margin_m`` (m, positive on the allowed side) from the limit with standard
    uncertainty ``now_m``; the next one is expected there with both uncertainties in it, and
    decides where it lies further from the limit than the remedy's U, and on the allowed side than
    that and the form that may hide. ``factor`` is that U's k.
    """
    spread = math.hypot(now_m, remedy.expanded_m / factor)
    if spread == 0.0:
        inside = margin_m >= remedy.expanded_m + hidden_m
        return 1.0 if inside or -margin_m >= remedy.expanded_m else 0.0
    above = normal_cdf((margin_m - remedy.expanded_m - hidden_m) / spread)
    below = normal_cdf((-margin_m - remedy.expanded_m) / spread)
    return above + below


def _with_chance(remedy: Remedy, *, verdict: Verdict, evidence: Evidence, factor: float) -> Remedy:
    """Add the chance at the open limit that lies nearest."""
    margins = [
        (one.margin_m, one)
        for one in verdict.findings
        if one.proof is Proof.OPEN and one.margin_m is not None
    ]
    if verdict.doubt is not Doubt.UNCERTAINTY or not margins:
        return remedy
    margin_m, finding = min(margins, key=lambda item: abs(item[0]))
    value = evidence.smallest if finding.limit.is_lower else evidence.largest
    if value is None:
        return remedy
    chance = chance_to_decide(
        margin_m=margin_m,
        now_m=value.standard_uncertainty,
        remedy=remedy,
        factor=factor,
        hidden_m=evidence.hidden_form_m,
    )
    return replace(remedy, chance=chance)


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
    scatters: Scatters | None = None,
) -> Advice | None:
    """Say how many fittings with which instruments on the list would decide this fit.

    Each candidate's U is predicted from its own budget (repeatability and resolution over the
    readings, set-up and setting over the fittings, permissible errors with their correlation,
    the temperature part as it stands), for the tightest or loosest place where that is what is
    judged. ``scatters`` are standard deviations that readings showed, by feature and instrument.
    The strip is never the remedy: it is what a gauge decides. None when nothing is open.
    """
    needed = needed_expanded_m(verdict=verdict, evidence=evidence)
    if needed is None:
        return None
    listed = list(instruments)
    by_key = {**GENERIC_INSTRUMENTS, **{one.key: one for one in listed}}
    two_sided = verdict.limits.low_m is not None and verdict.limits.high_m is not None
    proving = verdict.rule is DecisionRule.SAFETY_MARGIN and not two_sided
    factor = ONE_SIDED if proving else TWO_SIDED
    remedies: list[Remedy] = []
    best: Remedy | None = None
    for way in fit.ways:
        if way.kind is WayKind.STRIP:
            continue
        for chosen in _choices(way, features, listed):
            candidate = _candidate(
                fit=fit,
                way=way,
                chosen=chosen,
                features=features,
                by_key=by_key,
                scatters=scatters or {},
                temperature_m=_temperature_m(evidence),
                factor=factor,
            )
            most = candidate.after(MOST_FITTINGS)
            if best is None or most.expanded_m < best.expanded_m:
                best = most
            tried = (candidate.after(fittings) for fittings in range(1, MOST_FITTINGS + 1))
            found = next((one for one in tried if one.expanded_m <= needed), None)
            remedies += [found] if found is not None else []
    remedies.sort(key=lambda one: (one.fittings, one.expanded_m))
    told = [
        _with_chance(one, verdict=verdict, evidence=evidence, factor=factor) for one in remedies
    ]
    return Advice(needed_m=needed, remedies=tuple(told), best=best)
