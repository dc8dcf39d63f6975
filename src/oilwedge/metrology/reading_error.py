"""What may be wrong with a reading, source by source.

Private to the reading: its scatter and its smallest step; but where the scatter is small against
the step, repeats at one place of one fitting round alike and have one resolution error in common.
Shared, under one key wherever it turns up, so that it cancels in a difference:

========================================  =====================================================
``instrument:KEY:error``                  permissible error (±, rectangular) of an instrument
``instrument:MICROMETER:error``           the same, of what a gauge was set in
``setting:KEY:ID``                        one act of setting or zeroing an instrument
``setting:MICROMETER:ID``                 the same, of what a gauge was set in that time
``zeroing:LABEL:ID``                      one act of zeroing a gauge at the counterpart itself
``setup:LABEL:FITTING``                   dirt and seating of one fitting of one part
``temperature:…``, ``expansion:…``        see thermal.py
========================================  =====================================================

A gauge that was zeroed at the counterpart itself (a bore gauge in the micrometer that was locked
at the journal) reads a difference: scale and zero of that micrometer have no part in it. But how
the micrometer was felt and seated on the journal when it was locked has, once for each zeroing.

Quantities are in metres.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import Enum
from functools import lru_cache

from oilwedge.errors import Fault, UnknownNameError, did_you_mean
from oilwedge.metrology.instrument import GENERIC_INSTRUMENTS, Instrument
from oilwedge.metrology.reading import Reading
from oilwedge.metrology.repeatability import Repeatability, choose_repeatability
from oilwedge.metrology.thermal import (
    Coefficient,
    RelativeCorrection,
    Workshop,
    relative_correction,
)
from oilwedge.uncertainty.quantity import ErrorSource, Quantity, SourceKind

_RECTANGULAR = math.sqrt(3.0)
_RESOLUTION = math.sqrt(12.0)
# Gauge steel, 11.5e-6 ± 2e-6 per K (GUM H.1, read).
INSTRUMENT_EXPANSION_LIMIT_PER_K = 2.0e-6
# With scatter over this share of the step, rounding differs from repeat to repeat and averages
# out: the error of a mean that stays is at most exp(-2 π² s²/r²)/π of the step, 1.4 % of it at 0.4.
MIXING_SHARE = 0.4


class Measurand(Enum):
    """What a gauge gives: a size, or the difference from the part that it was zeroed at."""

    SIZE = "size"
    DIFFERENCE = "difference"


@dataclass(frozen=True, kw_only=True, slots=True)
class Corrected:
    """One reading with its instrument, its value at 20 °C and how it got there."""

    reading: Reading
    instrument: Instrument
    value_m: float
    correction: RelativeCorrection


def instrument_of(
    *, reading: Reading, instruments: Mapping[str, Instrument], usual: str
) -> Instrument:
    """The instrument that a reading names, or the usual one, of the shop or generic."""
    key = reading.instrument or usual
    found = instruments.get(key) or GENERIC_INSTRUMENTS.get(key)
    if found is None:
        names = [*instruments, *GENERIC_INSTRUMENTS]
        question = did_you_mean(given=key, allowed=names)
        raise UnknownNameError(
            Fault(
                given=key,
                allowed="a reading names an instrument of the shop or a general kind",
                action=question or "add it to the shop's instruments",
            )
        )
    return found


def correct_reading(
    *,
    label: str,
    reading: Reading,
    instrument: Instrument,
    expansion: Coefficient,
    workshop: Workshop,
) -> Corrected:
    """A reading at 20 °C, from the temperatures that were written down with it."""
    correction = _correction(
        label,
        reading.part_temperature_c,
        reading.instrument_temperature_c,
        expansion,
        instrument.expansion_per_k,
        workshop,
    )
    return Corrected(
        reading=reading,
        instrument=instrument,
        value_m=reading.value_m * correction.factor,
        correction=correction,
    )


@lru_cache(maxsize=4096)
def _correction(
    label: str,
    part_c: float | None,
    instrument_c: float | None,
    expansion: Coefficient,
    instrument_per_k: float,
    workshop: Workshop,
) -> RelativeCorrection:
    return relative_correction(
        label=label,
        part_temperature_c=part_c,
        instrument_temperature_c=instrument_c,
        part_expansion=expansion,
        instrument_expansion=Coefficient(
            key=f"instruments ({instrument_per_k:g} per K)",
            per_k=instrument_per_k,
            limit_per_k=INSTRUMENT_EXPANSION_LIMIT_PER_K,
        ),
        workshop=workshop,
    )


def with_errors(
    *,
    label: str,
    corrected: Corrected,
    repeatability: Repeatability,
    instruments: Mapping[str, Instrument],
    measurand: Measurand,
) -> Quantity:
    """The reading as a quantity with every source of the module's text that is not zero."""
    reading, instrument = corrected.reading, corrected.instrument
    parts: dict[ErrorSource, float] = {}
    if repeatability.standard_deviation_m:
        parts[_scatter(reading.id, instrument.key, repeatability)] = (
            repeatability.standard_deviation_m
        )
    if instrument.resolution_m:
        step = instrument.resolution_m
        scatters = repeatability.standard_deviation_m >= MIXING_SHARE * step
        parts[_resolution(label, reading, scatters=scatters)] = step / _RESOLUTION
    if instrument.permissible_error_m:
        parts[permissible_error_source(instrument)] = instrument.permissible_error_m / _RECTANGULAR
    for source, u in _settings(
        label=label,
        reading=reading,
        instrument=instrument,
        instruments=instruments,
        measurand=measurand,
    ):
        if u:
            parts[source] = parts.get(source, 0.0) + u
    if instrument.setup_m:
        parts[_setup(label, reading.fitting)] = instrument.setup_m
    for source, relative in corrected.correction.contributions.items():
        parts[source] = parts.get(source, 0.0) + relative * reading.value_m
    return Quantity(corrected.value_m, parts)


