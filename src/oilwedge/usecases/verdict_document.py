"""A judgement as a document: the table on the screen and the build sheet on paper."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

from oilwedge.engine.model import Engine, Per
from oilwedge.fits.limits import Condition
from oilwedge.fits.verdict import State
from oilwedge.job.entry import Event
from oilwedge.report.document import (
    Align,
    Block,
    Checklist,
    Column,
    CrankFigure,
    Document,
    Emphasis,
    Heading,
    Paragraph,
    Row,
    Table,
    Text,
    Window,
)
from oilwedge.report.document import State as StateCell
from oilwedge.usecases.joint_chance import JointChance
from oilwedge.usecases.judgement import FitResult, Judgement
from oilwedge.usecases.signs import (
    ShownLine,
    crank_drawing,
    shown_lines,
    state_sign,
    window_sign,
)
from oilwedge.usecases.wording import (
    LengthFace,
    advice_sentence,
    condition_words,
    percent,
    question_sentence,
    rule_words,
    verdict_words,
    what_to_do,
    why,
)

NO_BREAK = "\N{NO-BREAK SPACE}"


@dataclass(frozen=True, kw_only=True, slots=True)
class Remark:
    """What is to be said of one fit beyond its line in the table."""

    label: str
    words: str
    sentences: tuple[str, ...]
    checks: tuple[str, ...] = ()


def line_text(line: ShownLine, *, face: LengthFace) -> str:
    """One value with its U, or what a one-sided reading says."""
    if line.value is not None:
        return face.value(line.value)
    parts = []
    if line.at_least_m is not None:
        parts.append(f"at least {face.length(line.at_least_m)}")
    if line.at_most_m is not None:
        parts.append(f"at most {face.length(line.at_most_m)}")
    return "\n".join(parts)


def shown_value(result: FitResult, *, face: LengthFace, every_way: bool = False) -> str:
    """The value column as one text, a line for each mark; a dash where nothing is known."""
    lines = shown_lines(result, every_way=every_way)
    return "\n".join(line_text(line, face=face) for line in lines) or "–"


def _shown_label(result: FitResult, *, every_way: bool) -> str:
    """The fit's name, and under it what the further lines of the value column are."""
    lines = shown_lines(result, every_way=every_way)
    names = [line.name for line in lines] or [""]
    fit = result.fit
    own = fit.per.value if fit.per is Per.ENGINE else f"{fit.per.value} {result.number}"
    shown = [f"{own} {names[0]}".strip(), *names[1:]]
    # A name that broke would push the names beside the wrong values.
    return "\n".join(name.replace(" ", NO_BREAK) for name in shown)


def limits_text(result: FitResult, *, face: LengthFace) -> str:
    """The limits in force in words and numbers."""
    limits = result.verdict.limits
    parts = [face.span(low_m=limits.low_m, high_m=limits.high_m)]
    if limits.service_holds:
        for service_m, word in (
            (limits.service_low_m, "service from"),
            (limits.service_high_m, "service up to"),
        ):
            if service_m is not None:
                parts.append(f"{word} {face.length(service_m)}")
    return "; ".join(parts)


class GroupLine(Enum):
    """What stands over the fits of one kind."""

    LIMITS = "limits"
    LIMITS_AND_SOURCE = "limits and source"


