"""Several ways of measuring one fit, put together or held against each other."""

from __future__ import annotations

import math

import pytest

from oilwedge.engine.model import Fit, Per, Shape, Term, Way, WayKind
from oilwedge.fits.methods import FitMeasurement, measure_fit
from oilwedge.metrology.form import FormFit
from oilwedge.metrology.likely_cause import Disagreement, likely_causes
from oilwedge.metrology.size import SizeEstimate
from oilwedge.uncertainty.quantity import ErrorSource, Quantity, SourceKind

UM = 1e-6
SHAPES = {
    "bore": Shape.INSIDE,
    "housing": Shape.INSIDE,
    "wall": Shape.WALL,
    "shaft": Shape.OUTSIDE,
    "gap": Shape.GAP,
    "strip": Shape.STRIP,
}


def term(feature: str, times: float) -> Term:
    return Term(coefficient=times, feature=feature)


WAYS = (
    Way(key="bore", title="bore", kind=WayKind.GAUGED, terms=(term("bore", 1), term("shaft", -1))),
    Way(
        key="walls",
        title="walls",
        kind=WayKind.WALLS,
        terms=(term("housing", 1), term("wall", -2), term("shaft", -1)),
    ),
    Way(key="gauge", title="gauge", kind=WayKind.ZEROED_GAUGE, terms=(term("gap", 1),)),
    Way(key="strip", title="strip", kind=WayKind.STRIP, terms=(term("strip", 1),)),
)
FIT = Fit(
    key="f",
    title="fit",
    per=Per.ROD,
    count=1,
    ways=WAYS,
    parts=("p",),
    low_m=21 * UM,
    high_m=49 * UM,
)


def size(key: str, um: float, u: float, *, shared: float = 0.0, slope: float = 0.0) -> SizeEstimate:
    errors = {ErrorSource(key=key, kind=SourceKind.OTHER, words=key): u * UM}
    if shared:
        errors[ErrorSource(key="mic", kind=SourceKind.OTHER, words="mic")] = shared * UM
    return SizeEstimate(
        label=key,
        form=FormFit(
            mean=Quantity(um * UM, errors), slope=Quantity(slope * UM, {}) if slope else None
        ),
    )


def bound(least: float | None = None, most: float | None = None) -> SizeEstimate:
    low = None if least is None else least * UM
    high = None if most is None else most * UM
    return SizeEstimate(
        label="strip",
        at_least_m=low,
        at_most_m=high,
        everywhere_at_least_m=low,
        everywhere_at_most_m=high,
    )


def measure(**sizes: SizeEstimate) -> FitMeasurement:
    return measure_fit(fit=FIT, label="fit 1", sizes=sizes, shapes=SHAPES)


SHAFT = size("shaft", 47_972, 1)


def test_one_way_alone_is_the_result_and_nothing_is_compared() -> None:
    found = measure(bore=size("bore", 48_010, 2), shaft=SHAFT)
    assert found.leading is not None
    assert found.leading.way.key == "bore"
    assert found.comparison is None
    assert not found.disagree
    assert found.causes == ()
    assert [one.way.key for one in found.ways] == ["bore", "walls", "gauge", "strip"]


def test_two_that_agree_are_weighted_by_what_they_do_not_share() -> None:
    """Generalised least squares by hand: the shaft is in both, so 2² against 4² decides, 16:4."""
    found = measure(
        bore=size("bore", 48_010, 2),
        housing=size("housing", 51_012, 4),
        wall=size("wall", 1_500, 0),
        shaft=SHAFT,
    )
    assert found.comparison is not None
    assert found.comparison.weights == pytest.approx({"bore": 0.8, "walls": 0.2})
    mean = found.evidence.mean
    assert mean is not None
    assert mean.value == pytest.approx((0.8 * 38 + 0.2 * 40) * UM)
    assert mean.standard_uncertainty == pytest.approx(math.sqrt(1 + 1.6**2 + 0.8**2) * UM)


