"""Readings in, verdicts out: the whole way from what was typed to what is said."""

from __future__ import annotations

import math
import random
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from oilwedge.engine.file import read_engine
from oilwedge.engine.model import Engine
from oilwedge.errors import ReadingsError, UnknownNameError
from oilwedge.fits.limits import Condition
from oilwedge.fits.verdict import Doubt, State
from oilwedge.job.entry import EventKind, WorkKind
from oilwedge.job.questions import QuestionKind
from oilwedge.metrology.reading import Bound, ReadingForm
from oilwedge.uncertainty.conformity import DecisionRule
from oilwedge.uncertainty.quantity import SourceKind
from oilwedge.usecases.length_face import LengthFace
from oilwedge.usecases.remarks import remark

Bench = Any  # the fixture of conftest.py
UM = 1e-6
MARGIN = DecisionRule.SAFETY_MARGIN


def mean_um(bench: Bench, key: str = "rod_bearing", number: int = 1) -> float:
    return float(bench.result(key, number).measurement.evidence.mean.value / UM)


def u_um(bench: Bench, key: str = "rod_bearing", number: int = 1) -> float:
    return float(bench.result(key, number).measurement.evidence.mean.standard_uncertainty / UM)


def test_a_clearance_comes_from_bore_and_journal(bench: Bench) -> None:
    bench.journal(1, 47.972)
    bench.bore(1, 48.010)
    result = bench.result("rod_bearing")
    assert result.verdict.state is State.RIGHT
    assert mean_um(bench) == pytest.approx(38)
    assert bench.result("rod_bearing", 2).verdict.state is State.NOT_MEASURED


def test_a_tapered_journal_is_right_on_the_mean_and_wrong_at_its_place(bench: Bench) -> None:
    bench.journal(3, 47.970, taper_mm=-0.020)  # thin at the rear
    bench.bore(3, 48.012)
    result = bench.result("rod_bearing", 3)
    assert mean_um(bench, number=3) == pytest.approx(42)  # inside 21 to 49
    assert result.verdict.state is State.LOOSE
    assert result.measurement.evidence.largest.value == pytest.approx(52 * UM, abs=0.3 * UM)
    assert result.measurement.leading.largest_at == 1.0
    assert bench.result("rod_journal_taper", 3).verdict.state is State.PAST_SERVICE


def test_the_bore_gauge_set_in_the_same_micrometer_shares_its_error_and_it_cancels(
    new_bench: Any,
) -> None:
    """By hand: the micrometer's ±2 µm (u 1.155 µm) is in both, or in each its own."""
    shared, apart = new_bench(), new_bench()
    for one, instrument in ((shared, "mic"), (apart, "mic_two")):
        one.journal(1, 47.972, instrument=instrument)
        one.bore(1, 48.010)

    def permissible(bench: Bench) -> float:
        mean = bench.result("rod_bearing").measurement.evidence.mean
        return math.fsum(
            c * c for s, c in mean.contributions.items() if s.kind is SourceKind.PERMISSIBLE_ERROR
        )

    assert permissible(shared) / UM**2 == pytest.approx(1.0**2 / 3)  # the gauge's own ±1 µm
    assert permissible(apart) / UM**2 == pytest.approx(1.0**2 / 3 + 2 * 2.0**2 / 3)
    assert u_um(shared) < u_um(apart)


