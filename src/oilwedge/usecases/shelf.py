"""What lies on the shelf of a shop: seen as rows, edited field by field, checked as a whole."""

from __future__ import annotations

import datetime
import re
import unicodedata
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from enum import Enum

from oilwedge.errors import Fault
from oilwedge.metrology.instrument import InstrumentKind
from oilwedge.shop.file import check_shop
from oilwedge.shop.model import Shop
from oilwedge.shop.writing import EMPTY_SHOP, Written, table_values, with_table, without_table
from oilwedge.usecases.length_face import LengthFace, face_uncertainty

FILE = "shop.toml"
_KEY = re.compile(r"[a-z0-9][a-z0-9_]{0,39}")


class Section(Enum):
    """The sorts of things on the shelf; the value is the table of the shop file."""

    INSTRUMENTS = "instruments"
    STRIPS = "strips"
    STOCK = "stock"


class FieldKind(Enum):
    """How a field is typed and written."""

    TEXT = "text"
    LENGTH = "length"  # with its unit
    SPAN = "span"  # "25 mm to 50 mm"
    DAY = "day"
    CHOICE = "choice"
    COUNT = "count"
    BARS = "bars"  # one a line: "0.025 mm" or "0.025 mm = 3.30 mm"


@dataclass(frozen=True, kw_only=True, slots=True)
class ShelfField:
    """One field of a form: what was typed, and what is wrong with it."""

    key: str
    words: str
    kind: FieldKind = FieldKind.TEXT
    hint: str = ""
    choices: tuple[str, ...] = ()
    typed: str = ""
    fault: str = ""


_LENGTH = FieldKind.LENGTH
FIELDS: Mapping[Section, tuple[ShelfField, ...]] = {
    Section.INSTRUMENTS: (
        ShelfField(key="title", words="Name"),
        ShelfField(
            key="kind",
            words="Sort",
            kind=FieldKind.CHOICE,
            choices=tuple(kind.value for kind in InstrumentKind),
        ),
        ShelfField(
            key="unit", words="Shows", kind=FieldKind.CHOICE, choices=("mm", "µm", "in", "thou")
        ),
        ShelfField(key="range", words="Range", kind=FieldKind.SPAN, hint="25 mm to 50 mm"),
        ShelfField(key="resolution", words="Resolution", kind=_LENGTH, hint="0.001 mm"),
        ShelfField(
            key="permissible_error",
            words="Permissible error",
            kind=_LENGTH,
            hint="0.002 mm: the certificate's ± limit",
        ),
        ShelfField(
            key="repeatability",
            words="Scatter of one reading",
            kind=_LENGTH,
            hint="0.001 mm: one standard deviation; empty if not known",
        ),
        ShelfField(key="set_in", words="Set in", hint="key of a micrometer or ring"),
        ShelfField(key="setting", words="One setting", kind=_LENGTH, hint="0.001 mm"),
        ShelfField(key="setup", words="One set-up", kind=_LENGTH, hint="0.001 mm"),
        ShelfField(key="expansion", words="Expansion", hint="11.5 µm/(m K)"),
        ShelfField(
            key="calibration_due", words="Calibration due", kind=FieldKind.DAY, hint="2031-04-30"
        ),
    ),
    Section.STRIPS: (
        ShelfField(key="title", words="Name"),
        ShelfField(key="range", words="Range", kind=FieldKind.SPAN, hint="0.025 mm to 0.076 mm"),
        ShelfField(
            key="bars",
            words="Bars on its wrapper",
            kind=FieldKind.BARS,
            hint="one a line: 0.025 mm, or with its width 0.025 mm = 3.30 mm",
        ),
        ShelfField(key="filament", words="Thread, diameter", kind=_LENGTH, hint="0.30 mm"),
    ),
    Section.STOCK: (
        ShelfField(key="title", words="Name"),
        ShelfField(
            key="part", words="Part", hint="key of a part of an engine file: rod_shells, pistons"
        ),
        ShelfField(key="fit", words="For", hint="key of a fit, such as rod_bearing; may be empty"),
        ShelfField(key="grade", words="Grade", hint="as it is marked: colour, letter, number"),
        ShelfField(
            key="undersize", words="Undersize", kind=_LENGTH, hint="0.25 mm; 0 mm is standard"
        ),
        ShelfField(key="oversize", words="Oversize", kind=_LENGTH, hint="0.50 mm"),
        ShelfField(
            key="size", words="Size", kind=_LENGTH, hint="wall, thickness or diameter: 1.505 mm"
        ),
        ShelfField(key="tolerance", words="± tolerance", kind=_LENGTH, hint="0.003 mm"),
        ShelfField(
            key="measured", words="Measured", kind=_LENGTH, hint="on these very parts: 1.5036 mm"
        ),
        ShelfField(key="count", words="Pieces", kind=FieldKind.COUNT, hint="8"),
        ShelfField(key="price", words="Price", hint="for one, as you write it"),
        ShelfField(key="place", words="Lies at", hint="drawer 3"),
        ShelfField(key="note", words="Note"),
    ),
}


