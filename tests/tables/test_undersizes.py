"""Undersizes and turns of the thimble: common practice, no source."""

from __future__ import annotations

import pytest

from oilwedge.tables.undersizes import (
    nearest_standard_step,
    standard_steps,
    thimble_turns_of_trade,
    whole_thimble_turns,
)


def test_the_steps_are_those_of_the_trade() -> None:
    assert [step.words for step in standard_steps()] == [
        "0.25 mm",
        "0.50 mm",
        "0.75 mm",
        "1.00 mm",
        "0.001 in",
        "0.002 in",
        "0.010 in",
        "0.020 in",
        "0.030 in",
    ]
    assert [turn.words for turn in thimble_turns_of_trade()] == ["0.50 mm", "0.025 in"]


def test_inch_and_metric_steps_are_not_equal() -> None:
    sizes = {step.words: step.size_m for step in standard_steps()}
    assert sizes["0.010 in"] == 0.254e-3
    assert sizes["0.25 mm"] == 0.25e-3


@pytest.mark.parametrize(
    ("deviation_m", "words"),
    [
        (-0.251e-3, "0.25 mm"),
        (-0.2535e-3, "0.010 in"),
        (0.499e-3, "0.50 mm"),
        (-0.760e-3, "0.030 in"),
        (-0.026e-3, "0.001 in"),
    ],
)
def test_the_nearest_step_is_named(deviation_m: float, words: str) -> None:
    step = nearest_standard_step(deviation_m=deviation_m, tolerance_m=5e-6)
    assert step is not None
    assert step.words == words


def test_between_the_steps_there_is_none() -> None:
    assert nearest_standard_step(deviation_m=-0.35e-3, tolerance_m=20e-6) is None
    assert nearest_standard_step(deviation_m=0.0, tolerance_m=20e-6) is None


@pytest.mark.parametrize(
    ("deviation_m", "turns", "words"),
    [
        (-0.502e-3, 1, "0.50 mm"),
        (1.499e-3, 3, "0.50 mm"),
        (-0.633e-3, 1, "0.025 in"),
        (1.271e-3, 2, "0.025 in"),
    ],
)
def test_whole_turns_are_counted(deviation_m: float, turns: int, words: str) -> None:
    found = whole_thimble_turns(deviation_m=deviation_m, tolerance_m=5e-6)
    assert found is not None
    assert (found.turns, found.words) == (turns, words)


def test_half_a_turn_is_none() -> None:
    assert whole_thimble_turns(deviation_m=-0.25e-3, tolerance_m=5e-6) is None
    assert whole_thimble_turns(deviation_m=1e-6, tolerance_m=5e-6) is None
