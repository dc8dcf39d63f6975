"""What a job wants its people to look at: questions, readings in doubt, sets that are open.

As JSON values, so that they are kept with the summary and a page need not judge for them.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from oilwedge.job.entry import Entry, Event, EventKind
from oilwedge.job.questions import Question, QuestionKind
from oilwedge.job.record import in_effective_order
from oilwedge.usecases.importing.part_words import step_side
from oilwedge.usecases.judgement import Judgement
from oilwedge.usecases.length_face import LengthFace
from oilwedge.usecases.measuring import SetProgress
from oilwedge.usecases.trade_words import TradeWords, spoken
from oilwedge.usecases.wording import question_sentence

Json = dict[str, Any]
_SAID = frozenset({"label", "words", "title", "sentence", "stage", "waits_for"})


def asked_json(judgement: Judgement, *, face: LengthFace) -> list[Json]:
    """The open questions, each with what its answer has to name."""
    return [
        {
            "kind": one.kind.name.lower(),
            "sentence": question_sentence(question=one, face=face),
            "feature": one.feature.key,
            "number": one.number,
            "title": one.feature.label(one.number),
            "holds_up": one.holds_up,
            "size": _size_it_looks_like(one),
            **_one_reading(one),
        }
        for one in judgement.questions
    ]


def _one_reading(question: Question) -> Json:
    if question.kind is not QuestionKind.ONE_READING_A_TURN_OFF:
        return {"reading": "", "place": "", "direction": ""}
    (reading,) = question.readings
    return {"reading": reading.id, "place": reading.place, "direction": reading.direction}


def _size_it_looks_like(question: Question) -> str:
    """ "0.25 mm under"; empty where it may be several sizes or none."""
    if question.kind is not QuestionKind.SIZE_NOT_STATED or " or " in question.step_text:
        return ""
    factor = question.feature.undersize_factor
    side = step_side(step_m=question.difference_m / factor, undersize_factor=factor)
    return f"{question.step_text} {side}"


def doubted_json(judgement: Judgement, *, entries: Sequence[Entry]) -> list[Json]:
    """The sets with readings in doubt; ``checked``: the instrument was seen right since."""
    last: dict[str, str] = {}
    for entry in in_effective_order(entries):
        if isinstance(entry, Event) and entry.kind is EventKind.ZERO_CHECK:
            last[entry.instrument or entry.subject] = entry.value
    found: dict[tuple[str, int], Json] = {}
    for one in judgement.standing.doubted:
        reading = one.reading
        found.setdefault(
            (reading.feature, reading.number),
            {
                "feature": reading.feature,
                "number": reading.number,
                "title": judgement.engine.features[reading.feature].label(reading.number),
                "place": reading.place,
                "direction": reading.direction,
                "checked": last.get(one.instrument) == "passed",
            },
        )
    return list(found.values())


def doubt_sentences(judgement: Judgement) -> list[str]:
    """A sentence for each instrument that failed a zero check or was overdue when it was read."""
    return [*_failed_checks(judgement), *_overdue(judgement)]


def _title(judgement: Judgement, instrument: str) -> str:
    known = judgement.shop.instruments.get(instrument)
    return known.title if known is not None else instrument


def _failed_checks(judgement: Judgement) -> list[str]:
    counts: dict[str, int] = {}
    for one in judgement.standing.doubted:
        counts[one.instrument] = counts.get(one.instrument, 0) + 1
    return [
        f"The {_title(judgement, key)} failed its zero check: {_readings(count)} in doubt. Set it,"
        " check its zero again, then measure again."
        for key, count in counts.items()
    ]


def _overdue(judgement: Judgement) -> list[str]:
    counts: dict[str, int] = {}
    for reading in judgement.standing.readings:
        known = judgement.shop.instruments.get(reading.instrument)
        due = known.calibration_due if known is not None else None
        if due is not None and reading.time is not None and reading.time.date() > due:
            counts[reading.instrument] = counts.get(reading.instrument, 0) + 1
    return [
        f"The calibration of the {_title(judgement, key)} was due on"
        f" {judgement.shop.instruments[key].calibration_due}: {_readings(count)} taken after that."
        for key, count in counts.items()
    ]


def _readings(count: int) -> str:
    return "one reading is" if count == 1 else f"{count} readings are"


def sets_json(planned: Sequence[SetProgress]) -> list[Json]:
    """The sets of the plan and how far each is."""
    return [
        {
            "feature": one.feature,
            "number": one.number,
            "title": one.title,
            "stage": one.stage,
            "taken": one.taken,
            "skipped": one.skipped,
            "open": one.open,
        }
        for one in planned
    ]


def in_shop_words(document: Json, *, words: TradeWords) -> Json:
    """A summary with its sentences in the words of the shop; keys of the engine file stay."""
    if words == TradeWords():
        return document
    said = {key: _said(key, value, words) for key, value in document.items()}
    return {**said, "doubts": [spoken(one, words=words) for one in document["doubts"]]}


def _said(key: str, value: Any, words: TradeWords) -> Any:
    if isinstance(value, str):
        return spoken(value, words=words) if key in _SAID else value
    if isinstance(value, list):
        return [_said(key, one, words) for one in value]
    if isinstance(value, dict):
        return {name: _said(name, one, words) for name, one in value.items()}
    return value