def fits_table(
    *,
    results: Sequence[FitResult],
    face: LengthFace,
    every_way: bool,
    group_line: GroupLine = GroupLine.LIMITS,
    caption: str = "",
) -> Table:
    """One line a fit: what it is, its value, its window, its verdict.

    Fits that follow each other under the same limits stand under one line with those limits.
    """
    rows: list[Row] = []
    head = ""
    for result in results:
        limits = _limits_line(result, face=face, group_line=group_line)
        if limits != head:
            rows.append(Row(cells=(Text(text=limits),), emphasis=Emphasis.GROUP))
            head = limits
        rows.append(
            Row(
                cells=(
                    Text(text=_shown_label(result, every_way=every_way)),
                    Text(text=shown_value(result, face=face, every_way=every_way)),
                    Window(sign=window_sign(result, unit=face.unit, every_way=every_way)),
                    StateCell(
                        state=state_sign(result),
                        words=verdict_words(fit=result.fit, verdict=result.verdict),
                    ),
                )
            )
        )
    return Table(
        columns=(
            Column(title="fit"),
            Column(title="value", align=Align.NUMBER),
            Column(title="window", width_weight=1.7),
            Column(title="verdict", width_weight=1.5),
        ),
        rows=tuple(rows),
        caption=caption,
    )


def _limits_line(result: FitResult, *, face: LengthFace, group_line: GroupLine) -> str:
    source = ""
    if group_line is GroupLine.LIMITS_AND_SOURCE and result.fit.limits_from:
        source = f" ({result.fit.limits_from})"
    return f"{result.fit.title}: {limits_text(result, face=face)}{source}"


def _doubt_sentences(result: FitResult) -> list[str]:
    """Say which instrument failed its zero check, and how many readings that puts in doubt."""
    if not result.doubted:
        return []
    first, count = result.doubted[0], len(result.doubted)
    note = f" ({first.event.note})" if first.event.note else ""
    title = result.instrument_titles.get(first.instrument, first.instrument)
    readings = "one reading" if count == 1 else f"{count} readings"
    verb = "is" if count == 1 else "are"
    return [
        f"The {title} failed its zero check{note}; {readings} since its last good check {verb} in"
        " doubt. Set it and measure again."
    ]


def remark(*, result: FitResult, face: LengthFace) -> Remark | None:
    """Say what is wrong, where, and what to do; None where there is nothing to say."""
    sentences = []
    reason = why(result=result, face=face)
    if reason:
        sentences.append(f"{reason[0].upper()}{reason[1:]}.")
    to_do = what_to_do(fit=result.fit, verdict=result.verdict)
    sentences += [to_do] if to_do else []
    sentences += [question_sentence(question=one, face=face) for one in result.questions]
    sentences += _doubt_sentences(result)
    comparison = result.measurement.comparison
    if comparison is not None and any(pair.proves_little for pair in comparison.pairs):
        sentences.append("The ways agree, but with a U this wide their agreement proves little.")
    if result.advice is not None:
        sentences.append(advice_sentence(advice=result.advice, face=face))
    if result.apart is not None:
        apart = result.apart.difference
        side, size = ("above", apart) if apart.value > 0 else ("below", -apart)
        sentences.append(
            f"It stands apart from its neighbours: {face.value(size)} {side} the mean of the"
            " others."
        )
    if (
        result.verdict.limits.condition is Condition.UNSTATED
        and result.verdict.state is State.LOOSE
    ):
        sentences.append(f"Note: {condition_words(verdict=result.verdict)}.")
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
    """All remarks, in the order of the results; what was not measured is left to its own list."""
    found = []
    for result in results:
        if result.verdict.state in (State.NOT_MEASURED, State.NO_LIMITS):
            continue
        said = remark(result=result, face=face)
        if said is not None:
            found.append(said)
    return tuple(found)


def _work_words(engine: Engine, event: Event) -> str:
    """What was done to which part: "main journals were ground"."""
    what = engine.part_titles.get(event.subject, event.subject.replace("_", " "))
    return f"{what} were {event.work.value if event.work is not None else 'changed'}"


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
    missing: dict[str, list[FitResult]] = {}
    unlimited: dict[str, list[FitResult]] = {}
    for result in judgement.fits:
        if result.verdict.state is State.NOT_MEASURED:
            missing.setdefault(result.key, []).append(result)
        elif result.verdict.state is State.NO_LIMITS:
            unlimited.setdefault(result.key, []).append(result)
    sentences = []
    if missing:
        names = "; ".join(_which(results) for results in missing.values())
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


