"""The shape of a shop file, as models: which tables and keys there are and what each may hold."""

from __future__ import annotations

import datetime
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, PlainValidator, WithJsonSchema

from oilwedge.errors import Fault, UnitError
from oilwedge.toml_faults import shown
from oilwedge.toml_quantity import quantity
from oilwedge.units import Dimension, Parsed


def _length(value: object) -> Parsed:
    return quantity(value, Dimension.LENGTH)


def _expansion(value: object) -> Parsed:
    return quantity(value, Dimension.EXPANSION)


def _date(value: object) -> datetime.date:
    if isinstance(value, datetime.date) and not isinstance(value, datetime.datetime):
        return value
    if isinstance(value, str):
        try:
            return datetime.date.fromisoformat(value.strip())
        except ValueError:
            pass
    raise UnitError(
        Fault(
            given=shown(value),
            allowed="a day is needed",
            action="write year-month-day, such as 2031-04-30",
        )
    )


_TEXT_OR_0 = {"anyOf": [{"type": "string", "minLength": 1}, {"const": 0}]}
Length = Annotated[Parsed, PlainValidator(_length), WithJsonSchema(_TEXT_OR_0)]
Expansion = Annotated[Parsed, PlainValidator(_expansion), WithJsonSchema({"type": "string"})]
Day = Annotated[
    datetime.date, PlainValidator(_date), WithJsonSchema({"type": "string", "format": "date"})
]
Text = Annotated[str, Field(max_length=200)]
KindName = Literal[
    "micrometer",
    "ball micrometer",
    "inside micrometer",
    "bore gauge",
    "caliper",
    "depth gauge",
    "dial gauge",
    "feeler",
    "strip",
    "ruler",
    "other",
]


class Table(BaseModel):
    """One table of the file: strict about sorts, and no key that is not known."""

    model_config = ConfigDict(extra="forbid", strict=True, frozen=True)


class InstrumentTable(Table):
    """[instruments.KEY]."""

    title: Text = ""
    kind: KindName | None = None
    unit: Literal["mm", "µm", "um", "in", "thou"] | None = None
    range: Annotated[list[Length], Field(min_length=2, max_length=2)] | None = None
    resolution: Length | None = None
    permissible_error: Length | None = None
    repeatability: Length | None = None
    repeatability_degrees_of_freedom: Annotated[float, Field(ge=1)] | None = None
    set_in: Text = ""
    setting: Length | None = None
    setup: Length | None = None
    expansion: Expansion | None = None
    calibration_due: Day | None = None


class BarTable(Table):
    """One bar on the wrapper of a strip."""

    clearance: Length | None = None
    width: Length | None = None


class StripTable(Table):
    """[strips.KEY]."""

    title: Text = ""
    range: Annotated[list[Length], Field(min_length=2, max_length=2)] | None = None
    bars: Annotated[list[BarTable], Field(max_length=50)] = []
    filament: Length | None = None


class StockTable(Table):
    """[stock.KEY]: shells and other graded parts on the shelf."""

    part: Text = ""
    title: Text = ""
    fit: Text = ""
    grade: Text = ""
    undersize: Length | None = None
    oversize: Length | None = None
    size: Length | None = None
    tolerance: Length | None = None
    measured: Length | None = None
    count: Annotated[int, Field(ge=0, le=100_000)] = 1
    price: Text = ""
    place: Text = ""
    note: Text = ""


class ShopIdentityTable(Table):
    """[shop]."""

    name: Text = ""


class WordsTable(Table):
    """[words]: which of two words of the trade the shop says."""

    end_float: Literal["end float", "end play"] = "end float"
    shell: Literal["shell", "insert"] = "shell"


class ShopTable(Table):
    """A whole shop file."""

    format: Literal[1] = 1
    shop: ShopIdentityTable = ShopIdentityTable()
    instruments: dict[str, InstrumentTable] = {}
    strips: dict[str, StripTable] = {}
    stock: dict[str, StockTable] = {}
    people: dict[str, Text] = {}
    words: WordsTable = WordsTable()
