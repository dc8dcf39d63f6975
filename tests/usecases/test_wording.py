"""The words of a verdict."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from oilwedge.engine.model import JudgedAt, Place
from oilwedge.fits.advice import Advice, Remedy
from oilwedge.fits.evidence import Evidence
from oilwedge.fits.limits import LimitName
from oilwedge.fits.verdict import Proof, State
from oilwedge.job.entry import WorkKind
from oilwedge.metrology.instrument import GENERIC_INSTRUMENTS
from oilwedge.metrology.reading import Bound
from oilwedge.uncertainty.conformity import DecisionRule
from oilwedge.uncertainty.quantity import ErrorSource, Quantity, SourceKind
from oilwedge.usecases.length_face import LengthFace, face_uncertainty, percent
from oilwedge.usecases.wording import (
    advice_sentence,
    condition_words,
    disagreement_sentence,
    finding_sentence,
    missing_words,
    one_sided_words,
    place_words,
    proved_phrase,
    question_sentence,
    rule_words,
    verdict_words,
    why,
)

Bench = Any  # the fixture of conftest.py
MM, INCH = LengthFace(unit="mm"), LengthFace(unit="in")
UM = 1e-6
MARGIN = DecisionRule.SAFETY_MARGIN


def value(um: float, u: float) -> Quantity:
    source = ErrorSource(key="e", kind=SourceKind.OTHER, words="e")
    return Quantity(um * UM, {source: u * UM})


def measured(bench: Bench, um: float, *, number: int = 1, taper_um: float = 0.0) -> Any:
    bench.journal(number, 47.970, taper_mm=taper_um / 1000)
    bench.bore(number, 47.970 + um / 1000)
    return bench.result("rod_bearing", number)


# --- figures ------------------------------------------------------------------------------------


def test_digits_are_cut_by_the_uncertainty() -> None:
    """U = 1.96 u; rounded up, never more digits than three in mm and four in inches."""
    assert MM.value(value(38.4, 3.0)) == "0.038 ± 0.006 mm"
    assert MM.value(value(384.4, 30.0)) == "0.384 ± 0.059 mm"
    assert MM.value(value(3844.4, 300.0)) == "3.84 ± 0.59 mm"
    assert INCH.value(value(38.1, 3.0)) == "0.0015 ± 0.0003 in"


def test_k_stands_beside_u_on_request_only() -> None:
    assert "k" not in MM.value(value(38, 3))
    shown = replace(MM, show_k=True).value(value(38, 3))
    assert shown.endswith("(k = 1.96)".replace(" ", "\N{NO-BREAK SPACE}"))  # never broken


@pytest.mark.parametrize(
    ("low_um", "high_um", "words"),
    [
        (21, 49, "0.021 to 0.049 mm"),
        (None, 49, "up to 0.049 mm"),
        (21, None, "from 0.021 mm"),
        (None, None, "none given"),
    ],
)
def test_limits_as_a_phrase(low_um: float | None, high_um: float | None, words: str) -> None:
    low_m = None if low_um is None else low_um * UM
    high_m = None if high_um is None else high_um * UM
    assert MM.span(low_m=low_m, high_m=high_m) == words


@pytest.mark.parametrize(
    ("chance", "words"),
    [
        (1.0, "over 99 %"),
        (0.9951, "over 99 %"),
        (0.95, "95 %"),
        (0.5, "50 %"),
        (0.009, "under 1 %"),
        (0.0, "under 1 %"),
    ],
)
def test_a_chance_never_pretends_to_certainty(chance: float, words: str) -> None:
    assert percent(chance) == words


def test_the_nearest_place_is_named_and_the_middle_of_an_even_fit_is_not() -> None:
    places = (Place(name="front", position=-1.0), Place(name="rear", position=1.0))
    assert place_words(position=0.8, places=places) == "rear"
    assert place_words(position=-1.0, places=places) == "front"
    assert place_words(position=0.0, places=places) == ""
    assert place_words(position=None, places=places) == ""
    assert place_words(position=1.0, places=()) == ""


# --- verdicts -----------------------------------------------------------------------------------


def test_each_kind_of_fit_has_its_own_words(bench: Bench) -> None:
    bench.read("top_ring_gap", 1, 0.15, instrument="feeler")
    bench.read("top_ring_gap", 2, 0.45, instrument="feeler")
    tight = measured(bench, 10)
    words = {
        number: verdict_words(fit=r.fit, verdict=r.verdict)
        for number, r in (
            (1, bench.result("top_ring_gap", 1)),
            (2, bench.result("top_ring_gap", 2)),
        )
    }
    assert words == {1: "too small", 2: "too large"}
    assert verdict_words(fit=tight.fit, verdict=tight.verdict) == "too tight"


def test_close_to_the_limit_is_said(bench: Bench) -> None:
    result = measured(bench, 47)
    assert verdict_words(fit=result.fit, verdict=result.verdict) == "right, close to the limit"
    sentence = why(result=result, face=MM)
    assert "high limit 0.049 mm" in sentence
    assert "chance it is inside" in sentence


@pytest.mark.parametrize(
    ("um", "words"),
    [
        (20, "too tight, close to the low limit"),
        (50, "loose, close to the high limit"),
        (58, "loose, close to the service limit"),
        (62, "past service limit, close to it"),
    ],
)
def test_what_is_not_right_says_which_limit_is_close(bench: Bench, um: float, words: str) -> None:
    result = measured(bench, um)
    assert verdict_words(fit=result.fit, verdict=result.verdict) == words


def test_a_plain_right_needs_no_reason(bench: Bench) -> None:
    assert why(result=measured(bench, 35), face=MM) == ""


def test_why_names_value_place_and_limit(bench: Bench) -> None:
    """Thick at the rear by 20 µm: loose at the front."""
    sentence = why(result=measured(bench, 45, taper_um=20), face=MM)
    assert sentence.startswith("0.055 ± ")
    assert "at the front; its high limit is 0.049 mm (the mean is 0.045 ±" in sentence


def test_judged_on_the_mean_no_place_is_named(new_bench: Any) -> None:
    bench = new_bench()
    fit = replace(bench.engine.fits["rod_bearing"], high_judged_at=JudgedAt.MEAN)
    bench.engine = replace(bench.engine, fits={**bench.engine.fits, "rod_bearing": fit})
    sentence = why(result=measured(bench, 55, taper_um=20), face=MM)
    assert sentence.startswith("0.055 ± ")
    assert " at the " not in sentence


def test_past_service_names_the_service_limit_alone(bench: Bench) -> None:
    sentence = why(result=measured(bench, 80), face=MM)
    assert "its service limit is 0.060 mm" in sentence
    assert "high limit" not in sentence


def test_cannot_tell_says_what_is_proved_and_what_is_not(bench: Bench) -> None:
    bench.read("rod_strip", 1, 0.038, "front")
    result = bench.result("rod_bearing", rule=MARGIN)
    assert result.verdict.state is State.CANNOT_TELL
    phrase = proved_phrase(fit=result.fit, verdict=result.verdict)
    assert phrase.startswith("not past the service limit; not too tight")
    assert "right or loose: cannot tell" in phrase
    assert phrase in why(result=result, face=MM)


def test_for_a_new_part_the_other_word_stands(bench: Bench) -> None:
    bench.is_now("rod_shells", "new")
    bench.read("rod_strip", 1, 0.040, "front")
    result = bench.result("rod_bearing", rule=MARGIN)
    assert "right or too loose: cannot tell" in proved_phrase(
        fit=result.fit, verdict=result.verdict
    )


def test_a_side_that_is_proved_broken_is_said() -> None:
    class Finding:
        def __init__(self, limit: LimitName, proof: Proof) -> None:
            self.limit, self.proof = limit, proof

    class Stub:
        class limits:  # noqa: N801
            service_holds, service_high_m = True, 60 * UM

        findings = (
            Finding(LimitName.HIGH, Proof.OUTSIDE),
            Finding(LimitName.SERVICE_HIGH, Proof.OPEN),
        )

    class FitStub:
        words_small, words_large, words_loose = "too tight", "too loose", "loose"

    phrase = proved_phrase(fit=FitStub(), verdict=Stub())  # type: ignore[arg-type]
    assert phrase == "over the high limit; inside or past the service limit: cannot tell"


def test_one_sided_readings_are_said_as_such(bench: Bench) -> None:
    bench.read("rod_strip", 1, 0.020, instrument="narrow", bound=Bound.AT_MOST)
    sentence = why(result=bench.result("rod_bearing"), face=MM)
    assert sentence == "at most 0.020 mm, and its low limit is 0.021 mm"


@pytest.mark.parametrize(
    ("mm", "bound", "words"),
    [
        (0.025, Bound.AT_MOST, "at most 0.025 mm: not past the service limit; not too loose;"),
        (0.025, Bound.AT_LEAST, "at least 0.025 mm: not too tight; right or loose: cannot tell"),
    ],
)
def test_a_one_sided_reading_that_cannot_decide_is_said_first(
    bench: Bench, mm: float, bound: Bound, words: str
) -> None:
    bench.read("rod_strip", 1, mm, instrument="narrow", bound=bound)
    assert why(result=bench.result("rod_bearing"), face=MM).startswith(words)


@pytest.mark.parametrize(
    ("least_um", "most_um", "mean", "words"),
    [
        (25, None, None, "at least 0.025 mm"),
        (25, 75, None, "at least 0.025 mm, at most 0.075 mm"),
        (
            75,
            25,
            None,
            "at the loosest place at least 0.075 mm, at the tightest place at most 0.025 mm",
        ),
        (None, 25, value(40, 3), "at the tightest place at most 0.025 mm"),
    ],
)
def test_bounds_of_single_places_are_said_as_such(
    least_um: float | None, most_um: float | None, mean: Quantity | None, words: str
) -> None:
    evidence = Evidence(
        mean=mean,
        at_least_m=None if least_um is None else least_um * UM,
        at_most_m=None if most_um is None else most_um * UM,
    )
    assert one_sided_words(evidence, face=MM) == words


def test_finding_sentences_say_kept_or_broken_proved_or_not(bench: Bench) -> None:
    result = measured(bench, 47)
    high = result.verdict.finding(LimitName.HIGH)
    service = result.verdict.finding(LimitName.SERVICE_HIGH)
    value_ = result.measurement.evidence.largest
    assert "high limit 0.049 mm: kept, not proved by 0.047 ±" in finding_sentence(
        finding=high, value=value_, face=MM
    )
    assert "service limit 0.060 mm: kept, proved" in finding_sentence(
        finding=service, value=value_, face=MM
    )
    bench.entries.clear()
    broken = measured(bench, 80).verdict.finding(LimitName.HIGH)
    assert "broken, proved" in finding_sentence(finding=broken, value=None, face=MM)


def test_what_is_still_to_be_measured_is_the_nearest_way_to_a_result(bench: Bench) -> None:
    bench.journal(1, 47.972)
    result = bench.result("rod_bearing")
    words = missing_words(result)
    assert words
    assert "," not in words  # one thing is missing: the bore, a strip or a gauge
    assert why(result=result, face=MM) == f"still to be measured: {words}"


def test_no_limits_give_the_practice_for_orientation_only(new_bench: Any) -> None:
    bench = new_bench("\n[fits.second_ring_gap]\n")
    bench.read("second_ring_gap", 1, 0.40, instrument="feeler")
    sentence = why(result=bench.result("second_ring_gap"), face=MM)
    assert sentence.startswith("no limits in the engine file; for orientation only: ")
    assert "common practice, no source" in sentence


def test_a_disagreement_shows_every_way_and_no_average(bench: Bench) -> None:
    measured(bench, 45)
    bench.read("rod_strip", 1, 0.025, "front", instrument="narrow")
    sentence = disagreement_sentence(result=bench.result("rod_bearing"), face=MM)
    assert "0.045 ±" in sentence
    assert "0.025 ±" in sentence
    assert "times as far as their uncertainty allows" in sentence
    assert sentence.endswith("no average is taken")


def test_a_strip_that_contradicts_itself_shows_both_sides(bench: Bench) -> None:
    bench.read("rod_strip", 1, 0.075, "front", instrument="narrow", bound=Bound.AT_LEAST)
    bench.read("rod_strip", 1, 0.025, "front", instrument="narrow", bound=Bound.AT_MOST)
    sentence = why(result=bench.result("rod_bearing"), face=MM)
    assert "at most 0.025 mm" in sentence
    assert "at least 0.075 mm" in sentence


# --- questions ----------------------------------------------------------------------------------


def sentences(bench: Bench) -> list[str]:
    return [question_sentence(question=one, face=MM) for one in bench.judge().questions]


def test_one_reading_a_turn_off_is_asked_back_with_what_was_typed(bench: Bench) -> None:
    bench.journal(3, 47.972)
    bench.read("rod_journal", 3, 47.472, "rear", "across", instrument="mic")
    (sentence,) = sentences(bench)
    assert sentence.startswith("rod journal 3, rear across: 47.472 mm is 0.500 mm under its other")
    assert "a turn of 0.50 mm on the thimble" in sentence
    assert "Read it again" in sentence


def test_two_turns_are_said_as_two(bench: Bench) -> None:
    bench.journal(3, 48.972)
    assert "2 turns of 0.50 mm" in sentences(bench)[0]
    assert "over the nominal size" in sentences(bench)[0]


def test_an_undersize_nobody_stated_is_named_in_both_units(bench: Bench) -> None:
    bench.journal(3, 47.729)
    (sentence,) = sentences(bench)
    assert "0.251 mm under" in sentence
    assert "looks like 0.25 mm or 0.010 in under" in sentence
    assert "state what size it is at now" in sentence


def test_a_thicker_shell_is_one_for_an_undersize(bench: Bench) -> None:
    """Shells for a journal ground 0.25 mm under carry half of it on each wall."""
    bench.read("rod_upper_wall", 1, 1.625, "crown", instrument="ball")
    (sentence,) = sentences(bench)
    assert "0.125 mm over the nominal size" in sentence
    assert "looks like 0.25 mm or 0.010 in under." in sentence


def test_a_size_that_fits_nothing_is_asked_back_too(bench: Bench) -> None:
    bench.journal(3, 47.830)
    assert "fit no standard undersize" in sentences(bench)[0]


# --- advice, conditions, rules ------------------------------------------------------------------


def remedy(bench: Bench, fittings: int) -> Remedy:
    way = bench.engine.fits["rod_bearing"].ways[0]
    return Remedy(
        way=way,
        instruments=(GENERIC_INSTRUMENTS["bore gauge"], GENERIC_INSTRUMENTS["micrometer"]),
        fittings=fittings,
        expanded_m=4 * UM,
    )


def test_advice_fixes_the_number_beforehand(bench: Bench) -> None:
    advice = Advice(needed_m=5 * UM, remedies=(remedy(bench, 4),), best=None)
    sentence = advice_sentence(advice=advice, face=MM)
    assert "4 times, taken off, cleaned and refitted each time, gauge set anew" in sentence
    assert "± 0.0040 mm (needed: ± 0.0050 mm)" in sentence
    assert "Fix the number before you start; do not stop early." in sentence


def test_once_is_said_as_once(bench: Bench) -> None:
    advice = Advice(needed_m=5 * UM, remedies=(remedy(bench, 1),), best=None)
    sentence = advice_sentence(advice=advice, face=MM)
    assert ", once; that brings it" in sentence
    assert "Fix the number" not in sentence
    assert "set anew" not in sentence


def test_advice_that_nothing_on_the_list_can_is_plain(bench: Bench) -> None:
    nothing = Advice(needed_m=1 * UM, remedies=(), best=remedy(bench, 10))
    sentence = advice_sentence(advice=nothing, face=MM)
    assert sentence.startswith("Nothing on the shop's list can decide it")
    assert "reaches ± 0.0040 mm" in sentence
    bare = advice_sentence(advice=replace(nothing, best=None), face=MM)
    assert bare.startswith("Nothing on the shop's list measures this")


def test_an_uncertainty_has_two_digits_at_the_most() -> None:
    assert face_uncertainty(4.2 * UM, face=MM) == "0.0042 mm"
    assert face_uncertainty(42.3 * UM, face=MM) in ("0.042 mm", "0.043 mm")


def test_conditions_say_which_limits_held(bench: Bench) -> None:
    assert "taken as re-used" in condition_words(measured(bench, 35))
    bench.is_now("rod_shells", "re-used")
    bench.is_now("rod_journals", "re-used")
    said = condition_words(bench.result("rod_bearing"))
    assert said == "re-used parts: build limits and service limit"
    bench.is_now("rod_shells", "new")
    said = condition_words(bench.result("rod_bearing"))
    assert said == "rod shells are new: build limits only"
    bench.work("rod_journals", WorkKind.GROUND)
    said = condition_words(bench.result("rod_bearing"))
    assert "rod journals are machined" in said
    assert "rod shells are new" in said


def test_rules_in_words() -> None:
    assert rule_words(DecisionRule.SIMPLE).startswith("simple acceptance")
    assert "95 %" in rule_words(MARGIN)