def test_the_order_of_readings_does_not_matter(new_bench: Any) -> None:
    one = new_bench()
    one.journal(1, 47.972, taper_mm=0.004)
    one.bore(1, 48.010)
    one.read("rod_strip", 1, 0.038, "front", instrument="narrow")
    first = one.result("rod_bearing")
    random.Random(3).shuffle(one.entries)
    second = one.result("rod_bearing")
    assert second.verdict.state is first.verdict.state
    for name in ("mean", "smallest", "largest"):
        a, b = getattr(first.measurement.evidence, name), getattr(second.measurement.evidence, name)
        assert b.value == pytest.approx(a.value, abs=1e-15)
        assert b.standard_uncertainty == pytest.approx(a.standard_uncertainty, rel=1e-9)


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=40)
@given(
    shift=st.integers(-30, 30),
    taper=st.integers(-12, 12),
    noise=st.lists(st.integers(-3, 3), min_size=6, max_size=6),
)
def test_moving_all_bore_readings_moves_the_clearance_and_leaves_u(
    new_bench: Any, shift: int, taper: int, noise: list[int]
) -> None:
    def judged(by_um: int) -> Any:
        bench = new_bench()
        spots = [(p, d) for p in ("front", "rear") for d in ("along", "across")]
        for (place, way), n in zip(spots, noise, strict=False):
            side = taper if place == "rear" else -taper
            mm = 47.972 + (side + n) / 1000
            bench.read("rod_journal", 1, mm, place, way, instrument="mic")
        for place, n in zip(("front", "rear"), noise[4:], strict=True):
            mm = 48.010 + (n + by_um) / 1000
            bench.read("rod_shell_bore", 1, mm, place, "square", instrument="bore")
        return bench.result("rod_bearing").measurement.evidence

    before, after = judged(0), judged(shift)
    for name in ("mean", "smallest", "largest"):
        a, b = getattr(before, name), getattr(after, name)
        assert b.value - a.value == pytest.approx(shift * UM, abs=2e-9)
        assert b.standard_uncertainty == pytest.approx(a.standard_uncertainty, rel=1e-3)


def test_more_repeats_never_raise_what_their_scatter_contributes(new_bench: Any) -> None:
    def scatter(repeats: int) -> float:
        bench = new_bench()
        for _ in range(repeats):
            bench.journal(1, 47.972)
            bench.bore(1, 48.010)
        mean = bench.result("rod_bearing").measurement.evidence.mean
        return math.fsum(
            c * c for s, c in mean.contributions.items() if s.kind is SourceKind.REPEATABILITY
        )

    found = [scatter(n) for n in (1, 2, 3, 4)]
    assert found == sorted(found, reverse=True)


def test_repeats_without_a_refit_do_not_shrink_the_set_up_and_refits_do(new_bench: Any) -> None:
    def setup(fittings: tuple[int, ...]) -> float:
        bench = new_bench()
        for fitting in fittings:
            bench.read("crank_end_gap", 1, 0.150, instrument="dial gauge", fitting=fitting)
        mean = bench.result("crank_end_float").measurement.evidence.mean
        return math.sqrt(
            math.fsum(c * c for s, c in mean.contributions.items() if s.kind is SourceKind.SETUP)
        )

    assert setup((1, 1, 1, 1)) == pytest.approx(setup((1,)))
    assert setup((1, 2, 3, 4)) == pytest.approx(setup((1,)) / 2)


INCH = """
format = 1
[engine]
name = "Bench four in inches (invented)"
units = "in"
[layout]
kind = "in-line"
cylinders = 2
numbering = "1 at the front"
firing_order = [1, 2]
throw_angles = ["0 deg", "180 deg"]
main_bearings = 3
caps = "separate"
[features.rod_journal]
[features.rod_shell_bore]
[fits.rod_bearing]
build = ["{low}", "{high}"]
service = "{service}"
"""


@pytest.mark.parametrize("clearance_um", [15, 22, 38, 48.5, 55, 70])
def test_inches_and_millimetres_of_the_same_sizes_give_the_same_verdict(
    new_bench: Any, clearance_um: float
) -> None:
    """1 in = 25.4 mm exactly; an engine file without nominal sizes is judged all the same."""

    def engine(low: str, high: str, service: str) -> Engine:
        return read_engine(INCH.format(low=low, high=high, service=service), file="e.toml")

    metric = engine("0.0254 mm", "0.0508 mm", "0.0635 mm")
    inch = engine("0.001 in", "0.002 in", "0.0025 in")
    found = []
    for one in (metric, inch):
        bench = new_bench()
        bench.engine = one
        bench.journal(1, 47.972)
        bench.bore(1, 47.972 + clearance_um / 1000)
        found.append(bench.result("rod_bearing"))
    assert found[0].verdict.state is found[1].verdict.state
    assert found[0].verdict.close_to is found[1].verdict.close_to