@dataclass(frozen=True, kw_only=True, slots=True)
class ShelfRow:
    """One thing on the shelf as it stands in a list; ``overdue``: its calibration is."""

    key: str
    title: str
    kind: str
    cells: tuple[str, ...]
    overdue: bool = False


@dataclass(frozen=True, kw_only=True, slots=True)
class Edited:
    """The shop file after an edit; with faults it is not to be kept."""

    text: str
    fields: tuple[ShelfField, ...] = ()
    faults: tuple[str, ...] = ()
    warnings: tuple[str, ...] = ()

    @property
    def fine(self) -> bool:
        """Whether it can be kept."""
        return not self.faults and not any(field.fault for field in self.fields)


def instrument_rows(shop: Shop, *, today: datetime.date) -> tuple[ShelfRow, ...]:
    """The shop's own instruments: range, resolution, permissible error, calibration due."""
    rows = []
    for one in shop.instruments.values():
        if one.key == one.kind.value:  # stands in where none is named
            continue
        face = LengthFace(unit=one.unit)
        span = (
            face.span(low_m=one.range_low_m, high_m=one.range_high_m)
            if one.range_low_m is not None or one.range_high_m is not None
            else "–"
        )
        due = one.calibration_due
        rows.append(
            ShelfRow(
                key=one.key,
                title=one.title,
                kind=one.kind.value,
                cells=(
                    span,
                    face_uncertainty(one.resolution_m, face=face),
                    f"± {face_uncertainty(one.permissible_error_m, face=face)}",
                    due.isoformat() if due is not None else "–",
                ),
                overdue=due is not None and due < today,
            )
        )
    return tuple(rows)


def strip_rows(shop: Shop) -> tuple[ShelfRow, ...]:
    """The shop's strips: range and bars."""
    face = LengthFace(unit="mm")
    return tuple(
        ShelfRow(
            key=one.key,
            title=one.title,
            kind="strip",
            cells=(
                face.span(low_m=one.low_m, high_m=one.high_m),
                ", ".join(face.length(bar.clearance_m) for bar in one.bars) or "–",
            ),
        )
        for one in shop.strips.values()
    )


def key_from_name(name: str, *, taken: Collection[str]) -> str:
    """A key made from a name: small letters, digits and _; with a number where it is taken."""
    bare = unicodedata.normalize("NFKD", name.casefold())
    plain = "".join(sign for sign in bare if not unicodedata.combining(sign))
    key = re.sub(r"[^a-z0-9]+", "_", plain).strip("_")[:36] or "item"
    number = 2
    made = key
    while made in taken:
        made, number = f"{key}_{number}", number + 1
    return made


def item_fields(text: str, *, section: Section, key: str) -> tuple[ShelfField, ...]:
    """The form of one thing, filled with what the file says."""
    values = table_values(text or EMPTY_SHOP, section=section.value, key=key)
    return tuple(
        replace(field, typed=_shown(values.get(field.key), field.kind)) for field in FIELDS[section]
    )


def edit_item(text: str, *, section: Section, key: str, typed: Mapping[str, str]) -> Edited:
    """The shop file with what was typed for one thing; each fault at its field."""
    text = text or EMPTY_SHOP
    fields = [replace(f, typed=typed.get(f.key, "").strip()) for f in FIELDS[section]]
    if not _KEY.fullmatch(key):
        sentence = (
            f"key: given '{key}'; small letters, digits and _ are allowed, such as mic_25_50."
        )
        return Edited(text=text, fields=tuple(fields), faults=(sentence,))
    values: dict[str, Written] = {}
    for i, field in enumerate(fields):
        try:
            if field.typed:
                values[field.key] = _written(field)
        except ValueError as error:
            fields[i] = replace(field, fault=str(error))
    if any(field.fault for field in fields):
        return Edited(text=text, fields=tuple(fields))
    new = with_table(text, section=section.value, key=key, values=values)
    return _checked(new, fields=fields, path=f"{section.value}.{key}")


