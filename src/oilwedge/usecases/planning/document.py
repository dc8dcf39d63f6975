"""The plan as a document: what is known beforehand, the crank's positions, the steps."""

from __future__ import annotations

from collections.abc import Sequence

from oilwedge.engine.layout import LayoutKind
from oilwedge.report.document import (
    Align,
    Block,
    Caution,
    Checklist,
    Column,
    CrankFigure,
    Document,
    Heading,
    KeyValues,
    Paper,
    Paragraph,
    Row,
    Table,
    Text,
    Tick,
)
from oilwedge.usecases.planning.crank import CrankPosition, Turn, unmeasured_crank
from oilwedge.usecases.planning.instruments import Capability
from oilwedge.usecases.planning.plan import GaugeSetting, Measurement, Plan, Stage, Step
from oilwedge.usecases.planning.resolving import refusal_sentences, resolving_blocks
from oilwedge.usecases.planning.strips import StripAdvice
from oilwedge.usecases.planning.words import (
    CAUTIONS,
    GENERAL_ONLY,
    MANUAL_FIRST,
    checks_for,
    degrees_text,
    feature_text,
    instrument_text,
    is_general,
    joined,
    layout_pairs,
    length_text,
    limits_text,
    mark_rows,
    numbers_text,
    range_text,
    where_text,
    zero_checks,
)


def plan_document(*, plan: Plan, unit: str, paper: Paper = Paper.A4) -> Document:
    """Put a plan in words; lengths in ``unit`` ("mm", "in", "µm" or "thou")."""
    blocks: list[Block] = [_identity(plan), Caution(text=MANUAL_FIRST, title="First")]
    blocks += _known_beforehand(plan, unit)
    for number, step in enumerate(plan.steps, start=1):
        blocks.append(Heading(level=1, text=f"{number}. {step.stage.value}"))
        blocks += _step_blocks(plan, step, unit)
    blocks += resolving_blocks(plan, unit)
    return Document(
        title="Measuring plan",
        subtitle=plan.engine.name,
        paper=paper,
        blocks=tuple(blocks),
    )


def _identity(plan: Plan) -> KeyValues:
    return KeyValues(
        pairs=(
            ("Engine", plan.engine.name),
            *layout_pairs(plan.engine.layout),
            ("Depth", plan.depth.value),
            ("Readings", str(plan.readings)),
        )
    )


def _known_beforehand(plan: Plan, unit: str) -> list[Block]:
    blocks: list[Block] = [Heading(level=1, text="Known before you measure")]
    sentences = list(refusal_sentences(plan, unit))
    if plan.instruments and all(is_general(one) for one in plan.instruments):
        sentences.insert(0, GENERAL_ONLY)
    short = [check for check in plan.ways if check.capability is Capability.SHORT]
    if short:
        sentences.append(
            f"{len(short)} of {len(plan.ways)} ways of measuring fall short of 4 to 1 between the"
            " room and the uncertainty of the instruments: near a limit expect 'cannot tell'. The"
            " table at the end says which. How often each place is read is fixed now: measuring"
            " again until it passes proves nothing."
        )
    sentences += [strip_sentence(advice, unit) for advice in plan.strips]
    if plan.without_limits:
        sentences.append(
            f"No limits in the engine file, so no verdict: {joined(plan.without_limits)}."
        )
    blocks += [Paragraph(text=text) for text in sentences]
    return blocks if sentences else []


def _whole(text: str) -> str:
    """Words that stay on one line."""
    return text.replace(" ", "\N{NO-BREAK SPACE}")


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def strip_sentence(advice: StripAdvice, unit: str) -> str:
    """Which strip covers a fit's limits, and what it cannot show."""
    ranges = [f"{one.title} ({range_text(one.low_m, one.high_m, unit)})" for one in advice.strips]
    text = f"Strip for {advice.fit.title}, limits {limits_text(advice.fit, unit)}: {joined(ranges)}"
    if advice.generic:
        text += ", the span of common strips together (common practice, no source)"
    text += "."
    shortcomings = advice.shortcomings(unit)
    text += "".join(f" {_capital(sentence)}" for sentence in shortcomings)
    if not shortcomings and advice.fit.has_limits:
        text += " It reaches every limit given."
    return (
        text + " A strip shows the gap under the cap only: no out-of-round, nothing at the split. "
        "Gauges decide; the strip cross-checks the assembly."
    )


def cautions(stage: Stage) -> list[Block]:
    """The cautions of a step in one box."""
    lines = CAUTIONS.get(stage, ())
    return [Caution(text="\n".join(lines))] if lines else []


def _step_blocks(plan: Plan, step: Step, unit: str) -> list[Block]:
    blocks: list[Block] = cautions(step.stage)
    if step.stage is Stage.MARKS:
        blocks += _marks_blocks(plan)
    if step.stage in {Stage.ZERO_BEFORE, Stage.ZERO_AFTER}:
        blocks.append(Checklist(items=_zero_items(plan, step.stage, unit)))
    checks = checks_for(step.stage, plan.engine)
    if checks:
        blocks.append(Checklist(items=checks))
    if step.positions:
        blocks += turning_blocks(plan, step)
    if step.measurements:
        blocks.append(_measurement_table(plan, step.measurements, unit))
    return blocks


