"""The instruments of a shop file. What the file leaves out is common practice, no source."""

from __future__ import annotations

import math
from collections.abc import Mapping

from oilwedge.errors import did_you_mean
from oilwedge.metrology.instrument import GENERIC_INSTRUMENTS, Instrument, InstrumentKind
from oilwedge.shop.schema import InstrumentTable
from oilwedge.toml_faults import Findings
from oilwedge.toml_text import Path
from oilwedge.units import Parsed, to_unit

_LARGEST_ERROR_M = 0.001
_ERRORS = ("resolution", "permissible_error", "repeatability", "setting", "setup")


def read_instruments(
    tables: Mapping[str, InstrumentTable], *, findings: Findings
) -> dict[str, Instrument]:
    """The instruments, by key."""
    found = {
        key: one
        for key, table in tables.items()
        if (one := _instrument(key, table, findings=findings)) is not None
    }
    for key, table in tables.items():
        if table.set_in:
            _check_setting(key, tables=tables, findings=findings)
    return found


def _instrument(key: str, table: InstrumentTable, *, findings: Findings) -> Instrument | None:
    path: Path = ("instruments", key)
    if table.kind is None:
        findings.missing(
            (*path, "kind"),
            allowed="it says what sort of instrument it is",
            action='write kind = "micrometer"',
        )
        return None
    kind = InstrumentKind(table.kind)
    usual = GENERIC_INSTRUMENTS[kind.value]
    _check_errors(table, path=path, usual=usual, findings=findings)
    low, high = read_range(table.range, path=path, findings=findings)
    if kind is InstrumentKind.BORE_GAUGE and not table.set_in:
        findings.warning(
            path,
            given=key,
            allowed="it is not said what this gauge is set in, so its setting is taken as one of "
            "its own",
            action='write set_in = "..." with the key of the micrometer or ring',
        )
    unit = "µm" if table.unit == "um" else table.unit
    return Instrument(
        key=key,
        title=table.title or key.replace("_", " "),
        kind=kind,
        unit=unit or (table.resolution.unit if table.resolution else "mm"),
        resolution_m=_or(table.resolution, usual.resolution_m),
        permissible_error_m=_or(table.permissible_error, usual.permissible_error_m),
        repeatability_m=_or(table.repeatability, usual.repeatability_m or 0.0),
        repeatability_degrees_of_freedom=math.inf
        if table.repeatability_degrees_of_freedom is None
        else table.repeatability_degrees_of_freedom,
        range_low_m=low,
        range_high_m=high,
        set_in=table.set_in,
        setting_m=_or(table.setting, usual.setting_m),
        setup_m=_or(table.setup, usual.setup_m),
        expansion_per_k=_or(table.expansion, usual.expansion_per_k),
        calibration_due=table.calibration_due,
    )


def _or(given: Parsed | None, usual: float) -> float:
    return usual if given is None else given.value_si


def _check_errors(
    table: InstrumentTable, *, path: Path, usual: Instrument, findings: Findings
) -> None:
    for name in _ERRORS:
        value: Parsed | None = getattr(table, name)
        if value is not None and not 0 <= value.value_si <= _LARGEST_ERROR_M:
            findings.fault(
                (*path, name),
                given=value.text,
                allowed="a length from 0 to 1 mm is needed",
                action="check the figure and its unit",
            )
        if value is None and name in {"resolution", "permissible_error"}:
            default_m: float = getattr(usual, f"{name}_m")
            findings.warning(
                path,
                given=f"no {name}",
                allowed=f"{to_unit(value_si=default_m, unit='µm'):g} µm is taken for a "
                f"{usual.kind.value} (common practice, no source)",
                action="write what its certificate or its data sheet says",
            )
    alpha = table.expansion
    if alpha is not None and not 0 <= alpha.value_si <= 1e-4:
        findings.fault(
            (*path, "expansion"),
            given=alpha.text,
            allowed="a coefficient of expansion from 0 to 100e-6/K is needed",
        )


def read_range(
    sides: list[Parsed] | None, *, path: Path, findings: Findings
) -> tuple[float | None, float | None]:
    """Low and high end of a range; a reversed one is noted."""
    if sides is None:
        return None, None
    low, high = sides
    if low.value_si >= high.value_si:
        findings.fault(
            (*path, "range"),
            given=f"{low.text} to {high.text}",
            allowed="the low end must be below the high one",
            action="swap them",
        )
        return None, None
    return low.value_si, high.value_si


def _check_setting(key: str, *, tables: Mapping[str, InstrumentTable], findings: Findings) -> None:
    path: Path = ("instruments", key, "set_in")
    seen = [key]
    target = tables[key].set_in
    if target not in tables and target not in GENERIC_INSTRUMENTS:
        findings.fault(
            path,
            given=target,
            allowed=f"no such instrument here; there are {', '.join(tables)}",
            action=did_you_mean(given=target, allowed=tables),
        )
        return
    while target in tables and target:
        if target in seen:
            findings.fault(
                path,
                given=tables[key].set_in,
                allowed="an instrument cannot be set in itself, not even by way of others",
                action="name the micrometer or ring that it is set in",
            )
            return
        seen.append(target)
        target = tables[target].set_in
