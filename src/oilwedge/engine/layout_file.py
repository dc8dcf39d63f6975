"""The layout table of an engine file: cylinders, firing order, throws, banks, main bearings."""

from __future__ import annotations

import math
from collections.abc import Sequence

from oilwedge.engine.layout import Caps, Layout, LayoutKind, Per, Throw
from oilwedge.engine.schema import LayoutTable
from oilwedge.toml_faults import Findings
from oilwedge.toml_text import Path
from oilwedge.units import Parsed

_HERE: Path = ("layout",)
_SAME_DEG = 0.01


def read_layout(table: LayoutTable | None, *, findings: Findings) -> Layout | None:
    """The layout; None when something in it cannot be meant (the faults are noted)."""
    if table is None:
        findings.missing(_HERE, allowed="the table [layout] is needed")
        return None
    before = len(findings.faults)
    cut = any(path[:1] == _HERE for path in findings.cut)
    _ask_for_missing(table, findings=findings)
    kind, cylinders, angles = table.kind, table.cylinders, table.throw_angles
    if cylinders is None:
        return None
    order = table.firing_order or []
    if table.firing_order is not None:
        _check_order(order, cylinders=cylinders, findings=findings)
    if kind is None or angles is None or table.main_bearings is None:
        return None
    rods = _rods(table, cylinders=cylinders, throws=len(angles), findings=findings)
    if rods:
        _check_mains(table.main_bearings, throws=len(angles), findings=findings)
    banks = _bank_angles(table, cylinders=cylinders, findings=findings)
    if len(findings.faults) > before or cut:
        return None
    layout = Layout(
        kind=LayoutKind(kind),
        cylinders=cylinders,
        firing_order=tuple(order),
        throws=tuple(
            Throw(angle_deg=degrees(angle), rods=tuple(on_it))
            for angle, on_it in zip(angles, rods, strict=True)
        ),
        bank_angle_deg=banks,
        main_bearings=table.main_bearings,
        caps=Caps(table.caps),
        strokes=table.strokes,
        numbering=table.numbering,
        cam_bearings=table.cam_bearings or 0,
        intake_valves=table.intake_valves or cylinders,
        exhaust_valves=table.exhaust_valves or cylinders,
    )
    if not fires_in_order(layout):
        findings.warning(
            (*_HERE, "firing_order"),
            given=order,
            allowed="with these throw angles the cylinders cannot fire in this order in one cycle",
            action="check the firing order, the throw angles and which rods are on which throw",
        )
    return layout


def read_counts(table: LayoutTable | None) -> dict[Per, int]:
    """How many there are of what, as far as the table says, even if it has other faults."""
    counts: dict[Per, int | None] = {Per.ENGINE: 1}
    if table is not None:
        counts |= {
            Per.ROD: table.cylinders,
            Per.CYLINDER: table.cylinders,
            Per.MAIN: table.main_bearings,
            Per.CAM_BEARING: table.cam_bearings,
            Per.INTAKE_VALVE: table.intake_valves or table.cylinders,
            Per.EXHAUST_VALVE: table.exhaust_valves or table.cylinders,
        }
    return {per: count for per, count in counts.items() if count is not None}


def fires_in_order(layout: Layout) -> bool:
    """Whether the pistons can reach their firing dead centres in this order within one cycle.

    A piston is at top dead centre when the crank has turned by bank angle less throw angle.
    The steps from one firing to the next, each over 0 and up to one turn, add up to at most
    the cycle (two turns with four strokes, one with two). Both senses of rotation and both
    sides for the first bank are tried, so that only an order that fits none is refused.
    """
    cycle = 360.0 * layout.strokes / 2
    for side in (1.0, -1.0):
        centres = [
            (side * layout.bank_angle_deg[rod - 1] - layout.throw_of(rod).angle_deg) % 360.0
            for rod in layout.firing_order
        ]
        following = [*centres[1:], centres[0]]
        for sense in (1.0, -1.0):
            steps = [
                sense * (later - now) % 360.0 for now, later in zip(centres, following, strict=True)
            ]
            if sum(step if step > _SAME_DEG else 360.0 for step in steps) <= cycle + _SAME_DEG:
                return True
    return False


def degrees(angle: Parsed) -> float:
    """An angle in degrees, exactly as typed where it was typed in degrees."""
    return float(angle.decimal) if angle.unit == "°" else math.degrees(angle.value_si)


def _ask_for_missing(table: LayoutTable, *, findings: Findings) -> None:
    wanted = {
        "kind": (table.kind, 'kind is "in-line", "V" or "flat"'),
        "cylinders": (table.cylinders, "how many cylinders"),
        "firing_order": (table.firing_order, "the order in which the cylinders fire"),
        "throw_angles": (table.throw_angles, "the angle of each crank pin, seen from the front"),
        "main_bearings": (table.main_bearings, "how many main bearings"),
    }
    examples = {
        "kind": 'write kind = "in-line"',
        "cylinders": "write cylinders = 4",
        "firing_order": "write it as firing_order = [1, 3, 4, 2]",
        "throw_angles": 'write it as throw_angles = ["0 deg", "180 deg", "180 deg", "0 deg"]',
        "main_bearings": "write main_bearings = 5",
    }
    for key, (value, words) in wanted.items():
        if value is None:
            findings.missing((*_HERE, key), allowed=words, action=examples[key])