# --- strips and bounds --------------------------------------------------------------------------


def test_a_strip_alone_judges(bench: Bench) -> None:
    """Common practice, no source: 0.038 mm within 0.021 to 0.049 mm is right."""
    bench.is_now("rod_journals", "re-used")
    bench.is_now("rod_shells", "re-used")
    bench.read("rod_strip", 1, 0.038, "front", instrument="narrow")
    result = bench.result("rod_bearing")
    assert result.verdict.state is State.RIGHT
    assert result.verdict.limits.condition is Condition.REUSED


def test_a_strip_with_marks_25_um_apart_does_not_prove_it(bench: Bench) -> None:
    bench.read("rod_strip", 1, 0.038, "front")
    result = bench.result("rod_bearing")
    assert result.verdict.state is State.RIGHT
    assert result.verdict.close_to is not None
    assert bench.result("rod_bearing", rule=MARGIN).verdict.state is State.CANNOT_TELL


def test_a_strip_wider_than_its_widest_bar_cannot_part_right_from_too_tight(bench: Bench) -> None:
    """Common practice, no source: a strip that starts at 0.025 mm."""
    bench.read("rod_strip", 1, 0.025, "front", instrument="narrow", bound=Bound.AT_MOST)
    result = bench.result("rod_bearing")
    assert (result.verdict.state, result.verdict.doubt) == (State.CANNOT_TELL, Doubt.ONE_SIDED)
    assert result.advice is not None
    assert result.advice.needed_m == pytest.approx(7 * UM)  # a quarter of the window
    assert result.advice.remedies


def test_a_strip_not_flattened_at_one_end_and_wide_at_the_other_is_a_taper(bench: Bench) -> None:
    bench.read("rod_strip", 1, 0.075, "front", instrument="narrow", bound=Bound.AT_LEAST)
    bench.read("rod_strip", 1, 0.025, "rear", instrument="narrow", bound=Bound.AT_MOST)
    result = bench.result("rod_bearing")
    assert result.verdict.state is State.PAST_SERVICE
    assert not result.measurement.disagree


def test_one_strip_that_says_at_least_and_at_most_of_one_place_contradicts_itself(
    bench: Bench,
) -> None:
    bench.read("rod_strip", 1, 0.075, "front", instrument="narrow", bound=Bound.AT_LEAST)
    bench.read("rod_strip", 1, 0.025, "front", instrument="narrow", bound=Bound.AT_MOST)
    result = bench.result("rod_bearing")
    assert result.verdict.state is State.READINGS_DISAGREE
    assert result.measurement.causes


def test_gauges_decide_and_the_strip_only_checks(bench: Bench) -> None:
    bench.journal(1, 47.972)
    bench.bore(1, 48.010)
    bench.read("rod_strip", 1, 0.038, "front", instrument="narrow")
    result = bench.result("rod_bearing")
    assert result.measurement.leading.way.key == "bore"
    assert result.measurement.comparison.weights == pytest.approx({"bore": 1.0})
    assert [one.name for one in result.measurement.comparison.left_out] == ["strip"]
    assert result.verdict.state is State.RIGHT


@pytest.mark.parametrize(
    ("strip_mm", "bound", "first_cause"),
    [
        (0.025, Bound.NONE, "turned"),
        (0.025, Bound.AT_MOST, "turned"),
        (0.075, Bound.AT_LEAST, ""),
    ],
)
def test_a_strip_that_contradicts_the_gauges_is_not_averaged_away(
    bench: Bench, strip_mm: float, bound: Bound, first_cause: str
) -> None:
    bench.journal(1, 47.960)
    bench.bore(1, 48.010)  # 50 µm by the gauges
    bench.read("rod_strip", 1, strip_mm, "front", instrument="narrow", bound=bound)
    result = bench.result("rod_bearing")
    assert result.verdict.state is State.READINGS_DISAGREE
    assert first_cause in result.measurement.causes[0].cause
    assert result.measurement.evidence.mean.value == pytest.approx(50 * UM)  # not averaged


