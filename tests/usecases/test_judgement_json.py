"""A judgement as JSON: strict, whole, in SI units."""

from __future__ import annotations

import json
import math
from typing import Any

import pytest

from oilwedge.metrology.reading import Bound
from oilwedge.uncertainty.quantity import Quantity
from oilwedge.usecases.judgement_json import SCHEMA, budget_json, judgement_json, quantity_json
from oilwedge.usecases.length_face import LengthFace

Bench = Any  # the fixture of conftest.py
FACE = LengthFace(unit="mm")
UM = 1e-6


def refuse(word: str) -> float:
    raise AssertionError(f"{word} is no JSON")


def strict(bench: Bench, **options: Any) -> dict[str, Any]:
    """Written and read back as a strict reader would."""
    document = judgement_json(judgement=bench.judge(), face=FACE, **options)
    text = json.dumps(document, allow_nan=False)
    found: dict[str, Any] = json.loads(text, parse_constant=refuse)
    return found


def fit_of(document: dict[str, Any], key: str, number: int = 1) -> dict[str, Any]:
    (found,) = [f for f in document["fits"] if (f["fit"], f["number"]) == (key, number)]
    return dict(found)


@pytest.fixture
def everything(bench: Bench) -> Bench:
    """A bit of all: right, disagreeing, one-sided, in question, ended, doubted, one reading."""
    bench.journal(1, 47.972)
    bench.bore(1, 48.010)
    bench.journal(2, 47.955)
    bench.bore(2, 48.010)
    bench.read("rod_strip", 2, 0.025, "front", instrument="narrow")
    bench.read("rod_strip", 3, 0.025, "front", instrument="narrow", bound=Bound.AT_MOST)
    bench.journal(4, 47.472)
    bench.bore(4, 48.010)
    bench.read("main_gauge", 1, 0.040)
    bench.read("crank_end_gap", 1, 0.150, instrument="dial gauge")
    bench.zero("dial gauge", "failed")
    return bench


def test_it_is_strict_json_whatever_was_measured(everything: Bench, new_bench: Any) -> None:
    assert strict(everything)["oilwedge_judgement"] == SCHEMA
    assert strict(new_bench())["all_right"] is False


def test_a_fit_carries_value_uncertainty_limits_and_chance(everything: Bench) -> None:
    fit = fit_of(strict(everything), "rod_bearing")
    assert fit["state"] == "right"
    assert fit["mean"]["value_m"] == pytest.approx(38 * UM)
    expanded = fit["mean"]["coverage_factor"] * fit["mean"]["standard_uncertainty_m"]
    assert fit["mean"]["expanded_uncertainty_m"] == pytest.approx(expanded)
    assert fit["limits"]["low"] == pytest.approx(21 * UM)
    assert fit["limits"]["service_high"] == pytest.approx(60 * UM)
    assert fit["limits"]["service_low"] is None
    assert fit["limits_from"] == "Invented manual, page 12"
    chance = fit["chance_inside"]
    assert 0.9 < chance["both"] <= min(chance["not_under_low"], chance["not_over_high"])
    assert fit["decided_by"] == "bore"
    assert sum(line["share_of_variance"] for line in fit["budget"]) == pytest.approx(1.0)
    shares = [abs(line["contribution_m"]) for line in fit["budget"]]
    assert shares == sorted(shares, reverse=True)


def test_a_disagreement_lists_pairs_and_likely_causes(everything: Bench) -> None:
    fit = fit_of(strict(everything), "rod_bearing", 2)
    assert fit["state"] == "readings_disagree"
    assert fit["comparison"]["agree"] is False
    assert fit["likely_causes"][0]["check"]
    assert fit["close_to"] is None


def test_a_one_sided_reading_stands_as_a_bound_and_names_what_would_decide(
    everything: Bench,
) -> None:
    fit = fit_of(strict(everything), "rod_bearing", 3)
    assert (fit["state"], fit["doubt"]) == ("cannot_tell", "one_sided")
    assert fit["at_most_m"] == pytest.approx(25 * UM)
    assert fit["mean"] is None
    assert fit["what_would_decide"]["remedies"][0]["fittings"] >= 1


def test_questions_doubts_and_what_does_not_judge_are_listed(everything: Bench) -> None:
    document = strict(everything)
    assert fit_of(document, "rod_bearing", 4)["questions"][0]["holds_up"] is True
    assert fit_of(document, "crank_end_float")["readings_in_doubt"]
    assert [q["kind"] for q in document["questions"]] == ["size_a_turn_off"]


def test_degrees_of_freedom_without_end_are_none() -> None:
    found = quantity_json(Quantity(1.0, {}))
    assert found is not None
    assert found["degrees_of_freedom"] is None
    assert quantity_json(None) is None
    assert budget_json(Quantity(1.0, {})) == []


def test_sizes_and_their_form_are_there(everything: Bench) -> None:
    sizes = {(s["feature"], s["number"]): s for s in strict(everything)["sizes"]}
    journal = sizes["rod_journal", 1]
    assert journal["taper"]["value_m"] == pytest.approx(0.0, abs=1 * UM)
    assert len(journal["places"]) == 4
    assert journal["instruments"] == ["mic"]
    assert sizes["rod_strip", 3]["mean"] is None
    assert math.isclose(sizes["rod_strip", 3]["at_most_m"], 25 * UM)


def test_complete_counts_the_unmeasured_too(bench: Bench) -> None:
    bench.journal(1, 47.972)
    bench.bore(1, 48.010)
    assert strict(bench)["all_right"] is True
    assert strict(bench, complete=True)["all_right"] is False


def test_each_wearing_part_says_what_it_is(bench: Bench) -> None:
    bench.journal(1, 47.972)
    bench.is_now("rod_shells", "new")
    found = fit_of(strict(bench), "rod_bearing")["conditions"]
    assert sorted(found, key=lambda one: str(one["part"])) == [
        {"part": "rod journals", "condition": "not stated"},
        {"part": "rod shells", "condition": "new"},
    ]
