"""The verdict on one fit: states, proof, closeness, one-sided readings, both rules."""

from __future__ import annotations

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from oilwedge.fits.evidence import Evidence
from oilwedge.fits.limits import Condition, LimitName, LimitsInForce
from oilwedge.fits.verdict import Doubt, Proof, State, Verdict, judge_fit
from oilwedge.uncertainty.conformity import DecisionRule
from oilwedge.uncertainty.quantity import (
    ErrorSource,
    Quantity,
    SourceKind,
    from_standard_uncertainty,
)

UM = 1e-6
SIMPLE, MARGIN = DecisionRule.SIMPLE, DecisionRule.SAFETY_MARGIN
LOW, HIGH = LimitName.LOW, LimitName.HIGH
SERVICE_LOW, SERVICE_HIGH = LimitName.SERVICE_LOW, LimitName.SERVICE_HIGH


def source(key: str = "e", nu: float = math.inf) -> ErrorSource:
    return ErrorSource(key=key, kind=SourceKind.OTHER, words=key, degrees_of_freedom=nu)


def value(um: float, u: float = 0.0, *, nu: float = math.inf) -> Quantity:
    return from_standard_uncertainty(
        value=um * UM, standard_uncertainty=u * UM, source=source(nu=nu)
    )


def limits(
    low: float | None = 21,
    high: float | None = 49,
    *,
    service_low: float | None = None,
    service_high: float | None = 60,
    holds: bool = True,
) -> LimitsInForce:
    def metres(um: float | None) -> float | None:
        return None if um is None else um * UM

    return LimitsInForce(
        low_m=metres(low),
        high_m=metres(high),
        service_low_m=metres(service_low),
        service_high_m=metres(service_high),
        service_holds=holds,
        condition=Condition.REUSED if holds else Condition.NEW,
    )


def judged(
    um: float,
    u: float = 0.0,
    *,
    at: LimitsInForce | None = None,
    rule: DecisionRule = SIMPLE,
    nu: float = math.inf,
) -> Verdict:
    one = value(um, u, nu=nu)
    return judge_fit(
        evidence=Evidence(mean=one, smallest=one, largest=one), limits=at or limits(), rule=rule
    )


# --- common practice, no source: 0.021 to 0.049 mm, service limit 0.060 mm, strip 0.038 mm ------


def test_a_strip_reading_of_38_um_is_right_under_simple_acceptance() -> None:
    verdict = judged(38, 13 / 1.959964)
    assert verdict.state is State.RIGHT
    assert verdict.close_to is HIGH  # 11 µm away with U = 13 µm


def test_a_strip_reading_of_38_um_with_u_13_um_is_just_not_proved() -> None:
    """Two-sided: 2.5 % on each side; JCGM 106, 8.3: guard band 1.96 u = 13 > 11 µm."""
    verdict = judged(38, 13 / 1.959964, rule=MARGIN)
    assert verdict.state is State.CANNOT_TELL
    assert verdict.doubt is Doubt.UNCERTAINTY
    finding = verdict.finding(HIGH)
    assert finding is not None
    assert finding.guard_m == pytest.approx(13 * UM, rel=1e-6)
    assert finding.proof is Proof.OPEN
    low, service = verdict.finding(LOW), verdict.finding(SERVICE_HIGH)
    assert low is not None
    assert low.proof is Proof.INSIDE
    assert service is not None
    assert service.proof is Proof.INSIDE
    assert judged(38, 10.9 / 1.959964, rule=MARGIN).state is State.RIGHT


def test_a_strip_that_starts_at_25_um_cannot_part_21_to_25_from_too_tight() -> None:
    """Wider than its widest bar: the clearance is at most 25 µm."""
    verdict = judge_fit(
        evidence=Evidence(at_most_m=25 * UM, everywhere_at_most_m=25 * UM),
        limits=limits(),
        rule=SIMPLE,
    )
    assert verdict.state is State.CANNOT_TELL
    assert verdict.doubt is Doubt.ONE_SIDED
    proofs = {one.limit: one.proof for one in verdict.findings}
    assert proofs == {LOW: Proof.OPEN, HIGH: Proof.INSIDE, SERVICE_HIGH: Proof.INSIDE}


# --- JCGM 106:2012 worked numbers through the whole verdict (RECALLED + COMPUTED) ---------------


def test_breakdown_voltage_of_jcgm_106() -> None:
    """Upper limit -5.40, value -5.47, u 0.05 (here in µm): chance inside 0.92."""
    verdict = judged(-5.47, 0.05, at=limits(None, -5.40, service_high=None))
    finding = verdict.finding(HIGH)
    assert finding is not None
    assert finding.chance_inside == pytest.approx(0.92, abs=0.005)
    assert verdict.chance is not None
    assert verdict.chance.both == pytest.approx(0.92, abs=0.005)


