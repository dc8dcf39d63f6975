"""One set of a class: benches by places, each against the reference, and what was repeated."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from oilwedge.report.state_sign import StateSign
from oilwedge.usecases.class_comparison import SlotRow, SlotValue, normalised_error
from oilwedge.usecases.class_words import difference_text, uncertainty_text, verdict_word
from oilwedge.usecases.length_face import LengthFace
from oilwedge.web.classroom.benches import Bench
from oilwedge.web.classroom.compared import ClassState, class_state
from oilwedge.web.classroom.strips import SetStrip, place_words, set_strips
from oilwedge.web.record.models import ClassTask

SIGNS = {
    "agrees": StateSign.RIGHT,
    "differs": StateSign.READINGS_DISAGREE,
    "nothing to compare with": StateSign.CANNOT_TELL,
    "not read": StateSign.NOT_MEASURED,
}


@dataclass(frozen=True, kw_only=True, slots=True)
class Cell:
    """One bench at one place: what it read, how far it is off, and the word for that."""

    place: str
    value: str
    uncertainty: str
    difference: str
    en: str
    word: str

    @property
    def sign(self) -> StateSign:
        """The shape beside the word."""
        return SIGNS[self.word]


@dataclass(frozen=True, kw_only=True, slots=True)
class BenchCells:
    """One bench in the table."""

    bench: Bench
    cells: tuple[Cell, ...]

    @property
    def word(self) -> str:
        """The worst word of its places."""
        words = [one.word for one in self.cells]
        return next((one for one in ("differs", "agrees") if one in words), words[0])

    @property
    def sign(self) -> StateSign:
        """The shape beside the word."""
        return SIGNS[self.word]

    @property
    def differing(self) -> int:
        """Places that differ."""
        return sum(one.word == "differs" for one in self.cells)


@dataclass(frozen=True, kw_only=True, slots=True)
class SetTable:
    """The page of one set. ``reference`` holds the values at its places, as text."""

    feature: str
    number: int
    title: str
    places: tuple[str, ...]
    reference: tuple[str, ...]
    rows: tuple[BenchCells, ...]
    repeats: tuple[BenchCells, ...]
    strip: SetStrip | None
    against: str


def set_table(
    task: ClassTask, *, benches: Sequence[Bench], feature: str, number: int, unit: str
) -> SetTable | None:
    """The table of one set; None where the task has no such set."""
    state = class_state(task, benches=benches)
    slots = [
        row for row in state.comparison.slots if (row.feature, row.number) == (feature, number)
    ]
    if not slots:
        return None
    face = LengthFace(unit="in" if unit in ("in", "thou") else "mm")
    columns = {one.job.number: state.column(one.job.pk) for one in benches}
    held = [one for one in benches if not one.job.is_reference]
    names = {one.job.pk: f"{one.short} {one.name}" for one in benches}
    strips = set_strips(state, names=names, unit=unit, only=(feature, number))
    return SetTable(
        feature=feature,
        number=number,
        title=_title(state, feature, number),
        places=tuple(place_words(row) or "value" for row in slots),
        reference=tuple(_reference(row, face=face, unit=unit) for row in slots),
        rows=tuple(_cells(one, state, slots, face=face, unit=unit) for one in held),
        repeats=tuple(
            _repeat(one, columns, slots, face=face, unit=unit) for one in held if one.repeat_of
        ),
        strip=strips[0] if strips else None,
        against=state.against,
    )


def _title(state: ClassState, feature: str, number: int) -> str:
    found = (
        one.title
        for progress in state.compared.values()
        for one in progress.sets
        if (one.feature, one.number) == (feature, number)
    )
    return next(found, feature)


def _reference(row: SlotRow, *, face: LengthFace, unit: str) -> str:
    if row.reference_m is None:
        return "none yet"
    allowed = uncertainty_text(row.reference_expanded_m or 0.0, unit=unit)
    return f"{face.length(row.reference_m)} {allowed}"


def _cells(
    bench: Bench, state: ClassState, slots: Sequence[SlotRow], *, face: LengthFace, unit: str
) -> BenchCells:
    at = state.column(bench.job.pk)
    values = [row.values[at] if at is not None else None for row in slots]
    cells = [cell(row, one, face=face, unit=unit) for row, one in zip(slots, values, strict=True)]
    return BenchCells(bench=bench, cells=tuple(cells))


def cell(row: SlotRow, value: SlotValue | None, *, face: LengthFace, unit: str) -> Cell:
    """One place of one bench in words and numbers."""
    place = place_words(row)
    if value is None:
        return Cell(
            place=place, value="", uncertainty="", difference="", en="", word=verdict_word(None)
        )
    difference = value.difference_m
    return Cell(
        place=place,
        value=face.length(value.value_m),
        uncertainty=uncertainty_text(value.expanded_m, unit=unit),
        difference=difference_text(difference, unit=unit) if difference is not None else "",
        en=f"{abs(value.en):.1f}" if value.en is not None else "",
        word=verdict_word(value),
    )


def _repeat(
    bench: Bench,
    columns: dict[str, int | None],
    slots: Sequence[SlotRow],
    *,
    face: LengthFace,
    unit: str,
) -> BenchCells:
    """What the second person read, held against the first."""
    own, first = columns.get(bench.job.number), columns.get(bench.repeat_of)
    cells = []
    for row in slots:
        again = row.values[own] if own is not None else None
        before = row.values[first] if first is not None else None
        cells.append(cell(row, _between(again, before), face=face, unit=unit))
    return BenchCells(bench=bench, cells=tuple(cells))


def _between(again: SlotValue | None, before: SlotValue | None) -> SlotValue | None:
    if again is None:
        return None
    if before is None:
        return SlotValue(value_m=again.value_m, expanded_m=again.expanded_m, count=again.count)
    difference = again.value_m - before.value_m
    allowed = math.hypot(again.expanded_m, before.expanded_m)
    return SlotValue(
        value_m=again.value_m,
        expanded_m=again.expanded_m,
        count=again.count,
        difference_m=difference,
        en=normalised_error(difference_m=difference, allowed_m=allowed),
    )
