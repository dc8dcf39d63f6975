"""What the keys of an engine file may hold: quantities with their units, pairs, names, counts."""

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


def _quantity(dimension: Dimension, words: str) -> tuple[PlainValidator, WithJsonSchema]:
    return PlainValidator(_reader(dimension)), _described(words, _QUANTITY_SCHEMA)


Length = Annotated[
    Parsed,
    *_quantity(Dimension.LENGTH, 'a length with its unit: "47.97 mm", "1.8886 in", "1.5 thou"'),
]
Angle = Annotated[Parsed, *_quantity(Dimension.ANGLE, 'an angle: "180 deg"')]
Speed = Annotated[Parsed, *_quantity(Dimension.SPEED, 'a speed: "6000 rpm"')]
Pressure = Annotated[Parsed, *_quantity(Dimension.PRESSURE, 'a pressure: "4 bar"')]
Temperature = Annotated[Parsed, *_quantity(Dimension.TEMPERATURE, 'a temperature: "90 C"')]
Warmer = Annotated[
    Parsed, *_quantity(Dimension.TEMPERATURE_DIFFERENCE, 'a difference of temperature: "10 K"')
]
Mass = Annotated[Parsed, *_quantity(Dimension.MASS, 'a mass: "412 g"')]
Unbalance = Annotated[
    Parsed, *_quantity(Dimension.UNBALANCE, 'mass times radius: "22 kg mm", "2200 g cm"')
]
KinematicViscosity = Annotated[
    Parsed, *_quantity(Dimension.KINEMATIC_VISCOSITY, 'a kinematic viscosity: "68 mm2/s"')
]
DynamicViscosity = Annotated[
    Parsed, *_quantity(Dimension.DYNAMIC_VISCOSITY, 'a dynamic viscosity: "3.5 mPa s"')
]
Density = Annotated[Parsed, *_quantity(Dimension.DENSITY, 'a density: "860 kg/m3"')]
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