def test_oil_viscosity_of_jcgm_106() -> None:
    """Limits 12.5 and 16.3, value 13.6, u 1.8: chance inside both 0.66."""
    verdict = judged(13.6, 1.8, at=limits(12.5, 16.3, service_high=None))
    assert verdict.chance is not None
    assert verdict.chance.both == pytest.approx(0.66, abs=0.005)


# --- states -------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("um", "reused", "new"),
    [
        (20.9, State.TOO_TIGHT, State.TOO_TIGHT),
        (21.0, State.RIGHT, State.RIGHT),
        (35.0, State.RIGHT, State.RIGHT),
        (49.0, State.RIGHT, State.RIGHT),
        (49.1, State.LOOSE, State.TOO_LOOSE),
        (60.0, State.LOOSE, State.TOO_LOOSE),
        (60.1, State.PAST_SERVICE, State.TOO_LOOSE),
    ],
)
@pytest.mark.parametrize("rule", DecisionRule)
def test_the_state_of_an_exact_value(
    um: float, reused: State, new: State, rule: DecisionRule
) -> None:
    assert judged(um, rule=rule).state is reused
    assert judged(um, at=limits(holds=False), rule=rule).state is new


@pytest.mark.parametrize(
    ("um", "at", "state"),
    [
        (70, limits(service_high=None), State.TOO_LOOSE),  # no wear limit that would allow it
        (5, limits(None, 49), State.RIGHT),  # no low limit is never broken
        (999, limits(21, None, service_high=None), State.RIGHT),
        (999, limits(21, None), State.PAST_SERVICE),
        (55, limits(None, None), State.RIGHT),  # only a wear limit
        (18, limits(service_low=15), State.LOOSE),  # a worn journal above its wear limit
        (14, limits(service_low=15), State.PAST_SERVICE),
        (18, limits(service_low=15, holds=False), State.TOO_TIGHT),
    ],
)
def test_missing_sides_and_lower_wear_limits(um: float, at: LimitsInForce, state: State) -> None:
    assert judged(um, at=at).state is state


def spread(low: float, high: float, u: float = 0.0) -> Evidence:
    return Evidence(mean=value((low + high) / 2, u), smallest=value(low, u), largest=value(high, u))


@pytest.mark.parametrize(
    ("low", "high", "at", "state"),
    [
        (30, 55, limits(), State.LOOSE),  # right on the mean, wrong at its place
        (15, 40, limits(), State.TOO_TIGHT),
        (15, 55, limits(), State.TOO_TIGHT),  # both sides: tight seizes
        (15, 70, limits(), State.PAST_SERVICE),
        (15, 55, limits(holds=False), State.TOO_TIGHT),
        (18, 55, limits(service_low=15, service_high=None), State.TOO_LOOSE),
        (18, 55, limits(service_low=15), State.LOOSE),
    ],
)
def test_each_limit_is_judged_at_its_own_place(
    low: float, high: float, at: LimitsInForce, state: State
) -> None:
    assert judge_fit(evidence=spread(low, high), limits=at, rule=SIMPLE).state is state


def test_what_is_broken_for_sure_is_not_undone_by_an_open_other_side() -> None:
    tight = judge_fit(evidence=spread(10, 48, 2), limits=limits(), rule=MARGIN)
    loose = judge_fit(evidence=spread(22, 60, 2), limits=limits(holds=False), rule=MARGIN)
    assert (tight.state, loose.state) == (State.TOO_TIGHT, State.TOO_LOOSE)


def test_with_the_margin_only_a_wear_limit_still_has_to_be_proved() -> None:
    assert judged(59, 2, at=limits(None, None), rule=MARGIN).state is State.CANNOT_TELL
    assert judged(59, 2, at=limits(21, None), rule=MARGIN).state is State.CANNOT_TELL
    assert judged(50, 2, at=limits(21, None), rule=MARGIN).state is State.RIGHT


def test_with_the_margin_above_build_and_near_the_wear_limit_cannot_be_told() -> None:
    verdict = judged(58.5, 2, rule=MARGIN)
    assert verdict.state is State.CANNOT_TELL
    high = verdict.finding(HIGH)
    assert high is not None
    assert high.proof is Proof.OUTSIDE
    assert judged(54.5, 2, rule=MARGIN).state is State.LOOSE


