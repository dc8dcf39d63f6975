"""What the record makes one ask back, before anything is judged on it.

A micrometer that was read one turn of its thimble wrong (0.50 mm, or 0.025 in) gives a size that
looks exactly like an undersize. Nobody can tell the two apart from the number alone; so the
question is put, and what hangs on it is not judged until it is answered.
"""

from __future__ import annotations

import statistics
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import Enum

from oilwedge.engine.model import Engine, Feature, Shape
from oilwedge.job.standing import Standing
from oilwedge.metrology.reading import Bound, Reading
from oilwedge.tables.undersizes import (
    nearest_standard_step,
    standard_steps,
    whole_thimble_turns,
)

# Wear, a grinder's tolerance and the scatter of a hand-held micrometer stay under this.
NEAR_M = 0.04e-3
# A size that is further from its nominal than this is worth a word even if it fits no step.
FAR_M = 0.10e-3


class QuestionKind(Enum):
    """What is asked."""

    ONE_READING_A_TURN_OFF = "one reading is a turn of the thimble from the others"
    SIZE_A_TURN_OFF = "all readings are a turn of the thimble from the nominal size"
    SIZE_NOT_STATED = "the readings look like an undersize or oversize that nobody stated"
    FAR_FROM_NOMINAL = "the readings are far from the nominal size"


@dataclass(frozen=True, kw_only=True, slots=True)
class Question:
    """One question about one feature.

    ``difference_m`` is what the readings are away from what they should be (signed), ``step_m``
    the turn or standard step that it looks like (positive), ``step_text`` its name. ``readings``
    are those in question; ``holds_up`` says whether the fits that need them wait for the answer.
    """

    kind: QuestionKind
    feature: Feature
    number: int
    readings: tuple[Reading, ...]
    difference_m: float
    step_m: float | None = None
    step_text: str = ""
    holds_up: bool = False


def expected_nominal_m(*, feature: Feature, step_m: float) -> float | None:
    """Give the size to expect in the stated undersize or oversize.

    That is the nominal size, or the middle of the size limits where only those are given.
    """
    if feature.reference_m is None:
        return None
    return feature.reference_m + feature.undersize_factor * step_m


def _turn(difference_m: float) -> tuple[float, str] | None:
    found = whole_thimble_turns(deviation_m=difference_m, tolerance_m=NEAR_M)
    if found is None:
        return None
    words = f"a turn of {found.words}"
    if found.turns > 1:
        words = f"{found.turns} turns of {found.words}"
    return found.turns * found.turn_m, words


def _anchor_m(readings: Sequence[tuple[Reading, float]], *, nominal_m: float | None) -> float:
    """The reading that most others agree with; among equals the one nearest to nominal."""
    values = [value for _, value in readings]

    def rank(value: float) -> tuple[int, float]:
        company = sum(1 for other in values if abs(other - value) <= NEAR_M)
        return -company, abs(value - nominal_m) if nominal_m is not None else 0.0

    chosen = min(values, key=rank)
    return statistics.median(other for other in values if abs(other - chosen) <= NEAR_M)


def _one_off(
    *,
    feature: Feature,
    number: int,
    readings: Sequence[tuple[Reading, float]],
    nominal_m: float | None,
) -> list[Question]:
    """Ask for single readings that are a turn away from the rest of their feature."""
    values = [value for _, value in readings]
    if max(values) - min(values) <= NEAR_M:
        return []
    middle_m = _anchor_m(readings, nominal_m=nominal_m)
    found = []
    for reading, value in readings:
        turn = _turn(value - middle_m)
        if turn is not None:
            found.append(
                Question(
                    kind=QuestionKind.ONE_READING_A_TURN_OFF,
                    feature=feature,
                    number=number,
                    readings=(reading,),
                    difference_m=value - middle_m,
                    step_m=turn[0],
                    step_text=turn[1],
                    holds_up=True,
                )
            )
    return found


def _words_of_steps(deviation_m: float) -> str:
    """Every standard step that it may be: a quarter millimetre is not ten thousandths."""
    near = [one for one in standard_steps() if abs(abs(deviation_m) - one.size_m) <= NEAR_M]
    near.sort(key=lambda step: abs(abs(deviation_m) - step.size_m))
    return " or ".join(step.words for step in near[:2])


def _whole_size(
    *, feature: Feature, number: int, readings: Sequence[tuple[Reading, float]], nominal_m: float
) -> Question | None:
    """Ask for a feature whose readings all lie away from the nominal size."""
    difference_m = statistics.median(value for _, value in readings) - nominal_m
    if abs(difference_m) <= FAR_M:
        return None
    turn = _turn(difference_m)
    kind = QuestionKind.FAR_FROM_NOMINAL
    step: tuple[float, str] | None = None
    if turn is not None:
        kind, step = QuestionKind.SIZE_A_TURN_OFF, turn
    elif feature.undersize_factor:
        in_step_m = difference_m / feature.undersize_factor
        standard = nearest_standard_step(deviation_m=in_step_m, tolerance_m=NEAR_M)
        if standard is not None:
            kind = QuestionKind.SIZE_NOT_STATED
            step = standard.size_m, _words_of_steps(in_step_m)
    return Question(
        kind=kind,
        feature=feature,
        number=number,
        readings=tuple(reading for reading, _ in readings),
        difference_m=difference_m,
        step_m=step[0] if step else None,
        step_text=step[1] if step else "",
        holds_up=kind is QuestionKind.SIZE_A_TURN_OFF,
    )


def questions(
    *,
    engine: Engine,
    standing: Standing,
    values_m: Mapping[str, float],
) -> tuple[Question, ...]:
    """Go through every measured size and ask what has to be asked.

    ``values_m`` are the absolute values of the readings by id. A reading that was confirmed, and
    a size that was stated or confirmed, is not asked about again.
    """
    by_feature: dict[tuple[str, int], list[tuple[Reading, float]]] = {}
    for reading in standing.readings:
        if reading.bound is Bound.NONE and reading.id in values_m:
            where = (reading.feature, reading.number)
            by_feature.setdefault(where, []).append((reading, values_m[reading.id]))
    asked: list[Question] = []
    for (key, number), readings in by_feature.items():
        feature = engine.features[key].at(number)
        if feature.shape not in (Shape.OUTSIDE, Shape.INSIDE, Shape.WALL):
            continue
        step_m = standing.steps_m.get((key, number), 0.0)
        nominal_m = expected_nominal_m(feature=feature, step_m=step_m)
        single = _one_off(feature=feature, number=number, readings=readings, nominal_m=nominal_m)
        asked += [one for one in single if one.readings[0].id not in standing.confirmed_ids]
        if nominal_m is None or single or (key, number) in standing.confirmed_sizes:
            continue
        whole = _whole_size(feature=feature, number=number, readings=readings, nominal_m=nominal_m)
        if whole is not None:
            asked.append(whole)
    return tuple(asked)
