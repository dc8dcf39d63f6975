"""Between which values the figures of how an engine runs can be (common sense, no source)."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from pydantic import BaseModel

from oilwedge.toml_faults import Findings
from oilwedge.toml_text import Path
from oilwedge.unit_table import UNITS
from oilwedge.units import Parsed

__all__ = ["RANGES", "Range", "check_ranges"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Range:
    """From ``low`` to ``high`` in ``unit``, of what ``title`` says."""

    title: str
    low: float
    high: float
    unit: str

    def holds(self, value_si: float) -> bool:
        """Whether an SI value lies in it, with what rounding of the unit's factor may do."""
        unit = UNITS[self.unit]
        value = (value_si - float(unit.offset)) / float(unit.factor)
        slack = 1e-9 * max(abs(self.low), abs(self.high))
        return self.low - slack <= value <= self.high + slack


def _range(title: str, low: float, high: float, unit: str) -> Range:
    return Range(title=title, low=low, high=high, unit=unit)


RANGES: Mapping[str, Range] = {
    "stroke": _range("a stroke", 10, 1000, "mm"),
    "rod_length": _range("a rod between its centres", 20, 2500, "mm"),
    "bore": _range("a cylinder bore", 10, 1000, "mm"),
    "pin_offset": _range("an offset", -100, 100, "mm"),
    "piston_set": _range("a piston with its rings", 0.01, 300, "kg"),
    "pin": _range("a piston pin", 0.001, 150, "kg"),
    "rod": _range("a connecting rod", 0.01, 500, "kg"),
    "rod_big_end": _range("the big end of a rod", 0.005, 500, "kg"),
    "rod_small_end": _range("the small end of a rod", 0.001, 500, "kg"),
    "throw_unbalance": _range("the unbalance of a throw", 0, 100, "kg m"),
    "unbalance": _range("a counterweight", 1e-5, 100, "kg m"),
    "bobweight": _range("a bobweight", 0.01, 1000, "kg"),
    "width": _range("the width of a shell", 2, 500, "mm"),
    "groove_width": _range("the width of a groove", 0.2, 100, "mm"),
    "hole_diameter": _range("an oil hole", 0.5, 50, "mm"),
    "bore_relief": _range("the relief of a bore at its split", 0, 300, "µm"),
    "journal_roughness": _range("the roughness Rq of a journal", 0.005, 10, "µm"),
    "shell_roughness": _range("the roughness Rq of a shell", 0.005, 20, "µm"),
    "journal_over_oil": _range("a journal over the oil", -20, 120, "ΔK"),
    "housing_over_oil": _range("a housing over the oil", -60, 120, "ΔK"),
    "speed": _range("the speed of an engine", 20, 25_000, "rpm"),
    "idle_speed": _range("the speed of an engine", 20, 25_000, "rpm"),
    "peak_pressure": _range("a peak pressure in a cylinder", 2, 400, "bar"),
    "mean_pressure": _range("a mean effective pressure", 0.05, 60, "bar"),
    "inlet_pressure": _range("an absolute inlet pressure", 0.1, 8, "bar"),
    "oil_pressure": _range("an oil pressure", 0.05, 25, "bar"),
    "oil_temperature": _range("an oil temperature", -40, 200, "°C"),
    "viscosity_40c": _range("the viscosity of an oil at 40 °C", 2, 3000, "mm²/s"),
    "viscosity_100c": _range("the viscosity of an oil at 100 °C", 1, 200, "mm²/s"),
    "density_15c": _range("the density of an oil", 700, 1100, "kg/m³"),
    "hths_150c": _range("the viscosity of an oil in fast shear at 150 °C", 0.5, 50, "mPa s"),
}


def check_ranges(table: BaseModel, *, path: Path, findings: Findings) -> None:
    """Note a fault for each quantity of a table that lies outside what can be meant."""
    for key in type(table).model_fields:
        value = getattr(table, key)
        expected = RANGES.get(key)
        if expected is None or not isinstance(value, Parsed) or expected.holds(value.value_si):
            continue
        unit = expected.unit.removeprefix("Δ")
        findings.fault(
            (*path, key),
            given=value.text,
            allowed=f"{expected.title} is between {expected.low:g} and {expected.high:g} {unit}",
            action="check the figure and its unit",
        )
