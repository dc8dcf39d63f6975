"""Sizes and clearances at 20 °C, and what it costs not to know the temperatures.

Reference temperature 20 °C (ISO 1, recalled). With ΔT = T − 20 °C, α the coefficient of linear
expansion in 1/K, an indicated length L of a part that was measured with an instrument is, at
20 °C, exactly::

    L20 = L (1 + α_instrument ΔT_instrument) / (1 + α_part ΔT_part)

and to first order L (1 + α_instrument ΔT_instrument − α_part ΔT_part); the exact form is used.
A diametral clearance that was read directly (gauge zeroed at the journal, strip) is::

    c20 = c − D (α_housing ΔT_housing − α_journal ΔT_journal)

Valid for steady, even temperatures; -20 to 100 °C is what a shop can mean.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from oilwedge.errors import Fault, OutOfRangeError
from oilwedge.uncertainty.quantity import ErrorSource, Quantity, SourceKind

REFERENCE_C = 20.0
LOWEST_C = -20.0
HIGHEST_C = 100.0
_RECTANGULAR = math.sqrt(3.0)


@dataclass(frozen=True, kw_only=True, slots=True)
class Coefficient:
    """A material's coefficient of linear expansion; ``key`` names the material.

    The limit is ± about the value (rectangular). All parts of one material share one error.
    """

    key: str
    per_k: float
    limit_per_k: float = 1.0e-6


@dataclass(frozen=True, kw_only=True, slots=True)
class Workshop:
    """What is assumed of temperatures that nobody wrote down (limits, rectangular).

    The room is within ``room_limit_k`` of 20 °C, which part and instrument share; a part differs
    from its instrument by at most ``difference_limit_k``; a temperature that was written down is
    right within ``thermometer_limit_k``. Common practice, no source.
    """

    room_limit_k: float = 5.0
    difference_limit_k: float = 1.0
    thermometer_limit_k: float = 0.5


ORDINARY_WORKSHOP = Workshop()

_ROOM = ErrorSource(
    key="temperature:room",
    kind=SourceKind.TEMPERATURE,
    words="temperature of the room, which was not written down",
)
_THERMOMETER = ErrorSource(
    key="temperature:thermometer", kind=SourceKind.TEMPERATURE, words="error of the thermometer"
)


def difference_source(label: str) -> ErrorSource:
    """The unknown difference in temperature between one part and what measured it.

    Each part has its own: a rod that was just cleaned says nothing of a cold crankshaft.
    """
    return ErrorSource(
        key=f"temperature:part:{label}",
        kind=SourceKind.TEMPERATURE,
        words=f"temperature of {label} against its instrument",
    )


def expansion_source(coefficient: Coefficient) -> ErrorSource:
    """The error of a material's tabulated coefficient, shared by all parts of that material."""
    return ErrorSource(
        key=f"expansion:{coefficient.key}",
        kind=SourceKind.TEMPERATURE,
        words=f"coefficient of expansion of {coefficient.key}",
    )


def reference_factor(
    *,
    part_temperature_c: float,
    instrument_temperature_c: float,
    part_expansion_per_k: float,
    instrument_expansion_per_k: float,
) -> float:
    """The factor from an indicated length to the length at 20 °C (exact form, module text)."""
    for given in (part_temperature_c, instrument_temperature_c):
        require_plausible(given)
    return (1.0 + instrument_expansion_per_k * (instrument_temperature_c - REFERENCE_C)) / (
        1.0 + part_expansion_per_k * (part_temperature_c - REFERENCE_C)
    )


@dataclass(frozen=True, kw_only=True, slots=True)
class RelativeCorrection:
    """``L20 = L · factor``; contributions are relative: times L they are in metres."""

    factor: float
    contributions: Mapping[ErrorSource, float]


