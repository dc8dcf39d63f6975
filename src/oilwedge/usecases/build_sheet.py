"""The build sheet: what somebody else needs in order to trust this engine, on paper."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from oilwedge import __version__
from oilwedge.engine.model import Engine, Per, Shape
from oilwedge.fits.verdict import State
from oilwedge.metrology.size import SizeEstimate
from oilwedge.report.document import (
    Align,
    Block,
    Caution,
    Column,
    CrankFigure,
    Document,
    Emphasis,
    Heading,
    KeyValues,
    Paper,
    Paragraph,
    Row,
    SignatureBox,
    Table,
    Text,
    WritingLines,
)
from oilwedge.shop.model import Shop
from oilwedge.uncertainty.quantity import Quantity
from oilwedge.usecases.judgement import Judgement
from oilwedge.usecases.length_face import LengthFace, face_uncertainty
from oilwedge.usecases.signs import crank_drawing
from oilwedge.usecases.verdict_document import (
    NO_BREAK,
    GroupLine,
    fits_table,
    remark_blocks,
    summary_sentence,
)
from oilwedge.usecases.wording import rule_words

CAUTIONS = (
    Caution(
        title="Before you close this engine",
        text=(
            "The maker's manual, local rules and licensed practice come first; this sheet does not"
            " overrule them. A verdict holds only for the parts, marks and states named here: a"
            " part that is machined, exchanged or fitted elsewhere afterwards must be measured"
            " again."
        ),
    ),
    Caution(
        title="At the bench",
        text=(
            "Clean off every flattened strip before the oil goes on. Shells have sharp edges. A"
            " crank that is free can turn by itself and takes fingers with it; chock it. Keep"
            " solvent vapour away from flames, and wear eye protection. Lift block and crank with"
            " gear made for the weight."
        ),
    ),
)


def build_sheet(
    *,
    judgement: Judgement,
    face: LengthFace,
    paper: Paper,
    date_text: str,
    film: Sequence[Block] = (),
) -> Document:
    """Set out the whole judgement on paper.

    Identity, crank, what is wrong, fits with their windows, sizes, how it was measured and with
    what, part states, cautions, notes, signatures; behind them ``film``, what the oil films do.
    """
    blocks: list[Block] = [
        *_identity(judgement, date_text=date_text),
        Caution(title=CAUTIONS[0].title, text=CAUTIONS[0].text),
        *remark_blocks(judgement=judgement, face=face),
        *_fits(judgement, face=face),
        *_sizes(judgement, face=face),
        *_methods(judgement, face=face),
        *_part_conditions(judgement),
        Caution(title=CAUTIONS[1].title, text=CAUTIONS[1].text),
        Heading(level=2, text="Notes by hand"),
        WritingLines(count=4),
        *_signatures(judgement),
        SignatureBox(labels=("measured by, date", "checked by, date")),
        *film,
    ]
    return Document(
        title=f"Build sheet: {judgement.engine.name}",
        subtitle=summary_sentence(judgement),
        paper=paper,
        job_number=judgement.job_number,
        qr_text=f"job {judgement.job_number} {judgement.head}".strip() if judgement.head else "",
        blocks=tuple(blocks),
        footer=f"oilwedge {__version__}; lengths at 20 °C; ± is U at 95 %; clearances diametral",
    )


def _identity(judgement: Judgement, *, date_text: str) -> Iterator[Block]:
    engine = judgement.engine
    layout = engine.layout
    yield KeyValues(
        pairs=(
            ("engine", engine.name),
            ("job", judgement.job_number or "no number given"),
            ("date", date_text),
            ("layout", f"{layout.kind.value}, {_cylinders(layout.cylinders)}, {layout.numbering}"),
            ("main bearings", f"{layout.main_bearings}, {layout.caps.value} caps"),
            ("firing order", "-".join(str(number) for number in layout.firing_order)),
            ("rule", rule_words(judgement.rule)),
            ("engine file", f"SHA-256 {engine.digest[:16]}…"),
            (
                "record",
                f"head {judgement.head[:16]}…" if judgement.head else "a table, no job file",
            ),
        )
    )
    yield CrankFigure(
        drawing=crank_drawing(engine=engine, results=judgement.fits),
        caption="State of each main (blocks) and rod bearing (stubs), seen from the side",
    )
    marks = [
        ("front", engine.marks.front),
        ("rod caps", engine.marks.rod_caps),
        ("main caps", engine.marks.main_caps),
        ("pistons", engine.marks.pistons),
        ("shells", engine.marks.shells),
        ("other", engine.marks.other),
    ]
    given = tuple((name, text) for name, text in marks if text)
    if given:
        yield Heading(level=2, text="Marks")
        yield KeyValues(pairs=given)


def _cylinders(count: int) -> str:
    return "1 cylinder" if count == 1 else f"{count} cylinders"


def _fits(judgement: Judgement, *, face: LengthFace) -> Iterator[Block]:
    judged = [
        one
        for one in judgement.fits
        if one.verdict.state not in (State.NOT_MEASURED, State.NO_LIMITS)
    ]
    yield Heading(level=1, text="Fits")
    if not judged:
        yield Paragraph(text="Nothing has been judged yet.")
        return
    yield fits_table(
        results=judged,
        face=face,
        every_way=True,
        group_line=GroupLine.LIMITS_AND_SOURCE,
        caption=(
            "Bracketed: build limits. Heavy tick: service limit. Dot: value with its U. Low limits"
            " are judged at the tightest place, upper limits at the loosest."
        ),
    )


def _size_row(name: str, size: SizeEstimate, *, face: LengthFace) -> Row:
    def shown(quantity: Quantity | None) -> str:
        return face.value(quantity) if quantity is not None else "–"

    found = size.extremes
    span = "–"
    if found is not None and found.largest.value > found.smallest.value:
        span = face.span(low_m=found.smallest.value, high_m=found.largest.value)
    return Row(
        cells=(
            Text(text=name),
            Text(text=shown(size.mean)),
            Text(text=span),
            Text(text=shown(size.taper)),
            Text(text=shown(size.out_of_round)),
        )
    )


def _sizes(judgement: Judgement, *, face: LengthFace) -> Iterator[Block]:
    rows: list[Row] = []
    kind = ""
    notes: dict[str, None] = {}
    for (key, number), size in judgement.sizes.items():
        feature = judgement.engine.features[key]
        # A gap that was read directly stands among the fits already.
        if size.mean is None or feature.shape in (Shape.GAP, Shape.STRIP, Shape.HEIGHT):
            continue
        if key != kind:
            kind = key
            rows.append(Row(cells=(Text(text=feature.title),), emphasis=Emphasis.GROUP))
        own = feature.per.value if feature.per is Per.ENGINE else f"{feature.per.value} {number}"
        rows.append(_size_row(own.replace(" ", NO_BREAK), size, face=face))
        notes |= dict.fromkeys(size.notes)
    if not rows:
        return
    yield Heading(level=1, text="Sizes")
    yield Table(
        columns=(
            Column(title="feature", width_weight=1.0),
            Column(title="mean", align=Align.NUMBER),
            Column(title="smallest to largest", align=Align.NUMBER),
            Column(title="taper", align=Align.NUMBER),
            Column(title="out of round", align=Align.NUMBER),
        ),
        rows=tuple(rows),
        caption=(
            "From the fitted form, not from single readings. Out-of-round is two-point: a part"
            " with an odd number of lobes looks round to it."
        ),
    )
    for note in notes:
        yield Paragraph(text=note)


def _methods(judgement: Judgement, *, face: LengthFace) -> Iterator[Block]:
    used = dict.fromkeys(key for size in judgement.sizes.values() for key in size.instruments)
    if not used:
        return
    yield Heading(level=2, text="Measured with")
    yield Table(
        columns=(
            Column(title="instrument", width_weight=2.0),
            Column(title="resolution", width_weight=1.2),
            Column(title="permissible error", width_weight=1.2),
            Column(title="calibration due", width_weight=1.0),
        ),
        rows=tuple(_instrument_row(judgement.shop, key, face=face) for key in used),
    )
    people = dict.fromkeys(r.person for r in judgement.standing.readings if r.person)
    if people:
        names = ", ".join(judgement.shop.people.get(person, person) for person in people)
        yield Paragraph(text=f"Read by {names}.")


def _instrument_row(shop: Shop, key: str, *, face: LengthFace) -> Row:
    """Name an instrument or strip and say what it resolves and how far it may be wrong."""
    instrument, strip = shop.instruments.get(key), shop.strips.get(key)
    texts = (key, "general kind, none named", "common practice, no source", "–")
    if instrument is not None:
        due = instrument.calibration_due
        texts = (
            instrument.title,
            face_uncertainty(instrument.resolution_m, face=face),
            f"± {face_uncertainty(instrument.permissible_error_m, face=face)}",
            str(due) if due is not None else "–",
        )
    elif strip is not None:
        span = face.span(low_m=strip.low_m, high_m=strip.high_m)
        texts = (strip.title, f"strip, {span}", "–", "–")
    return Row(cells=tuple(Text(text=text) for text in texts))


def _signatures(judgement: Judgement) -> list[Block]:
    """Signatures that stand in the record."""
    signed = []
    for event in judgement.standing.signatures:
        who = judgement.shop.people.get(event.person, event.person) or "nobody named"
        when = event.time.strftime("%Y-%m-%d %H:%M") if event.time is not None else "no time given"
        what = event.value or event.note
        signed.append((who, f"{when}{f', {what}' if what else ''}"))
    if not signed:
        return []
    return [Heading(level=2, text="Signed in the record"), KeyValues(pairs=tuple(signed))]


def _condition_rows(judgement: Judgement, engine: Engine) -> list[tuple[str, str]]:
    rows = []
    for (part, number), condition in judgement.standing.conditions.items():
        title = engine.part_titles.get(part, part.replace("_", " "))
        name = f"{title}, all" if number == 0 else f"{title} {number}"
        rows.append((name, condition.value))
    return rows


def _part_conditions(judgement: Judgement) -> Iterator[Block]:
    yield Heading(level=2, text="Parts")
    rows = _condition_rows(judgement, judgement.engine)
    if rows:
        yield KeyValues(pairs=tuple(rows))
    yield Paragraph(text="A part of which nothing was said is taken as re-used.")