def test_causes_depend_on_which_way_reads_smaller(new_bench: Any) -> None:
    def first(strip_mm: float, bound: Bound) -> str:
        bench = new_bench()
        bench.journal(1, 47.960)
        bench.bore(1, 48.010)
        bench.read("rod_strip", 1, strip_mm, "front", instrument="narrow", bound=bound)
        return str([c.cause for c in bench.result("rod_bearing").measurement.causes])

    assert first(0.025, Bound.NONE) == first(0.025, Bound.AT_MOST)
    assert first(0.075, Bound.NONE) == first(0.075, Bound.AT_LEAST)
    assert first(0.025, Bound.NONE) != first(0.075, Bound.NONE)


def test_two_gauged_ways_that_agree_are_combined_and_better_than_either(bench: Bench) -> None:
    bench.journal(1, 47.972)
    bench.bore(1, 48.010)
    alone = u_um(bench)
    for way in ("square", "right 60", "left 60"):
        bench.read("rod_housing_bore", 1, 51.008, "middle", way, instrument="bore")
    for wall in ("rod_upper_wall", "rod_lower_wall"):
        bench.read(wall, 1, 1.499, "crown", instrument="ball")
    result = bench.result("rod_bearing")
    assert sum(result.measurement.comparison.weights.values()) == pytest.approx(1.0)
    assert u_um(bench) <= alone + 1e-9
    assert mean_um(bench) == pytest.approx(38, abs=1)


# --- part states --------------------------------------------------------------------------------


def test_a_wear_limit_is_for_reused_parts_only(bench: Bench) -> None:
    bench.journal(1, 47.960)
    bench.bore(1, 48.014)  # 54 µm
    assert bench.result("rod_bearing").verdict.state is State.LOOSE
    bench.is_now("rod_shells", "new")
    assert bench.result("rod_bearing").verdict.state is State.TOO_LOOSE


def test_readings_from_before_the_grind_stop_judging(bench: Bench) -> None:
    bench.journal(1, 47.972)
    bench.bore(1, 48.010)
    bench.work("rod_journals", WorkKind.GROUND, 1, step_mm=0.25)
    judgement = bench.judge()
    result = bench.result("rod_bearing")
    assert result.verdict.state is State.NOT_MEASURED
    assert len(judgement.standing.ended) == 4
    assert [f.key for f, _, _ in judgement.standing.measure_again] == ["rod_journal"]
    bench.work("rod_shells", WorkKind.REPLACED, 1, step_mm=0.25)
    bench.journal(1, 47.722)
    bench.bore(1, 47.760)
    result = bench.result("rod_bearing")
    assert result.verdict.state is State.RIGHT
    assert result.verdict.limits.condition is not Condition.REUSED
    assert not bench.judge().questions
    assert bench.judge().standing.measure_again == ()


def test_the_limits_of_a_size_move_with_its_undersize(bench: Bench) -> None:
    """Undersize arithmetic (real data READ elsewhere): 51.984-52.000 becomes 51.734-51.750."""
    bench.size("rod_journals", 0.25)
    bench.journal(1, 47.722)
    limits = bench.result("rod_journal_size").verdict.limits
    assert limits.low_m == pytest.approx(47.715e-3)
    assert limits.high_m == pytest.approx(47.730e-3)
    assert bench.result("rod_journal_size").verdict.state is State.RIGHT
    assert bench.result("rod_journal_taper").verdict.limits.high_m == pytest.approx(5 * UM)


def test_limits_written_at_a_size_itself_move_with_its_undersize_too(new_bench: Any) -> None:
    bench = new_bench(
        """
[fits.main_journal_size]
build = ["54.980 mm", "54.995 mm"]
service = ["54.970 mm", ""]
"""
    )
    bench.size("main_journals", 0.50)
    bench.journal(2, 54.488, feature="main_journal")
    result = bench.result("main_journal_size", 2)
    assert result.verdict.limits.service_low_m == pytest.approx(54.470e-3)
    assert result.verdict.state is State.RIGHT


