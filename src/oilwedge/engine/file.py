"""The engine file: read from text, checked in one go, made into an engine."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from typing import Any

from pydantic import ValidationError

from oilwedge.engine.catalogue import Catalogue, catalogue
from oilwedge.engine.consistency import check_consistency
from oilwedge.engine.duty_file import read_conditions, read_duty, read_oil
from oilwedge.engine.features_file import read_features
from oilwedge.engine.fits_file import read_fits, used_features
from oilwedge.engine.json_schema import engine_schema
from oilwedge.engine.layout_file import read_counts, read_layout
from oilwedge.engine.model import Engine, Feature, Fit
from oilwedge.engine.running import Running
from oilwedge.engine.running_file import read_bearings, read_crank_train
from oilwedge.engine.schema import EngineTable, IdentityTable
from oilwedge.engine.supplies_file import read_fasteners, read_grades, read_marks
from oilwedge.errors import EngineFileError, Fault
from oilwedge.toml_faults import Findings, note_shape_faults, without
from oilwedge.toml_text import decode_toml, line_index, parse_toml
from oilwedge.uncertainty.conformity import DecisionRule

FORMAT = 1
_RULES = {"simple": DecisionRule.SIMPLE, "safety margin": DecisionRule.SAFETY_MARGIN}


@dataclass(frozen=True, kw_only=True, slots=True)
class Checked:
    """What a check found; ``engine`` is None when there are faults."""

    faults: tuple[Fault, ...]
    warnings: tuple[Fault, ...]
    engine: Engine | None


def decode_engine(data: bytes, *, file: str) -> str:
    """The text of an engine file; EngineFileError when it is over 5 MB or not UTF-8."""
    return decode_toml(data, file=file, error=EngineFileError)


def read_engine(text: str, *, file: str) -> Engine:
    """The engine that a file describes; EngineFileError with every fault in it."""
    checked = check_engine(text, file=file)
    if checked.engine is None:
        raise EngineFileError(*checked.faults)
    return checked.engine


def check_engine(text: str, *, file: str) -> Checked:
    """All faults and warnings of an engine file, in the order of its lines, and the engine."""
    try:
        values = parse_toml(text, file=file, error=EngineFileError)
    except EngineFileError as error:
        return Checked(faults=error.faults, warnings=(), engine=None)
    findings = Findings(file=file, index=line_index(text))
    table = _shaped(values, findings=findings)
    engine = _made(table, text=text, findings=findings)
    faults, warnings = findings.in_order()
    return Checked(faults=faults, warnings=warnings, engine=None if faults else engine)


def _shaped(values: dict[str, Any], *, findings: Findings) -> EngineTable:
    """The file as tables, without the keys that are at fault (they are noted)."""
    while True:
        try:
            return EngineTable.model_validate(values)
        except ValidationError as error:
            found = error.errors(include_url=False)
        before = set(findings.cut)
        note_shape_faults(found, schema=engine_schema(), findings=findings)
        if findings.cut == before:  # nothing more can be cut out: check an empty file instead
            return EngineTable()
        values = without(values, findings.cut)


def _made(table: EngineTable, *, text: str, findings: Findings) -> Engine | None:
    kinds = catalogue()
    _check_format(table, findings=findings)
    identity = table.engine or IdentityTable()
    if identity.name is None:
        findings.missing(
            ("engine", "name"),
            allowed="the engine needs a name",
            action='write [engine] and name = "..."',
        )
    layout = read_layout(table.layout, findings=findings)
    counts = read_counts(table.layout)
    features = read_features(
        table.features,
        used=used_features(table.fits, catalogue=kinds),
        counts=counts,
        catalogue=kinds,
        findings=findings,
    )
    fits = read_fits(
        table.fits, features=features, counts=counts, catalogue=kinds, findings=findings
    )
    check_consistency(features=features, fits=fits, catalogue=kinds, findings=findings)
    grades = read_grades(table.grades, findings=findings)
    fasteners = read_fasteners(table.fasteners, titles=kinds.parts, findings=findings)
    oil = read_oil(table.oil, findings=findings)
    duty = read_duty(table.duty, findings=findings)
    running = Running(
        crank_train=read_crank_train(
            table.crank_train, layout=layout, features=features, findings=findings
        ),
        bearings=read_bearings(table.bearings, features=features, findings=findings),
        conditions=read_conditions(table.duty, duty=duty, findings=findings),
    )
    if layout is None or identity.name is None:
        return None
    return Engine(
        name=identity.name,
        format=FORMAT,
        rule=_RULES[identity.rule],
        layout=layout,
        features=features,
        fits=fits,
        notes=identity.notes,
        unit=identity.units,
        marks=read_marks(table.marks),
        grades=grades,
        fasteners=fasteners,
        oil=oil,
        duty=duty,
        running=running,
        part_titles=_part_titles(features, fits, [*grades, *fasteners], kinds=kinds),
        text=text,
        digest=hashlib.sha256(text.encode("utf-8", "surrogatepass")).hexdigest(),
    )


def _check_format(table: EngineTable, *, findings: Findings) -> None:
    if table.format is None:
        findings.missing(
            ("format",),
            allowed="it says how the file is to be read",
            action=f"write format = {FORMAT} as the first line",
        )
    elif table.format != FORMAT:
        findings.fault(
            ("format",),
            given=table.format,
            allowed=f"this version of oilwedge reads format {FORMAT}",
            action="take a newer oilwedge, or write the file anew",
        )


def _part_titles(
    features: dict[str, Feature],
    fits: dict[str, Fit],
    others: list[str],
    *,
    kinds: Catalogue,
) -> dict[str, str]:
    used = [part for feature in features.values() for part in feature.parts]
    used += [part for fit in fits.values() for part in fit.parts]
    wanted = dict.fromkeys([*used, *others])
    known = {part: title for part, title in kinds.parts.items() if part in wanted}
    return known | {part: part.replace("_", " ") for part in wanted if part not in known}
