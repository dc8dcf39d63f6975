"""Oil and duty of an engine file: what it runs on, and at which conditions."""

from __future__ import annotations

import math
import re

from oilwedge.engine.running import HOT_IDLE, Condition
from oilwedge.engine.running_ranges import check_ranges
from oilwedge.engine.schema_running import ConditionTable, DutyTable, OilSheetTable, OilTable
from oilwedge.engine.supplies import Duty, Oil, OilSheet
from oilwedge.toml_faults import Findings
from oilwedge.toml_text import Path
from oilwedge.units import Parsed

__all__ = ["AS_IN_DUTY", "read_conditions", "read_duty", "read_oil"]

AS_IN_DUTY = "duty"
"""The name of the one condition of a file whose [duty] has no conditions of its own."""

_ZERO_CELSIUS_K = 273.15
_PRESSURES = ("peak_pressure", "mean_pressure", "pressure_trace")
_LONGEST_NAME = 60
_FILE_NAME = re.compile(r"[^/\\:]{1,200}")


def read_oil(table: OilTable, *, findings: Findings) -> Oil:
    """The oil, with its data sheet where the file has one."""
    sheet = None
    if table.data_sheet is not None:
        sheet = _sheet(table.data_sheet, findings=findings)
    return Oil(grade=table.grade, note=table.note, data_sheet=sheet)


def _sheet(table: OilSheetTable, *, findings: Findings) -> OilSheet | None:
    path: Path = ("oil", "data_sheet")
    check_ranges(table, path=path, findings=findings)
    cold, hot = table.viscosity_40c, table.viscosity_100c
    for key, value in (("viscosity_40c", cold), ("viscosity_100c", hot)):
        if value is None:
            findings.missing(
                (*path, key), allowed="a data sheet gives the viscosity at 40 and at 100 °C"
            )
    if cold is None or hot is None:
        return None
    if hot.value_si >= cold.value_si:
        findings.fault(
            (*path, "viscosity_100c"),
            given=hot.text,
            allowed=f"an oil is thinner at 100 °C than at 40 °C, where it has {cold.text}",
            action="check both figures and their units",
        )
    return OilSheet(
        viscosity_40c_m2_s=cold.value_si,
        viscosity_100c_m2_s=hot.value_si,
        density_15c_kg_m3=_si(table.density_15c),
        high_shear_150c_pa_s=_si(table.hths_150c),
    )


def _si(value: Parsed | None) -> float | None:
    return None if value is None else value.value_si


def read_duty(table: DutyTable, *, findings: Findings) -> Duty:
    """What the flat keys of the table say of how it will run."""
    check_ranges(table, path=("duty",), findings=findings)
    return Duty(
        speed_rpm=_rpm(table.speed),
        idle_speed_rpm=_rpm(table.idle_speed),
        peak_pressure_pa=_si(table.peak_pressure),
        oil_pressure_pa=_si(table.oil_pressure),
        oil_temperature_c=_celsius(table.oil_temperature),
        note=table.note,
    )


def read_conditions(table: DutyTable, *, duty: Duty, findings: Findings) -> tuple[Condition, ...]:
    """The conditions, with what [duty] says where they say nothing.

    Oil pressure and temperature hold for all; ``idle_speed`` for "hot idle"; ``speed`` and
    ``peak_pressure`` for all others, the latter only where no pressure is given. Without
    conditions, a speed in [duty] makes one of the name "duty".
    """
    if not table.conditions and duty.speed_rpm is not None:
        return (_with_duty(Condition(name=AS_IN_DUTY), duty=duty),)
    return tuple(
        _with_duty(_condition(name, one, findings=findings), duty=duty)
        for name, one in table.conditions.items()
    )


def _condition(name: str, table: ConditionTable, *, findings: Findings) -> Condition:
    path: Path = ("duty", "conditions", name)
    check_ranges(table, path=path, findings=findings)
    if not 1 <= len(name.strip()) <= _LONGEST_NAME:
        findings.fault(
            path,
            given=name,
            allowed=f"a condition has a name of up to {_LONGEST_NAME} signs",
            action='write [duty.conditions."full load"]',
        )
    given = [key for key in _PRESSURES if getattr(table, key) is not None]
    if len(given) > 1:
        findings.fault(
            (*path, given[1]),
            given=" and ".join(given),
            allowed="the pressure in the cylinder is given in one way",
            action=f"leave {given[1]} out" if len(given) == 2 else "leave two of them out",
        )
    trace = table.pressure_trace
    if trace is not None and (not _FILE_NAME.fullmatch(trace) or not trace.strip(". ")):
        findings.fault(
            (*path, "pressure_trace"),
            given=trace,
            allowed="the name of a file beside the engine file is needed, without folders",
        )
    return Condition(
        name=name,
        speed_rpm=_rpm(table.speed),
        peak_pressure_pa=_si(table.peak_pressure),
        mean_pressure_pa=_si(table.mean_pressure),
        pressure_trace=trace or "",
        inlet_pressure_pa=_si(table.inlet_pressure),
        oil_pressure_pa=_si(table.oil_pressure),
        oil_temperature_c=_celsius(table.oil_temperature),
    )


def _with_duty(own: Condition, *, duty: Duty) -> Condition:
    idle = own.name == HOT_IDLE
    speed = duty.idle_speed_rpm if idle else duty.speed_rpm
    pressed = own.mean_pressure_pa is not None or bool(own.pressure_trace)
    peak = None if idle or pressed else duty.peak_pressure_pa
    return Condition(
        name=own.name,
        speed_rpm=_first(own.speed_rpm, speed),
        peak_pressure_pa=_first(own.peak_pressure_pa, peak),
        mean_pressure_pa=own.mean_pressure_pa,
        pressure_trace=own.pressure_trace,
        inlet_pressure_pa=own.inlet_pressure_pa,
        oil_pressure_pa=_first(own.oil_pressure_pa, duty.oil_pressure_pa),
        oil_temperature_c=_first(own.oil_temperature_c, duty.oil_temperature_c),
    )


def _first(own: float | None, other: float | None) -> float | None:
    return other if own is None else own


def _celsius(value: Parsed | None) -> float | None:
    if value is None:
        return None
    return float(value.decimal) if value.unit == "°C" else value.value_si - _ZERO_CELSIUS_K


def _rpm(speed: Parsed | None) -> float | None:
    if speed is None:
        return None
    return float(speed.decimal) if speed.unit == "rpm" else speed.value_si * 30 / math.pi