def _settings(
    *,
    label: str,
    reading: Reading,
    instrument: Instrument,
    instruments: Mapping[str, Instrument],
    measurand: Measurand,
) -> list[tuple[ErrorSource, float]]:
    """What comes in when the instrument is set, with its standard uncertainty."""
    own = _setting(instrument.key, instrument.title, reading.setting), instrument.setting_m
    if not instrument.set_in:
        return [own]
    master = set_in_of(instrument=instrument, instruments=instruments)
    if measurand is Measurand.SIZE:
        # The gauge takes over the zero that the micrometer had that time.
        zero = _setting(master.key, master.title, reading.setting), master.setting_m
        return [
            own,
            (permissible_error_source(master), master.permissible_error_m / _RECTANGULAR),
            zero,
        ]
    felt_m = choose_repeatability(instrument=master, own=None, pooled=None).standard_deviation_m
    zeroing = math.hypot(instrument.setting_m, felt_m, master.setup_m)
    return [(_zeroing(label, reading.setting), zeroing)]


def permissible_error_source(instrument: Instrument) -> ErrorSource:
    """The one error that every reading with this instrument has in common."""
    return _permissible_error(instrument.key, instrument.title)


def set_in_of(*, instrument: Instrument, instruments: Mapping[str, Instrument]) -> Instrument:
    """The micrometer or ring that a gauge is set in."""
    master = instruments.get(instrument.set_in) or GENERIC_INSTRUMENTS.get(instrument.set_in)
    if master is None:
        question = did_you_mean(
            given=instrument.set_in, allowed=[*instruments, *GENERIC_INSTRUMENTS]
        )
        raise UnknownNameError(
            Fault(
                given=instrument.set_in,
                allowed=f"{instrument.title} is set in an instrument of the shop",
                action=question or "add that instrument to the shop's list",
            )
        )
    return master


def _scatter(reading: str, instrument: str, repeatability: Repeatability) -> ErrorSource:
    nu = repeatability.degrees_of_freedom
    return ErrorSource(
        key=f"repeat:{reading}",
        kind=SourceKind.REPEATABILITY,
        words=repeatability.words,
        degrees_of_freedom=max(nu, 1.0),
        # One s, estimated once, stands behind all readings of the instrument.
        group="" if math.isinf(nu) else f"repeat:{instrument}:{repeatability.standard_deviation_m}",
    )


def _resolution(label: str, reading: Reading, *, scatters: bool) -> ErrorSource:
    spot = f"{label}:{reading.fitting}:{reading.place}:{reading.direction}"
    here = reading.id if scatters else spot
    return ErrorSource(
        key=f"resolution:{here}", kind=SourceKind.RESOLUTION, words=SourceKind.RESOLUTION.words
    )


@lru_cache(maxsize=1024)
def _permissible_error(key: str, title: str) -> ErrorSource:
    return ErrorSource(
        key=f"instrument:{key}:error",
        kind=SourceKind.PERMISSIBLE_ERROR,
        words=f"permissible error of {title}",
    )


@lru_cache(maxsize=1024)
def _setting(key: str, title: str, setting: str) -> ErrorSource:
    return ErrorSource(
        key=f"setting:{key}:{setting}", kind=SourceKind.SETTING, words=f"setting of {title}"
    )


@lru_cache(maxsize=4096)
def _zeroing(label: str, setting: str) -> ErrorSource:
    return ErrorSource(
        key=f"zeroing:{label}:{setting}",
        kind=SourceKind.SETTING,
        words=f"zeroing at the counterpart for {label}",
    )


@lru_cache(maxsize=4096)
def _setup(label: str, fitting: int) -> ErrorSource:
    return ErrorSource(
        key=f"setup:{label}:{fitting}",
        kind=SourceKind.SETUP,
        words=f"dirt, seating and hold of {label}, fitting {fitting}",
    )


def distinct_instruments(corrected: Sequence[Corrected]) -> tuple[Instrument, ...]:
    """The instruments that were used, once each, in order of first use."""
    return tuple({c.instrument.key: c.instrument for c in corrected}.values())
