"""What would decide: how many fittings, with what, or that nothing on the list can."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from oilwedge.engine.model import (
    Direction,
    Feature,
    Fit,
    Judged,
    JudgedAt,
    Per,
    Place,
    Shape,
    Term,
    Way,
    WayKind,
)
from oilwedge.fits.advice import (
    MOST_FITTINGS,
    Advice,
    Remedy,
    chance_to_decide,
    needed_expanded_m,
    quick_plan_design,
    what_would_decide,
)
from oilwedge.fits.evidence import Evidence
from oilwedge.fits.limits import Condition, LimitsInForce
from oilwedge.fits.verdict import State, judge_fit
from oilwedge.metrology.instrument import Instrument, InstrumentKind
from oilwedge.uncertainty.conformity import DecisionRule
from oilwedge.uncertainty.quantity import ErrorSource, Quantity, SourceKind

UM = 1e-6
FRONT, REAR = Place(name="front", position=-1.0), Place(name="rear", position=1.0)
ALONG, ACROSS = Direction(name="along", angle_deg=0.0), Direction(name="across", angle_deg=90.0)


def feature(key: str, shape: Shape, instrument: str, nominal_mm: float | None = 48.0) -> Feature:
    return Feature(
        key=key,
        title=key,
        per=Per.ROD,
        shape=shape,
        count=4,
        parts=(key,),
        nominal_m=None if nominal_mm is None else nominal_mm * 1e-3,
        quick_places=(FRONT, REAR),
        quick_directions=(ALONG, ACROSS) if shape is Shape.OUTSIDE else (ALONG,),
        instrument=instrument,
    )


FEATURES = {
    "shaft": feature("shaft", Shape.OUTSIDE, "micrometer"),
    "bore": feature("bore", Shape.INSIDE, "bore gauge"),
    "gap": feature("gap", Shape.GAP, "bore gauge", None),
    "strip": feature("strip", Shape.STRIP, "strip", None),
}
BORE = Way(
    key="bore",
    title="bore less shaft",
    kind=WayKind.GAUGED,
    terms=(Term(coefficient=1.0, feature="bore"), Term(coefficient=-1.0, feature="shaft")),
)
GAUGE = Way(
    key="gauge",
    title="zeroed gauge",
    kind=WayKind.ZEROED_GAUGE,
    terms=(Term(coefficient=1.0, feature="gap"),),
)
STRIP = Way(
    key="strip", title="strip", kind=WayKind.STRIP, terms=(Term(coefficient=1.0, feature="strip"),)
)
MIC = Instrument(
    key="mic",
    title="micrometer",
    kind=InstrumentKind.MICROMETER,
    resolution_m=1 * UM,
    permissible_error_m=2 * UM,
    repeatability_m=1 * UM,
    setup_m=1.5 * UM,
    range_low_m=0.025,
    range_high_m=0.050,
)
GAUGE_OF_SHOP = Instrument(
    key="gauge",
    title="bore gauge",
    kind=InstrumentKind.BORE_GAUGE,
    resolution_m=1 * UM,
    permissible_error_m=1 * UM,
    repeatability_m=1 * UM,
    setting_m=2 * UM,
    setup_m=1 * UM,
    set_in="mic",
)


def fit(*ways: Way, **rest: object) -> Fit:
    return Fit(key="f", title="fit", per=Per.ROD, count=4, ways=ways, parts=("shaft",), **rest)  # type: ignore[arg-type]


def limits(low: float | None = 21, high: float | None = 49) -> LimitsInForce:
    return LimitsInForce(
        low_m=None if low is None else low * UM,
        high_m=None if high is None else high * UM,
        service_low_m=None,
        service_high_m=None,
        service_holds=False,
        condition=Condition.NEW,
    )


def measured(um: float, u: float) -> Evidence:
    source = ErrorSource(key="e", kind=SourceKind.OTHER, words="e")
    one = Quantity(um * UM, {source: u * UM})
    return Evidence(mean=one, smallest=one, largest=one)


def advise(
    evidence: Evidence,
    *ways: Way,
    at: LimitsInForce | None = None,
    instruments: tuple[Instrument, ...] = (MIC, GAUGE_OF_SHOP),
    scatters: dict[tuple[str, str], float] | None = None,
    **rest: object,
) -> Advice | None:
    verdict = judge_fit(evidence=evidence, limits=at or limits(), rule=DecisionRule.SAFETY_MARGIN)
    assert verdict.state is State.CANNOT_TELL
    return what_would_decide(
        fit=fit(*(ways or (BORE,)), **rest),
        verdict=verdict,
        evidence=evidence,
        features=FEATURES,
        instruments=instruments,
        scatters=scatters,
    )


def by_hand_um(fittings: int, *, form: bool = True) -> float:
    """U in µm of bore less shaft, reckoned apart from the code.

    One reading: s² + r²/12 = 1 + 1/12. Mean of 2 bores and 4 shafts; the slope at the ends has as
    much again, the shaft's lobe a quarter; slope and lobe are of one sign, E|x||y| = 2/π each way.
    Set-up and setting once a fitting. Permissible error of the gauge ±1, the micrometer's cancels.
    """
    single = 1 + 1 / 12
    mean = slope = single * (1 / 2 + 1 / 4)
    lobe = single / 4
    noise = mean + (slope + lobe + 2 * (2 / math.pi) * math.sqrt(slope * lobe) if form else 0)
    fitting = 1.0**2 + 2.0**2 + 1.5**2
    return 1.959964 * math.sqrt((noise + fitting) / fittings + 1 / 3)


def test_the_number_of_fittings_is_the_least_that_reaches_the_need() -> None:
    evidence = measured(46, 3)  # 3 µm inside the high limit
    advice = advise(evidence)
    assert advice is not None
    assert advice.needed_m == pytest.approx(3 * UM)
    (remedy,) = advice.remedies
    expected = next(n for n in range(1, 11) if by_hand_um(n) <= 3)
    assert remedy.fittings == expected
    assert expected > 1
    assert remedy.expanded_m / UM == pytest.approx(by_hand_um(expected), rel=1e-6)


def test_judged_on_the_mean_the_form_costs_nothing() -> None:
    advice = advise(measured(46, 3), low_judged_at=JudgedAt.MEAN, high_judged_at=JudgedAt.MEAN)
    assert advice is not None
    remedy = advice.remedies[0]
    assert remedy.expanded_m / UM == pytest.approx(by_hand_um(remedy.fittings, form=False))


def test_a_micrometer_of_its_own_costs_its_permissible_error() -> None:
    """Set in a micrometer that is not on the list, a general one stands for it: ±3 µm."""
    gauge = replace(GAUGE_OF_SHOP, set_in="micrometer")
    advice = advise(measured(40, 8), instruments=(MIC, gauge))
    assert advice is not None
    rest = (by_hand_um(1) / 1.959964) ** 2
    by_hand = 1.959964 * math.sqrt(rest + 4 / 3 + 9 / 3)
    assert advice.remedies[0].fittings == 1
    assert advice.remedies[0].expanded_m / UM == pytest.approx(by_hand, rel=1e-6)


def test_zeroing_at_the_journal_brings_the_feel_of_the_micrometer_and_not_its_scale() -> None:
    """Each fitting: the gauge's own scatter, seating and setting, then the micrometer's scatter
    (1 µm) and seating (1.5 µm) when it was locked; staying: the gauge's error and ± 2 µm of form.
    """
    advice = advise(measured(40, 8), GAUGE)
    assert advice is not None
    single = 1 + 1 / 12
    by_hand = 1.959964 * math.sqrt(single + 1 + 4 + (1 + 1.5**2) + 1 / 3 + 4 / 3)
    assert advice.remedies[0].expanded_m / UM == pytest.approx(by_hand, rel=1e-6)


def test_the_chance_to_decide_is_that_the_next_value_clears_the_limit_either_way() -> None:
    """Against draws: value 3 µm from the limit with u 2 µm; the next U is 2.5 µm at k 1.96."""
    remedy = Remedy(way=BORE, instruments=(), fittings=1, expanded_m=2.5 * UM)
    chance = chance_to_decide(margin_m=3 * UM, now_m=2 * UM, remedy=remedy, factor=1.959964)
    generator = np.random.default_rng(4)
    next_value = 3 + generator.normal(0, 2, 400_000) + generator.normal(0, 2.5 / 1.96, 400_000)
    assert chance == pytest.approx(float(np.mean(np.abs(next_value) > 2.5)), abs=0.003)
    hidden = chance_to_decide(
        margin_m=3 * UM, now_m=2 * UM, remedy=remedy, factor=1.959964, hidden_m=1.5 * UM
    )
    decided = (next_value > 2.5 + 1.5) | (next_value < -2.5)
    assert hidden == pytest.approx(float(np.mean(decided)), abs=0.003)


def test_a_value_on_its_limit_is_rarely_decided_and_one_far_away_always() -> None:
    remedy = Remedy(way=BORE, instruments=(), fittings=1, expanded_m=3 * UM)
    near = chance_to_decide(margin_m=0.0, now_m=0.1 * UM, remedy=remedy, factor=1.959964)
    far = chance_to_decide(margin_m=30 * UM, now_m=3 * UM, remedy=remedy, factor=1.959964)
    assert near == pytest.approx(0.05, abs=0.005)  # as often as U misses: both sides of 95 %
    assert far > 0.999


def test_where_permissible_errors_alone_are_too_large_nothing_on_the_list_can() -> None:
    evidence = measured(48.5, 3)  # half a micrometre from the limit
    advice = advise(evidence)
    assert advice is not None
    assert advice.remedies == ()
    assert advice.best is not None
    assert advice.best.fittings == MOST_FITTINGS
    assert advice.best.expanded_m / UM == pytest.approx(by_hand_um(MOST_FITTINGS), rel=1e-6)


def test_an_instrument_out_of_its_range_is_no_help() -> None:
    small = replace(MIC, range_low_m=0.0, range_high_m=0.025)
    advice = advise(measured(46, 3), instruments=(small, GAUGE_OF_SHOP))
    assert advice is not None
    assert advice.remedies == ()
    assert advice.best is None


def test_the_strip_is_never_the_remedy() -> None:
    strip = replace(GAUGE_OF_SHOP, key="s", kind=InstrumentKind.STRIP)
    advice = advise(measured(46, 3), STRIP, instruments=(strip,))
    assert advice is not None
    assert advice.best is None


def test_scatter_that_was_seen_goes_before_experience() -> None:
    calm = advise(measured(45.5, 3))
    seen = {("shaft", "mic"): 2 * UM, ("bore", "gauge"): 2 * UM}
    rough = advise(measured(45.5, 3), scatters=seen)
    assert calm is not None
    assert rough is not None
    assert calm.remedies[0].fittings < rough.remedies[0].fittings


def test_an_instrument_without_experience_is_not_taken_to_repeat_exactly() -> None:
    unknown = replace(MIC, repeatability_m=None)
    known, guessed = (
        advise(measured(40, 8)),
        advise(
            measured(40, 8),
            instruments=(replace(unknown, permissible_error_m=2 * UM), GAUGE_OF_SHOP),
        ),
    )
    assert known is not None
    assert guessed is not None
    # half of ±2 µm is 1 µm, which is what experience says of the other
    assert guessed.remedies[0].expanded_m == pytest.approx(known.remedies[0].expanded_m)


def test_form_is_decided_by_scatter_alone() -> None:
    """Taper is twice the slope: u = 2·√(single/4) of four readings, whatever the gauge's error."""
    shaft = Way(
        key="direct",
        title="shaft",
        kind=WayKind.DIRECT,
        terms=(Term(coefficient=1.0, feature="shaft"),),
    )
    for judged, share in ((Judged.TAPER, 4 / 4), (Judged.OUT_OF_ROUND, 4 / 4)):
        advice = advise(measured(2, 3), shaft, at=limits(None, 5), judged=judged)
        assert advice is not None
        best = advice.remedies[0]
        # one limit alone: the whole 5 % on its side
        by_hand = 1.644854 * math.sqrt((1 + 1 / 12) * share / best.fittings)
        assert best.expanded_m / UM == pytest.approx(by_hand, rel=1e-6)


