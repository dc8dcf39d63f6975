"""One bearing under a steady load, from what a person typed to numbers, words and JSON."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, TypeAlias, TypeVar

from oilwedge.errors import Fault, InputError, OutOfRangeError, Where
from oilwedge.film.bearing import Bearing, Groove, Rupture
from oilwedge.units import Dimension, parse_quantity
from oilwedge.usecases.film_measured import (
    Feed,
    Measured,
    MeasuredTyped,
    read_measured,
)
from oilwedge.usecases.film_solver import numba_needed
from oilwedge.usecases.oil_data_sheet import read_temperature_c
from oilwedge.usecases.oil_query import ask_oil

if TYPE_CHECKING:
    from oilwedge.film.film_shape import FilmShape
    from oilwedge.film.heat_balance import WarmFilm
    from oilwedge.film.oil import Oil
    from oilwedge.film.oil_band import OilBand
    from oilwedge.film.shaped_film import ShapedFilm
    from oilwedge.film.steady import SteadyFilm

__all__ = [
    "BearingAnswer",
    "BearingCase",
    "Feed",
    "MeasuredTyped",
    "OilSupply",
    "Rupture",
    "read_case",
    "solve",
]

Value = TypeVar("Value")
AS_THE_TABLES = MeasuredTyped()
Turns: TypeAlias = tuple[tuple[float, float], ...]
Warm: TypeAlias = "WarmFilm[SteadyFilm] | WarmFilm[ShapedFilm]"


@dataclass(frozen=True, slots=True, kw_only=True)
class OilSupply:
    """The oil, a band of them where only a grade is known, and how warm it comes in."""

    band: OilBand
    temperature_c: float


@dataclass(frozen=True, slots=True, kw_only=True)
class BearingCase:
    """A bearing and what it has to carry, in SI units; the oil as a viscosity or a supply.

    ``measured`` holds the feed; the groove of ``bearing`` is that of the round bearing, or none.
    """

    bearing: Bearing
    oil: float | OilSupply
    speed_rad_s: float
    load_n: float
    rupture: Rupture
    measured: Measured


@dataclass(frozen=True, slots=True, kw_only=True)
class BearingAnswer:
    """The film; with a supply of oil the heat balances of the band's thinnest and thickest oil.

    The film is then that of the thinnest oil, which gives the least film. ``turns``: turns of an
    out-of-round journal in rad with their minimum film in m, of which ``film`` is the worst.
    """

    measured: Measured
    film: SteadyFilm | ShapedFilm
    thinnest: Warm | None = None
    thickest: Warm | None = None
    turns: tuple[tuple[float, float], ...] = ()


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
    measured: MeasuredTyped = AS_THE_TABLES,
    rupture: Rupture = Rupture.REYNOLDS,
) -> BearingCase:
    """Read the quantities as typed; InputError, placed at the option, for what cannot be used.

    Lengths without a unit are not guessed. The clearance is diametral.
    """
    width_m = _positive(width, Dimension.LENGTH, "--width")
    gap = read_measured(measured, width_m=width_m)
    plain = gap.is_plain
    ring = plain and gap.feed.kind is Feed.CIRCUMFERENTIAL
    bearing = Bearing(
        diameter_m=_positive(diameter, Dimension.LENGTH, "--diameter"),
        width_m=width_m,
        diametral_clearance_m=_positive(clearance, Dimension.LENGTH, "--clearance"),
        groove=Groove(gap.feed.kind.value) if plain else Groove.NONE,
        groove_width_m=gap.feed.width_m if ring else 0.0,
        supply_pressure_pa=gap.feed.supply_pressure_pa if plain else 0.0,
    )
    return BearingCase(
        bearing=bearing,
        oil=_oil(viscosity, oil, data_sheet, supply_temperature),
        speed_rad_s=_positive(speed, Dimension.SPEED, "--speed"),
        load_n=_positive(load, Dimension.FORCE, "--load"),
        rupture=rupture,
        measured=gap,
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
    with numba_needed():
        from oilwedge.film.compiled import is_compiled
        from oilwedge.film.heat_balance import solve_warm
        from oilwedge.film.steady import solve_steady
    ring = case.measured.feed.kind is not Feed.AXIAL
    if not is_compiled(groove=Groove.NONE if ring else Groove.AXIAL, rupture=case.rupture):
        when_compiling()
    if not case.measured.is_plain:
        return _solve_shaped(case)
    if isinstance(case.oil, float):
        film = solve_steady(
            bearing=case.bearing,
            viscosity_pa_s=case.oil,
            speed_rad_s=case.speed_rad_s,
            load_n=case.load_n,
            rupture=case.rupture,
        )
        return BearingAnswer(measured=case.measured, film=film)
    supply = case.oil.temperature_c
    warm = [
        solve_warm(
            bearing=case.bearing,
            oil=oil,
            supply_temperature_c=supply,
            speed_rad_s=case.speed_rad_s,
            load_n=case.load_n,
            rupture=case.rupture,
        )
        for oil in _ends(case.oil)
    ]
    return BearingAnswer(
        measured=case.measured, film=warm[0].film, thinnest=warm[0], thickest=warm[-1]
    )


def _ends(supply: OilSupply) -> tuple[Oil, ...]:
    """The thinnest and the thickest oil of a band; one, where they are the same."""
    at = supply.temperature_c
    return tuple(dict.fromkeys((supply.band.thinnest(at), supply.band.thickest(at))))


def _solve_shaped(case: BearingCase) -> BearingAnswer:
    """Solve the gap as measured; the temperature of an oval journal is that of its round mean."""
    from oilwedge.film.heat_balance import balance_heat
    from oilwedge.film.shaped_turning import solve_turning

    shape, measured = case.measured.shape, case.measured
    round_one = replace(shape, journal_out_of_round_m=0.0)

    def turning(viscosity: float, of: FilmShape) -> tuple[ShapedFilm, Turns]:
        return solve_turning(
            bearing=case.bearing,
            shape=of,
            feed=measured.feed,
            viscosity_pa_s=viscosity,
            speed_rad_s=case.speed_rad_s,
            load_n=case.load_n,
            load_angle_rad=measured.load_angle_rad,
            rupture=case.rupture,
        )

    if isinstance(case.oil, float):
        film, turns = turning(case.oil, shape)
        return BearingAnswer(measured=measured, film=film, turns=turns)
    if case.rupture is Rupture.REYNOLDS:
        raise InputError(
            Fault(
                where=Where(column="--rupture"),
                given=case.rupture.value,
                allowed="the heat balance of a gap as measured needs the oil that comes in, which"
                " the Reynolds condition does not tell",
                action="choose --rupture mass-conserving, or give --viscosity",
            )
        )
    warm, turns = [], ()
    for oil in _ends(case.oil):
        balanced = balance_heat(
            film_of=lambda viscosity: turning(viscosity, round_one)[0],
            bearing=case.bearing,
            oil=oil,
            supply_temperature_c=case.oil.temperature_c,
            speed_rad_s=case.speed_rad_s,
        )
        worst, found = turning(balanced.viscosity_pa_s, shape)
        turns = turns or found
        warm.append(replace(balanced, film=worst))
    return BearingAnswer(
        measured=measured, film=warm[0].film, thinnest=warm[0], thickest=warm[-1], turns=turns
    )
