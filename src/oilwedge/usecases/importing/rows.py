"""One row of a table as entries, or as all the faults that are in it."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from typing import TypeVar

from oilwedge.engine.model import Engine
from oilwedge.errors import Fault, InputError, LineWord, Where
from oilwedge.job.entry import Entry
from oilwedge.metrology.reading import Bound, Reading, ReadingForm
from oilwedge.units import Dimension, find_unit
from oilwedge.usecases.importing.cells import (
    marks_refit,
    read_count,
    read_temperature_c,
    read_time,
    read_yes,
)
from oilwedge.usecases.importing.columns import Column, Columns
from oilwedge.usecases.importing.events import CellError, EventCells, read_events
from oilwedge.usecases.importing.imported import plain_cell
from oilwedge.usecases.importing.names import Names, direction_name, numbers_of, place_name
from oilwedge.usecases.importing.plausible import Band, band_of, doubt, form_of
from oilwedge.usecases.importing.value import read_value

T = TypeVar("T")
_FAILED = object()


@dataclass(frozen=True, kw_only=True, slots=True)
class Value:
    """A value cell that was understood; ``doubt`` is what makes it impossible, if anything."""

    value_m: float
    form: ReadingForm
    bound: Bound
    text: str
    unit: str
    doubt: Fault | None = None


class RowReader:
    """Reads the rows of one table.

    What a cell means is kept by its text, for a table says the same things again and again;
    faults too, so that a table full of one mistake stays quick.
    """

    def __init__(
        self,
        *,
        columns: Columns,
        engine: Engine,
        names: Names,
        file: str,
        key: str,
        confirmed_ids: Iterable[str] = (),
    ) -> None:
        self._columns = columns
        self._engine = engine
        self._names = names
        self._file = file
        self._key = key
        self._confirmed = frozenset(confirmed_ids)
        self._memo: dict[tuple[object, ...], object] = {}
        self._bands: dict[tuple[object, ...], Band] = {}
        self._fittings: dict[tuple[str, int], tuple[int, set[tuple[str, str]]]] = {}
        self._faults: list[Fault] = []
        self._row = 0
        self._at: Mapping[Column, int] = {column: columns.at(column) for column in Column}
        self._width = max(columns.index.values(), default=0) + 1

    def read(self, row: int, cells: list[str]) -> tuple[list[Entry], list[Fault]]:
        """Entries of a row, or its faults; never both."""
        self._row = row
        self._faults = []
        cells = self._padded(cells)
        event = cells[self._at[Column.EVENT]].strip()
        if event:
            entries = self._events(cells, event)
        else:
            reading = self._reading(cells)
            entries = [] if reading is None else [reading]
        return ([], self._faults) if self._faults else (entries, [])

    def _padded(self, cells: list[str]) -> list[str]:
        """As wide as the header, and an empty cell at the end (index -1) for missing columns."""
        total = len(self._columns.header)
        if len(cells) > total and any(cells[total:]):
            self._fault(
                None,
                Fault(
                    given="",
                    allowed=f"there are {len(cells)} cells under {total} columns",
                    action="put a cell that holds a comma in quotation marks, or part cells by ;",
                ),
            )
        return [*cells, *[""] * max(0, self._width - len(cells)), ""]

    def _where(self, column: Column | None) -> Where:
        name = self._columns.name(column) if column is not None else ""
        return Where(file=self._file, line=self._row, column=name, unit=LineWord.ROW)

    def _fault(self, column: Column | None, fault: Fault) -> None:
        self._faults.append(replace(fault, where=self._where(column)))

    def _look_up(self, column: Column, key: tuple[object, ...], read: Callable[[], T]) -> T | None:
        """What a cell means, read once for each text; None after a fault."""
        memo_key = (column, *key)
        try:
            found = self._memo[memo_key]
        except KeyError:
            try:
                found = read()
            except InputError as error:
                found = error
            self._memo[memo_key] = found
        if isinstance(found, InputError):
            for fault in found.faults:
                self._fault(column, fault)
            return None
        return found  # type: ignore[return-value]

    def _reading(self, cells: list[str]) -> Reading | None:
        at = self._at
        feature_text, number_text = cells[at[Column.FEATURE]], cells[at[Column.NUMBER]]
        which = self._look_up(Column.FEATURE, (feature_text,), lambda: self._feature(feature_text))
        key, own = which if which is not None else ("", None)
        instrument = self._instrument(cells[at[Column.INSTRUMENT]], key)
        rest = self._circumstances(cells)
        if which is None:
            return None
        feature = self._engine.features[key]
        number = self._look_up(
            Column.NUMBER, (key, own, number_text), lambda: self._number(key, own, number_text)
        )
        place_text, direction_text = cells[at[Column.PLACE]], cells[at[Column.DIRECTION]]
        place = direction = ""
        if place_text:
            place = (
                self._look_up(
                    Column.PLACE, (key, place_text), lambda: place_name(place_text, feature=feature)
                )
                or ""
            )
        if direction_text:
            direction = (
                self._look_up(
                    Column.DIRECTION,
                    (key, direction_text),
                    lambda: direction_name(direction_text, feature=feature),
                )
                or ""
            )
        if number is None or instrument is None or rest is None:
            value = self._value(cells, key, number or 1, instrument or "")
            if value is not None and value.doubt is not None:
                self._fault(Column.VALUE, value.doubt)
            return None
        value = self._value(cells, key, number, instrument)
        if value is None:
            return None
        id = cells[at[Column.ID]].strip() or f"{self._key}:{self._row}"
        if value.doubt is not None and id not in self._confirmed:
            self._fault(Column.VALUE, value.doubt)
        fitting = self._fitting(cells, (key, number), (place, direction))
        if self._faults:
            return None
        time, part_c, instrument_c = rest
        return Reading(
            id=id,
            feature=key,
            number=number,
            place=place,
            direction=direction,
            value_m=value.value_m,
            form=value.form,
            bound=value.bound,
            text=value.text,
            unit=value.unit,
            instrument=instrument,
            person=plain_cell(cells[at[Column.PERSON]].strip()),
            time=time,
            part_temperature_c=part_c,
            instrument_temperature_c=instrument_c,
            fitting=fitting,
            setting=cells[at[Column.SETTING]].strip() or "1",
            replaces=cells[at[Column.REPLACES]].strip(),
            note=plain_cell(cells[at[Column.NOTE]].strip()),
            origin=f"{self._key}:{self._row}",
        )

    def _feature(self, text: str) -> tuple[str, int | None]:
        if not text.strip():
            raise InputError(Fault(given="", allowed="the row does not say what was measured"))
        return self._names.feature(text)

    def _number(self, key: str, own: int | None, text: str) -> int:
        feature = self._engine.features[key]
        numbers = numbers_of(text, title=feature.title, count=feature.count)
        if numbers is None:
            if feature.count == 1 or (own is not None and not text.strip()):
                return self._number(key, None, str(own or 1))
            raise InputError(
                Fault(
                    given=text.strip(),
                    allowed=f"a reading belongs to one {feature.title}, 1 to {feature.count}",
                )
            )
        if len(numbers) > 1:
            raise InputError(
                Fault(given=text.strip(), allowed=f"a reading belongs to one {feature.title}")
            )
        if own is not None and own != numbers[0]:
            raise InputError(
                Fault(
                    given=text.strip(),
                    allowed=f"the feature cell says {own}",
                    action="make both the same",
                )
            )
        return numbers[0]

    def _instrument(self, text: str, key: str) -> str | None:
        if not text.strip():
            return ""
        feature = self._engine.features.get(key)
        names = self._names
        if feature is None:
            return self._look_up(Column.INSTRUMENT, (text,), lambda: names.instrument(text))
        return self._look_up(
            Column.INSTRUMENT, (key, text), lambda: names.instrument_for(text, feature=feature)
        )

    def _circumstances(
        self, cells: list[str]
    ) -> tuple[datetime.datetime | None, float | None, float | None] | None:
        """Time and temperatures; None after a fault."""
        before = len(self._faults)
        time = self._optional(cells, Column.TIME, read_time)
        both = self._temperature(cells, Column.TEMPERATURE)
        part_c = self._temperature(cells, Column.PART_TEMPERATURE)
        instrument_c = self._temperature(cells, Column.INSTRUMENT_TEMPERATURE)
        if len(self._faults) > before:
            return None
        return (
            time,
            both if part_c is None else part_c,
            both if instrument_c is None else instrument_c,
        )

    def _optional(self, cells: list[str], column: Column, read: Callable[[str], T]) -> T | None:
        text = cells[self._at[column]]
        if not text or text.isspace():
            return None
        return self._look_up(column, (text,), lambda: read(text))

    def _temperature(self, cells: list[str], column: Column) -> float | None:
        unit = self._columns.units.get(column)
        return self._optional(cells, column, lambda text: read_temperature_c(text, unit=unit))

    def _unit(self, text: str) -> str | None:
        header = self._columns.units.get(Column.VALUE)
        if not text.strip():
            return header
        unit = find_unit(text=text, dimension=Dimension.LENGTH).name
        if header is not None and unit != header:
            raise InputError(
                Fault(
                    given=text.strip(),
                    allowed=f"the header of the values says {header}",
                    action="leave one of the two units out",
                )
            )
        return unit

    def _value(self, cells: list[str], key: str, number: int, instrument: str) -> Value | None:
        text, unit_text = cells[self._at[Column.VALUE]], cells[self._at[Column.UNIT]]
        unit = self._columns.units.get(Column.VALUE)
        if unit_text:
            before = len(self._faults)
            unit = self._look_up(Column.UNIT, (unit_text,), lambda: self._unit(unit_text))
            if len(self._faults) > before:
                return None
        strip = instrument if instrument in self._names.strips else ""
        return self._look_up(
            Column.VALUE,
            (key, number, text, unit, strip),
            lambda: self._understood(key, number, text, unit, strip),
        )

    def _understood(self, key: str, number: int, text: str, unit: str | None, strip: str) -> Value:
        if text.startswith("'"):
            text = text[1:]  # what keeps a spreadsheet from taking a text for a formula
        feature = self._engine.features[key].at(number)
        known_strip = self._names.strips.get(strip)
        typed = read_value(text, unit=unit, strip=known_strip)
        form = form_of(typed, feature=feature)
        band_key = (key, number, form, strip)
        band = self._bands.get(band_key)
        if band is None:
            band = band_of(engine=self._engine, feature=feature, form=form, strip=known_strip)
            self._bands[band_key] = band
        return Value(
            value_m=typed.quantity.value_si,
            form=form,
            bound=typed.bound,
            text=typed.quantity.text,
            unit=typed.quantity.unit,
            doubt=doubt(typed, band=band, form=form, label=feature.label(number), feature=feature),
        )

    def _fitting(self, cells: list[str], which: tuple[str, int], spot: tuple[str, str]) -> int:
        """The fitting that a reading belongs to.

        A number in the column fitting is taken as it is. Otherwise a refit mark starts the next
        fitting when this place was read in the present one already; so it does not matter
        whether the mark stands at the first reading after the refit or at each of them.
        """
        fitting_text = cells[self._at[Column.FITTING]]
        refit_text, repeat_text = cells[self._at[Column.REFIT]], cells[self._at[Column.REPEAT]]
        if not (fitting_text or refit_text or repeat_text):
            if which in self._fittings:
                self._fittings[which][1].add(spot)
                return self._fittings[which][0]
            if Column.REFIT in self._columns.index or Column.REPEAT in self._columns.index:
                self._fittings[which] = (1, {spot})
            return 1
        if fitting_text.strip():
            found = self._look_up(
                Column.FITTING, (fitting_text,), lambda: read_count(fitting_text, what="fitting")
            )
            return found or 1
        marked = marks_refit(repeat_text) or bool(
            self._look_up(Column.REFIT, (refit_text,), lambda: read_yes(refit_text, what="refit"))
        )
        current, spots = self._fittings.get(which, (1, set()))
        if marked and (current == 1 or spot in spots):
            current, spots = current + 1, set()
        spots.add(spot)
        self._fittings[which] = (current, spots)
        return current

    def _events(self, cells: list[str], event: str) -> list[Entry]:
        at = self._at
        rest = self._circumstances(cells)
        id = cells[at[Column.ID]].strip() or f"{self._key}:{self._row}"
        row = EventCells(
            id=id,
            event=event,
            subject=cells[at[Column.FEATURE]].strip(),
            number=cells[at[Column.NUMBER]].strip(),
            value=plain_cell(cells[at[Column.VALUE]].strip()),
            instrument=cells[at[Column.INSTRUMENT]].strip(),
            person=plain_cell(cells[at[Column.PERSON]].strip()),
            time=rest[0] if rest is not None else None,
            note=plain_cell(cells[at[Column.NOTE]].strip()),
            origin=f"{self._key}:{self._row}",
        )
        try:
            return list(read_events(row, engine=self._engine, names=self._names))
        except CellError as bad:
            for fault in bad.error.faults:
                self._fault(bad.column, fault)
            return []
