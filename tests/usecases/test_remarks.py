"""What is said of fits beyond the table."""

from __future__ import annotations

from typing import Any

import pytest

from oilwedge.fits.limits import Condition
from oilwedge.fits.verdict import State
from oilwedge.job.entry import WorkKind
from oilwedge.metrology.reading import Bound
from oilwedge.uncertainty.conformity import DecisionRule
from oilwedge.usecases.length_face import LengthFace
from oilwedge.usecases.remarks import (
    and_list,
    not_judged_sentences,
    part_state_sentences,
    remark,
    remarks,
)

Bench = Any  # the fixture of conftest.py
FACE = LengthFace(unit="mm")


def rod(bench: Bench, number: int, um: float) -> None:
    bench.journal(number, 47.970)
    bench.bore(number, 47.970 + um / 1000)


def said(bench: Bench, number: int = 1, key: str = "rod_bearing") -> str:
    found = remark(result=bench.result(key, number), face=FACE)
    return " ".join(found.sentences) if found is not None else ""


# --- the same words once ------------------------------------------------------------------------


def test_a_question_that_holds_up_several_fits_is_said_once_with_all_their_names(
    bench: Bench,
) -> None:
    rod(bench, 3, 35)
    bench.read("rod_journal", 3, 47.470, "front", "along", instrument="mic")
    found = remarks(results=bench.judge().fits, face=FACE)
    assert [(one.label, one.words) for one in found] == [
        ("rod bearing 3, rod journal size 3 and rod journal taper 3", "cannot tell")
    ]


def test_like_numbers_of_one_kind_are_said_as_a_range(bench: Bench) -> None:
    for number in (1, 2, 3):
        bench.read("top_ring_gap", number, 0.50, instrument="feeler")
    (one,) = remarks(results=bench.judge().fits, face=FACE)
    assert one.label == "top ring gap 1 to 3"


def test_what_is_said_in_other_words_stands_apart(bench: Bench) -> None:
    rod(bench, 1, 10)
    rod(bench, 2, 12)
    labels = [one.label for one in remarks(results=bench.judge().fits, face=FACE)]
    assert labels == ["rod bearing 1", "rod bearing 2"]


@pytest.mark.parametrize(
    ("words", "text"),
    [([], ""), (["a"], "a"), (["a", "b"], "a and b"), (["a", "b", "c"], "a, b and c")],
)
def test_names_are_listed_as_a_person_says_them(words: list[str], text: str) -> None:
    assert and_list(words) == text


# --- service limits that do not hold ------------------------------------------------------------


def test_too_loose_for_a_new_part_says_which_part_it_is(bench: Bench) -> None:
    rod(bench, 1, 54)
    bench.is_now("rod_journals", "re-used")
    bench.is_now("rod_shells", "new")
    result = bench.result("rod_bearing")
    assert result.verdict.state is State.TOO_LOOSE
    assert result.conditions == {"rod journals": Condition.REUSED, "rod shells": Condition.NEW}
    assert "Rod shells are new: build limits only." in said(bench)


def test_what_no_service_limit_would_allow_says_nothing_of_it(bench: Bench) -> None:
    """The engine file gives an upper service limit alone: tight is tight for any part."""
    rod(bench, 1, 10)
    bench.is_now("rod_shells", "new")
    bench.read("top_ring_gap", 1, 0.50, instrument="feeler")
    bench.is_now("rings", "new")
    assert "build limits only" not in said(bench)
    assert bench.result("top_ring_gap").verdict.state is State.TOO_LOOSE
    assert "build limits only" not in said(bench, key="top_ring_gap")


def test_a_failed_zero_check_is_said_once_and_of_its_instrument(bench: Bench) -> None:
    rod(bench, 1, 35)
    bench.zero("bore", "failed")
    text = said(bench)
    assert text.startswith(
        "The bore gauge, set in the micrometer failed its zero check; 2 readings"
    )
    assert text.count("zero check") == 1


def test_every_sentence_of_a_remark_starts_with_a_capital(bench: Bench) -> None:
    rod(bench, 1, 80)
    bench.read("rod_strip", 2, 0.025, instrument="narrow", bound=Bound.AT_MOST)
    rod(bench, 3, 35)
    bench.read("rod_journal", 3, 47.470, "front", "along", instrument="mic")
    sentences = [
        sentence
        for one in remarks(results=bench.judge().fits, face=FACE)
        for sentence in one.sentences
    ]
    assert sentences
    assert all(one[0].isupper() or one[0].isdigit() for one in sentences)


# --- what was not judged ------------------------------------------------------------------------


def test_a_way_that_was_begun_names_what_is_still_to_be_read(bench: Bench) -> None:
    for number in (1, 2, 3):
        bench.journal(number, 47.970)
    (sentence,) = [
        one
        for one in not_judged_sentences(bench.judge(), face=FACE)
        if one.startswith("Not measured")
    ]
    assert "rod bearing 1 to 3 (still to be read: rod bearing bore); rod bearing 4;" in sentence
    assert "main bearing 1 to 5;" in sentence


@pytest.mark.parametrize(
    ("part", "words"),
    [("crankshaft", "crankshaft was ground"), ("rod_journals", "rod journals were ground")],
)
def test_work_on_one_part_was_and_on_many_were(bench: Bench, part: str, words: str) -> None:
    bench.journal(1, 47.970)
    bench.work(part, WorkKind.GROUND)
    assert words in " ".join(part_state_sentences(bench.judge()))


# --- form that the readings may not show --------------------------------------------------------


@pytest.mark.parametrize(
    ("um", "state", "asked"),
    [
        (35, State.RIGHT, False),  # far enough from 21 and 49 µm
        (28, State.CANNOT_TELL, True),  # 24 µm at the thick end: clear of 21 µm by less than that
        (23, State.CANNOT_TELL, False),  # 19 µm there: outside, and form makes it tighter still
    ],
)
def test_the_full_plan_is_asked_for_where_form_may_take_a_kept_limit(
    bench: Bench, um: float, state: State, asked: bool
) -> None:
    bench.journal(1, 47.970, taper_mm=0.008)
    bench.bore(1, 47.970 + um / 1000)
    result = bench.result("rod_bearing", 1, DecisionRule.SAFETY_MARGIN)
    assert result.verdict.state is state
    found = remark(result=result, face=FACE)
    text = " ".join(found.sentences) if found is not None else ""
    assert ("by the full plan" in text) is asked
