"""A quantity in a TOML file: text with its unit; a bare number only when it is 0."""

from __future__ import annotations

import re

from oilwedge.errors import Fault, UnitError
from oilwedge.toml_faults import shown
from oilwedge.units import Dimension, Parsed, parse_quantity

_ZERO_UNIT = {
    Dimension.LENGTH: "mm",
    Dimension.ANGLE: "°",
    Dimension.TORQUE: "N m",
    Dimension.SPEED: "rpm",
    Dimension.PRESSURE: "bar",
    Dimension.TEMPERATURE: "°C",
    Dimension.TEMPERATURE_DIFFERENCE: "K",
    Dimension.MASS: "g",
    Dimension.UNBALANCE: "kg mm",
    Dimension.KINEMATIC_VISCOSITY: "mm²/s",
    Dimension.DYNAMIC_VISCOSITY: "mPa s",
    Dimension.DENSITY: "kg/m³",
    Dimension.EXPANSION: "1e-6/K",
}
_ZERO_TEXT = re.compile(r"[+\-−]?0+([.,]0*)?")
_EXAMPLE = {
    Dimension.LENGTH: '"47.97 mm"',
    Dimension.ANGLE: '"90 deg"',
    Dimension.TORQUE: '"20 N m"',
    Dimension.SPEED: '"6000 rpm"',
    Dimension.PRESSURE: '"4 bar"',
    Dimension.TEMPERATURE: '"90 C"',
    Dimension.TEMPERATURE_DIFFERENCE: '"10 K"',
    Dimension.MASS: '"412 g"',
    Dimension.UNBALANCE: '"22 kg mm"',
    Dimension.KINEMATIC_VISCOSITY: '"68 mm2/s"',
    Dimension.DYNAMIC_VISCOSITY: '"3.5 mPa s"',
    Dimension.DENSITY: '"860 kg/m3"',
    Dimension.EXPANSION: '"11.5 ppm/K"',
}


def quantity(value: object, dimension: Dimension) -> Parsed:
    """A quantity with its unit; a bare number, in quotes or not, only when it is 0."""
    if isinstance(value, str):
        if _ZERO_TEXT.fullmatch(value.strip()):
            return parse_quantity(f"0 {_ZERO_UNIT[dimension]}", dimension=dimension)
        return parse_quantity(value, dimension=dimension)
    if isinstance(value, int | float) and not isinstance(value, bool):
        if value == 0:
            return parse_quantity(f"0 {_ZERO_UNIT[dimension]}", dimension=dimension)
        raise UnitError(
            Fault(
                given=shown(value),
                allowed=f"the unit is missing; a {dimension.value} is written in quotes "
                f"with its unit, such as {_EXAMPLE[dimension]}",
            )
        )
    raise UnitError(
        Fault(
            given=shown(value),
            allowed=f"a {dimension.value} is needed, in quotes with its unit, "
            f"such as {_EXAMPLE[dimension]}",
        )
    )