def remove_item(text: str, *, section: Section, key: str) -> Edited:
    """The shop file without one thing; refused where another thing is set in it."""
    return _checked(without_table(text, section=section.value, key=key), fields=(), path="")


def edit_file(text: str) -> Edited:
    """A whole shop file as it was typed, checked."""
    return _checked(text.replace("\r\n", "\n"), fields=(), path="")


def _checked(text: str, *, fields: Sequence[ShelfField], path: str) -> Edited:
    checked = check_shop(text, file=FILE)
    left = list(fields)
    general: list[str] = []
    for fault in checked.faults:
        name = _field_of(fault, path=path)
        at = next((i for i, field in enumerate(left) if field.key == name), None)
        if at is None:
            general.append(fault.sentence())
        else:
            left[at] = replace(left[at], fault=replace(fault, where=type(fault.where)()).sentence())
    return Edited(
        text=text,
        fields=tuple(left),
        faults=tuple(general),
        warnings=tuple(warning.sentence() for warning in checked.warnings),
    )


def _field_of(fault: Fault, *, path: str) -> str:
    column = fault.where.column
    if not path or not column.startswith(path + "."):
        return ""
    return re.split(r"[.\[]", column[len(path) + 1 :])[0]


_LINE_SPLIT = re.compile(r"\s*=\s*")


def _written(field: ShelfField) -> Written:
    """What was typed as the file writes it; ValueError with a sentence."""
    text = field.typed
    if field.kind is FieldKind.SPAN:
        ends = [end.strip() for end in re.split(r"\bto\b|…|\.\.\.?|–", text)]
        if len(ends) != 2 or not all(ends):
            raise ValueError(f"'{text}' was given; write both ends, such as {field.hint}.")
        unit = ends[1].lstrip("0123456789.,+- ")
        return [ends[0] if re.search(r"[^\d.,]$", ends[0]) else f"{ends[0]} {unit}", ends[1]]
    if field.kind is FieldKind.COUNT:
        if not text.isdecimal():
            raise ValueError(f"'{text}' was given; write a whole number.")
        return int(text)
    if field.kind is FieldKind.DAY:
        try:
            return datetime.date.fromisoformat(text)
        except ValueError:
            raise ValueError(
                f"'{text}' was given; write year-month-day, such as {field.hint}."
            ) from None
    if field.kind is FieldKind.BARS:
        return [_bar(line) for line in text.splitlines() if line.strip()]
    return text


def _bar(line: str) -> dict[str, str]:
    clearance, *width = _LINE_SPLIT.split(line.strip(), maxsplit=1)
    return {"clearance": clearance, **({"width": width[0]} if width else {})}


def _shown(value: object, kind: FieldKind) -> str:
    if value is None:
        return ""
    if kind is FieldKind.SPAN and isinstance(value, list):
        return " to ".join(str(end) for end in value)
    if kind is FieldKind.BARS and isinstance(value, list):
        return "\n".join(
            " = ".join(str(bar[name]) for name in ("clearance", "width") if name in bar)
            for bar in value
            if isinstance(bar, Mapping)
        )
    return str(value)


def stock_rows(shop: Shop) -> tuple[ShelfRow, ...]:
    """Parts in stock: grade and step, size as measured or as the maker says, pieces, place."""
    face = LengthFace(unit="mm")
    rows = []
    for one in shop.stock.values():
        size = "–" if one.best_size_m is None else face.length(one.best_size_m)
        if one.measured_m is not None:
            size += ", measured"
        elif one.size_m is not None and one.tolerance_m is not None:
            size += f" ± {face_uncertainty(one.tolerance_m, face=face)}"
        grade = ", ".join(text for text in (one.grade, one.step_text) if text) or "–"
        rows.append(
            ShelfRow(
                key=one.key,
                title=one.title,
                kind=one.part.replace("_", " "),
                cells=(grade, size, str(one.count), one.place or "–"),
            )
        )
    return tuple(rows)