def test_nothing_measured_and_no_limits_are_said_and_not_judged() -> None:
    none = limits(None, None, service_high=None)
    assert judge_fit(evidence=Evidence(), limits=limits(), rule=SIMPLE).state is State.NOT_MEASURED
    assert judge_fit(evidence=Evidence(), limits=none, rule=SIMPLE).state is State.NO_LIMITS
    assert judged(38, at=none).state is State.NO_LIMITS
    assert judged(55, at=limits(None, None, holds=False)).state is State.NO_LIMITS


# --- guard bands --------------------------------------------------------------------------------


def test_one_limit_has_the_whole_risk_and_two_share_it() -> None:
    """Normal quantiles 1.645 for 5 % and 1.960 for 2.5 % (JCGM 106, table 1; COMPUTED)."""
    one = judged(35, 2, at=limits(None, 49, service_high=None)).finding(HIGH)
    two = judged(35, 2).finding(HIGH)
    service = judged(35, 2).finding(SERVICE_HIGH)
    assert one is not None
    assert two is not None
    assert service is not None
    assert one.guard_m == pytest.approx(1.6449 * 2 * UM, rel=1e-4)
    assert two.guard_m == pytest.approx(1.9600 * 2 * UM, rel=1e-4)
    assert service.guard_m == pytest.approx(1.6449 * 2 * UM, rel=1e-4)


def test_outside_is_proved_with_the_whole_risk() -> None:
    at = limits(holds=False)
    assert judged(49 + 1.64 * 2, 2, at=at, rule=MARGIN).state is State.CANNOT_TELL
    assert judged(49 + 1.65 * 2, 2, at=at, rule=MARGIN).state is State.TOO_LOOSE


def test_few_degrees_of_freedom_widen_the_guard_band() -> None:
    """t(0.975) with 4 degrees of freedom is 2.776 (any table of t)."""
    finding = judged(35, 2, nu=4).finding(LOW)
    assert finding is not None
    assert finding.guard_m == pytest.approx(2.776 * 2 * UM, rel=1e-3)


def test_margins_are_positive_on_the_allowed_side() -> None:
    verdict = judged(50)
    margins = {one.limit: one.margin_m for one in verdict.findings}
    assert margins == pytest.approx({LOW: 29 * UM, HIGH: -1 * UM, SERVICE_HIGH: 10 * UM})


# --- close to the limit -------------------------------------------------------------------------


def test_close_means_within_u_of_the_build_limit() -> None:
    assert judged(44.9, 2.0).close_to is None  # 4.1 µm away, U 3.92 µm
    assert judged(45.2, 2.0).close_to is HIGH
    assert judged(24.8, 2.0).close_to is LOW


def test_a_wear_limit_is_close_only_where_no_build_limit_stands_before_it() -> None:
    assert judged(48.9, 10, at=limits(None, 49, service_high=50)).close_to is HIGH
    assert judged(58, 2, at=limits(21, None)).close_to is SERVICE_HIGH


def test_close_speaks_of_the_limit_that_makes_the_verdict() -> None:
    evidence = spread(10, 48.5, 2)  # far too tight, and by chance near the high limit
    verdict = judge_fit(evidence=evidence, limits=limits(), rule=SIMPLE)
    assert verdict.state is State.TOO_TIGHT
    assert verdict.close_to is None
    assert judged(58, 2).close_to is SERVICE_HIGH
    assert judged(50, 2).close_to is HIGH


def test_what_cannot_be_told_and_what_contradicts_itself_is_close_to_nothing() -> None:
    one = value(48, 3)
    evidence = Evidence(mean=one, smallest=one, largest=one)
    verdict = judge_fit(evidence=evidence, limits=limits(), rule=SIMPLE, readings_disagree=True)
    assert (verdict.state, verdict.close_to) == (State.READINGS_DISAGREE, None)
    assert judged(48, 3, rule=MARGIN).close_to is None


# --- cannot tell --------------------------------------------------------------------------------


def test_u_as_wide_as_the_window_tells_nothing_even_in_its_middle() -> None:
    verdict = judged(35, 28.1 / 1.959964)
    assert (verdict.state, verdict.doubt) == (State.CANNOT_TELL, Doubt.WIDER_THAN_WINDOW)
    assert judged(35, 27.9 / 1.959964).state is State.RIGHT


def test_a_wide_u_does_not_hide_what_is_far_outside() -> None:
    assert judged(150, 15).state is State.PAST_SERVICE