# --- questions ----------------------------------------------------------------------------------


def test_one_reading_a_turn_off_is_set_aside_and_holds_the_fit_up(bench: Bench) -> None:
    readings = bench.journal(1, 47.972)
    bad = bench.read("rod_journal", 1, 47.472, "front", "along", instrument="mic")
    bench.bore(1, 48.010)
    result = bench.result("rod_bearing")
    assert (result.verdict.state, result.verdict.doubt) == (State.CANNOT_TELL, Doubt.QUESTION)
    assert [r.id for q in result.questions for r in q.readings] == [bad.id]
    assert mean_um(bench) == pytest.approx(38)  # without the bad one
    bench.read("rod_journal", 1, 47.972, "front", "along", instrument="mic", replaces=bad.id)
    assert bench.result("rod_bearing").verdict.state is State.RIGHT
    assert len(readings) == 4


def test_a_confirmed_reading_counts(bench: Bench) -> None:
    bench.journal(1, 47.972)
    bad = bench.read("rod_journal", 1, 47.472, "front", "along", instrument="mic")
    bench.bore(1, 48.010)
    bench.event(EventKind.CONFIRMED, value=bad.id)
    result = bench.result("rod_bearing")
    assert not result.questions
    assert mean_um(bench) > 100


def test_an_undersize_that_nobody_stated_holds_up_the_size_and_not_the_clearance(
    bench: Bench,
) -> None:
    bench.journal(1, 47.722)
    bench.bore(1, 47.760)
    clearance, size = bench.result("rod_bearing"), bench.result("rod_journal_size")
    assert clearance.verdict.state is State.RIGHT
    assert (size.verdict.state, size.verdict.doubt) == (State.CANNOT_TELL, Doubt.QUESTION)
    kinds = {(q.feature.key, q.kind) for q in bench.judge().questions}
    assert kinds == {
        ("rod_journal", QuestionKind.SIZE_NOT_STATED),
        ("rod_shell_bore", QuestionKind.SIZE_NOT_STATED),
    }
    bench.size("rod_journals", 0.25)
    bench.size("rod_shells", 0.25)
    assert not bench.judge().questions
    assert bench.result("rod_journal_size").verdict.state is State.RIGHT


def test_a_whole_feature_a_turn_off_holds_the_clearance_up(bench: Bench) -> None:
    bench.journal(1, 47.472)
    bench.bore(1, 48.010)
    result = bench.result("rod_bearing")
    assert (result.verdict.state, result.verdict.doubt) == (State.CANNOT_TELL, Doubt.QUESTION)
    bench.event(EventKind.CONFIRMED, "rod_journal", 1)
    assert bench.result("rod_bearing").verdict.state is State.PAST_SERVICE


def test_a_whole_feature_a_turn_off_does_not_hold_its_form_up(bench: Bench) -> None:
    """A turn of the thimble is in every reading alike; taper is a difference of two of them."""
    bench.journal(1, 47.472, taper_mm=0.020)
    result = bench.result("rod_journal_taper")
    assert result.verdict.state is State.PAST_SERVICE
    assert not result.questions
    assert [q.kind for q in bench.judge().questions] == [QuestionKind.SIZE_A_TURN_OFF]


def test_one_reading_a_turn_off_holds_the_form_up(bench: Bench) -> None:
    bench.journal(1, 47.972)
    bench.read("rod_journal", 1, 47.472, "front", "along", instrument="mic")
    assert bench.result("rod_journal_taper").verdict.doubt is Doubt.QUESTION


def test_a_turn_is_seen_where_the_engine_file_gives_limits_and_no_nominal(bench: Bench) -> None:
    bench.journal(1, 54.488, feature="main_journal")
    (question,) = bench.judge().questions
    assert question.kind is QuestionKind.SIZE_A_TURN_OFF


# --- zero checks --------------------------------------------------------------------------------


