"""Several ways of measuring one fit held against each other, and what they say together."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from oilwedge.engine.model import Fit, Shape, WayKind
from oilwedge.fits.evidence import Evidence
from oilwedge.fits.way import WayResult, measure_way
from oilwedge.metrology.comparison import (
    Comparison,
    Estimate,
    Pair,
    Role,
    compare,
    contradicts_bounds,
)
from oilwedge.metrology.likely_cause import Disagreement, LikelyCause, likely_causes
from oilwedge.metrology.size import SizeEstimate


@dataclass(frozen=True, kw_only=True, slots=True)
class FitMeasurement:
    """All that was measured of one fit.

    ``leading`` is the way whose form (tightest and loosest place) carries the result, moved onto
    the combined mean of all the ways that decide; ``disagree`` says that two ways do not fit
    together within their uncertainty, so that nothing was averaged.
    ``against_bound`` is a way whose one-sided reading contradicts the leading one.
    """

    ways: tuple[WayResult, ...]
    evidence: Evidence
    leading: WayResult | None = None
    comparison: Comparison | None = None
    against_bound: WayResult | None = None

    @property
    def disagree(self) -> bool:
        """Whether two ways contradict each other."""
        if self.against_bound is not None or self.evidence.contradicts_itself:
            return True
        return self.comparison is not None and not self.comparison.agree

    @property
    def causes(self) -> tuple[LikelyCause, ...]:
        """The usual causes of the contradiction, most likely first; empty where there is none."""
        kinds = {result.way.key: result.way.kind for result in self.ways}
        if self.against_bound is not None and self.leading is not None:
            most_m, mean = self.against_bound.evidence.at_most_m, self.leading.evidence.mean
            strip_smaller = most_m is not None and mean is not None and mean.value > most_m
            if self.against_bound.way.kind is not WayKind.STRIP:
                return likely_causes(Disagreement.OTHER)
            return likely_causes(
                Disagreement.STRIP_SMALLER if strip_smaller else Disagreement.STRIP_LARGER
            )
        if self.evidence.contradicts_itself:
            return likely_causes(Disagreement.OTHER)
        if self.comparison is None or self.comparison.agree:
            return ()
        worst = max(self.comparison.pairs, key=lambda pair: abs(pair.normalised_error))
        return likely_causes(_disagreement(worst, kinds))


def _disagreement(pair: Pair, kinds: Mapping[str, WayKind]) -> Disagreement:
    """Name the kind of contradiction: which way reads smaller."""
    for key, sign in ((pair.first, 1.0), (pair.second, -1.0)):
        smaller = sign * pair.difference.value < 0.0
        if kinds[key] is WayKind.STRIP:
            return Disagreement.STRIP_SMALLER if smaller else Disagreement.STRIP_LARGER
        if kinds[key] is WayKind.WALLS:
            return Disagreement.WALLS_SMALLER if smaller else Disagreement.WALLS_LARGER
        if kinds[key] is WayKind.ZEROED_GAUGE:
            return Disagreement.ZEROED_GAUGE_DIFFERS
    return Disagreement.OTHER


def _against_bound(results: Sequence[WayResult], leading: WayResult) -> WayResult | None:
    """Find a way whose "at most" or "at least" the leading way's mean contradicts."""
    mean = leading.evidence.mean
    if mean is None:
        return None
    for result in results:
        bound = result.evidence
        one_sided = bound.at_least_m is not None or bound.at_most_m is not None
        if (
            one_sided
            and result is not leading
            and contradicts_bounds(
                quantity=mean, at_least_m=bound.at_least_m, at_most_m=bound.at_most_m
            )
        ):
            return result
    return None


def _role(result: WayResult) -> Role:
    """Gauges decide; the strip cross-checks the assembly."""
    return Role.CROSS_CHECK if result.way.kind is WayKind.STRIP else Role.DECIDES


def _merged_bounds(results: Sequence[WayResult]) -> Evidence:
    """Put together what one-sided readings say when nothing gave a size."""
    found = [result.evidence for result in results]
    return Evidence(
        at_least_m=_largest(one.at_least_m for one in found),
        at_most_m=_smallest(one.at_most_m for one in found),
        everywhere_at_least_m=_largest(one.everywhere_at_least_m for one in found),
        everywhere_at_most_m=_smallest(one.everywhere_at_most_m for one in found),
    )


def _largest(values: Iterable[float | None]) -> float | None:
    return max((value for value in values if value is not None), default=None)


def _smallest(values: Iterable[float | None]) -> float | None:
    return min((value for value in values if value is not None), default=None)


def _moved(evidence: Evidence, comparison: Comparison | None) -> Evidence:
    """Move a way's mean, tightest and loosest place onto the combined mean."""
    if comparison is None or comparison.combined is None or evidence.mean is None:
        return evidence
    shift = comparison.combined - evidence.mean
    return replace(
        evidence,
        mean=comparison.combined,
        smallest=None if evidence.smallest is None else evidence.smallest + shift,
        largest=None if evidence.largest is None else evidence.largest + shift,
    )


def measure_fit(
    *,
    fit: Fit,
    label: str,
    sizes: Mapping[str, SizeEstimate],
    shapes: Mapping[str, Shape],
) -> FitMeasurement:
    """Carry out every way that the readings allow, compare them, and put them together.

    Where they agree the deciding ways are combined by generalised least squares with their
    covariance; where they do not, the leading way's figures are kept for showing only.
    """
    results = tuple(
        measure_way(fit=fit, way=way, label=label, sizes=sizes, shapes=shapes) for way in fit.ways
    )
    usable = [result for result in results if result.usable]
    if not usable:
        return FitMeasurement(ways=results, evidence=_merged_bounds(results))
    deciding = [result for result in usable if _role(result) is Role.DECIDES] or usable
    leading = min(deciding, key=_uncertainty)
    against_bound = _against_bound(results, leading)
    if len(usable) == 1:
        return FitMeasurement(
            ways=results, evidence=leading.evidence, leading=leading, against_bound=against_bound
        )
    window_m = None
    if fit.low_m is not None and fit.high_m is not None:
        window_m = fit.high_m - fit.low_m
    comparison = compare(
        estimates=[
            Estimate(name=result.way.key, quantity=result.evidence.mean, role=_role(result))
            for result in usable
            if result.evidence.mean is not None
        ],
        tolerance_m=window_m,
    )
    evidence = leading.evidence
    if comparison.agree:
        evidence = _moved(evidence, comparison)
    return FitMeasurement(
        ways=results,
        evidence=evidence,
        leading=leading,
        comparison=comparison,
        against_bound=against_bound,
    )


def _uncertainty(result: WayResult) -> float:
    mean = result.evidence.mean
    return float("inf") if mean is None else mean.standard_uncertainty
