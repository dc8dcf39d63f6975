"""What is to be said beyond the table: what is wrong, where, what to do; what does not judge."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from oilwedge.engine.model import Engine, Per
from oilwedge.fits.limits import Condition, LimitName
from oilwedge.fits.verdict import Doubt, Proof, State
from oilwedge.job.entry import Event
from oilwedge.job.standing import Doubted
from oilwedge.usecases.flags import FlagKind
from oilwedge.usecases.judgement import FitResult, Judgement
from oilwedge.usecases.length_face import LengthFace, percent
from oilwedge.usecases.signs import shown_value
from oilwedge.usecases.wording import (
    advice_sentence,
    be,
    condition_words,
    question_sentence,
    still_to_be_read,
    verdict_words,
    what_to_do,
    why,
)


@dataclass(frozen=True, kw_only=True, slots=True)
class Remark:
    """What is to be said of one fit, or of several alike, beyond their lines in the table."""

    label: str
    words: str
    sentences: tuple[str, ...]
    checks: tuple[str, ...] = ()


def _doubt_sentences(result: FitResult) -> list[str]:
    """Say which instruments failed their zero check, and how many readings that puts in doubt."""
    by_instrument: dict[str, dict[str, Doubted]] = {}
    for one in result.doubted:
        by_instrument.setdefault(one.instrument, {})[one.reading.id] = one
    sentences = []
    for instrument, doubted in by_instrument.items():
        event = next(iter(doubted.values())).event
        note = f" ({event.note})" if event.note else ""
        title = result.instrument_titles.get(instrument, instrument)
        count = len(doubted)
        rest = (
            "one reading here rests on it and is"
            if count == 1
            else (f"{count} readings here rest on it and are")
        )
        sentences.append(
            f"The {title} failed its zero check{note}; {rest} in doubt. Set it, check its zero"
            " again, then measure again."
        )
    return sentences


def _build_limits_only(result: FitResult) -> list[str]:
    """Say which part keeps the service limit from allowing what the build limits do not."""
    verdict = result.verdict
    limits = verdict.limits
    if limits.service_holds or verdict.state not in (State.TOO_TIGHT, State.TOO_LOOSE):
        return []
    broken = [one.limit for one in verdict.findings if one.inside is False]
    given = {LimitName.LOW: limits.service_low_m, LimitName.HIGH: limits.service_high_m}
    if all(given.get(limit) is None for limit in broken):
        return []
    return [_sentence(condition_words(result))]


def _sentence(text: str) -> str:
    return f"{capital(text)}."


def capital(text: str) -> str:
    """The text with a capital at its start."""
    return text[:1].upper() + text[1:]


def remark(*, result: FitResult, face: LengthFace) -> Remark | None:
    """Say what is wrong, where, and what to do; None where there is nothing to say."""
    sentences = []
    state = result.verdict.state
    # What is right and only close to its limit stands in a line with its like.
    # A failed zero check has its own sentences, with the instrument's name.
    reason = "" if state is State.RIGHT else why(result=result, face=face)
    if reason and result.verdict.doubt is not Doubt.ZERO_CHECK:
        sentences.append(_sentence(reason))
    sentences += _build_limits_only(result)
    to_do = what_to_do(fit=result.fit, verdict=result.verdict)
    sentences += [to_do] if to_do else []
    sentences += [capital(question_sentence(question=one, face=face)) for one in result.questions]
    sentences += _doubt_sentences(result)
    sentences += [one.text for one in result.flags if one.kind is FlagKind.CALIBRATION_OVERDUE]
    comparison = result.measurement.comparison
    proves_little = comparison is not None and any(p.proves_little for p in comparison.pairs)
    if proves_little and state is State.RIGHT:
        sentences.append("The ways agree, but with a U this wide their agreement proves little.")
    open_inside = any(one.proof is Proof.OPEN and one.inside for one in result.verdict.findings)
    if result.measurement.evidence.hidden_form_m and state is State.CANNOT_TELL and open_inside:
        sentences.append(
            "More form may hide than the readings show: read the parts by the full plan, in three"
            " places and four directions, the journal of a zeroed gauge as well."
        )
    if result.advice is not None:
        sentences.append(advice_sentence(advice=result.advice, face=face))
    if result.apart is not None:
        apart = result.apart.difference
        side, size = ("above", apart) if apart.value > 0 else ("below", -apart)
        sentences.append(
            f"It stands apart from its neighbours: {face.value(size)} {side} the mean of the"
            " others."
        )
    if state is State.LOOSE:
        sentences.append(
            "It is worn and still inside the service limit: by the maker's figures re-used parts"
            " may run on. New parts would have to meet the build limits."
        )
    if result.verdict.limits.condition is Condition.UNSTATED and state is State.LOOSE:
        sentences.append(f"Note: {condition_words(result)}.")
    checks = tuple(f"{one.cause}: {one.check}" for one in result.measurement.causes)
    if checks:
        sentences.append("Usual causes, most likely first, and the check that tells each apart:")
    if not sentences:
        return None
    return Remark(
        label=result.label,
        words=verdict_words(fit=result.fit, verdict=result.verdict),
        sentences=tuple(sentences),
        checks=checks,
    )


def remarks(*, results: Sequence[FitResult], face: LengthFace) -> tuple[Remark, ...]:
    """All remarks, in the order of the results; what was not measured is left to its own list.

    What is to be said of several fits in the same words is said once, with all their names.
    """
    alike: dict[Remark, list[FitResult]] = {}
    for result in results:
        if result.verdict.state in (State.NOT_MEASURED, State.NO_LIMITS):
            continue
        said = remark(result=result, face=face)
        if said is not None:
            alike.setdefault(replace(said, label=""), []).append(result)
    return tuple(replace(said, label=_labels(ones)) for said, ones in alike.items())


def _labels(results: Sequence[FitResult]) -> str:
    """All their names: "rod bearing 1 to 4, rod bearing 6 and crank end float"."""
    by_kind: dict[str, list[FitResult]] = {}
    for result in results:
        by_kind.setdefault(result.key, []).append(result)
    labels = []
    for ones in by_kind.values():
        fit = ones[0].fit
        if fit.per is Per.ENGINE:
            labels.append(fit.title)
            continue
        runs = number_ranges([one.number for one in ones]).split(", ")
        labels += [f"{fit.title} {run}" for run in runs]
    return and_list(labels)


def and_list(words: Sequence[str]) -> str:
    """ "a, b and c"."""
    return " and ".join([", ".join(words[:-1]), words[-1]] if len(words) > 1 else words)


def close_sentence(*, results: Sequence[FitResult]) -> str:
    """Name the fits that are right with a limit inside their U, with the chance of being inside."""
    by_kind: dict[str, list[str]] = {}
    for result in results:
        verdict = result.verdict
        if verdict.state is not State.RIGHT or verdict.close_to is None:
            continue
        finding = verdict.finding(verdict.close_to)
        chance = finding.chance_inside if finding is not None else None
        number = "" if result.fit.per is Per.ENGINE else f" {result.number}"
        shown = f" ({percent(chance)})" if chance is not None else ""
        by_kind.setdefault(result.fit.title, []).append(f"{number}{shown}".strip())
    if not by_kind:
        return ""
    kinds = "; ".join(f"{title} {', '.join(ones)}" for title, ones in by_kind.items())
    return f"With the chance of being inside that limit: {kinds}."


def _work_words(engine: Engine, event: Event) -> str:
    """What was done to which part: "main journals were ground"."""
    what = engine.part_titles.get(event.subject, event.subject.replace("_", " "))
    were = {"are": "were", "is": "was"}[be(what)]
    return f"{what} {were} {event.work.value if event.work is not None else 'changed'}"


def _features(engine: Engine, key: str, numbers: Sequence[int]) -> str:
    feature = engine.features[key]
    if feature.per is Per.ENGINE:
        return feature.title
    return f"{feature.title} {number_ranges(sorted(set(numbers)))}"


def part_state_sentences(judgement: Judgement) -> list[str]:
    """What stopped judging and why, and what has to be measured again."""
    now, engine = judgement.standing, judgement.engine
    ended: dict[tuple[str, str], list[int]] = {}
    for one in now.ended:
        key = (one.reading.feature, _work_words(engine, one.event))
        ended.setdefault(key, []).append(one.reading.number)
    sentences = [
        f"{_features(engine, feature, numbers)}: {len(numbers)} readings from before the {work}"
        " stay on record and do not judge."
        for (feature, work), numbers in ended.items()
    ]
    again: dict[tuple[str, str], list[int]] = {}
    for feature, number, event in now.measure_again:
        again.setdefault((feature.key, _work_words(engine, event)), []).append(number)
    sentences += [
        f"Measure again: {_features(engine, feature, numbers)}, because the {work}."
        for (feature, work), numbers in again.items()
    ]
    if now.replaced:
        count = len(now.replaced)
        were = "value was" if count == 1 else "values were"
        sentences.append(f"{count} misread {were} replaced; what was read first stays on record.")
    return sentences


def number_ranges(numbers: Sequence[int]) -> str:
    """Numbers as short as a person writes them: 1 to 4, 6."""
    runs: list[list[int]] = []
    for number in sorted(numbers):
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    shown = []
    for run in runs:
        if len(run) < 3:
            shown += [str(number) for number in run]
        else:
            shown.append(f"{run[0]} to {run[-1]}")
    return ", ".join(shown)


def not_judged_sentences(judgement: Judgement, *, face: LengthFace) -> list[str]:
    """Fits without readings in one sentence; fits without limits one line a kind."""
    missing: dict[tuple[str, str], list[FitResult]] = {}
    unlimited: dict[str, list[FitResult]] = {}
    for result in judgement.fits:
        if result.verdict.state is State.NOT_MEASURED:
            missing.setdefault((result.key, still_to_be_read(result)), []).append(result)
        elif result.verdict.state is State.NO_LIMITS:
            unlimited.setdefault(result.key, []).append(result)
    sentences = []
    if missing:
        names = "; ".join(
            f"{_which(results)} (still to be read: {still})" if still else _which(results)
            for (_, still), results in missing.items()
        )
        sentences.append(f"Not measured: {names}.")
    for results in unlimited.values():
        reason = why(result=results[0], face=face)
        measured = [one for one in results if not one.measurement.evidence.empty]
        values = "; ".join(f"{one.label} {shown_value(one, face=face)}" for one in measured)
        tail = f" Measured: {values}." if values else ""
        sentences.append(f"{_which(results)}: {reason}.{tail}")
    return sentences


def _which(results: Sequence[FitResult]) -> str:
    fit = results[0].fit
    if fit.per is Per.ENGINE:
        return fit.title
    return f"{fit.title} {number_ranges([one.number for one in results])}"