def test_a_failed_zero_check_doubts_what_rests_on_that_micrometer(bench: Bench) -> None:
    bench.zero("mic", "passed")
    bench.journal(1, 47.972)
    bench.bore(1, 48.010)
    bench.zero("mic", "failed")
    result = bench.result("rod_bearing")
    assert (result.verdict.state, result.verdict.doubt) == (State.CANNOT_TELL, Doubt.ZERO_CHECK)
    assert len(result.doubted) == 6  # the bore gauge was set in it
    assert result.advice is None


def test_a_zero_that_is_off_in_all_readings_does_not_touch_the_form(bench: Bench) -> None:
    bench.zero("mic", "passed")
    bench.journal(1, 47.972)
    bench.zero("mic", "failed")
    result = bench.result("rod_journal_taper")
    assert result.verdict.state is State.RIGHT
    assert not result.doubted
    assert bench.result("rod_journal_size").verdict.doubt is Doubt.ZERO_CHECK


@pytest.mark.parametrize(("instrument", "setting"), [("mic_two", "1"), ("mic", "2")])
def test_a_zero_that_is_off_in_some_readings_does_touch_the_form(
    bench: Bench, instrument: str, setting: str
) -> None:
    """Front by a zero that failed, rear by another: their difference is no taper."""
    bench.zero("mic", "passed")
    for place, one, zeroing in (("front", "mic", "1"), ("rear", instrument, setting)):
        for way in ("along", "across"):
            bench.read("rod_journal", 1, 47.972, place, way, instrument=one, setting=zeroing)
    bench.zero("mic", "failed")
    assert bench.result("rod_journal_taper").verdict.doubt is Doubt.ZERO_CHECK


def test_each_instrument_that_failed_is_named_with_its_own_count(bench: Bench) -> None:
    bench.journal(1, 47.972)
    bench.bore(1, 48.010)
    bench.zero("mic", "failed")
    bench.zero("bore", "failed")
    said = " ".join(remark(result=bench.result("rod_bearing"), face=LengthFace()).sentences)
    assert "micrometer 25 to 75 failed its zero check; 6 readings here rest on it" in said
    assert "set in the micrometer failed its zero check; 2 readings here rest on it" in said


def test_a_doubted_way_that_counts_in_the_result_keeps_it_from_deciding(bench: Bench) -> None:
    bench.journal(1, 47.972)
    bench.bore(1, 48.010)
    bench.read("rod_gauge", 1, 0.038, "front", instrument="bore gauge")
    bench.zero("bore gauge", "failed")
    result = bench.result("rod_bearing")
    weights = result.measurement.comparison.weights
    assert weights.get("gauge", 0.0) > 0
    assert result.verdict.doubt is Doubt.ZERO_CHECK


# --- neighbours, other fits ---------------------------------------------------------------------


def test_a_bearing_with_a_window_of_its_own_is_held_against_its_neighbours_by_it(
    bench: Bench,
) -> None:
    """Main 3 has its window 20 µm higher: 58 µm there is what 38 µm is elsewhere."""
    for number, um in ((1, 38), (2, 37), (3, 58), (4, 39), (5, 38)):
        bench.journal(number, 54.987, feature="main_journal")
        bench.bore(number, 54.987 + um / 1000, feature="main_shell_bore")
    assert [bench.result("main_bearing", n).apart for n in range(1, 6)] == [None] * 5


def test_a_bearing_that_stands_apart_is_named(bench: Bench) -> None:
    for number, um in ((1, 38), (2, 37), (3, 38), (4, 70)):
        bench.journal(number, 47.960)
        bench.bore(number, 47.960 + um / 1000)
    found = [bench.result("rod_bearing", n).apart for n in range(1, 5)]
    assert [one is not None for one in found] == [False, False, False, True]


def test_a_feature_in_question_is_no_neighbour(bench: Bench) -> None:
    for number, mm in ((1, 47.972), (2, 47.971), (3, 47.973), (4, 47.472)):
        bench.journal(number, mm)
        bench.bore(number, 48.010)
    assert all(bench.result("rod_bearing", n).apart is None for n in range(1, 5))