def _each_once(numbers: Sequence[int], *, cylinders: int) -> bool:
    return sorted(numbers) == list(range(1, cylinders + 1))


def _check_order(order: list[int], *, cylinders: int, findings: Findings) -> None:
    if not _each_once(order, cylinders=cylinders):
        findings.fault(
            (*_HERE, "firing_order"),
            given=order,
            allowed=f"every cylinder from 1 to {cylinders} stands in it once",
            action=_what_is_wrong(order, cylinders=cylinders),
        )


def _what_is_wrong(numbers: Sequence[int], *, cylinders: int) -> str:
    wanted = set(range(1, cylinders + 1))
    missing = sorted(wanted - set(numbers))
    extra = sorted(set(numbers) - wanted)
    twice = sorted({number for number in numbers if numbers.count(number) > 1})
    parts = [
        f"{words} {', '.join(str(number) for number in found[:8])}"
        for words, found in (("missing:", missing), ("no such cylinder:", extra), ("twice:", twice))
        if found
    ]
    return ", ".join(parts)


def _rods(
    table: LayoutTable, *, cylinders: int, throws: int, findings: Findings
) -> list[list[int]]:
    if table.rods_on_throw is None:
        return _usual_rods(table, cylinders=cylinders, throws=throws, findings=findings)
    path = (*_HERE, "rods_on_throw")
    rods = table.rods_on_throw
    if len(rods) != throws:
        findings.fault(
            path,
            given=rods,
            allowed=f"there are {throws} throw angles, so {throws} lists of rods are needed",
        )
    every = [rod for on_it in rods for rod in on_it]
    if not _each_once(every, cylinders=cylinders):
        findings.fault(
            path,
            given=rods,
            allowed=f"every rod from 1 to {cylinders} stands on one throw",
            action=_what_is_wrong(every, cylinders=cylinders),
        )
    return rods


def _usual_rods(
    table: LayoutTable, *, cylinders: int, throws: int, findings: Findings
) -> list[list[int]]:
    """One rod a throw; in a V with half as many throws, one of each bank."""
    if throws == cylinders:
        return [[number] for number in range(1, cylinders + 1)]
    banks = table.banks or _usual_banks(cylinders)
    if table.kind == "V" and 2 * throws == cylinders and all(len(b) == throws for b in banks):
        return [list(pair) for pair in zip(*banks, strict=True)]
    findings.fault(
        (*_HERE, "throw_angles"),
        given=f"{throws} throw angles",
        allowed=f"{cylinders} cylinders with one rod on each throw need {cylinders} angles",
        action="give one angle for each throw, or say which rods share one, as in "
        "rods_on_throw = [[1, 2]]",
    )
    return []


def _check_mains(mains: int, *, throws: int, findings: Findings) -> None:
    if not 2 <= mains <= throws + 1:
        words = "2" if throws == 1 else f"2 to {throws + 1}"
        findings.fault(
            (*_HERE, "main_bearings"),
            given=mains,
            allowed=f"with {throws} throw{'s' if throws > 1 else ''} there can be {words} "
            "main bearings",
        )


def _usual_banks(cylinders: int) -> list[list[int]]:
    return [list(range(1, cylinders + 1, 2)), list(range(2, cylinders + 1, 2))]


def _bank_angles(table: LayoutTable, *, cylinders: int, findings: Findings) -> tuple[float, ...]:
    if table.kind == "in-line":
        for key in ("v_angle", "banks"):
            if getattr(table, key) is not None:
                findings.fault(
                    (*_HERE, key),
                    given=key,
                    allowed="an in-line engine has one bank",
                    action='take it out, or write kind = "V"',
                )
        return (0.0,) * cylinders
    banks = table.banks
    if banks is None:
        banks = _usual_banks(cylinders)
        if cylinders > 2:
            findings.warning(
                (*_HERE, "kind"),
                given="no banks",
                allowed=f"taken as banks = {banks} (common practice)",
                action="check yours and write it down",
            )
    elif len(banks) != 2 or not _each_once([n for b in banks for n in b], cylinders=cylinders):
        findings.fault(
            (*_HERE, "banks"),
            given=banks,
            allowed=f"two lists are needed, with every cylinder from 1 to {cylinders} in one",
        )
        return ()
    half = 90.0
    if table.kind == "V":
        if table.v_angle is None:
            findings.missing(
                (*_HERE, "v_angle"),
                allowed="the angle between the banks",
                action='write v_angle = "90 deg"',
            )
            return ()
        half = degrees(table.v_angle) / 2
        if not 0 < half < 90:
            findings.fault(
                (*_HERE, "v_angle"),
                given=table.v_angle.text,
                allowed="it lies between 0 and 180 degrees",
                action='with 180 degrees write kind = "flat"',
            )
    return tuple(half if number in banks[0] else -half for number in range(1, cylinders + 1))
