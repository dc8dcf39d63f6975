"""One bearing under a steady load, from what a person typed to numbers, words and JSON."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, TypeVar

from oilwedge.errors import Fault, InputError, MissingExtraError, OutOfRangeError, Where
from oilwedge.film.bearing import Bearing, Groove, Rupture
from oilwedge.report.document import Document, KeyValues, Paragraph
from oilwedge.units import Dimension, format_number, parse_quantity
from oilwedge.usecases.oil_data_sheet import read_temperature_c
from oilwedge.usecases.oil_query import ask_oil

if TYPE_CHECKING:
    from oilwedge.film.heat_balance import WarmFilm
    from oilwedge.film.oil_band import OilBand
    from oilwedge.film.steady import SteadyFilm

__all__ = [
    "BearingAnswer",
    "BearingCase",
    "Groove",
    "OilSupply",
    "Rupture",
    "film_document",
    "film_json",
    "read_case",
    "solve",
]

L_MIN_PER_M3_S = 60_000.0
Value = TypeVar("Value")


@dataclass(frozen=True, slots=True, kw_only=True)
class OilSupply:
    """The oil, a band of them where only a grade is known, and how warm it comes in."""

    band: OilBand
    temperature_c: float


@dataclass(frozen=True, slots=True, kw_only=True)
class BearingCase:
    """A bearing and what it has to carry, in SI units; the oil as a viscosity or a supply."""

    bearing: Bearing
    oil: float | OilSupply
    speed_rad_s: float
    load_n: float
    rupture: Rupture


@dataclass(frozen=True, slots=True, kw_only=True)
class BearingAnswer:
    """The film; with a supply of oil the heat balances of the band's thinnest and thickest oil.

    The film is then that of the thinnest oil, which gives the least film.
    """

    film: SteadyFilm
    thinnest: WarmFilm | None = None
    thickest: WarmFilm | None = None


def read_case(
    *,
    diameter: str,
    width: str,
    clearance: str,
    speed: str,
    load: str,
    viscosity: str = "",
    oil: str = "",
    data_sheet: Sequence[str] = (),
    supply_temperature: str = "",
    groove: Groove = Groove.AXIAL,
    groove_width: str = "0 mm",
    supply_pressure: str = "0 bar",
    rupture: Rupture = Rupture.REYNOLDS,
) -> BearingCase:
    """Read the quantities as typed; InputError, placed at the option, for what cannot be used.

    Lengths without a unit are not guessed. The clearance is diametral.
    """
    bearing = _at(
        "",
        lambda: Bearing(
            diameter_m=_positive(diameter, Dimension.LENGTH, "--diameter"),
            width_m=_positive(width, Dimension.LENGTH, "--width"),
            diametral_clearance_m=_positive(clearance, Dimension.LENGTH, "--clearance"),
            groove=groove,
            groove_width_m=_number(groove_width, Dimension.LENGTH, "--groove-width"),
            supply_pressure_pa=_number(supply_pressure, Dimension.PRESSURE, "--supply-pressure"),
        ),
    )
    return BearingCase(
        bearing=bearing,
        oil=_oil(viscosity, oil, data_sheet, supply_temperature),
        speed_rad_s=_positive(speed, Dimension.SPEED, "--speed"),
        load_n=_positive(load, Dimension.FORCE, "--load"),
        rupture=rupture,
    )


def _oil(
    viscosity: str, oil: str, data_sheet: Sequence[str], supply_temperature: str
) -> float | OilSupply:
    """Either the viscosity, or an oil with the temperature of its supply."""
    named = bool(oil.strip() or data_sheet)
    if bool(viscosity.strip()) == named or named != bool(supply_temperature.strip()):
        raise InputError(
            Fault(
                given="",
                allowed="the oil is needed once: as --viscosity in the film, or as --oil or"
                " --data-sheet together with --supply-temperature",
                action="write for example --viscosity 10mPa.s, or --oil 5W-30"
                " --supply-temperature 90C",
            )
        )
    if not named:
        return _positive(viscosity, Dimension.DYNAMIC_VISCOSITY, "--viscosity")
    answer = ask_oil(grade=oil, data_sheet=data_sheet, at=(), shear_rate_per_s=0.0)
    warm_c = _at("--supply-temperature", lambda: read_temperature_c(supply_temperature))
    return OilSupply(band=answer.band, temperature_c=warm_c)


def _number(text: str, dimension: Dimension, option: str) -> float:
    return _at(option, lambda: parse_quantity(text, dimension=dimension).value_si)


def _positive(text: str, dimension: Dimension, option: str) -> float:
    value = _number(text, dimension, option)
    if value <= 0.0:
        raise OutOfRangeError(
            Fault(
                where=Where(column=option),
                given=text.strip(),
                allowed=f"a {dimension.value} of more than 0 is needed here",
            )
        )
    return value


def _at(option: str, read: Callable[[], Value]) -> Value:
    try:
        return read()
    except InputError as error:
        raise error.at(Where(column=option)) from None


def solve(case: BearingCase, *, when_compiling: Callable[[], None]) -> BearingAnswer:
    """Solve the case; ``when_compiling`` is called if the kernels have to be compiled first.

    MissingExtraError without numba; InputError for a case that no film goes with.
    """
    try:
        from oilwedge.film.compiled import is_compiled
        from oilwedge.film.heat_balance import solve_warm
        from oilwedge.film.steady import solve_steady
    except ModuleNotFoundError as error:
        if error.name is None or not error.name.startswith("numba"):
            raise
        raise MissingExtraError(
            "Numba is needed to calculate the oil film; install it with:"
            " pip install 'oilwedge[film]'."
        ) from error
    if not is_compiled(groove=case.bearing.groove, rupture=case.rupture):
        when_compiling()
    if isinstance(case.oil, float):
        film = solve_steady(
            bearing=case.bearing,
            viscosity_pa_s=case.oil,
            speed_rad_s=case.speed_rad_s,
            load_n=case.load_n,
            rupture=case.rupture,
        )
        return BearingAnswer(film=film)
    supply, band = case.oil.temperature_c, case.oil.band
    warm = [
        solve_warm(
            bearing=case.bearing,
            oil=oil,
            supply_temperature_c=supply,
            speed_rad_s=case.speed_rad_s,
            load_n=case.load_n,
            rupture=case.rupture,
        )
        for oil in dict.fromkeys((band.thinnest(supply), band.thickest(supply)))
    ]
    return BearingAnswer(film=warm[0].film, thinnest=warm[0], thickest=warm[-1])


def film_json(answer: BearingAnswer) -> dict[str, object]:
    """Everything as a JSON object; the units are in the names, the definitions in docs/theory."""
    film, warm = answer.film, answer.thinnest
    record = film.convergence
    return {
        "eccentricity_ratio": film.eccentricity_ratio,
        "sommerfeld_number": film.sommerfeld_number,
        "attitude_angle_deg": math.degrees(film.attitude_angle_rad),
        "minimum_film_um": film.minimum_film_m * 1e6,
        "peak_pressure_mpa": film.peak_pressure_pa / 1e6,
        "peak_pressure_angle_deg": math.degrees(film.peak_pressure_angle_rad),
        "friction_moment_n_m": film.friction_moment_n_m,
        "friction_power_w": film.friction_power_w,
        "film_fraction_friction_power_w": film.film_fraction_friction_power_w,
        "friction_coefficient": film.friction_coefficient,
        "side_flow_l_min": film.side_flow_m3_s * L_MIN_PER_M3_S,
        "groove_flow_l_min": film.groove_flow_m3_s * L_MIN_PER_M3_S,
        "fresh_flow_l_min": film.fresh_flow_m3_s * L_MIN_PER_M3_S,
        "film_temperature_c": None if warm is None else warm.film_temperature_c,
        "heat_balance": None if warm is None else _balance_json(warm),
        "thickest_oil": None if answer.thickest is None else _thickest_json(answer.thickest),
        "rupture": film.rupture.value,
        "groove": film.bearing.groove.value,
        "supply_pressure_bar": film.bearing.supply_pressure_pa / 1e5,
        "convergence": {
            "converged": True,
            "cells_around": record.grid.around,
            "cells_across": record.grid.across,
            "eccentricity_steps": record.eccentricity_steps,
            "load_error": record.load_error,
            "rupture_solves": record.rupture_solves,
            "estimated_grid_error_of_load": record.grid_error,
            "mass_error": record.mass_error,
        },
    }


def _balance_json(warm: WarmFilm) -> dict[str, object]:
    return {
        "oil": warm.oil.name,
        "supply_temperature_c": warm.supply_temperature_c,
        "outlet_temperature_c": warm.outlet_temperature_c,
        "viscosity_mpa_s": warm.viscosity_pa_s * 1e3,
        "residual_k": warm.residual_k,
        "steps": warm.steps,
    }


def _thickest_json(warm: WarmFilm) -> dict[str, object]:
    return {
        "minimum_film_um": warm.film.minimum_film_m * 1e6,
        "film_temperature_c": warm.film_temperature_c,
        "friction_power_w": warm.film.friction_power_w,
        "viscosity_mpa_s": warm.viscosity_pa_s * 1e3,
    }


_FEED_WORDS = {
    Groove.AXIAL: "axial groove over the full width, at the largest gap",
    Groove.CIRCUMFERENTIAL: "circumferential groove, two lands",
    Groove.NONE: "no groove, both ends open",
}
_RUPTURE_WORDS = {
    Rupture.REYNOLDS: "Reynolds condition, as the classical tables",
    Rupture.MASS_CONSERVING: "mass-conserving (Jakobsson, Floberg, Olsson)",
}


def film_document(answer: BearingAnswer) -> Document:
    """The same for a person to read."""
    film = answer.film

    def number(value: float, decimals: int, unit: str) -> str:
        return f"{format_number(value=value, decimals=decimals)} {unit}".rstrip()

    record, bearing = film.convergence, film.bearing
    supply_bar = bearing.supply_pressure_pa / 1e5
    grid_error = "not known"
    if record.grid_error is not None:
        grid_error = f"about {abs(record.grid_error) * 100:.1g} %"
    pairs = (
        ("Minimum film", number(film.minimum_film_m * 1e6, 2, "µm")),
        ("Its place", _past_load(film.attitude_angle_rad)),
        ("Eccentricity ratio", number(film.eccentricity_ratio, 4, "")),
        ("Sommerfeld number S", f"{film.sommerfeld_number:.4g}"),
        ("Peak pressure", number(film.peak_pressure_pa / 1e6, 2, "MPa")),
        ("Its place", _past_load(film.peak_pressure_angle_rad)),
        ("Friction, gap full", number(film.friction_power_w, 1, "W")),
        ("Friction, by film fraction", number(film.film_fraction_friction_power_w, 1, "W")),
        ("Side flow", number(film.side_flow_m3_s * L_MIN_PER_M3_S, 4, "L/min")),
        ("Flow from the groove", number(film.groove_flow_m3_s * L_MIN_PER_M3_S, 4, "L/min")),
        *_oil_pairs(answer),
        ("Feed", f"{_FEED_WORDS[bearing.groove]}, {supply_bar:g} bar above the surroundings"),
        ("Rupture", _RUPTURE_WORDS[film.rupture]),
        (
            "Convergence",
            f"load met to {abs(record.load_error):.0e} in {record.eccentricity_steps} films of"
            f" {record.grid.around} x {record.grid.across} cells; error of the load by the grid"
            f" {grid_error}; oil balance {abs(record.mass_error):.0e}",
        ),
    )
    return Document(
        title="Oil film of one bearing, steady load",
        blocks=(
            KeyValues(pairs=pairs),
            Paragraph(
                text="Rigid, round and parallel parts. It compares clearances and oils; it does"
                " not overrule the maker's limits."
            ),
        ),
    )


def _past_load(angle_rad: float) -> str:
    degrees = format_number(value=abs(math.degrees(angle_rad)), decimals=1)
    side = "past" if angle_rad >= 0.0 else "before"
    return f"{degrees}° {side} the line of the load, in the direction of rotation"


def _oil_pairs(answer: BearingAnswer) -> tuple[tuple[str, str], ...]:
    thin, thick = answer.thinnest, answer.thickest
    if thin is None or thick is None:
        return (("Oil", "viscosity as given, the same everywhere"),)

    def one(warm: WarmFilm) -> str:
        return (
            f"{warm.film_temperature_c:.1f} °C, {warm.viscosity_pa_s * 1e3:.3g} mPa s; oil in at"
            f" {warm.supply_temperature_c:g}, out at {warm.outlet_temperature_c:.1f} °C"
        )

    if thin is thick:
        return (("Film temperature", one(thin)),)
    least = format_number(value=thick.film.minimum_film_m * 1e6, decimals=2)
    return (
        ("Film temperature", f"{one(thin)} (thinnest oil of the name, as all above)"),
        ("With the thickest", f"{least} µm minimum film; {one(thick)}"),
    )
