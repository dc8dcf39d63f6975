"""A judgement as a document: the table on the screen and the build sheet on paper."""

from __future__ import annotations

from collections.abc import Sequence
from enum import Enum

from oilwedge.engine.model import Per
from oilwedge.fits.verdict import State
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
from oilwedge.usecases.length_face import LengthFace, percent
from oilwedge.usecases.limit_meaning import limit_meaning
from oilwedge.usecases.remarks import (
    capital,
    close_sentence,
    not_judged_sentences,
    part_state_sentences,
    remarks,
)
from oilwedge.usecases.signs import (
    crank_drawing,
    shown_lines,
    shown_value,
    state_sign,
    window_sign,
)
from oilwedge.usecases.wording import question_sentence, rule_words, verdict_words

NO_BREAK = "\N{NO-BREAK SPACE}"


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
    meaning = limit_meaning(result.fit)
    if meaning:
        parts.append(meaning)
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


_COUNTED_AS = {
    State.RIGHT: "right",
    State.LOOSE: "not right",
    State.TOO_LOOSE: "not right",
    State.TOO_TIGHT: "not right",
    State.PAST_SERVICE: "not right",
    State.CANNOT_TELL: "cannot tell",
    State.READINGS_DISAGREE: "with readings that disagree",
    State.NOT_MEASURED: "not measured",
    State.NO_LIMITS: "without limits",
}


def summary_sentence(judgement: Judgement) -> str:
    """The whole judgement in one line."""
    counts = dict.fromkeys(_COUNTED_AS.values(), 0)
    for result in judgement.fits:
        counts[_COUNTED_AS[result.verdict.state]] += 1
    parts = [f"{count} {words}" for words, count in counts.items() if count]
    count = len(judgement.fits)
    return f"{count} {'fit' if count == 1 else 'fits'}: {', '.join(parts)}"


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
        Paragraph(text=f"{summary_sentence(judgement)}. {capital(rule_words(judgement.rule))}."),
        CrankFigure(drawing=crank_drawing(engine=judgement.engine, results=judgement.fits)),
    ]
    if judged:
        blocks.append(fits_table(results=judged, face=face, every_way=every_way))
    blocks += chance_blocks(judgement=judgement, chance=chance)
    blocks += remark_blocks(judgement=judgement, face=face)
    return Document(
        title=judgement.engine.name,
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
    ordered = judgement.worst_first()
    wrong = [one for one in ordered if one.verdict.state is not State.RIGHT]
    right = [one for one in ordered if one.verdict.state is State.RIGHT]
    for title, results in (
        ("What is wrong, where, what to do", wrong),
        ("Right, with a remark", right),
    ):
        said = remarks(results=results, face=face)
        blocks += [Heading(level=2, text=title)] if said else []
        for one in said:
            blocks.append(Heading(level=3, text=f"{one.label}: {one.words}"))
            blocks.append(Paragraph(text=" ".join(one.sentences)))
            blocks += [Checklist(items=one.checks)] if one.checks else []
    close = close_sentence(results=judgement.fits)
    if close:
        blocks.append(Heading(level=2, text="Right, close to the limit"))
        blocks.append(Paragraph(text=close))
    hanging = {id(question) for result in judgement.fits for question in result.questions}
    open_questions = [one for one in judgement.questions if id(one) not in hanging]
    asked = [question_sentence(question=one, face=face) for one in open_questions]
    sections = (
        ("Questions", [capital(sentence) for sentence in asked]),
        ("Part states", [capital(sentence) for sentence in part_state_sentences(judgement)]),
        ("Not judged", [capital(one) for one in not_judged_sentences(judgement, face=face)]),
        ("Notes", [*judgement.notes, *_record_notes(judgement)]),
    )
    for title, sentences in sections:
        if sentences:
            blocks.append(Heading(level=2, text=title))
            blocks += [Paragraph(text=sentence) for sentence in sentences]
    return blocks


def _record_notes(judgement: Judgement) -> list[str]:
    return [event.note or event.value for event in judgement.standing.notes]
