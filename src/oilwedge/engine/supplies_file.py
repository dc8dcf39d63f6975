"""What goes with an engine in its file: marks, grades on offer, fasteners and their stages."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping

from oilwedge.engine.layout_file import degrees
from oilwedge.engine.schema import FastenerTable, GradesTable, MarksTable
from oilwedge.engine.sizes import Expected, plausible
from oilwedge.engine.supplies import Fastener, GradeMark, Grades, Marks, Reuse, Stage
from oilwedge.errors import UnitError
from oilwedge.toml_faults import Findings
from oilwedge.toml_text import Path
from oilwedge.units import Dimension, Parsed, parse_quantity

_TIMES = re.compile(r"([0-9]{1,2}) times?")
_STEP = Expected(title="an undersize or oversize", low_m=1e-6, high_m=0.01)
_THICKNESS = Expected(title="a wall or thickness", low_m=1e-5, high_m=0.05)
_LARGEST_ANGLE_DEG = 720.0


def read_marks(table: MarksTable) -> Marks:
    """How the parts are marked."""
    return Marks(
        front=table.front,
        rod_caps=table.rod_caps,
        main_caps=table.main_caps,
        pistons=table.pistons,
        shells=table.shells,
        other=table.other,
    )


def read_grades(tables: Mapping[str, GradesTable], *, findings: Findings) -> dict[str, Grades]:
    """What is on offer, by part."""
    return {part: _grades(part, table, findings=findings) for part, table in tables.items()}


def _grades(part: str, table: GradesTable, *, findings: Findings) -> Grades:
    path: Path = ("grades", part)
    marks = []
    for at, mark in enumerate(table.marks):
        here = (*path, "marks", at)
        size = mark.wall or mark.thickness
        if mark.mark is None:
            findings.missing((*here, "mark"), allowed="each grade has its mark")
        if mark.wall and mark.thickness:
            findings.fault(here, given="wall and thickness", allowed="a grade has one or the other")
        if size is not None:
            plausible(size, path=here, expected=_THICKNESS, findings=findings)
        marks.append(
            GradeMark(
                mark=mark.mark or "",
                size_m=size.value_si if size else None,
                text=size.text if size else "",
            )
        )
    return Grades(
        part=part,
        marks=tuple(marks),
        undersizes_m=_steps(table.undersizes, path=(*path, "undersizes"), findings=findings),
        oversizes_m=_steps(table.oversizes, path=(*path, "oversizes"), findings=findings),
        note=table.note,
    )


def _steps(steps: list[Parsed], *, path: Path, findings: Findings) -> tuple[float, ...]:
    for step in steps:
        plausible(step, path=path, expected=_STEP, findings=findings)
    return tuple(step.value_si for step in steps)


def read_fasteners(
    tables: Mapping[str, FastenerTable], *, titles: Mapping[str, str], findings: Findings
) -> dict[str, Fastener]:
    """The fasteners, by part."""
    found: dict[str, Fastener] = {}
    for part, table in tables.items():
        path: Path = ("fasteners", part)
        reuse, times = _reuse(table.reuse, path=(*path, "reuse"), findings=findings)
        found[part] = Fastener(
            part=part,
            title=table.title or titles.get(part, part.replace("_", " ")),
            thread=table.thread,
            stages=_stages(table.stages, path=(*path, "stages"), findings=findings),
            trial_stages=_stages(
                table.trial_stages, path=(*path, "trial_stages"), findings=findings
            ),
            reuse=reuse,
            reuse_times=times,
            lubricant=table.lubricant,
            note=table.note,
            limits_from=table.source,
        )
    return found


def _reuse(text: str, *, path: Path, findings: Findings) -> tuple[Reuse, int | None]:
    if text in {"free", "once"}:
        return Reuse(text), None
    match = _TIMES.fullmatch(text)
    if match and int(match[1]) > 0:
        return Reuse.COUNTED, int(match[1])
    findings.fault(
        path, given=text, allowed="allowed are 'free', 'once' or a count such as '3 times'"
    )
    return Reuse.FREE, None


def _stages(texts: list[str], *, path: Path, findings: Findings) -> tuple[Stage, ...]:
    return tuple(
        stage
        for at, text in enumerate(texts)
        if (stage := _stage(text, path=(*path, at), findings=findings)) is not None
    )


def _stage(text: str, *, path: Path, findings: Findings) -> Stage | None:
    try:
        angle = degrees(parse_quantity(text, dimension=Dimension.ANGLE))
    except UnitError:
        pass
    else:
        if 0 < angle <= _LARGEST_ANGLE_DEG:
            return Stage(text=text, angle_deg=angle)
        findings.fault(path, given=text, allowed="an angle stage lies between 0 and 720 degrees")
        return None
    try:
        torque = parse_quantity(text, dimension=Dimension.TORQUE).value_si
    except UnitError:
        findings.fault(
            path,
            given=text,
            allowed="a stage is a torque or an angle with its unit",
            action="write '20 N m', '15 lbf ft' or '90 deg'",
        )
        return None
    if not 0 < torque < math.inf:
        findings.fault(path, given=text, allowed="a torque above 0 is needed")
        return None
    return Stage(text=text, torque_n_m=torque)
