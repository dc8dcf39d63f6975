"""Film against clearance for a person to read: sentences, what is kept where, and the numbers."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from oilwedge.report.document import (
    Align,
    Block,
    Column,
    Document,
    Heading,
    KeyValues,
    Paragraph,
    Row,
    Table,
    Text,
)
from oilwedge.units import format_number
from oilwedge.usecases.clearance_range import ClearanceRange
from oilwedge.usecases.film_window_curves import (
    ConditionWindow,
    FilmWindow,
    KindWindow,
    MeasuredClearance,
    WindowCurve,
)
from oilwedge.usecases.length_face import LengthFace

__all__ = ["film_window_document", "window_sentences"]

NOT_OVERRULED = (
    "It compares clearances and oils; it does not overrule the maker's limits. Parts are taken as"
    " rigid, round and parallel."
)
ROWS = 8
NONE = "–"
L_MIN_PER_M3_S = 60_000.0


def film_window_document(window: FilmWindow, *, face: LengthFace) -> Document:
    """Both kinds of bearings: the sentences first, then the numbers over clearance."""
    blocks: list[Block] = [Paragraph(text=note) for note in window.notes]
    for kind in window.kinds:
        blocks += _kind_blocks(kind, window=window, face=face)
    blocks.append(Heading(level=2, text="What it rests on"))
    blocks += [Paragraph(text=text) for text in window.assumptions]
    blocks.append(Paragraph(text=NOT_OVERRULED))
    return Document(
        title=f"Film against clearance, {window.engine_name}",
        subtitle=f"Film to be kept: {film_text(window.film_m)} ({window.film_from})",
        blocks=tuple(blocks),
    )


def film_text(film_m: float) -> str:
    """A film in µm, two or three digits."""
    value = film_m * 1e6
    return f"{format_number(value=value, decimals=1 if value >= 1.0 else 2)} µm"


def range_text(found: ClearanceRange | None, *, face: LengthFace) -> str:
    """A range of clearance in words."""
    if found is None:
        return "none"
    if found.open_low and found.open_high:
        return f"all looked at, {face.span(low_m=found.low_m, high_m=found.high_m)}"
    span = face.span(low_m=found.low_m, high_m=found.high_m)
    if found.open_low:
        return f"{span} (less was not looked at)"
    if found.open_high:
        return f"{span} (more was not looked at)"
    return span


def window_sentences(kind: KindWindow, *, film_m: float, face: LengthFace) -> tuple[str, ...]:
    """What it comes to, in plain words: a sentence an oil, and where the measured ones sit."""
    names = _listed([condition.name for condition in kind.conditions])
    sentences = []
    for oil in kind.oil_names:
        kept = kind.kept_everywhere(oil)
        if kept is None:
            failing = [
                condition.name
                for condition in kind.conditions
                if any(one.oil_name == oil and one.kept is None for one in condition.curves)
            ]
            why = (
                f"no clearance keeps {film_text(film_m)} of film at {_listed(failing)}"
                if failing
                else f"no one clearance keeps {film_text(film_m)} of film at {names} alike"
            )
            sentences.append(f"{kind.title} with {oil}: {why}.")
            continue
        sentences.append(
            f"{kind.title} with {oil}: a clearance {_said(kept, face=face)} keeps at least"
            f" {film_text(film_m)} of film at {names}.{_sitting(kind.measured, kept)}"
        )
    if kind.low_m is not None and kind.high_m is not None:
        limits = face.span(low_m=kind.low_m, high_m=kind.high_m)
        sentences.append(
            f"Build to the limits all the same, {limits}: where more film is wanted, another oil,"
            " less speed or less load give it, not a clearance outside them."
        )
    return tuple(sentences)


def _said(found: ClearanceRange, *, face: LengthFace) -> str:
    text = range_text(found, face=face)
    return f"({text})" if found.open_low and found.open_high else f"of {text}"


def _sitting(measured: Sequence[MeasuredClearance], kept: ClearanceRange) -> str:
    """Which measured bearings lie in the range, with all of what they could be off by."""
    if not measured:
        return ""
    outside = [one.title for one in measured if not kept.holds(one.clearance_m)]
    near = [
        one.title
        for one in measured
        if one.title not in outside
        and not (
            kept.holds(one.clearance_m - one.half_width_m)
            and kept.holds(one.clearance_m + one.half_width_m)
        )
    ]
    if not outside and not near:
        return " All measured ones lie in it, also with what they could be off by."
    words = []
    if outside:
        words.append(f"Outside it: {_listed(outside)}.")
    if near:
        words.append(f"In it, but not with all they could be off by: {_listed(near)}.")
    return " " + " ".join(words)


def _listed(names: Sequence[str]) -> str:
    return ", ".join(names[:-1]) + " and " + names[-1] if len(names) > 1 else names[0]


def _kind_blocks(kind: KindWindow, *, window: FilmWindow, face: LengthFace) -> Iterator[Block]:
    yield Heading(level=2, text=kind.title)
    for sentence in window_sentences(kind, film_m=window.film_m, face=face):
        yield Paragraph(text=sentence)
    yield KeyValues(pairs=tuple(_facts(kind, face=face)))
    yield _kept_table(kind, face=face)
    for condition in kind.conditions:
        yield Heading(
            level=3,
            text=f"{condition.name}, {condition.speed_rpm:.0f} rpm: {condition.bearing_title}",
        )
        yield _numbers(condition, face=face)
        for text in dict.fromkeys(curve.no_answer for curve in condition.curves):
            if text:
                yield Paragraph(text=f"{NONE}: {text}")


def _facts(kind: KindWindow, *, face: LengthFace) -> Iterator[tuple[str, str]]:
    yield "Build limits", face.span(low_m=kind.low_m, high_m=kind.high_m)
    if kind.service_m is not None:
        yield "Service limit", face.length(kind.service_m)
    for one in kind.measured:
        off = face.length(one.half_width_m)
        yield one.title, f"{face.length(one.clearance_m).removesuffix(face.unit)}± {off}"


def _kept_table(kind: KindWindow, *, face: LengthFace) -> Table:
    """One row for each condition and oil: what is kept, and the film at mid-limit."""
    columns = (
        Column(title="Condition"),
        Column(title="Oil"),
        Column(title="Clearance that keeps it"),
        Column(title="Film at mid-limit", align=Align.RIGHT),
    )
    rows = []
    for condition in kind.conditions:
        for curve in condition.curves:
            middle = kind.mid_limit_m
            film = None if middle is None else curve.at(middle, curve.minimum_films_m)
            cells = (
                condition.name,
                curve.oil_name,
                range_text(curve.kept, face=face),
                NONE if film is None else film_text(film),
            )
            rows.append(Row(cells=tuple(Text(text=text) for text in cells)))
    for oil in kind.oil_names:
        cells = ("all of them", oil, range_text(kind.kept_everywhere(oil), face=face), "")
        rows.append(Row(cells=tuple(Text(text=text) for text in cells)))
    return Table(columns=columns, rows=tuple(rows))


def _numbers(condition: ConditionWindow, *, face: LengthFace) -> Table:
    columns = (
        Column(title=f"Clearance, {face.unit}", align=Align.RIGHT),
        Column(title="Oil"),
        Column(title="Film, µm", align=Align.RIGHT),
        Column(title="Film, °C", align=Align.RIGHT),
        Column(title="Friction, W", align=Align.RIGHT),
        Column(title="Oil, l/min", align=Align.RIGHT),
    )
    rows = []
    curves = condition.curves
    for n in shown_points(curves[0]):
        rows += [_numbers_row(curve, n, face=face) for curve in curves]
    return Table(columns=columns, rows=tuple(rows))


def shown_points(curve: WindowCurve) -> tuple[int, ...]:
    """A few of the clearances, evenly spread, first and last among them."""
    last = len(curve.clearances_m) - 1
    return tuple(sorted({round(last * n / (ROWS - 1)) for n in range(ROWS)}))


def _numbers_row(curve: WindowCurve, n: int, *, face: LengthFace) -> Row:
    def number(value: float | None, factor: float, decimals: int) -> str:
        return NONE if value is None else format_number(value=value * factor, decimals=decimals)

    cells = (
        face.length(curve.clearances_m[n]).removesuffix(face.unit).strip(),
        curve.oil_name,
        number(curve.minimum_films_m[n], 1e6, 2),
        number(curve.temperatures_c[n], 1.0, 0),
        number(curve.friction_powers_w[n], 1.0, 0),
        number(curve.flows_m3_s[n], L_MIN_PER_M3_S, 2),
    )
    return Row(cells=tuple(Text(text=text) for text in cells))
