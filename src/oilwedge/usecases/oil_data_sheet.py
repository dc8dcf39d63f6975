"""The lines of an oil's data sheet as a person types them: "40C=68 mm2/s", "15C=870 kg/m3"."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from oilwedge.errors import Fault, InputError, UnitError, Where
from oilwedge.film.oil import Oil, oil_from_points
from oilwedge.film.viscosity_line import ViscosityPoint
from oilwedge.units import Dimension, Parsed, parse_quantity

HIGH_SHEAR_NAME = "hths"
DENSITY_NAME = "density"
DENSITY_TEMPERATURE_C = 15.0  # where a data sheet gives none
WHERE = Where(file="data sheet")
EXAMPLE = '"40C=68 mm2/s" "100C=10.5 mm2/s" "15C=870 kg/m3"'


@dataclass(frozen=True, slots=True, kw_only=True)
class DataSheet:
    """What a data sheet says: two viscosities, and density and HTHS where it gives them; SI."""

    first: ViscosityPoint
    second: ViscosityPoint
    density_kg_m3: float | None
    density_temperature_c: float
    high_shear_150c_pa_s: float | None

    def oil(self, *, name: str, density_kg_m3: float, density_temperature_c: float) -> Oil:
        """The oil of this sheet with this density."""
        return oil_from_points(
            name=name,
            first=self.first,
            second=self.second,
            density_kg_m3=density_kg_m3,
            density_temperature_c=density_temperature_c,
            high_shear_150c_pa_s=self.high_shear_150c_pa_s,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Entry:
    text: str
    dimension: Dimension
    value_si: float
    temperature_c: float | None


def read_temperature_c(text: str) -> float:
    """Degrees Celsius of "110C", "230 F" or "110"; UnitError for what is no temperature."""
    return _celsius(parse_quantity(text, dimension=Dimension.TEMPERATURE, default_unit="°C"))


def _celsius(parsed: Parsed) -> float:
    if parsed.unit == "°C":
        return float(parsed.decimal)  # as typed: 110 and not 110.00000000000001
    return round(parsed.value_si - 273.15, 9)


def read_data_sheet(lines: Sequence[str]) -> DataSheet:
    """The data sheet from its lines; several may stand in one, parted by a semicolon.

    Each is "temperature=value unit"; "density=..." counts at 15 °C and "HTHS=..." at 150 °C.
    InputError says which line is wrong, twice there, or missing.
    """
    parts = [part.strip() for line in lines for part in re.split(r";|,\s", line) if part.strip()]
    entries = [_entry(part) for part in parts]
    viscosities = _of(entries, Dimension.KINEMATIC_VISCOSITY)
    if len(viscosities) != 2:
        raise InputError(
            Fault(
                where=WHERE,
                given="; ".join(parts),
                allowed="two kinematic viscosities at two temperatures are needed,"
                f" and {len(viscosities) or 'none'} can be found",
                action=f"give for example {EXAMPLE}",
            )
        )
    first, second = (
        ViscosityPoint(temperature_c=one.temperature_c or 0.0, kinematic_m2_s=one.value_si)
        for one in viscosities
    )
    density = _only(_of(entries, Dimension.DENSITY), what="density")
    high_shear = _only(_of(entries, Dimension.DYNAMIC_VISCOSITY), what="value in fast shear")
    at = None if density is None else density.temperature_c
    return DataSheet(
        first=first,
        second=second,
        density_kg_m3=None if density is None else density.value_si,
        density_temperature_c=DENSITY_TEMPERATURE_C if at is None else at,
        high_shear_150c_pa_s=None if high_shear is None else high_shear.value_si,
    )


def _of(entries: Iterable[_Entry], dimension: Dimension) -> list[_Entry]:
    return [entry for entry in entries if entry.dimension is dimension]


def _only(entries: Sequence[_Entry], *, what: str) -> _Entry | None:
    if len(entries) > 1:
        raise InputError(
            Fault(
                where=WHERE,
                given="; ".join(entry.text for entry in entries),
                allowed=f"one {what} is enough",
                action="leave one of them out",
            )
        )
    return entries[0] if entries else None


def _entry(part: str) -> _Entry:
    key, sign, value = (piece.strip() for piece in part.partition("="))
    if not sign:
        raise InputError(
            Fault(
                where=WHERE,
                given=part,
                allowed="a line is a temperature, an equals sign and a value with its unit",
                action=f"write for example {EXAMPLE}",
            )
        )
    name = key.casefold()
    if name == DENSITY_NAME:
        return _read(part, value, (Dimension.DENSITY,), temperature_c=None)
    if name == HIGH_SHEAR_NAME:
        return _read(part, value, (Dimension.DYNAMIC_VISCOSITY,), temperature_c=150.0)
    try:
        temperature_c = read_temperature_c(key)
    except UnitError as error:
        raise error.at(WHERE) from None
    dimensions = (Dimension.KINEMATIC_VISCOSITY, Dimension.DENSITY, Dimension.DYNAMIC_VISCOSITY)
    entry = _read(part, value, dimensions, temperature_c=temperature_c)
    if entry.dimension is Dimension.DYNAMIC_VISCOSITY and temperature_c != 150.0:
        raise InputError(
            Fault(
                where=WHERE,
                given=part,
                allowed="a dynamic viscosity is taken only as HTHS, at 150 °C",
                action="give the kinematic viscosity in mm²/s, which is cSt",
            )
        )
    return entry


def _read(
    part: str, value: str, dimensions: Sequence[Dimension], *, temperature_c: float | None
) -> _Entry:
    """The value in the first dimension that its unit fits; else the error of the first one."""
    first_error: UnitError | None = None
    for dimension in dimensions:
        try:
            parsed = parse_quantity(value, dimension=dimension)
        except UnitError as error:
            first_error = first_error or error
            continue
        return _Entry(
            text=part, dimension=dimension, value_si=parsed.value_si, temperature_c=temperature_c
        )
    raise (first_error or UnitError(Fault(given=part, allowed="nothing was given"))).at(WHERE)