def relative_correction(
    *,
    label: str,
    part_temperature_c: float | None,
    instrument_temperature_c: float | None,
    part_expansion: Coefficient,
    instrument_expansion: Coefficient,
    workshop: Workshop = ORDINARY_WORKSHOP,
) -> RelativeCorrection:
    """The correction to 20 °C for one part and one instrument, with what is not known of it.

    Where only one of the temperatures was written down the other is taken to be the same, within
    the workshop's difference. Where none was, nothing is corrected and the room's limit counts;
    with α_part = α_instrument it cancels and only the difference stays.
    """
    alpha_part, alpha_instrument = part_expansion.per_k, instrument_expansion.per_k
    known = [t for t in (part_temperature_c, instrument_temperature_c) if t is not None]
    contributions: dict[ErrorSource, float] = {}
    if not known:
        part = instrument = REFERENCE_C
        room = (alpha_instrument - alpha_part) * workshop.room_limit_k / _RECTANGULAR
        contributions[_ROOM] = room
    else:
        part = part_temperature_c if part_temperature_c is not None else known[0]
        instrument = instrument_temperature_c if instrument_temperature_c is not None else known[0]
        thermometer = (alpha_instrument - alpha_part) * workshop.thermometer_limit_k / _RECTANGULAR
        contributions[_THERMOMETER] = thermometer
    if len(known) < 2:
        contributions[difference_source(label)] = (
            -alpha_part * workshop.difference_limit_k / _RECTANGULAR
        )
    # A wrong coefficient matters in proportion to the correction; at 20 °C to no first order.
    for coefficient, sign, away_k in (
        (part_expansion, -1.0, part - REFERENCE_C),
        (instrument_expansion, 1.0, instrument - REFERENCE_C),
    ):
        if away_k:
            source = expansion_source(coefficient)
            contributions[source] = (
                contributions.get(source, 0.0)
                + sign * away_k * coefficient.limit_per_k / _RECTANGULAR
            )
    factor = reference_factor(
        part_temperature_c=part,
        instrument_temperature_c=instrument,
        part_expansion_per_k=alpha_part,
        instrument_expansion_per_k=alpha_instrument,
    )
    return RelativeCorrection(
        factor=factor, contributions={s: c for s, c in contributions.items() if c}
    )


def to_reference(
    *,
    value: Quantity,
    part_temperature_c: float | None,
    instrument_temperature_c: float | None,
    part_expansion: Coefficient,
    instrument_expansion: Coefficient,
    workshop: Workshop = ORDINARY_WORKSHOP,
    label: str = "the part",
) -> Quantity:
    """A measured size in metres, corrected to 20 °C, with the temperatures' error sources."""
    correction = relative_correction(
        label=label,
        part_temperature_c=part_temperature_c,
        instrument_temperature_c=instrument_temperature_c,
        part_expansion=part_expansion,
        instrument_expansion=instrument_expansion,
        workshop=workshop,
    )
    return _with(value * correction.factor, correction.contributions, times=value.value)


def clearance_to_reference(
    *,
    clearance: Quantity,
    diameter_m: float,
    housing_expansion: Coefficient,
    journal_expansion: Coefficient,
    housing_temperature_c: float | None,
    journal_temperature_c: float | None,
    workshop: Workshop = ORDINARY_WORKSHOP,
    label: str = "the bearing",
) -> Quantity:
    """A diametral clearance in metres that was read directly, corrected to 20 °C.

    ``c20 = c − D (α_housing ΔT_housing − α_journal ΔT_journal)`` (module text): the housing plays
    the part and the journal the instrument. A 55 mm main in a block of α 23.6e-6/K around a
    steel journal of 11.7e-6/K, both at 30 °C, reads 6.5 µm more than it has at 20 °C.
    """
    correction = relative_correction(
        label=label,
        part_temperature_c=housing_temperature_c,
        instrument_temperature_c=journal_temperature_c,
        part_expansion=housing_expansion,
        instrument_expansion=journal_expansion,
        workshop=workshop,
    )
    shift = diameter_m * (correction.factor - 1.0)
    return _with(clearance + shift, correction.contributions, times=diameter_m)


def require_plausible(temperature_c: float) -> None:
    """Raise :class:`OutOfRangeError` for a temperature that no part on a bench has."""
    if not LOWEST_C <= temperature_c <= HIGHEST_C:
        raise OutOfRangeError(
            Fault(
                given=f"{temperature_c:g} °C",
                allowed=f"parts are measured between {LOWEST_C:g} and {HIGHEST_C:g} °C",
                action="give the temperature of the part or leave it out",
            )
        )


def _with(value: Quantity, relative: Mapping[ErrorSource, float], *, times: float) -> Quantity:
    contributions = dict(value.contributions)
    for source, part in relative.items():
        contributions[source] = contributions.get(source, 0.0) + part * times
    return Quantity(value.value, contributions)