def test_the_form_of_the_leading_way_moves_onto_the_combined_mean() -> None:
    found = measure(
        bore=size("bore", 48_010, 2, slope=5),
        gap=size("gap", 41, 2),
        shaft=size("shaft", 47_972, 0),
    )
    evidence = found.evidence
    assert evidence.mean is not None
    assert evidence.smallest is not None
    assert evidence.largest is not None
    assert evidence.mean.value == pytest.approx(39.5 * UM)
    assert evidence.smallest.value == pytest.approx(34.5 * UM)
    assert evidence.largest.value == pytest.approx(44.5 * UM)


def test_the_strip_checks_and_never_counts_beside_a_gauge() -> None:
    found = measure(bore=size("bore", 48_010, 2), shaft=SHAFT, strip=size("strip", 42, 0.1))
    assert found.leading is not None
    assert found.leading.way.key == "bore"
    assert found.evidence.mean is not None
    assert found.evidence.mean.value == pytest.approx(38 * UM)


def test_a_strip_alone_decides() -> None:
    found = measure(strip=size("strip", 42, 3))
    assert found.leading is not None
    assert found.leading.way.key == "strip"


@pytest.mark.parametrize(
    ("sizes", "kind"),
    [
        ({"strip": size("strip", 20, 2)}, Disagreement.STRIP_SMALLER),
        ({"strip": size("strip", 60, 2)}, Disagreement.STRIP_LARGER),
        ({"strip": bound(most=25)}, Disagreement.STRIP_SMALLER),
        ({"strip": bound(least=60)}, Disagreement.STRIP_LARGER),
        ({"strip": bound(least=60, most=80)}, Disagreement.STRIP_LARGER),
        ({"strip": bound(least=10, most=25)}, Disagreement.STRIP_SMALLER),
        ({"gap": size("gap", 60, 3)}, Disagreement.ZEROED_GAUGE_DIFFERS),
        (
            {"housing": size("housing", 51_040, 2), "wall": size("wall", 1_500, 0)},
            Disagreement.WALLS_LARGER,
        ),
        (
            {"housing": size("housing", 50_980, 2), "wall": size("wall", 1_500, 0)},
            Disagreement.WALLS_SMALLER,
        ),
    ],
)
def test_a_contradiction_is_named_by_which_way_reads_smaller(
    sizes: dict[str, SizeEstimate], kind: Disagreement
) -> None:
    found = measure(bore=size("bore", 48_010, 2), shaft=SHAFT, **sizes)
    assert found.disagree
    assert found.causes == likely_causes(kind)
    assert found.evidence.mean is not None
    assert found.evidence.mean.value == pytest.approx(38 * UM)  # shown, not averaged


def test_a_bound_that_the_gauges_keep_is_no_contradiction() -> None:
    found = measure(bore=size("bore", 48_010, 2), shaft=SHAFT, strip=bound(25, 50))
    assert not found.disagree
    assert found.evidence.mean is not None


def test_bounds_of_two_ways_tighten_each_other() -> None:
    found = measure(strip=bound(25, 60), gap=bound(30, 80))
    evidence = found.evidence
    assert (evidence.everywhere_at_least_m, evidence.everywhere_at_most_m) == (30 * UM, 60 * UM)
    assert found.leading is None


def test_bounds_of_two_ways_that_exclude_each_other_disagree() -> None:
    found = measure(strip=bound(most=25), gap=bound(least=60))
    assert found.disagree
    assert found.causes == likely_causes(Disagreement.OTHER)


def test_wide_intervals_that_agree_prove_little() -> None:
    found = measure(bore=size("bore", 48_010, 2), shaft=SHAFT, strip=size("strip", 30, 8))
    assert found.comparison is not None
    (pair,) = found.comparison.pairs
    assert pair.agree
    assert pair.proves_little