def test_the_bend_of_a_crank_is_half_its_run_out(bench: Bench) -> None:
    bench.read("crank_runout_reading", 1, 0.020, instrument="dial gauge")
    result = bench.result("crank_runout")
    assert mean_um(bench, "crank_runout") == pytest.approx(10)
    assert result.verdict.state is State.RIGHT
    bench.entries.clear()
    bench.read("crank_runout_reading", 1, 0.040, instrument="dial gauge")
    assert bench.result("crank_runout").verdict.state is State.TOO_LOOSE


def test_a_ring_gap_opens_by_pi_times_the_wear_of_the_bore(new_bench: Any) -> None:
    """Geometry: gap change = pi x bore change, as a fit of one's own across two bores."""
    bench = new_bench(
        f"""
[features.worn_bore]
title = "worn bore"
per = "cylinder"
shape = "inside"
parts = ["cylinders"]
[features.unworn_bore]
title = "unworn bore"
per = "cylinder"
shape = "inside"
parts = ["cylinders"]
[fits.gap_from_wear]
title = "gap from wear"
per = "cylinder"
terms = [
    {{ feature = "worn_bore", times = {math.pi} }},
    {{ feature = "unworn_bore", times = {-math.pi} }},
]
build = ["", "0.35 mm"]
"""
    )
    bench.read("worn_bore", 2, 82.110, instrument="bore gauge")
    bench.read("unworn_bore", 2, 82.010, instrument="bore gauge")
    assert mean_um(bench, "gap_from_wear", 2) == pytest.approx(314.16, abs=0.01)
    mean = bench.result("gap_from_wear", 2).measurement.evidence.mean
    permissible = [
        c for s, c in mean.contributions.items() if s.kind is SourceKind.PERMISSIBLE_ERROR
    ]
    assert permissible == [] or max(map(abs, permissible)) < 1e-12  # one gauge: cancels


# --- bad input ----------------------------------------------------------------------------------


def test_an_unknown_instrument_is_one_clear_sentence(bench: Bench) -> None:
    bench.read("rod_journal", 1, 47.972, "front", "along", instrument="mick")
    with pytest.raises(UnknownNameError) as caught:
        bench.judge()
    (fault,) = caught.value.faults
    assert fault.where.file == "reading of rod journal 1"
    assert "did you mean 'mic'" in fault.sentence()


def test_an_unknown_strip_is_one_clear_sentence(bench: Bench) -> None:
    bench.read("rod_strip", 2, 0.038, instrument="narow")
    with pytest.raises(UnknownNameError, match=r"rod .*2.*did you mean 'narrow'"):
        bench.judge()


def test_a_deviation_without_a_nominal_size_is_refused(bench: Bench) -> None:
    bench.read("rod_journal", 1, -0.008, form=ReadingForm.DEVIATION, instrument="mic")
    assert bench.judge().sizes["rod_journal", 1].mean.value == pytest.approx(47.972e-3)
    bench.read("main_journal", 1, -0.008, form=ReadingForm.DEVIATION, instrument="mic")
    with pytest.raises(ReadingsError, match=r"main journal 1.*nominal"):
        bench.judge()


def test_a_deviation_counts_from_the_undersize_that_was_stated(bench: Bench) -> None:
    bench.size("rod_journals", 0.25)
    bench.read("rod_journal", 1, -0.008, form=ReadingForm.DEVIATION, instrument="mic")
    assert bench.judge().sizes["rod_journal", 1].mean.value == pytest.approx(47.722e-3)


def test_no_readings_at_all_leave_every_fit_unmeasured(bench: Bench) -> None:
    judgement = bench.judge()
    assert {one.verdict.state for one in judgement.fits} <= {State.NOT_MEASURED, State.NO_LIMITS}
    assert not judgement.all_right()


def test_complete_counts_what_was_not_measured(bench: Bench) -> None:
    bench.journal(1, 47.972)
    bench.bore(1, 48.010)
    judgement = bench.judge()
    assert judgement.all_right()
    assert not judgement.all_right(complete=True)
    assert judgement.worst_first()[-1].verdict.state is State.RIGHT
