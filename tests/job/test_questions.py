"""What is asked back before anything is judged."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from oilwedge.engine.file import read_engine
from oilwedge.engine.model import Engine
from oilwedge.job.questions import Question, QuestionKind, expected_nominal_m, questions
from oilwedge.job.standing import Standing
from oilwedge.metrology.reading import Bound, Reading

ENGINE: Engine = read_engine(
    """
format = 1
[engine]
name = "Asking two (invented)"
[layout]
kind = "in-line"
cylinders = 2
numbering = "1 at the front"
firing_order = [1, 2]
throw_angles = ["0 deg", "180 deg"]
main_bearings = 3
caps = "separate"
[features.rod_journal]
nominal = "47.980 mm"
[features.main_journal]
size = ["54.980 mm", "55.000 mm"]
[features.rod_upper_wall]
nominal = "1.500 mm"
[features.rod_housing_bore]
nominal = "51.000 mm"
[features.cylinder_bore]
[features.rod_strip]
[features.crank_end_gap]
""",
    file="e.toml",
)
MM = 1e-3


def ask(
    *mm: float,
    feature: str = "rod_journal",
    confirmed: tuple[int, ...] = (),
    confirmed_size: bool = False,
    step_mm: float | None = None,
    bound: Bound = Bound.NONE,
) -> list[Question]:
    readings = tuple(
        Reading(id=f"r{i}", feature=feature, number=1, value_m=value * MM, bound=bound)
        for i, value in enumerate(mm)
    )
    now = Standing(
        readings=readings,
        steps_m={} if step_mm is None else {(feature, 1): step_mm * MM},
        confirmed_ids=frozenset(f"r{i}" for i in confirmed),
        confirmed_sizes=frozenset({(feature, 1)}) if confirmed_size else frozenset(),
    )
    values = {reading.id: reading.value_m for reading in readings}
    return list(questions(engine=ENGINE, standing=now, values_m=values))


def asked_ids(found: list[Question]) -> list[str]:
    return [reading.id for question in found for reading in question.readings]


ONE, WHOLE = QuestionKind.ONE_READING_A_TURN_OFF, QuestionKind.SIZE_A_TURN_OFF
UNSTATED, FAR = QuestionKind.SIZE_NOT_STATED, QuestionKind.FAR_FROM_NOMINAL


def test_good_readings_raise_no_question() -> None:
    assert ask(47.972, 47.975, 47.970, 47.968) == []


@pytest.mark.parametrize("off_mm", [0.5, -0.5, 0.635, -0.635, 1.0, -1.27])
def test_one_reading_a_turn_off_is_asked_for(off_mm: float) -> None:
    """A turn of the thimble: 0.50 mm or 0.025 in (common practice, no source)."""
    (question,) = ask(47.972, 47.971, 47.970 + off_mm, 47.973)
    assert (question.kind, asked_ids([question])) == (ONE, ["r2"])
    assert question.difference_m == pytest.approx(off_mm * MM, abs=3e-6)
    assert question.step_m == pytest.approx(abs(off_mm) * MM)
    assert question.holds_up


def test_of_two_readings_a_turn_apart_the_one_far_from_nominal_is_asked_for() -> None:
    assert asked_ids(ask(47.972, 48.472)) == ["r1"]
    assert asked_ids(ask(48.472, 47.972)) == ["r0"]


def test_two_of_four_a_turn_off_are_both_asked_for() -> None:
    """Their median lies in between and would pass for an undersize of 0.25 mm."""
    found = ask(47.972, 47.971, 47.472, 47.471)
    assert [one.kind for one in found] == [ONE, ONE]
    assert asked_ids(found) == ["r2", "r3"]


def test_the_many_are_believed_and_not_the_nominal_size() -> None:
    assert asked_ids(ask(47.472, 47.471, 47.470, 47.972)) == ["r3"]


def test_a_confirmed_reading_is_not_asked_for_again() -> None:
    assert ask(47.972, 47.971, 47.472, confirmed=(2,)) == []


@pytest.mark.parametrize("off_mm", [0.5, -0.5, 0.635, -1.0])
def test_a_whole_size_a_turn_off_is_asked_for_and_holds_up(off_mm: float) -> None:
    (question,) = ask(*(x + off_mm for x in (47.972, 47.970, 47.971)))
    assert question.kind is WHOLE
    assert question.holds_up
    assert len(question.readings) == 3


@pytest.mark.parametrize(
    ("off_mm", "step_mm", "words"),
    [(-0.25, 0.25, "0.25 mm or 0.010 in"), (-0.254, 0.254, "0.010 in or 0.25 mm")],
)
def test_an_undersize_that_nobody_stated_is_asked_for_in_both_units(
    off_mm: float, step_mm: float, words: str
) -> None:
    """0.010 in is 0.254 mm and not 0.25 mm; a journal's wear hides the difference."""
    (question,) = ask(47.980 + off_mm, 47.980 + off_mm)
    assert question.kind is UNSTATED
    assert question.step_m == pytest.approx(step_mm * MM)
    assert question.step_text == words
    assert not question.holds_up


