"""The parts in stock of a shop file: shells and other graded parts."""

from __future__ import annotations

from collections.abc import Mapping

from oilwedge.shop.model import StockItem
from oilwedge.shop.schema import StockTable
from oilwedge.toml_faults import Findings
from oilwedge.toml_text import Path
from oilwedge.units import Parsed

_LARGEST_STEP_M = 2.5e-3  # as a step of size in a table of readings
_LARGEST_SIZE_M = 1.0


def read_stock(tables: Mapping[str, StockTable], *, findings: Findings) -> dict[str, StockItem]:
    """The parts in stock, by key."""
    return {
        key: item
        for key, table in tables.items()
        if (item := _item(key, table, findings=findings)) is not None
    }


def _item(key: str, table: StockTable, *, findings: Findings) -> StockItem | None:
    path: Path = ("stock", key)
    if not table.part:
        findings.missing(
            (*path, "part"),
            allowed="it says which part of an engine it is",
            action='write part = "rod_shells"',
        )
        return None
    step, way = _step(table, path=path, findings=findings)
    _check_size(table, path=path, findings=findings)
    step_text = _step_text(step, way)
    name = table.part.replace("_", " ")
    named = [name, f"grade {table.grade}" if table.grade else "", step_text]
    return StockItem(
        key=key,
        part=table.part,
        title=table.title or ", ".join(part for part in named if part),
        fit=table.fit,
        grade=table.grade,
        step_m=step.value_si if step is not None else None,
        step_text=step_text,
        size_m=_length(table.size),
        tolerance_m=_length(table.tolerance),
        measured_m=_length(table.measured),
        count=table.count,
        price=table.price,
        place=table.place,
        note=table.note,
    )


def _length(given: Parsed | None) -> float | None:
    return None if given is None else given.value_si


def _step(table: StockTable, *, path: Path, findings: Findings) -> tuple[Parsed | None, str]:
    """The one step that is given, and whether it is under or over."""
    if table.undersize is not None and table.oversize is not None:
        findings.fault(
            (*path, "oversize"),
            given=table.oversize.text,
            allowed="a part is at an undersize or at an oversize, not at both",
            action="leave one of the two out",
        )
    step, way = (table.undersize, "under") if table.undersize else (table.oversize, "over")
    if step is not None and not 0.0 <= step.value_si <= _LARGEST_STEP_M:
        findings.fault(
            (*path, f"{way}size"),
            given=step.text,
            allowed="a step of size is 0 to 2.5 mm (0.1 in)",
            action="check the unit",
        )
    return step, way


def _step_text(step: Parsed | None, way: str) -> str:
    if step is None:
        return ""
    return f"{step.decimal:f} {step.unit} {way}" if step.decimal else "standard"


def _check_size(table: StockTable, *, path: Path, findings: Findings) -> None:
    for name, size in (("size", table.size), ("measured", table.measured)):
        if size is not None and not 0.0 < size.value_si <= _LARGEST_SIZE_M:
            findings.fault(
                (*path, name),
                given=size.text,
                allowed="a length above 0 and up to 1 m is needed",
                action="check the unit",
            )
    tolerance, size = table.tolerance, table.size
    if tolerance is None:
        return
    if size is None:
        findings.fault(
            (*path, "tolerance"),
            given=tolerance.text,
            allowed="a tolerance is ± about a size, and none is given",
            action="write size as well",
        )
    elif not 0.0 <= tolerance.value_si < abs(size.value_si):
        findings.fault(
            (*path, "tolerance"),
            given=tolerance.text,
            allowed="a tolerance is ± about the size and smaller than it",
            action="check the unit",
        )
