"""Several ways of measuring one fit held against each other, and what they say together."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from oilwedge.engine.model import Fit, Shape, WayKind
from oilwedge.fits.verdict import Evidence
from oilwedge.fits.way import WayResult, measure_way
from oilwedge.metrology.comparison import Comparison, Estimate, Role, compare
from oilwedge.metrology.size import SizeEstimate


@dataclass(frozen=True, kw_only=True, slots=True)
class FitMeasurement:
    """All that was measured of one fit.

    ``leading`` is the way whose form (tightest and loosest place) carries the result, moved onto
    the combined mean of all the ways that decide; ``disagree`` says that two ways do not fit
    together within their uncertainty, so that nothing was averaged.
    """

    ways: tuple[WayResult, ...]
    evidence: Evidence
    leading: WayResult | None = None
    comparison: Comparison | None = None

    @property
    def disagree(self) -> bool:
        """Whether two ways contradict each other."""
        return self.comparison is not None and not self.comparison.agree


def _role(result: WayResult) -> Role:
    """Gauges decide; the strip cross-checks the assembly."""
    return Role.CROSS_CHECK if result.way.kind is WayKind.STRIP else Role.DECIDES


def _merged_bounds(results: Sequence[WayResult]) -> Evidence:
    """Put together what one-sided readings say when nothing gave a size."""
    lows = [r.evidence.at_least_m for r in results if r.evidence.at_least_m is not None]
    highs = [r.evidence.at_most_m for r in results if r.evidence.at_most_m is not None]
    return Evidence(at_least_m=max(lows) if lows else None, at_most_m=min(highs) if highs else None)


def _moved(evidence: Evidence, comparison: Comparison | None) -> Evidence:
    """Move a way's mean, tightest and loosest place onto the combined mean."""
    if comparison is None or comparison.combined is None or evidence.mean is None:
        return evidence
    shift = comparison.combined - evidence.mean
    return Evidence(
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
    if len(usable) == 1:
        return FitMeasurement(ways=results, evidence=leading.evidence, leading=leading)
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
    return FitMeasurement(ways=results, evidence=evidence, leading=leading, comparison=comparison)


def _uncertainty(result: WayResult) -> float:
    mean = result.evidence.mean
    return float("inf") if mean is None else mean.standard_uncertainty
