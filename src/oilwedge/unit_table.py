"""The units that are known, with their exact factors: what :mod:`oilwedge.units` reads with.

A unit converts by ``SI value = number * factor + offset``. Factors are exact by definition
(Fraction), except those with pi, which carry pi rounded to a double. The international inch,
pound and standard gravity are exact: 25.4 mm, 0.453 592 37 kg, 9.806 65 m/s².
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from types import MappingProxyType


class Dimension(Enum):
    """What sort of quantity a number is; the value is the word for it in a sentence."""

    LENGTH = "length"
    ANGLE = "angle"
    TORQUE = "torque"
    TEMPERATURE = "temperature"
    TEMPERATURE_DIFFERENCE = "temperature difference"
    SPEED = "speed of rotation"
    FORCE = "force"
    PRESSURE = "pressure"
    MASS = "mass"
    UNBALANCE = "mass times radius"
    EXPANSION = "coefficient of expansion"
    VOLUME = "volume"
    RATIO = "ratio"
    DYNAMIC_VISCOSITY = "dynamic viscosity"
    KINEMATIC_VISCOSITY = "kinematic viscosity"
    DENSITY = "density"


@dataclass(frozen=True, slots=True, kw_only=True)
class Unit:
    """A unit: ``SI value = number * factor + offset``; the aliases are other ways to write it."""

    name: str
    dimension: Dimension
    factor: Fraction
    offset: Fraction = Fraction(0)
    aliases: tuple[str, ...] = ()


_INCH = Fraction(254, 10_000)
_POUND = Fraction(45_359_237, 100_000_000)
_GRAVITY = Fraction(980_665, 100_000)
_LBF = _POUND * _GRAVITY
_ZERO_CELSIUS = Fraction(27_315, 100)
_PI = Fraction(math.pi)
_MICRO = Fraction(1, 1_000_000)
_MILLI = Fraction(1, 1000)
_FIFTH_NINTH = Fraction(5, 9)


def _units(dimension: Dimension, *rows: tuple[str, Fraction | int, str]) -> list[Unit]:
    """Rows of name, factor and aliases parted by a bar; the first row is the one to suggest."""
    return [
        Unit(
            name=name,
            dimension=dimension,
            factor=Fraction(factor),
            aliases=tuple(alias for alias in aliases.split("|") if alias),
        )
        for name, factor, aliases in rows
    ]


def _temperatures() -> list[Unit]:
    rows = (
        ("°C", Fraction(1), _ZERO_CELSIUS, "C|deg C|degC|celsius|℃"),
        ("K", Fraction(1), Fraction(0), "kelvin"),
        ("°F", _FIFTH_NINTH, _ZERO_CELSIUS - 32 * _FIFTH_NINTH, "F|deg F|degF|fahrenheit|℉"),
    )
    return [
        Unit(
            name=name,
            dimension=Dimension.TEMPERATURE,
            factor=factor,
            offset=offset,
            aliases=tuple(aliases.split("|")),
        )
        for name, factor, offset, aliases in rows
    ]


ALL_UNITS: tuple[Unit, ...] = (
    *_units(
        Dimension.LENGTH,
        ("mm", _MILLI, "millimetre|millimetres|millimeter|millimeters"),
        ("in", _INCH, "inch|inches|\"|″|”|''"),
        ("µm", _MICRO, "um|micron|microns|mu m|mu|µ|micrometre|micrometres|micrometer|micrometers"),
        ("thou", _INCH / 1000, "mil|mils|thous|thousandth|thousandths|th"),
        ("m", 1, "metre|metres|meter|meters"),
        ("cm", Fraction(1, 100), "centimetre|centimetres|centimeter|centimeters"),
        ("ft", 12 * _INCH, "foot|feet"),
    ),
    *_units(
        Dimension.ANGLE,
        ("°", _PI / 180, "deg|degree|degrees|º"),
        ("rad", 1, "radian|radians"),
    ),
    *_units(
        Dimension.TORQUE,
        ("N m", 1, "Nm|newton metre|newton metres|newton meter|newton meters"),
        ("lbf ft", _LBF * 12 * _INCH, "lb ft|ft lb|ft lbf|ft lbs|lbs ft|foot pounds|pound feet"),
        ("lbf in", _LBF * _INCH, "lb in|in lb|in lbf|in lbs|lbs in|inch pounds|pound inches"),
        ("kgf m", _GRAVITY, "kg m|m kg|m kgf|kp m"),
        ("kgf cm", _GRAVITY / 100, "kg cm|cm kg|cm kgf"),
    ),
    *_temperatures(),
    *_units(
        Dimension.TEMPERATURE_DIFFERENCE,
        ("ΔK", 1, "K|kelvin"),
        ("Δ°C", 1, "°C|C|deg C|degC|celsius|℃"),
        ("Δ°F", _FIFTH_NINTH, "°F|F|deg F|degF|fahrenheit|℉"),
    ),
    *_units(
        Dimension.SPEED,
        ("rpm", _PI / 30, "1/min|/min|rev/min|r/min|revs|min^-1"),
        ("rad/s", 1, ""),
        ("rps", 2 * _PI, "rev/s|r/s"),
    ),
    *_units(
        Dimension.FORCE,
        ("N", 1, "newton|newtons"),
        ("kN", 1000, "kilonewton|kilonewtons"),
        ("lbf", _LBF, "lb|lbs|pound|pounds"),
        ("kgf", _GRAVITY, "kg|kp"),
    ),
    *_units(
        Dimension.PRESSURE,
        ("bar", 100_000, "bars"),
        ("Pa", 1, "pascal|pascals|N/m2"),
        ("kPa", 1000, ""),
        ("MPa", 1_000_000, "N/mm2"),
        ("psi", _LBF / _INCH**2, "lbf/in2|lb/in2|lbs/in2"),
        ("kgf/cm2", _GRAVITY * 10_000, "kg/cm2"),
    ),
    *_units(
        Dimension.MASS,
        ("kg", 1, "kilogram|kilograms"),
        ("g", _MILLI, "gram|grams|gramme|grammes"),
        ("lb", _POUND, "lbs|pound|pounds"),
        ("oz", _POUND / 16, "ounce|ounces"),
    ),
    *_units(
        Dimension.UNBALANCE,
        ("kg mm", _MILLI, "mm kg"),
        ("g mm", _MICRO, "mm g"),
        ("g cm", _MILLI / 100, "cm g"),
        ("kg m", 1, "m kg"),
        ("oz in", _POUND / 16 * _INCH, "in oz"),
    ),
    *_units(
        Dimension.EXPANSION,
        ("1e-6/K", _MICRO, "ppm/K|ppm/C|ppm/°C|1e-6/C|1e-6/°C|10^-6/K|10^-6/°C|10^-6/C"),
        ("µm/(m K)", _MICRO, "um/(m K)|µm/m/K|um/m/K|µm/mK|µm/(m °C)|µm/m/°C|µm/m°C"),
        ("1/K", 1, "/K|1/C|1/°C|/C|/°C|K^-1"),
        ("1e-6/°F", _MICRO / _FIFTH_NINTH, "1e-6/F|ppm/F|ppm/°F|µin/in/°F|µin/(in °F)|10^-6/°F"),
        ("1/°F", 1 / _FIFTH_NINTH, "1/F|/F|/°F"),
    ),
    *_units(
        Dimension.VOLUME,
        ("cm³", _MICRO, "cc|ml|ccm"),
        ("L", _MILLI, "litre|litres|liter|liters|dm3"),
        ("m³", 1, ""),
        ("mm³", Fraction(1, 1_000_000_000), ""),
        ("in³", _INCH**3, "cu in|cubic inch|cubic inches"),
    ),
    *_units(
        Dimension.RATIO,
        ("1", 1, "mm/mm|m/m|in/in|µm/µm"),
        ("%", Fraction(1, 100), "percent|per cent"),
        ("‰", _MILLI, "mm/m|µm/mm|thou/in"),
        ("ppm", _MICRO, "µm/m"),
    ),
    *_units(
        Dimension.DYNAMIC_VISCOSITY,
        ("mPa s", _MILLI, "cP|centipoise"),
        ("Pa s", 1, "N s/m2"),
    ),
    *_units(
        Dimension.KINEMATIC_VISCOSITY,
        ("mm²/s", _MICRO, "cSt|centistokes"),
        ("m²/s", 1, ""),
    ),
    *_units(
        Dimension.DENSITY,
        ("kg/m³", 1, "g/L"),
        ("g/cm³", 1000, "g/ml|kg/L|kg/dm3|g/cc"),
    ),
)
"""Every unit; the first one of each dimension is the one to suggest."""

UNITS: Mapping[str, Unit] = MappingProxyType({unit.name: unit for unit in ALL_UNITS})
"""Every unit by its canonical name. Differences of temperature are written ΔK, Δ°C, Δ°F."""