def test_the_quick_plan_of_a_feature_without_places_is_one_reading() -> None:
    bare = replace(FEATURES["shaft"], quick_places=(), quick_directions=())
    assert quick_plan_design(bare).weights[0].tolist() == [1.0]
    assert len(quick_plan_design(FEATURES["shaft"]).weights[0]) == 4


def test_one_sided_readings_and_wide_ones_need_a_quarter_of_the_window() -> None:
    """The old 4:1 rule (common practice, no source)."""
    bound = Evidence(at_most_m=25 * UM, everywhere_at_most_m=25 * UM)
    one_sided = judge_fit(evidence=bound, limits=limits(), rule=DecisionRule.SIMPLE)
    assert needed_expanded_m(verdict=one_sided, evidence=bound) == pytest.approx(7 * UM)
    wide_evidence = measured(35, 20)
    wide = judge_fit(evidence=wide_evidence, limits=limits(), rule=DecisionRule.SIMPLE)
    assert wide.state is State.CANNOT_TELL
    assert needed_expanded_m(verdict=wide, evidence=wide_evidence) == pytest.approx(7 * UM)


def test_a_bound_before_an_only_limit_needs_a_quarter_of_the_way() -> None:
    bound = Evidence(at_least_m=29 * UM, everywhere_at_least_m=29 * UM)
    verdict = judge_fit(evidence=bound, limits=limits(None, 49), rule=DecisionRule.SIMPLE)
    assert verdict.state is State.CANNOT_TELL
    assert needed_expanded_m(verdict=verdict, evidence=bound) == pytest.approx(5 * UM)


