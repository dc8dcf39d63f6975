"""Blank measuring sheets for the hand: what the plan asks for, with room to write.

No limit stands beside the rows, so that nobody reads towards the answer; the limits are on the
last page. Nothing here needs a computer at the bench: the sheets are typed in afterwards.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from enum import Enum

from oilwedge.engine.model import Engine, Shape
from oilwedge.metrology.instrument import GENERIC_INSTRUMENTS, Instrument, InstrumentKind, Strip
from oilwedge.report.document import (
    Blank,
    Block,
    Caution,
    Cell,
    Column,
    CrankFigure,
    Document,
    Emphasis,
    Heading,
    KeyValues,
    PageBreak,
    Paper,
    Paragraph,
    Row,
    SignatureBox,
    Table,
    Text,
    Tick,
    WritingLines,
)
from oilwedge.report.form_drawings import FormWord, form_row_figure
from oilwedge.usecases.planning.crank import unmeasured_crank
from oilwedge.usecases.planning.document import cautions, turning_blocks
from oilwedge.usecases.planning.instruments import ShopList, nominal_of
from oilwedge.usecases.planning.limits import limits_page
from oilwedge.usecases.planning.plan import Depth, Measurement, Plan, Stage, Step, make_plan
from oilwedge.usecases.planning.words import (
    MANUAL_FIRST,
    direction_text,
    feature_text,
    layout_pairs,
    mark_rows,
    rough_text,
)

_HAND = (
    "Write what you read, at once, and leave nothing out. A misread value is crossed out once so "
    "that it stays legible; write the right one beside it with your initials. Read each place as "
    "often as was fixed beforehand, no more: reading again until it fits proves nothing."
)
ROWS_THAT_BREAK = 12  # a step with more rows than this starts on a page of its own
_NO_ZERO = {InstrumentKind.STRIP.value, InstrumentKind.FEELER.value, InstrumentKind.RULER.value}


class LimitsShown(Enum):
    """Where the limits stand on blank sheets; never beside the rows."""

    LAST_PAGE = "last-page"
    HIDDEN = "hidden"


@dataclass(frozen=True, kw_only=True, slots=True)
class _AnyShop:
    """A shop that owns one of each, for sheets that are printed before anyone knows the shop."""

    instruments: Mapping[str, Instrument] = field(default_factory=lambda: GENERIC_INSTRUMENTS)
    strips: Mapping[str, Strip] = field(default_factory=dict)


def blank_sheet_document(
    *,
    engine: Engine,
    depth: Depth,
    unit: str,
    shop: ShopList | None = None,
    limits: LimitsShown = LimitsShown.LAST_PAGE,
    paper: Paper = Paper.A4,
) -> Document:
    """Blank sheets for one engine: identity, marks, zero checks, a table for each family.

    ``unit`` ("mm", "in", "µm" or "thou") is printed where a value is written. With a ``shop`` the
    sheets hold what its plan asks for; without, what a shop with one of each would measure.
    """
    plan = make_plan(engine=engine, shop=shop or _AnyShop(), depth=depth)
    blocks = [*_front_page(plan), *_zero_checks(plan, unit)]
    for step in plan.steps:
        if step.measurements:
            blocks += _step_blocks(plan, step, unit)
    blocks += _closing()
    blocks += _words_page()
    if limits is LimitsShown.LAST_PAGE:
        blocks += limits_page(engine=engine, unit=unit)
    return Document(
        title="Measuring sheets",
        subtitle=f"{engine.name}, {depth.value} plan, values in {unit}",
        paper=paper,
        blocks=tuple(blocks),
        footer=f"{engine.name}, {depth.value} plan",
    )


def _blank_table(*columns: tuple[str, float, str], rows: int = 1) -> Table:
    """Fields to fill in: title, width and hint of each."""
    return Table(
        columns=tuple(Column(title=title, width_weight=width) for title, width, _ in columns),
        rows=tuple(
            Row(cells=tuple(Blank(hint=hint) for _, _, hint in columns)) for _ in range(rows)
        ),
    )


def _front_page(plan: Plan) -> list[Block]:
    engine = plan.engine
    layout = engine.layout
    front = engine.marks.front or "not stated"
    return [
        _blank_table(("Job", 1.4, ""), ("Engine number", 2, ""), ("Owner", 2, "")),
        _blank_table(("Person", 2, ""), ("Date", 1.4, ""), ("Room temperature", 1.4, "°C")),
        KeyValues(
            pairs=(
                *layout_pairs(layout),
                ("Front", front),
            )
        ),
        Caution(text=MANUAL_FIRST, title="First"),
        CrankFigure(
            drawing=unmeasured_crank(layout), caption="Rods above and below, mains beneath"
        ),
        Paragraph(text=_HAND),
        PageBreak(),
        *_marks(plan),
    ]


def _marks(plan: Plan) -> list[Block]:
    return [
        Heading(level=1, text="Marks and directions, before anything comes apart"),
        *cautions(Stage.MARKS),
        Table(
            columns=(
                Column(title="Part", width_weight=1.3),
                Column(title="Number", width_weight=1.7),
                Column(title="ok", width_weight=0.7),
                Column(title="Direction", width_weight=2.4),
                Column(title="ok", width_weight=0.7),
                Column(title="Mark found, or made by you", width_weight=2),
            ),
            rows=tuple(
                Row(
                    cells=(
                        Text(text=part),
                        Text(text=number),
                        Tick(),
                        Text(text=direction),
                        Tick(),
                        Blank(),
                    )
                )
                for part, number, direction in mark_rows(plan.engine)
            ),
        ),
    ]


def _zero_checks(plan: Plan, unit: str) -> list[Block]:
    kinds = dict.fromkeys(
        one.feature.instrument or "instrument"
        for one in plan.measurements
        if one.feature.instrument not in _NO_ZERO
    )
    named = {one.instrument.key: one.instrument for one in plan.measurements if one.instrument}
    generic = set(GENERIC_INSTRUMENTS)
    titles = [
        one.title
        for key, one in named.items()
        if key not in generic and one.kind.value not in _NO_ZERO
    ]
    return [
        Heading(level=1, text="Zero checks"),
        Paragraph(
            text="Before the first reading and after the last. A zero that moved makes every "
            "reading since the last good check doubtful."
        ),
        Table(
            columns=(
                Column(title="Instrument", width_weight=1.8),
                Column(title="Which one", width_weight=1.5),
                Column(title="Before", width_weight=1.5),
                Column(title="passed", width_weight=0.8),
                Column(title="failed", width_weight=0.8),
                Column(title="After", width_weight=1.5),
                Column(title="passed", width_weight=0.8),
                Column(title="failed", width_weight=0.8),
            ),
            rows=tuple(
                Row(
                    cells=(
                        Text(text=title),
                        Blank(),
                        Blank(hint=unit),
                        Tick(),
                        Tick(),
                        Blank(hint=unit),
                        Tick(),
                        Tick(),
                    )
                )
                for title in (titles or kinds)
            ),
        ),
    ]


def _step_blocks(plan: Plan, step: Step, unit: str) -> list[Block]:
    rows = sum(one.feature.count * max(1, len(one.places)) for one in step.measurements)
    blocks: list[Block] = [PageBreak()] if rows > ROWS_THAT_BREAK else []
    blocks.append(Heading(level=1, text=step.stage.value))
    blocks += cautions(step.stage)
    if step.positions:
        blocks += turning_blocks(plan, step)
    blocks.append(_blank_table(("Person", 2, ""), ("Date, time", 2, ""), ("Room", 1, "°C")))
    single = [one for one in step.measurements if one.readings == 1]
    for one in step.measurements:
        if one not in single:
            blocks += _measurement_blocks(one, unit)
    return [*blocks, *_single_readings(single, unit)]


def _single_readings(measurements: Sequence[Measurement], unit: str) -> list[Block]:
    """One table for all that is read once: how to, instrument, reading."""
    if not measurements:
        return []
    return [
        Table(
            columns=(
                Column(title="What", width_weight=3),
                Column(title="Instrument", width_weight=1.5),
                Column(title="Reading", width_weight=1.4),
                Column(title="Again after refit", width_weight=1.4),
            ),
            rows=tuple(
                Row(
                    cells=(
                        Text(text=_single_text(one)),
                        Blank(),
                        Blank(hint=unit),
                        Blank(hint=unit),
                    )
                )
                for one in measurements
            ),
        )
    ]


def _measurement_blocks(one: Measurement, unit: str) -> list[Block]:
    nominal = nominal_of(one.feature)
    parts = [
        _capital(one.feature.how),
        f"Where: {one.feature.measured_at}" if one.feature.measured_at else "",
        f"Size about {rough_text(nominal, unit)}" if nominal is not None else "",
    ]
    text = " ".join(f"{part}." for part in parts if part)
    return [
        Heading(level=2, text=_capital(feature_text(one.feature))),
        *([Paragraph(text=text)] if text else []),
        _blank_table(("Instrument", 3, ""), ("Part", 1, "°C"), ("Instrument", 1, "°C")),
        _reading_table(one, unit),
    ]


def _single_text(one: Measurement) -> str:
    """What is read, and how; an empty line above keeps it apart from the row before."""
    return f"\n{_capital(one.feature.title)}\n{one.feature.how}".rstrip()


def _reading_table(one: Measurement, unit: str) -> Table:
    """One row for each number and place; one column to write in for each direction."""
    columns = _reading_columns(one, unit)
    rows = []
    for number in one.feature.numbers:
        for index, place in enumerate(one.places or ("",)):
            label = str(number) if one.feature.count > 1 else ""
            cells: list[Cell] = [Text(text=label), Text(text=place)]
            cells += [cell for _, cell in columns]
            cells.append(Blank())
            emphasis = Emphasis.STRONG if index == 0 else Emphasis.PLAIN
            rows.append(Row(cells=tuple(cells), emphasis=emphasis))
    return Table(
        columns=(
            Column(title="No.", width_weight=0.5),
            Column(title="Place", width_weight=0.9),
            *(Column(title=title, width_weight=1.6) for title, _ in columns),
            Column(title="Note", width_weight=1.2),
        ),
        rows=tuple(rows),
    )


def _reading_columns(one: Measurement, unit: str) -> Sequence[tuple[str, Cell]]:
    """Titles and fields between place and note."""
    field_ = Blank(hint=unit)
    if one.feature.shape is Shape.STRIP:
        return (
            ("Widest place reads", field_),
            ("Wider than the widest bar", Tick()),
            ("Not flattened", Tick()),
        )
    if len(one.directions) > 1:
        return [(_capital(direction_text(name)), field_) for name in one.directions]
    first = _capital(direction_text(one.directions[0])) if one.directions else "Reading"
    return ((first, field_), ("Again after refit", field_))


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _closing() -> list[Block]:
    return [
        Heading(level=1, text="Seen and done"),
        WritingLines(count=6, label="Scores, cracks, colour, odd marks, parts replaced"),
        SignatureBox(labels=("Measured by, date", "Checked by, date")),
    ]


def _words_page() -> list[Block]:
    return [
        PageBreak(),
        Heading(level=1, text="The words"),
        form_row_figure((FormWord.TAPER, FormWord.BARREL, FormWord.HOURGLASS)),
        form_row_figure((FormWord.OUT_OF_ROUND, FormWord.SQUARE_TO_SPLIT)),
        Table(
            columns=(
                Column(title="Word", width_weight=1),
                Column(title="Readings that show it", width_weight=2),
            ),
            rows=tuple(
                Row(cells=(Text(text=word.value), Text(text=word.seen_by))) for word in FormWord
            ),
        ),
        KeyValues(
            pairs=(
                ("Repeat", "the same place again without taking anything off"),
                ("Refit", "taken off, cleaned, put back, read again: the honest repeat"),
                ("Clearance", "bore less journal, across the whole diameter"),
                ("Zero check", "the instrument reads its own zero or setting piece"),
            )
        ),
    ]