def summary_sentence(judgement: Judgement) -> str:
    """The whole judgement in one line."""
    counts: dict[str, int] = {}
    for result in judgement.fits:
        words = result.verdict.state.value
        counts[words] = counts.get(words, 0) + 1
    order = [State.RIGHT, *(state for state in State if state is not State.RIGHT)]
    parts = [f"{counts[state.value]} {state.value}" for state in order if state.value in counts]
    return f"{len(judgement.fits)} fits: {', '.join(parts)}"


def screen_document(
    *,
    judgement: Judgement,
    face: LengthFace,
    worst_first: bool,
    every_way: bool,
    chance: JointChance | None = None,
) -> Document:
    """What the terminal shows: the crank, the table, then what is wrong, where, what to do."""
    results = judgement.worst_first() if worst_first else judgement.fits
    judged = [
        one for one in results if one.verdict.state not in (State.NOT_MEASURED, State.NO_LIMITS)
    ]
    blocks: list[Block] = [
        Paragraph(text=f"{summary_sentence(judgement)}. {_sentence(rule_words(judgement.rule))}"),
        CrankFigure(drawing=crank_drawing(engine=judgement.engine, results=judgement.fits)),
    ]
    if judged:
        blocks.append(fits_table(results=judged, face=face, every_way=every_way))
    blocks += chance_blocks(judgement=judgement, chance=chance)
    blocks += remark_blocks(judgement=judgement, face=face)
    return Document(
        title=judgement.engine.name,
        subtitle=f"job {judgement.job_number}" if judgement.job_number else "",
        job_number=judgement.job_number,
        blocks=tuple(blocks),
    )


def chance_blocks(*, judgement: Judgement, chance: JointChance | None) -> list[Block]:
    """The chance that all fits of a kind, and all of the engine, are inside at once."""
    if chance is None:
        return []
    titles = {key: fit.title for key, fit in judgement.engine.fits.items()}
    kinds = "; ".join(
        f"{titles[kind]} {percent(share.chance)}" for kind, share in chance.by_kind.items()
    )
    every = chance.every_fit
    return [
        Heading(level=2, text="Chance that all are inside at once"),
        Paragraph(
            text=f"Every measured fit inside its build limits: {percent(every.chance)}. By kind:"
            f" {kinds}. From {every.draws} draws of the errors that the readings share; what one"
            " micrometer has wrong is wrong in all of its readings."
        ),
    ]


def remark_blocks(*, judgement: Judgement, face: LengthFace) -> list[Block]:
    """What is wrong, where, what to do; then questions, part states, what is missing, notes."""
    blocks: list[Block] = []
    said = remarks(results=judgement.worst_first(), face=face)
    if said:
        blocks.append(Heading(level=2, text="What is wrong, where, what to do"))
        for one in said:
            blocks.append(Heading(level=3, text=f"{one.label}: {one.words}"))
            blocks.append(Paragraph(text=" ".join(one.sentences)))
            blocks += [Checklist(items=one.checks)] if one.checks else []
    hanging = {id(question) for result in judgement.fits for question in result.questions}
    open_questions = [one for one in judgement.questions if id(one) not in hanging]
    sections = (
        ("Questions", [question_sentence(question=one, face=face) for one in open_questions]),
        ("Part states", part_state_sentences(judgement)),
        ("Not judged", not_judged_sentences(judgement, face=face)),
        ("Notes", [*judgement.notes, *_record_notes(judgement)]),
    )
    for title, sentences in sections:
        if sentences:
            blocks.append(Heading(level=2, text=title))
            blocks += [Paragraph(text=sentence) for sentence in sentences]
    return blocks


def _record_notes(judgement: Judgement) -> list[str]:
    return [event.note or event.value for event in judgement.standing.notes]


def _sentence(text: str) -> str:
    return f"{text[0].upper()}{text[1:]}."