@pytest.mark.parametrize(("value_um", "needed_um"), [(30, 1), (28, None)])
def test_form_that_may_hide_is_room_lost_and_may_leave_none(
    value_um: float, needed_um: float | None
) -> None:
    """Value less limit 21 µm less 8 µm hidden is what is left for U."""
    evidence = replace(measured(value_um, 1), hidden_form_m=8 * UM)
    only_low = limits(21, None)
    verdict = judge_fit(evidence=evidence, limits=only_low, rule=DecisionRule.SAFETY_MARGIN)
    assert verdict.state is State.CANNOT_TELL
    needed_m = needed_expanded_m(verdict=verdict, evidence=evidence)
    assert needed_m == (None if needed_um is None else pytest.approx(needed_um * UM))


def test_below_a_limit_hidden_form_costs_no_room() -> None:
    evidence = replace(measured(20, 1), hidden_form_m=8 * UM)
    verdict = judge_fit(evidence=evidence, limits=limits(21, None), rule=DecisionRule.SAFETY_MARGIN)
    assert needed_expanded_m(verdict=verdict, evidence=evidence) == pytest.approx(1 * UM)


def test_nothing_open_needs_no_advice() -> None:
    evidence = measured(35, 1)
    verdict = judge_fit(evidence=evidence, limits=limits(), rule=DecisionRule.SAFETY_MARGIN)
    assert needed_expanded_m(verdict=verdict, evidence=evidence) is None
