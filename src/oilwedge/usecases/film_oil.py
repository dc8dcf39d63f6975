"""The oil that an engine's films are calculated with: as asked for, else the engine file's."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from oilwedge.engine.model import Engine
from oilwedge.engine.supplies import OilSheet
from oilwedge.film.oil import Oil
from oilwedge.film.oil_band import OilBand
from oilwedge.tables.oil_grades import usual_oil
from oilwedge.usecases.oil_query import ask_oil

__all__ = ["ChosenOil", "chosen_oil"]

# Where two oils are told apart: hot and in fast shear, as in a film.
FILM_C, FILM_SHEAR_PER_S = 100.0, 1e6


@dataclass(frozen=True, kw_only=True, slots=True)
class ChosenOil:
    """All that its name may mean, and the one that the films are calculated with.

    ``oil`` is the thinnest of the band, which leaves the least film; ``words`` say so in a
    sentence.
    """

    name: str
    band: OilBand
    oil: Oil
    words: str


def chosen_oil(*, engine: Engine, grade: str = "", data_sheet: Sequence[str] = ()) -> ChosenOil:
    """By grade or the lines of a data sheet; with neither, data sheet or grade of the engine file.

    InputError where no oil is named at all, and for what no oil can be.
    """
    sheet = engine.oil.data_sheet
    if not grade.strip() and not data_sheet and sheet is not None:
        band = _band(sheet, name=engine.oil.grade or "the engine file's oil")
    else:
        band = ask_oil(
            grade=grade if grade.strip() or data_sheet else engine.oil.grade,
            data_sheet=data_sheet,
            at=(),
            shear_rate_per_s=0.0,
        ).band
    oil = band.thinnest(FILM_C, shear_rate_per_s=FILM_SHEAR_PER_S)
    words = (
        f"Calculated with {band.name} by the values of its data sheet."
        if band.measured
        else f"Calculated with the thinnest oil that {band.name} may mean, which leaves the least"
        " film."
    )
    return ChosenOil(name=band.name, band=band, oil=oil, words=words)


def _band(sheet: OilSheet, *, name: str) -> OilBand:
    """One oil where the sheet gives a density, else two with the ends of the usual one."""
    usual = usual_oil().density_15c_kg_m3
    densities = (
        (usual.low, usual.high) if sheet.density_15c_kg_m3 is None else (sheet.density_15c_kg_m3,)
    )
    oils = tuple(
        Oil(
            name=name,
            density_kg_m3_at_15c=density,
            nu40_m2_s=sheet.viscosity_40c_m2_s,
            nu100_m2_s=sheet.viscosity_100c_m2_s,
            high_shear_150c_pa_s=sheet.high_shear_150c_pa_s,
        )
        for density in densities
    )
    return OilBand(name=name, oils=oils, measured=True)
