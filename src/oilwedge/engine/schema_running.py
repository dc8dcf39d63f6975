"""The tables of an engine file that say how it will run: crank train, bearings, oil, duty."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import ConfigDict, Field

from oilwedge.engine.schema_values import (
    Angle,
    Density,
    DynamicViscosity,
    KinematicViscosity,
    Length,
    Mass,
    Name,
    Pressure,
    Speed,
    Table,
    Temperature,
    Text,
    Unbalance,
    Warmer,
)


class OilSheetTable(Table):
    """[oil.data_sheet]: what the oil's data sheet says."""

    model_config = ConfigDict(json_schema_extra={"required": ["viscosity_40c", "viscosity_100c"]})
    viscosity_40c: KinematicViscosity | None = None
    viscosity_100c: KinematicViscosity | None = None
    density_15c: Density | None = None
    hths_150c: DynamicViscosity | None = None


class OilTable(Table):
    """[oil]: what it runs on."""

    grade: Text = ""
    note: Text = ""
    data_sheet: OilSheetTable | None = None


class CounterweightTable(Table):
    """One counterweight of the crank."""

    model_config = ConfigDict(json_schema_extra={"required": ["throw", "unbalance"]})
    throw: Annotated[int, Field(ge=1, le=32)] | None = None
    unbalance: Unbalance | None = None
    angle: Angle | None = None
    place: Length | None = None


class CrankTrainTable(Table):
    """[crank_train]: lengths and masses, from manual, ruler and scales."""

    stroke: Length | None = None
    rod_length: Length | None = None
    bore: Length | None = None
    pin_offset: Length | None = None
    compression_ratio: Annotated[float, Field(ge=3, le=30, allow_inf_nan=False)] | None = None
    piston_set: Mass | None = None
    pin: Mass | None = None
    rod: Mass | None = None
    rod_big_end: Mass | None = None
    rod_small_end: Mass | None = None
    throw_unbalance: Unbalance | None = None
    bobweight: Mass | None = None
    counterweights: list[CounterweightTable] = Field(default_factory=list, max_length=64)
    main_places: list[Length] | None = None
    throw_places: list[Length] | None = None
    rod_places: list[Length] | None = None
    firing_intervals: list[Angle] | None = None


class BearingTable(Table):
    """[bearings.rod] and [bearings.main]: the plain bearings, all of one kind alike."""

    width: Length | None = None
    groove: Literal["none", "half", "full", "hole"] | None = None
    groove_width: Length | None = None
    hole_diameter: Length | None = None
    groove_angle: Angle | None = None
    bore_relief: Length | None = None
    journal_roughness: Length | None = None
    shell_roughness: Length | None = None
    housing_material: Name | None = None
    journal_over_oil: Warmer | None = None
    housing_over_oil: Warmer | None = None


class BearingsTable(Table):
    """[bearings]: its two tables are rod and main."""

    rod: BearingTable | None = None
    main: BearingTable | None = None


class ConditionTable(Table):
    """[duty.conditions.NAME]: one way in which it runs, such as "hot idle"."""

    speed: Speed | None = None
    peak_pressure: Pressure | None = None
    mean_pressure: Pressure | None = None
    pressure_trace: Name | None = None
    inlet_pressure: Pressure | None = None
    oil_pressure: Pressure | None = None
    oil_temperature: Temperature | None = None


class DutyTable(Table):
    """[duty]: how it will run; what a condition does not say itself holds from here."""

    speed: Speed | None = None
    idle_speed: Speed | None = None
    peak_pressure: Pressure | None = None
    oil_pressure: Pressure | None = None
    oil_temperature: Temperature | None = None
    note: Text = ""
    conditions: dict[str, ConditionTable] = Field(default_factory=dict)
