"""The shape of an engine file, as models: which tables and keys there are and what each may hold.

Everything is optional here, so that a file can be checked in one go even when much is missing;
what is needed is listed under ``required`` for the published JSON Schema and asked for by the
modules that make the engine. Quantities are parsed here; what they mean together is not looked at.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import ConfigDict, Field

from oilwedge.engine.schema_running import BearingsTable, CrankTrainTable, DutyTable, OilTable
from oilwedge.engine.schema_values import (
    Angle,
    Count,
    Length,
    LimitPair,
    Name,
    PerName,
    SizePair,
    Table,
    Text,
)


class IdentityTable(Table):
    """[engine]: what it is called."""

    model_config = ConfigDict(json_schema_extra={"required": ["name"]})
    name: Name | None = None
    rule: Literal["simple", "safety margin"] = "simple"
    units: Literal["mm", "in"] = "mm"
    notes: Text = ""


class LayoutTable(Table):
    """[layout]: how it is laid out."""

    model_config = ConfigDict(
        json_schema_extra={
            "required": ["kind", "cylinders", "firing_order", "throw_angles", "main_bearings"]
        }
    )
    kind: Literal["in-line", "V", "flat"] | None = None
    cylinders: Count | None = None
    numbering: Text = "1 at the front"
    firing_order: list[int] | None = None
    throw_angles: list[Angle] | None = None
    rods_on_throw: list[list[int]] | None = None
    v_angle: Angle | None = None
    banks: list[list[int]] | None = None
    main_bearings: Count | None = None
    caps: Literal["separate", "girdle", "bedplate"] = "separate"
    strokes: Literal[2, 4] = 4
    cam_bearings: Count | None = None
    intake_valves: Annotated[int, Field(ge=1, le=128)] | None = None
    exhaust_valves: Annotated[int, Field(ge=1, le=128)] | None = None


class MarksTable(Table):
    """[marks]: how the parts are marked, as text."""

    front: Text = ""
    rod_caps: Text = ""
    main_caps: Text = ""
    pistons: Text = ""
    shells: Text = ""
    other: Text = ""


class SizeTable(Table):
    """The size of one number that differs."""

    size: SizePair | None = None
    nominal: Length | None = None
    tolerance: SizePair | None = None
    class_: Annotated[Name | None, Field(alias="class")] = None


class FeatureTable(SizeTable):
    """[features.KEY]: a feature of the catalogue with its size, or one of your own."""

    title: Name | None = None
    per: PerName | None = None
    shape: Literal["outside", "inside", "wall", "gap", "height", "strip"] | None = None
    parts: list[Name] | None = None
    material: Name | None = None
    length: Length | None = None
    places: list[Name] | None = None
    quick_places: list[Name] | None = None
    directions: list[Angle] | None = None
    quick_directions: list[Angle] | None = None
    instrument: Name | None = None
    how: Text | None = None
    explain: Text | None = None
    measured_at: Text = ""
    undersize_factor: Annotated[float, Field(ge=-2, le=2, allow_inf_nan=False)] | None = None
    form_judged: bool | None = None
    numbers: dict[str, SizeTable] = Field(default_factory=dict)


class TermTable(Table):
    """One term of a fit of your own."""

    model_config = ConfigDict(json_schema_extra={"required": ["feature", "times"]})
    feature: Name | None = None
    times: Annotated[float, Field(ge=-10, le=10, allow_inf_nan=False)] | None = None


class LimitsTable(Table):
    """The limits of one number that differs."""

    build: LimitPair | None = None
    service: LimitPair | None = None
    target: Length | None = None
    source: Annotated[Text | None, Field(alias="from")] = None


class FitTable(LimitsTable):
    """[fits.KEY]: a fit of the catalogue with its limits, or one of your own."""

    title: Name | None = None
    per: PerName | None = None
    terms: Annotated[list[TermTable], Field(min_length=1, max_length=20)] | None = None
    ways: Annotated[list[Name], Field(min_length=1)] | None = None
    parts: list[Name] | None = None
    judged: Literal["size", "taper", "out of round"] | None = None
    judged_at: Literal["extreme", "mean"] = "extreme"
    service_for: Literal["all re-used", "any re-used"] = "all re-used"
    meaning: Literal["whole length", "per length", "total reading", "bend"] | None = None
    length: Length | None = None
    too_small: Name | None = None
    if_small: Text | None = None
    if_large: Text | None = None
    too_large: Name | None = None
    loose: Name | None = None
    past: Name | None = None
    explain: Text | None = None
    numbers: dict[str, LimitsTable] = Field(default_factory=dict)


class GradeMarkTable(Table):
    """One mark of a grade."""

    model_config = ConfigDict(json_schema_extra={"required": ["mark"]})
    mark: Name | None = None
    wall: Length | None = None
    thickness: Length | None = None


class GradesTable(Table):
    """[grades.PART]: what is on offer."""

    marks: list[GradeMarkTable] = Field(default_factory=list)
    undersizes: list[Length] = Field(default_factory=list)
    oversizes: list[Length] = Field(default_factory=list)
    note: Text = ""


class FastenerTable(Table):
    """[fasteners.PART]: how a set of bolts or nuts is tightened."""

    title: Name | None = None
    thread: Text = ""
    stages: list[Name] = Field(default_factory=list)
    trial_stages: list[Name] = Field(default_factory=list)
    reuse: Name = "free"
    lubricant: Text = ""
    note: Text = ""
    source: Annotated[Text, Field(alias="from")] = ""


class EngineTable(Table):
    """A whole engine file."""

    model_config = ConfigDict(json_schema_extra={"required": ["format", "engine", "layout"]})
    format: int | None = None
    engine: IdentityTable | None = None
    layout: LayoutTable | None = None
    marks: MarksTable = MarksTable()
    features: dict[str, FeatureTable] = Field(default_factory=dict)
    fits: dict[str, FitTable] = Field(default_factory=dict)
    grades: dict[str, GradesTable] = Field(default_factory=dict)
    fasteners: dict[str, FastenerTable] = Field(default_factory=dict)
    oil: OilTable = OilTable()
    crank_train: CrankTrainTable = CrankTrainTable()
    bearings: BearingsTable = BearingsTable()
    duty: DutyTable = DutyTable()