@pytest.mark.parametrize("doubt", [Doubt.QUESTION, Doubt.ZERO_CHECK])
def test_a_doubt_from_outside_keeps_the_numbers_from_deciding(doubt: Doubt) -> None:
    one = value(35, 1)
    verdict = judge_fit(
        evidence=Evidence(mean=one, smallest=one, largest=one),
        limits=limits(),
        rule=SIMPLE,
        doubt=doubt,
    )
    assert (verdict.state, verdict.doubt) == (State.CANNOT_TELL, doubt)


def test_readings_that_disagree_win_over_every_other_state() -> None:
    one = value(80, 1)
    verdict = judge_fit(
        evidence=Evidence(mean=one, smallest=one, largest=one),
        limits=limits(),
        rule=SIMPLE,
        doubt=Doubt.ZERO_CHECK,
        readings_disagree=True,
    )
    assert (verdict.state, verdict.doubt) == (State.READINGS_DISAGREE, None)


# --- one-sided readings -------------------------------------------------------------------------


def bounded(
    least: float | None = None,
    most: float | None = None,
    *,
    everywhere_least: float | None = None,
    everywhere_most: float | None = None,
) -> Evidence:
    def metres(um: float | None) -> float | None:
        return None if um is None else um * UM

    return Evidence(
        at_least_m=metres(least),
        at_most_m=metres(most),
        everywhere_at_least_m=metres(everywhere_least),
        everywhere_at_most_m=metres(everywhere_most),
    )


@pytest.mark.parametrize("rule", DecisionRule)
@pytest.mark.parametrize(
    ("evidence", "state"),
    [
        (bounded(most=20, everywhere_most=20), State.TOO_TIGHT),
        (bounded(least=50, everywhere_least=50), State.CANNOT_TELL),  # loose or past service
        (bounded(least=61, everywhere_least=61), State.PAST_SERVICE),
        (bounded(25, 45, everywhere_least=25, everywhere_most=45), State.RIGHT),
        (bounded(50, 55, everywhere_least=50, everywhere_most=55), State.LOOSE),
        (bounded(least=50, most=25), State.CANNOT_TELL),  # front and rear: a taper, half known
        (bounded(least=50, most=15), State.TOO_TIGHT),
        (bounded(least=30, everywhere_least=30), State.CANNOT_TELL),
    ],
)
def test_bounds_alone_decide_only_what_they_enclose(
    evidence: Evidence, state: State, rule: DecisionRule
) -> None:
    assert judge_fit(evidence=evidence, limits=limits(), rule=rule).state is state


def test_a_bound_tighter_than_the_measured_places_judges_the_low_limit() -> None:
    one = value(45, 1)
    evidence = Evidence(mean=one, smallest=one, largest=one, at_most_m=25 * UM)
    verdict = judge_fit(evidence=evidence, limits=limits(), rule=SIMPLE)
    assert (verdict.state, verdict.doubt) == (State.CANNOT_TELL, Doubt.ONE_SIDED)
    assert verdict.chance is None  # of the tightest place nothing is known but the bound
    tight = Evidence(mean=one, smallest=one, largest=one, at_most_m=20 * UM)
    assert judge_fit(evidence=tight, limits=limits(), rule=SIMPLE).state is State.TOO_TIGHT


def test_a_bound_that_holds_where_nothing_was_measured_does_not_prove_the_rest() -> None:
    one = value(30, 1)
    evidence = Evidence(
        mean=one, smallest=one, largest=one, at_least_m=40 * UM, everywhere_at_most_m=45 * UM
    )
    verdict = judge_fit(evidence=evidence, limits=limits(), rule=SIMPLE)
    high = verdict.finding(HIGH)
    assert high is not None
    assert high.proof is Proof.OPEN


def test_bounds_that_exclude_each_other_contradict() -> None:
    assert bounded(50, 25, everywhere_least=50, everywhere_most=25).contradicts_itself
    assert not bounded(25, 50, everywhere_least=25, everywhere_most=50).contradicts_itself
    assert not bounded(50, 25).contradicts_itself


# --- invariants ---------------------------------------------------------------------------------

sizes = st.floats(-50, 150, allow_nan=False)
uncertainties = st.floats(0.1, 30, allow_nan=False)
ORDER = [State.TOO_TIGHT, State.RIGHT, State.LOOSE, State.PAST_SERVICE]


@given(a=sizes, b=sizes)
def test_a_larger_clearance_never_moves_back_from_loose_towards_tight(a: float, b: float) -> None:
    small, large = sorted((a, b))
    assert ORDER.index(judged(small).state) <= ORDER.index(judged(large).state)


