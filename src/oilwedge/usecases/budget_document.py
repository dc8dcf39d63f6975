"""The uncertainty budget of one fit, line by line, largest first."""

from __future__ import annotations

import math

from oilwedge.errors import Fault, UnknownNameError, did_you_mean
from oilwedge.report.document import (
    Align,
    Block,
    Column,
    Document,
    Heading,
    Paragraph,
    Row,
    Table,
    Text,
)
from oilwedge.uncertainty.budget import Budget, budget
from oilwedge.usecases.judgement import FitResult, Judgement
from oilwedge.usecases.length_face import LengthFace, face_uncertainty, percent
from oilwedge.usecases.wording import finding_sentence

LEAST_SHARE = 0.01  # of the variance; smaller lines stand together


def find_result(*, judgement: Judgement, label: str) -> FitResult:
    """Find a fit by its label, whatever its capitals and underscores."""

    def plain(text: str) -> str:
        return " ".join(text.replace("_", " ").casefold().split())

    by_label = {plain(result.label): result for result in judgement.fits}
    by_label |= {plain(f"{one.key} {one.number}"): one for one in judgement.fits}
    found = by_label.get(plain(label))
    if found is None:
        raise UnknownNameError(
            Fault(
                given=label,
                allowed="name a fit of this engine with its number, such as 'rod bearing 3'",
                action=did_you_mean(given=plain(label), allowed=by_label),
            )
        )
    return found


def budget_document(*, judgement: Judgement, label: str, face: LengthFace) -> Document:
    """Lay out the budget of a fit's mean, and how it stands to each limit."""
    result = find_result(judgement=judgement, label=label)
    mean = result.measurement.evidence.mean
    blocks: list[Block] = []
    if mean is None:
        blocks.append(Paragraph(text="There is no size to give a budget for."))
    else:
        lines = budget(mean)
        blocks += [
            Paragraph(text=f"{face.value(mean)}, {_summary(lines, face=face)}"),
            _table(lines, face=face),
        ]
    blocks += _chances(result, face=face)
    return Document(title=f"Budget: {result.label}", blocks=tuple(blocks))


def _summary(lines: Budget, *, face: LengthFace) -> str:
    nu = lines.degrees_of_freedom
    freedom = "degrees of freedom unlimited" if math.isinf(nu) else f"degrees of freedom {nu:.0f}"
    u = face_uncertainty(lines.standard_uncertainty, face=face)
    return f"standard uncertainty {u}, k = {lines.k:.2f}, {freedom}"


def _table(lines: Budget, *, face: LengthFace) -> Table:
    """Lines of the same words as one (root of the sum of squares); the small ones together."""
    variances: dict[str, float] = {}
    for line in lines.lines:
        variances[line.words] = variances.get(line.words, 0.0) + line.contribution**2
    total = sum(variances.values()) or 1.0
    ordered = sorted(variances.items(), key=lambda item: -item[1])
    shown = [item for item in ordered if item[1] >= LEAST_SHARE * total]
    rest = ordered[len(shown) :]
    if rest:
        words = f"{len(rest)} others, under 1 % each"
        shown.append((words, sum(variance for _, variance in rest)))
    return Table(
        columns=(
            Column(title="what may be wrong", width_weight=3.0),
            Column(title="contribution", align=Align.NUMBER),
            Column(title="share", align=Align.NUMBER),
        ),
        rows=tuple(
            Row(
                cells=(
                    Text(text=words),
                    Text(text=face_uncertainty(math.sqrt(variance), face=face)),
                    Text(text=f"{100.0 * variance / total:.1f} %"),
                )
            )
            for words, variance in shown
        ),
    )


def _chances(result: FitResult, *, face: LengthFace) -> list[Block]:
    verdict, evidence = result.verdict, result.measurement.evidence
    if not verdict.findings:
        return []
    blocks: list[Block] = [Heading(level=2, text="Limits")]
    for finding in verdict.findings:
        value = evidence.smallest if finding.limit.is_lower else evidence.largest
        blocks.append(Paragraph(text=finding_sentence(finding=finding, value=value, face=face)))
    if verdict.chance is not None:
        blocks.append(
            Paragraph(
                text=f"Chance that it is inside both build limits: {percent(verdict.chance.both)}"
            )
        )
    return blocks
