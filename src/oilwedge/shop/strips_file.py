"""The strips of a shop file: range, bars on the wrapper, filament."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import pairwise

from oilwedge.metrology.instrument import Strip, StripBar
from oilwedge.shop.instruments_file import read_range
from oilwedge.shop.schema import BarTable, StripTable
from oilwedge.toml_faults import Findings
from oilwedge.toml_text import Path

_LARGEST_CLEARANCE_M = 0.002
_LARGEST_WIDTH_M = 0.02


def read_strips(tables: Mapping[str, StripTable], *, findings: Findings) -> dict[str, Strip]:
    """The strips, by key."""
    return {
        key: strip
        for key, table in tables.items()
        if (strip := _strip(key, table, findings=findings)) is not None
    }


def _strip(key: str, table: StripTable, *, findings: Findings) -> Strip | None:
    path: Path = ("strips", key)
    if table.range is None:
        findings.missing(
            (*path, "range"),
            allowed="it says which clearances the strip shows",
            action='write range = ["0.025 mm", "0.076 mm"]',
        )
        return None
    low, high = read_range(table.range, path=path, findings=findings)
    if low is None or high is None:
        return None
    if low < 0 or high > _LARGEST_CLEARANCE_M:
        findings.fault(
            (*path, "range"),
            given=f"{table.range[0].text} to {table.range[1].text}",
            allowed="a strip shows clearances between 0 and 2 mm",
            action="check the figures and their units",
        )
    filament = table.filament.value_si if table.filament else None
    if table.filament and filament is not None and not high < filament <= _LARGEST_WIDTH_M:
        findings.fault(
            (*path, "filament"),
            given=table.filament.text,
            allowed=f"a filament is thicker than the largest clearance that it shows "
            f"({table.range[1].text}), or it would not be flattened",
        )
    return Strip(
        key=key,
        title=table.title or key.replace("_", " "),
        low_m=low,
        high_m=high,
        bars=_bars(table.bars, path=(*path, "bars"), findings=findings),
        filament_diameter_m=filament,
    )


def _bars(tables: list[BarTable], *, path: Path, findings: Findings) -> tuple[StripBar, ...]:
    bars: list[tuple[int, StripBar]] = []
    for at, table in enumerate(tables):
        here = (*path, at)
        if table.clearance is None:
            findings.missing(
                (*here, "clearance"),
                allowed="each bar stands for a clearance",
                action='write { clearance = "0.038 mm", width = "1.6 mm" }',
            )
            continue
        width = table.width.value_si if table.width else None
        clearance = table.clearance.value_si
        if not 0 < clearance <= _LARGEST_CLEARANCE_M:
            findings.fault(
                here, given=table.clearance.text, allowed="a clearance lies between 0 and 2 mm"
            )
        if table.width and width is not None and not 0 < width <= _LARGEST_WIDTH_M:
            findings.fault(here, given=table.width.text, allowed="a bar is up to 20 mm wide")
        bars.append((at, StripBar(clearance_m=clearance, width_m=width)))
    _check_order(bars, path=path, findings=findings)
    return tuple(bar for _, bar in sorted(bars, key=lambda pair: pair[1].clearance_m))


def _check_order(bars: list[tuple[int, StripBar]], *, path: Path, findings: Findings) -> None:
    ordered = sorted(bars, key=lambda pair: pair[1].clearance_m)
    for (_, tighter), (at, looser) in pairwise(ordered):
        if tighter.clearance_m == looser.clearance_m:
            findings.fault((*path, at), given="two bars", allowed="each clearance has one bar")
        elif (
            tighter.width_m is not None
            and looser.width_m is not None
            and tighter.width_m <= looser.width_m
        ):
            findings.fault(
                (*path, at),
                given="a wider bar for a larger clearance",
                allowed="the larger the clearance, the narrower the flattened strip",
                action="check widths and clearances",
            )