@given(um=sizes, u=uncertainties)
def test_simple_acceptance_is_the_sign_of_the_margins(um: float, u: float) -> None:
    verdict = judged(um, u, at=limits(holds=False))
    assume(verdict.doubt is None)
    low, high = verdict.finding(LOW), verdict.finding(HIGH)
    assert low is not None
    assert high is not None
    assert low.margin_m is not None
    assert high.margin_m is not None
    inside = low.margin_m >= 0 and high.margin_m >= 0
    assert (verdict.state is State.RIGHT) is inside


@given(um=sizes, u=uncertainties, nu=st.sampled_from([1, 3, 8, math.inf]))
def test_the_margin_never_says_right_below_95_per_cent(um: float, u: float, nu: float) -> None:
    for at in (limits(), limits(holds=False), limits(None, 49), limits(21, None)):
        verdict = judged(um, u, at=at, rule=MARGIN, nu=nu)
        if verdict.state is State.RIGHT and verdict.chance is not None:
            assert verdict.chance.both >= 0.95 - 1e-9


@given(low=sizes, width=st.floats(0, 40), u=uncertainties)
def test_the_margin_holds_at_both_places_together(low: float, width: float, u: float) -> None:
    evidence = Evidence(
        mean=value(low + width / 2, u),
        smallest=value(low, u),
        largest=from_standard_uncertainty(
            value=(low + width) * UM, standard_uncertainty=u * UM, source=source("other")
        ),
    )
    verdict = judge_fit(evidence=evidence, limits=limits(), rule=MARGIN)
    if verdict.state is State.RIGHT:
        assert verdict.chance is not None
        assert verdict.chance.both >= 0.95 - 1e-9


@given(um=sizes, u=uncertainties, wear=st.floats(50, 200))
def test_a_wear_limit_never_makes_a_new_part_right(um: float, u: float, wear: float) -> None:
    for rule in DecisionRule:
        with_it = judged(um, u, at=limits(service_high=wear, holds=False), rule=rule)
        without = judged(um, u, at=limits(service_high=None, holds=False), rule=rule)
        assert with_it.state is without.state
        assert with_it.state not in (State.LOOSE, State.PAST_SERVICE)


@given(um=sizes, u=uncertainties)
def test_proof_goes_with_the_side_that_the_value_is_on(um: float, u: float) -> None:
    for finding in judged(um, u).findings:
        assert finding.margin_m is not None
        assert finding.chance_inside is not None
        if finding.proof is Proof.INSIDE:
            assert finding.inside
            assert finding.chance_inside >= 0.95 - 1e-9
        if finding.proof is Proof.OUTSIDE:
            assert not finding.inside
            assert finding.chance_inside <= 0.05 + 1e-9
        assert finding.inside is (finding.margin_m >= 0)


@given(um=sizes, u=uncertainties, smaller=st.floats(0.05, 1.0))
def test_a_smaller_uncertainty_keeps_what_was_proved(um: float, u: float, smaller: float) -> None:
    before, after = judged(um, u, rule=MARGIN), judged(um, u * smaller, rule=MARGIN)
    if before.state is not State.CANNOT_TELL:
        assert after.state is before.state


@given(um=sizes, u=uncertainties)
def test_the_margin_contradicts_simple_acceptance_only_by_not_telling(um: float, u: float) -> None:
    simple, margin = judged(um, u), judged(um, u, rule=MARGIN)
    assume(simple.doubt is None)
    assert margin.state in (simple.state, State.CANNOT_TELL)


def test_what_a_plan_may_hide_of_a_large_form_keeps_a_limit_from_being_proved() -> None:
    """30 µm with u 1 µm clears 21 µm by nine times u; with 8 µm hidden it no longer does."""
    value = Quantity(30e-6, {ErrorSource(key="a", kind=SourceKind.OTHER, words="a"): 1e-6})
    limits = LimitsInForce(
        low_m=21e-6,
        high_m=None,
        service_low_m=None,
        service_high_m=None,
        service_holds=True,
        condition=Condition.REUSED,
    )
    mean = Quantity(31e-6, {})
    for hidden_m, state in ((0.0, State.RIGHT), (7e-6, State.RIGHT), (8e-6, State.CANNOT_TELL)):
        evidence = Evidence(mean=mean, smallest=value, largest=value, hidden_form_m=hidden_m)
        verdict = judge_fit(evidence=evidence, limits=limits, rule=DecisionRule.SAFETY_MARGIN)
        assert verdict.state is state
        assert verdict.doubt is (Doubt.HIDDEN_FORM if state is State.CANNOT_TELL else None)
        simple = judge_fit(evidence=evidence, limits=limits, rule=DecisionRule.SIMPLE)
        assert simple.state is State.RIGHT
