"""All that the meaning of typed text hangs on at one place of the bench."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from oilwedge.engine.model import Engine, Feature, Shape
from oilwedge.job.entry import Entry
from oilwedge.job.questions import expected_nominal_m
from oilwedge.job.standing import Standing, standing
from oilwedge.metrology.instrument import GENERIC_INSTRUMENTS, Instrument, Strip
from oilwedge.metrology.reading import ReadingForm
from oilwedge.shop.model import Shop
from oilwedge.units import UNITS
from oilwedge.usecases.importing.plausible import Band, band_of, is_zeroed_gauge

# The digit in which a bare number counts, where no instrument in that unit says another.
USUAL_FINEST: Mapping[str, Decimal] = {
    "mm": Decimal("0.001"),
    "in": Decimal("0.0001"),
    "µm": Decimal("1"),
    "thou": Decimal("0.1"),
}
_MOST_DECIMALS: Mapping[str, int] = {"mm": 4, "in": 5, "µm": 1, "thou": 2}


@dataclass(frozen=True, kw_only=True, slots=True)
class Situation:
    """All that the meaning of typed text hangs on, at one place of one feature.

    ``feature`` is that of the number. ``nominal_m`` is the size to expect in the undersize that
    was stated (metres), None where the engine file gives no size. ``finest`` is the digit in which
    a bare number counts, by unit and in that unit. ``bands`` say where a value can lie.
    """

    label: str
    feature: Feature
    nominal_m: float | None
    zeroed: bool
    strip: Strip | None
    finest: Mapping[str, Decimal]
    bands: Mapping[ReadingForm, Band]

    @property
    def deviations(self) -> bool:
        """Whether a value with a sign counts from a nominal size here."""
        return self.feature.positive and self.feature.nominal_m is not None

    def nominal_in(self, unit: str) -> Decimal | None:
        """The nominal size as a number of ``unit``, with the decimals that it is shown with."""
        if self.nominal_m is None or unit not in USUAL_FINEST:
            return None
        exact = Fraction(Decimal(repr(self.nominal_m))) / UNITS[unit].factor
        least = decimals_of(USUAL_FINEST[unit])
        for decimals in range(least, _MOST_DECIMALS[unit] + 1):
            rounded = _rounded(exact, decimals)
            if abs(Fraction(rounded) - exact) * UNITS[unit].factor < Fraction(1, 10**12):
                return rounded
        return _rounded(exact, least)


def situation_of(
    *,
    engine: Engine,
    shop: Shop,
    entries: Sequence[Entry],
    feature: str,
    number: int,
    place: str = "",
    direction: str = "",
    instrument: str = "",
) -> Situation:
    """The situation at one place, with what the record says of the size now."""
    instruments = {**GENERIC_INSTRUMENTS, **shop.instruments}
    now = standing(engine=engine, entries=entries, instruments=instruments)
    return situation_at(
        engine=engine,
        shop=shop,
        now=now,
        feature=feature,
        number=number,
        where=", ".join(part for part in (place, direction) if part),
        instrument=instrument,
    )


def situation_at(
    *,
    engine: Engine,
    shop: Shop,
    now: Standing,
    feature: str,
    number: int,
    where: str = "",
    instrument: str = "",
) -> Situation:
    """The same, for a record that was read already; ``where`` is the place in words."""
    own = engine.feature(feature, number)
    strip = shop.strips.get(instrument)
    title = own.label(number)
    return Situation(
        label=f"{title}, {where}" if where else title,
        feature=own,
        nominal_m=expected_nominal_m(feature=own, step_m=now.steps_m.get((feature, number), 0.0)),
        zeroed=is_zeroed_gauge(engine=engine, feature=own),
        strip=strip,
        finest=finest_digits(shop.instruments.get(instrument)),
        bands={
            form: band_of(engine=engine, feature=own, form=form, strip=strip)
            for form in ReadingForm
        },
    )


def finest_digits(instrument: Instrument | None) -> dict[str, Decimal]:
    """The digit in which a bare number counts, by unit: the usual one, or the instrument's own.

    A resolution of 0.002 mm still has its last digit at 0.001 mm.
    """
    finest = dict(USUAL_FINEST)
    if instrument is None or instrument.key == instrument.kind.value or not instrument.resolution_m:
        return finest
    if instrument.unit in finest:
        exact = Fraction(Decimal(repr(instrument.resolution_m))) / UNITS[instrument.unit].factor
        resolution = Decimal(exact.numerator) / Decimal(exact.denominator)
        finest[instrument.unit] = Decimal(1).scaleb(round(resolution, 9).adjusted())
    return finest


def in_metres(number: Decimal, unit: str) -> float:
    """A number of a unit in metres, rounded once."""
    return float(Fraction(number) * UNITS[unit].factor)


def decimals_of(number: Decimal) -> int:
    """How many decimals a number is written with."""
    exponent = number.as_tuple().exponent
    return max(0, -exponent) if isinstance(exponent, int) else 0


def _rounded(exact: Fraction, decimals: int) -> Decimal:
    """To this many decimals, halves away from zero (sizes are positive)."""
    whole = (exact * 10**decimals + Fraction(1, 2)).__floor__()
    return Decimal(whole).scaleb(-decimals)


def situation_json(situation: Situation) -> dict[str, object]:
    """What the script of the page needs to resolve by itself, as JSON values.

    ``nominal`` (texts by unit) is empty where last digits mean nothing; ``*_band_m`` are low and
    high in metres; ``strip_m`` the clearances that "wider than the widest bar" and "not
    flattened" stand for.
    """
    bands, strip = situation.bands, situation.strip
    bars = [bar.clearance_m for bar in strip.bars] if strip is not None else []
    ends = (min([*bars, strip.high_m]), max([*bars, strip.high_m])) if strip is not None else None
    nominal = {unit: situation.nominal_in(unit) for unit in USUAL_FINEST}
    return {
        "label": situation.label,
        "positive": situation.feature.positive,
        "deviations": situation.deviations,
        "zeroed": situation.zeroed,
        "is_strip": situation.feature.shape is Shape.STRIP,
        "nominal": {unit: f"{number:f}" for unit, number in nominal.items() if number is not None},
        "finest": {unit: f"{digit:f}" for unit, digit in situation.finest.items()},
        "metres": {unit: float(UNITS[unit].factor) for unit in USUAL_FINEST},
        "band_m": _ends(bands[ReadingForm.ABSOLUTE]),
        "deviation_band_m": _ends(bands[ReadingForm.DEVIATION]),
        "width_band_m": _ends(bands[ReadingForm.WIDTH]),
        "strip_m": list(ends) if ends is not None else None,
    }


def _ends(band: Band) -> list[float]:
    return [band.low_m, band.high_m]
