"""What a set says once it is complete: its mean and form, and the fits that hang on it.

Before that nothing of it is shown, so that nobody reads towards the answer.
"""

from __future__ import annotations

from dataclasses import dataclass

from oilwedge.report.state_sign import StateSign
from oilwedge.report.window_sign import WindowSign
from oilwedge.usecases.judgement import FitResult, Judgement
from oilwedge.usecases.length_face import LengthFace
from oilwedge.usecases.measuring import MeasureSet
from oilwedge.usecases.signs import shown_value, state_sign, window_sign
from oilwedge.usecases.wording import question_sentence, verdict_words
from oilwedge.web.people.models import Account, Role
from oilwedge.web.record.judged import judged
from oilwedge.web.record.models import Job


@dataclass(frozen=True, kw_only=True, slots=True)
class ShownFit:
    """A fit that hangs on the set, as a line."""

    key: str
    number: int
    label: str
    sign: StateSign
    words: str
    value: str
    window: WindowSign
    decided: bool


@dataclass(frozen=True, kw_only=True, slots=True)
class SetResult:
    """Mean and form (``lines`` where there are only bounds), fits and questions of a set."""

    lines: tuple[str, ...]
    sizes: tuple[tuple[str, str], ...]
    notes: tuple[str, ...]
    fits: tuple[ShownFit, ...]
    questions: tuple[str, ...]


def shows_result(*, job: Job, account: Account, found: MeasureSet) -> bool:
    """Whether somebody sees what the set says."""
    if job.task is not None and account.role == Role.PUPIL and not job.task.shows_results:
        return False
    if found.complete:
        return any(slot.reading is not None for slot in found.slots)
    return not job.blind and job.task_id is None and account.role == Role.LEAD


def result_of(job: Job, *, found: MeasureSet, unit: str) -> SetResult:
    """What the set says, in the unit that somebody chose."""
    judgement = judged(job)
    face = LengthFace(unit="in" if unit in {"in", "thou"} else "mm")
    fits = [
        _shown(one, face=face)
        for one in judgement.fits
        if found.feature in one.fit.features and one.number == found.number
    ]
    questions = [
        question_sentence(question=one, face=face)
        for one in judgement.questions
        if (one.feature.key, one.number) == (found.feature, found.number)
    ]
    sizes, notes = _form(judgement, found, face)
    return SetResult(
        lines=tuple(line.strip() for line in found.result) if not sizes else (),
        sizes=tuple(sizes),
        notes=tuple(notes),
        fits=tuple(fits),
        questions=tuple(questions),
    )


def _shown(result: FitResult, *, face: LengthFace) -> ShownFit:
    sign = state_sign(result)
    return ShownFit(
        key=result.key,
        number=result.number,
        label=result.label,
        sign=sign,
        words=verdict_words(fit=result.fit, verdict=result.verdict),
        value=shown_value(result, face=face),
        window=window_sign(result, unit=face.unit, every_way=False),
        decided=sign is not StateSign.NOT_MEASURED,
    )


def _form(
    judgement: Judgement, found: MeasureSet, face: LengthFace
) -> tuple[list[tuple[str, str]], tuple[str, ...]]:
    """Mean, taper, barrel and out-of-round, where the readings show them; and remarks on them."""
    size = judgement.sizes.get((found.feature, found.number))
    if size is None or size.mean is None:
        return [], ()
    bulge = "hourglass" if size.barrel is not None and size.barrel.value < 0 else "barrel"
    shown = (
        ("mean", size.mean),
        ("taper", size.taper),
        (bulge, size.barrel),
        ("out of round", size.out_of_round),
    )
    return [(words, face.value(value)) for words, value in shown if value is not None], size.notes
