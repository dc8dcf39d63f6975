"""Ask what an oil is like: by its grade, or by the data sheet, at the temperatures asked for."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from oilwedge.errors import Fault, InputError
from oilwedge.film.oil import Oil, Reach
from oilwedge.film.oil_band import OilBand, band_of_grade
from oilwedge.tables.oil_grades import EngineGrade, IsoGrade, Span, find_grade, usual_oil
from oilwedge.usecases.oil_data_sheet import DataSheet, read_data_sheet, read_temperature_c

USUAL_TEMPERATURES_C = (0.0, 20.0, 40.0, 60.0, 80.0, 90.0, 100.0, 110.0, 120.0, 130.0, 150.0)
BAND_NOTE = (
    "A grade is a window, not an oil: each value is a typical band, from the grade's limits and"
    " what such oils usually have (density 840 to 890 kg/m³ at 15 °C; how steeply they thin: common"
    " practice, no source). The two viscosities and the density of the data sheet give one value."
)
DENSITY_NOTE = (
    "No density was given: the band is that of 840 to 890 kg/m³ at 15 °C (common practice, no"
    " source)."
)
SHEAR_NOTE = (
    "No value in fast shear (HTHS) was given: the oil is taken as not thinning. A multigrade oil"
    " does thin, often by 10 to 30 % in a bearing (common practice, no source)."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class OilRow:
    """One temperature; viscosity in m²/s, and in Pa s slow and in fast shear."""

    temperature_c: float
    kinematic_m2_s: Span
    dynamic_pa_s: Span
    fast_pa_s: Span
    density_kg_m3: Span
    specific_heat_j_kg_k: Span
    reach: Reach


@dataclass(frozen=True, slots=True, kw_only=True)
class OilAnswer:
    """What is known of an oil, and what the values rest on."""

    name: str
    grade: EngineGrade | IsoGrade | None
    band: OilBand
    rows: tuple[OilRow, ...]
    shear_rate_per_s: float
    notes: tuple[str, ...]


def ask_oil(
    *,
    grade: str,
    data_sheet: Sequence[str],
    at: Sequence[str],
    shear_rate_per_s: float,
) -> OilAnswer:
    """Answer for a grade ("" for none), the lines of a data sheet, or both.

    ``at``: temperatures as typed; none gives the usual ones. With both, the sheet gives the values
    and the grade is what it is compared with. InputError for what cannot be.
    """
    if not (math.isfinite(shear_rate_per_s) and shear_rate_per_s >= 0.0):
        raise InputError(
            Fault(given=f"{shear_rate_per_s:g}", allowed="a shear rate is 0 1/s or more")
        )
    found = find_grade(grade) if grade.strip() else None
    notes: list[str] = []
    if data_sheet:
        band = _band_of_sheet(read_data_sheet(data_sheet), name=found.name if found else "oil")
        notes += _sheet_notes(band, found)
    elif found is not None:
        band = band_of_grade(found)
        notes.append(BAND_NOTE)
    else:
        raise InputError(
            Fault(
                given="",
                allowed="a grade, the values of a data sheet, or both are needed",
                action='write for example: oilwedge oil 5W-30 --at 110C, or --data-sheet "40C=68'
                ' mm2/s; 100C=10.5 mm2/s; 15C=870 kg/m3"',
            )
        )
    temperatures = [read_temperature_c(text) for text in at] or list(USUAL_TEMPERATURES_C)
    rows = tuple(_row(band, one, shear_rate_per_s) for one in temperatures)
    if any(row.reach is Reach.EXTRAPOLATED for row in rows):
        notes.append(_reach_note(band))
    return OilAnswer(
        name=band.name,
        grade=found,
        band=band,
        rows=rows,
        shear_rate_per_s=shear_rate_per_s,
        notes=tuple(notes),
    )


def _reach_note(band: OilBand) -> str:
    low, high = band.oils[0].measured_c
    known = f"at {low:g} °C" if low == high else f"between {low:g} and {high:g} °C"
    return (
        f"Rows with * are extrapolated: the viscosity is known {known}, and the rest follows"
        " the law of ASTM D341."
    )


def _band_of_sheet(sheet: DataSheet, *, name: str) -> OilBand:
    """One oil where the sheet gives a density, else two with the ends of the usual one."""
    densities: tuple[tuple[float, float], ...]
    if sheet.density_kg_m3 is not None:
        densities = ((sheet.density_kg_m3, sheet.density_temperature_c),)
    else:
        usual = usual_oil().density_15c_kg_m3
        densities = ((usual.low, 15.0), (usual.high, 15.0))
    oils = tuple(
        sheet.oil(name=name, density_kg_m3=density, density_temperature_c=at_c)
        for density, at_c in densities
    )
    return OilBand(name=name, oils=oils, measured=True)


def _sheet_notes(band: OilBand, grade: EngineGrade | IsoGrade | None) -> list[str]:
    notes = [] if len(band.oils) == 1 else [DENSITY_NOTE]
    if all(oil.thinning is None for oil in band.oils) and not isinstance(grade, IsoGrade):
        notes.append(SHEAR_NOTE)
    if grade is not None:
        notes += _against_grade(band.oils[0], grade)
    return notes


def _against_grade(oil: Oil, grade: EngineGrade | IsoGrade) -> list[str]:
    """Say where the sheet does not keep the limits of the grade."""
    if isinstance(grade, IsoGrade):
        least, most, where = grade.minimum_40c_m2_s, grade.maximum_40c_m2_s, "40 °C"
        found, kept = oil.nu40_m2_s, grade.minimum_40c_m2_s <= oil.nu40_m2_s <= most
    else:
        least, most, where = grade.minimum_100c_m2_s, grade.below_100c_m2_s or math.inf, "100 °C"
        found, kept = oil.nu100_m2_s, grade.minimum_100c_m2_s <= oil.nu100_m2_s < most
    notes = []
    if not kept:
        upper = f" to {most * 1e6:.4g}" if math.isfinite(most) else " or more"
        notes.append(
            f"The data sheet gives {found * 1e6:.4g} mm²/s at {where}; {grade.name} asks for"
            f" {least * 1e6:.4g}{upper}. Used oil may have left its grade; else look at the values."
        )
    wanted = grade.high_shear_150c_pa_s if isinstance(grade, EngineGrade) else None
    given = oil.high_shear_150c_pa_s
    if wanted is not None and given is not None and given < wanted:
        notes.append(
            f"The data sheet gives {given * 1e3:.3g} mPa s in fast shear at 150 °C; {grade.name}"
            f" asks for {wanted * 1e3:.3g} or more."
        )
    return notes


def _row(band: OilBand, temperature_c: float, shear_rate_per_s: float) -> OilRow:
    return OilRow(
        temperature_c=temperature_c,
        kinematic_m2_s=band.span(lambda oil: oil.kinematic_viscosity_m2_s(temperature_c)),
        dynamic_pa_s=band.dynamic_viscosity_pa_s(temperature_c),
        fast_pa_s=band.dynamic_viscosity_pa_s(temperature_c, shear_rate_per_s=shear_rate_per_s),
        density_kg_m3=band.span(lambda oil: oil.density_kg_m3(temperature_c)),
        specific_heat_j_kg_k=band.span(lambda oil: oil.specific_heat_j_kg_k(temperature_c)),
        reach=band.oils[0].reach(temperature_c),
    )
