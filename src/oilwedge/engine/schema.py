"""The shape of an engine file, as models: which tables and keys there are and what each may hold.

Everything is optional here, so that a file can be checked in one go even when much is missing;
what is needed is listed under ``required`` for the published JSON Schema and asked for by the
modules that make the engine. Quantities are parsed here; what they mean together is not looked at.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field, PlainValidator, WithJsonSchema

from oilwedge.errors import Fault, UnitError
from oilwedge.toml_faults import shown
from oilwedge.toml_quantity import quantity
from oilwedge.units import Dimension, Parsed


@dataclass(frozen=True, slots=True)
class Pair:
    """Two sides of a limit or size; None where a side is not given. ``single``: one text only."""

    low: Parsed | None
    high: Parsed | None
    single: bool = False


def _reader(dimension: Dimension) -> Callable[[object], Parsed]:
    return lambda value: quantity(value, dimension)


def _side(value: object) -> Parsed | None:
    if isinstance(value, str) and not value.strip():
        return None
    return quantity(value, Dimension.LENGTH)


def limits(value: object) -> Pair:
    """``[low, high]``, a side left empty with ``""``; or one text, the upper limit."""
    if isinstance(value, list):
        if len(value) != 2:
            raise UnitError(
                Fault(
                    given=shown(value),
                    allowed="two lengths are needed, [low, high]",
                    action='write "" for a side that is not limited',
                )
            )
        return Pair(_side(value[0]), _side(value[1]))
    return Pair(None, _side(value), single=True)


def both_sides(value: object) -> Pair:
    """``[low, high]``, both given."""
    pair = limits(value)
    if pair.single or pair.low is None or pair.high is None:
        raise UnitError(Fault(given=shown(value), allowed="two lengths are needed, [low, high]"))
    return pair


_QUANTITY_SCHEMA = {"anyOf": [{"type": "string", "minLength": 1}, {"const": 0}]}
_SIDE_SCHEMA = {"anyOf": [{"type": "string"}, {"const": 0}]}
_PAIR_SCHEMA = {"type": "array", "items": _SIDE_SCHEMA, "minItems": 2, "maxItems": 2}


def _described(words: str, schema: dict[str, Any]) -> WithJsonSchema:
    return WithJsonSchema({**schema, "description": words})


Length = Annotated[
    Parsed,
    PlainValidator(_reader(Dimension.LENGTH)),
    _described('a length with its unit: "47.97 mm", "1.8886 in", "1.5 thou"', _QUANTITY_SCHEMA),
]
Angle = Annotated[
    Parsed,
    PlainValidator(_reader(Dimension.ANGLE)),
    _described('an angle: "180 deg"', _QUANTITY_SCHEMA),
]
Speed = Annotated[
    Parsed,
    PlainValidator(_reader(Dimension.SPEED)),
    _described('a speed: "6000 rpm"', _QUANTITY_SCHEMA),
]
Pressure = Annotated[
    Parsed,
    PlainValidator(_reader(Dimension.PRESSURE)),
    _described('a pressure: "4 bar"', _QUANTITY_SCHEMA),
]
Temperature = Annotated[
    Parsed,
    PlainValidator(_reader(Dimension.TEMPERATURE)),
    _described('a temperature: "90 C"', _QUANTITY_SCHEMA),
]
LimitPair = Annotated[
    Pair,
    PlainValidator(limits),
    _described(
        '[low, high], "" for a side without limit; one text alone is an upper limit',
        {"anyOf": [*_QUANTITY_SCHEMA["anyOf"], _PAIR_SCHEMA]},
    ),
]
SizePair = Annotated[Pair, PlainValidator(both_sides), _described("[low, high]", _PAIR_SCHEMA)]
Text = Annotated[str, Field(max_length=2000)]
Name = Annotated[str, Field(min_length=1, max_length=200)]
Count = Annotated[int, Field(ge=1, le=32)]
PerName = Literal[
    "engine", "rod", "main", "cylinder", "cam bearing", "intake valve", "exhaust valve"
]


class Table(BaseModel):
    """One table of the file: strict about sorts, and no key that is not known."""

    model_config = ConfigDict(extra="forbid", strict=True, frozen=True)


class IdentityTable(Table):
    """[engine]: what it is called."""

    model_config = ConfigDict(json_schema_extra={"required": ["name"]})
    name: Name | None = None
    rule: Literal["simple", "safety margin"] = "simple"
    units: Literal["mm", "in"] = "mm"
    notes: Text = ""


class LayoutTable(Table):
    """[layout]: how it is laid out."""

    model_config = ConfigDict(
        json_schema_extra={
            "required": ["kind", "cylinders", "firing_order", "throw_angles", "main_bearings"]
        }
    )
    kind: Literal["in-line", "V", "flat"] | None = None
    cylinders: Count | None = None
    numbering: Text = "1 at the front"
    firing_order: list[int] | None = None
    throw_angles: list[Angle] | None = None
    rods_on_throw: list[list[int]] | None = None
    v_angle: Angle | None = None
    banks: list[list[int]] | None = None
    main_bearings: Count | None = None
    caps: Literal["separate", "girdle", "bedplate"] = "separate"
    strokes: Literal[2, 4] = 4
    cam_bearings: Count | None = None
    intake_valves: Annotated[int, Field(ge=1, le=128)] | None = None
    exhaust_valves: Annotated[int, Field(ge=1, le=128)] | None = None


class MarksTable(Table):
    """[marks]: how the parts are marked, as text."""

    front: Text = ""
    rod_caps: Text = ""
    main_caps: Text = ""
    pistons: Text = ""
    shells: Text = ""
    other: Text = ""


class SizeTable(Table):
    """The size of one number that differs."""

    size: SizePair | None = None
    nominal: Length | None = None
    tolerance: SizePair | None = None
    class_: Annotated[Name | None, Field(alias="class")] = None


class FeatureTable(SizeTable):
    """[features.KEY]: a feature of the catalogue with its size, or one of your own."""

    title: Name | None = None
    per: PerName | None = None
    shape: Literal["outside", "inside", "wall", "gap", "height", "strip"] | None = None
    parts: list[Name] | None = None
    material: Name | None = None
    length: Length | None = None
    places: list[Name] | None = None
    quick_places: list[Name] | None = None
    directions: list[Angle] | None = None
    quick_directions: list[Angle] | None = None
    instrument: Name | None = None
    how: Text | None = None
    explain: Text | None = None
    measured_at: Text = ""
    undersize_factor: Annotated[float, Field(ge=-2, le=2, allow_inf_nan=False)] | None = None
    form_judged: bool | None = None
    numbers: dict[str, SizeTable] = {}


class TermTable(Table):
    """One term of a fit of your own."""

    model_config = ConfigDict(json_schema_extra={"required": ["feature", "times"]})
    feature: Name | None = None
    times: Annotated[float, Field(ge=-10, le=10, allow_inf_nan=False)] | None = None


class LimitsTable(Table):
    """The limits of one number that differs."""

    build: LimitPair | None = None
    service: LimitPair | None = None
    target: Length | None = None
    source: Annotated[Text | None, Field(alias="from")] = None


class FitTable(LimitsTable):
    """[fits.KEY]: a fit of the catalogue with its limits, or one of your own."""

    title: Name | None = None
    per: PerName | None = None
    terms: Annotated[list[TermTable], Field(min_length=1, max_length=20)] | None = None
    ways: Annotated[list[Name], Field(min_length=1)] | None = None
    parts: list[Name] | None = None
    judged: Literal["size", "taper", "out of round"] | None = None
    judged_at: Literal["extreme", "mean"] = "extreme"
    service_for: Literal["all re-used", "any re-used"] = "all re-used"
    meaning: Literal["whole length", "per length", "total reading", "bend"] | None = None
    length: Length | None = None
    too_small: Name | None = None
    if_small: Text | None = None
    if_large: Text | None = None
    too_large: Name | None = None
    loose: Name | None = None
    past: Name | None = None
    explain: Text | None = None
    numbers: dict[str, LimitsTable] = {}


class GradeMarkTable(Table):
    """One mark of a grade."""

    model_config = ConfigDict(json_schema_extra={"required": ["mark"]})
    mark: Name | None = None
    wall: Length | None = None
    thickness: Length | None = None


class GradesTable(Table):
    """[grades.PART]: what is on offer."""

    marks: list[GradeMarkTable] = []
    undersizes: list[Length] = []
    oversizes: list[Length] = []
    note: Text = ""


class FastenerTable(Table):
    """[fasteners.PART]: how a set of bolts or nuts is tightened."""

    title: Name | None = None
    thread: Text = ""
    stages: list[Name] = []
    trial_stages: list[Name] = []
    reuse: Name = "free"
    lubricant: Text = ""
    note: Text = ""
    source: Annotated[Text, Field(alias="from")] = ""


class OilTable(Table):
    """[oil]."""

    grade: Text = ""
    note: Text = ""


class DutyTable(Table):
    """[duty]: how it will run."""

    speed: Speed | None = None
    idle_speed: Speed | None = None
    peak_pressure: Pressure | None = None
    oil_pressure: Pressure | None = None
    oil_temperature: Temperature | None = None
    note: Text = ""


class EngineTable(Table):
    """A whole engine file."""

    model_config = ConfigDict(json_schema_extra={"required": ["format", "engine", "layout"]})
    format: int | None = None
    engine: IdentityTable | None = None
    layout: LayoutTable | None = None
    marks: MarksTable = MarksTable()
    features: dict[str, FeatureTable] = {}
    fits: dict[str, FitTable] = {}
    grades: dict[str, GradesTable] = {}
    fasteners: dict[str, FastenerTable] = {}
    oil: OilTable = OilTable()
    duty: DutyTable = DutyTable()