def test_a_shell_for_an_undersize_is_thicker_by_half_of_it() -> None:
    (question,) = ask(1.625, 1.625, feature="rod_upper_wall")
    assert question.kind is UNSTATED
    assert question.step_m == pytest.approx(0.25 * MM)


def test_a_stated_undersize_is_the_size_to_expect() -> None:
    assert ask(47.722, 47.720, step_mm=0.25) == []
    assert [one.kind for one in ask(47.972, 47.970, step_mm=0.25)] == [UNSTATED]


def test_a_housing_has_no_undersize_and_is_asked_for_as_far_off() -> None:
    assert [one.kind for one in ask(51.25, 51.25, feature="rod_housing_bore")] == [FAR]
    assert [one.kind for one in ask(51.5, 51.5, feature="rod_housing_bore")] == [WHOLE]


def test_a_size_that_fits_no_step_is_far_off_and_holds_nothing_up() -> None:
    (question,) = ask(47.820, 47.821)
    assert question.kind is FAR
    assert question.step_m is None
    assert not question.holds_up


def test_a_confirmed_size_is_not_asked_for_again() -> None:
    assert ask(47.472, 47.471, confirmed_size=True) == []


def test_the_middle_of_the_limits_stands_in_for_a_nominal_size() -> None:
    (question,) = ask(54.490, 54.491, feature="main_journal")
    assert question.kind is WHOLE
    feature = ENGINE.features["main_journal"]
    assert expected_nominal_m(feature=feature, step_m=0.25 * MM) == pytest.approx(54.74 * MM)


def test_without_any_size_in_the_engine_file_only_single_readings_are_asked_for() -> None:
    assert ask(82.5, 82.5, feature="cylinder_bore") == []
    assert asked_ids(ask(82.0, 82.001, 82.5, feature="cylinder_bore")) == ["r2"]
    feature = replace(ENGINE.features["cylinder_bore"])
    assert expected_nominal_m(feature=feature, step_m=0.0) is None


def test_gaps_strips_and_bounds_are_never_asked_for() -> None:
    assert ask(0.04, 0.54, 0.04, feature="rod_strip") == []
    assert ask(0.1, 0.6, 0.1, feature="crank_end_gap") == []
    assert ask(47.972, 47.971, 47.472, bound=Bound.AT_MOST) == []


@given(noise=st.lists(st.floats(-0.015, 0.015), min_size=2, max_size=8))
def test_ordinary_scatter_and_wear_never_raise_a_question(noise: list[float]) -> None:
    assert ask(*(47.970 + n for n in noise)) == []


@given(
    noise=st.lists(st.floats(-0.008, 0.008), min_size=3, max_size=8),
    which=st.integers(0, 7),
    sign=st.sampled_from([-1, 1]),
)
def test_a_turn_is_found_wherever_it_hides(noise: list[float], which: int, sign: int) -> None:
    mm = [47.972 + n for n in noise]
    which %= len(mm)
    mm[which] += sign * 0.5
    assert asked_ids(ask(*mm)) == [f"r{which}"]