def _marks_blocks(plan: Plan) -> list[Block]:
    marks = plan.engine.marks
    front = f" Front of this engine: {marks.front}." if marks.front else ""
    notes = "".join(f" {_capital(text)}." for text in (marks.shells, marks.other) if text)
    return [
        Paragraph(
            text="Caps, rods and housings were machined together: never mix them, never turn one "
            "round. No mark, or a doubtful one: mark it yourself before it comes off."
            f"{front}{notes}"
        ),
        Table(
            columns=(
                Column(title="Part", width_weight=1.2),
                Column(title="Number matches", width_weight=2),
                Column(title="Direction", width_weight=2.4),
            ),
            rows=tuple(
                Row(cells=(Text(text=_whole(part)), Tick(text=number), Tick(text=direction)))
                for part, number, direction in mark_rows(plan.engine)
            ),
        ),
        Checklist(
            items=(
                "Shells: upper or lower, place and grade mark written on their backs.",
                "Thrust washers: which side faces the crank cheek.",
                "Place and length of bolts, shims and dowels noted or photographed.",
            )
        ),
    ]


def _zero_items(plan: Plan, stage: Stage, unit: str) -> tuple[str, ...]:
    zeros = zero_checks(plan.instruments)
    if stage is Stage.ZERO_AFTER:
        after = "A zero that moved makes every reading since the last good check doubtful."
        return (*zeros, after)
    return (*zeros, *dict.fromkeys(_setting_item(one, unit) for one in plan.settings))


def _setting_item(one: GaugeSetting, unit: str) -> str:
    gauge = f"{one.gauge.title} for {one.feature.title}"
    if one.size_m is None:
        return (
            f"{gauge}: zeroed in the micrometer that read the journal, locked at each journal's "
            "own size."
        )
    size = length_text(one.size_m, unit)
    if one.set_in is None:
        return f"{gauge}: nothing on the list spans {size}; set it in a ring, write down which."
    note = "" if one.usual else ", for the one it is usually set in does not span that"
    return f"{gauge}: set at {size} in {one.set_in.title}, locked{note}."


def turning_blocks(plan: Plan, step: Step) -> list[Block]:
    """The stops of the crank in working order, and for the rods its drawing and the total."""
    blocks: list[Block] = []
    caps = step.stage is Stage.RODS
    if caps:
        blocks.append(
            CrankFigure(drawing=unmeasured_crank(plan.engine.layout), caption="Numbers and throws")
        )
    blocks.append(
        Table(
            columns=(
                Column(title="Stop", align=Align.RIGHT),
                Column(title="Turn the crank", width_weight=2.4),
                Column(title="Position", align=Align.RIGHT, width_weight=1),
                Column(title="Rods in reach" if caps else "Pistons at the top", width_weight=2.4),
            ),
            rows=tuple(
                _stop_row(number, one, caps) for number, one in enumerate(step.positions, start=1)
            ),
            caption="Positions count from cylinder 1 at top dead centre, in the normal direction",
        )
    )
    if caps:
        blocks.append(Paragraph(text=_total_text(plan)))
    return blocks


def _stop_row(number: int, one: CrankPosition, caps: bool) -> Row:
    turn = (
        "not at all" if one.turn is Turn.NONE else f"{degrees_text(one.turn_deg)} {one.turn.value}"
    )
    reach = numbers_text(one.rods)
    if caps and one.offset_deg > 0.5:
        reach += f" (up to {degrees_text(one.offset_deg)} off bottom dead centre)"
    return Row(
        cells=(
            Text(text=str(number)),
            Text(text=turn),
            Text(text=f"{degrees_text(one.position_deg)}"),
            Tick(text=reach),
        )
    )


def _total_text(plan: Plan) -> str:
    crank = plan.crank
    text = (
        f"In all the crank turns {degrees_text(crank.total_turn_deg)}, the least that reaches "
        f"every cap; one is in reach within {degrees_text(crank.reach_deg)} of bottom dead centre."
    )
    if any(one.turn is Turn.BACKWARDS for one in crank.positions):
        text += (
            f" If the maker forbids turning backwards, take the stops in the order of their "
            f"positions: {degrees_text(crank.normal_only_turn_deg)} in all."
        )
    text += (
        " The normal direction is clockwise seen from the front unless the maker says otherwise; "
        "prefer it."
    )
    if plan.engine.layout.kind is LayoutKind.FLAT:
        text += (
            " In a flat engine with a split case the caps may be reached through the other half "
            "only: the maker's manual decides."
        )
    return text


def _measurement_table(plan: Plan, measurements: Sequence[Measurement], unit: str) -> Table:
    return Table(
        columns=(
            Column(title="What, and with what", width_weight=2.4),
            Column(title="Where", width_weight=2.2),
            Column(title="How, and the limits", width_weight=3.4),
        ),
        rows=tuple(
            Row(
                cells=(
                    Tick(text=f"{feature_text(one.feature)}\n{instrument_text(one, unit)}"),
                    Text(text=where_text(one)),
                    Text(text=_how_text(plan, one, unit)),
                )
            )
            for one in measurements
        ),
    )


def _how_text(plan: Plan, one: Measurement, unit: str) -> str:
    lines = [one.feature.how] if one.feature.how else []
    for fit in plan.engine.fits.values():
        if fit.title in one.fits and fit.has_limits:
            lines.append(f"{fit.title}: {limits_text(fit, unit)}")
            lines += [
                f"{fit.label(number)}: {limits_text(fit.at(number), unit)}"
                for number in sorted(fit.exceptions)
            ]
    return "\n".join(lines)
