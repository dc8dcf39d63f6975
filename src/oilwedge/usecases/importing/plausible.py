"""Whether a value can be at all, and which slip would explain one that cannot.

The bands are wide on purpose (common practice, no source): anything that a real part could show
passes, since a surprising reading is information. A size may be off its nominal by 2 mm or 2 %,
whichever is more, but not by more than 60 % of it (thin walls); undersizes up to 1.5 mm pass. A
gap may be 15 times the largest limit that the engine file gives for it. A turn of the thimble
(0.50 mm, 0.025 in) is inside these bands; it is asked for when the sizes are judged.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from oilwedge.engine.model import Engine, Feature, Shape, WayKind
from oilwedge.errors import Fault
from oilwedge.metrology.instrument import Strip
from oilwedge.metrology.reading import Bound, ReadingForm
from oilwedge.units import UNITS, Parsed, format_length
from oilwedge.usecases.importing.value import TypedValue

ABSOLUTE_BAND_M = 2e-3
RELATIVE_BAND = 0.02
LARGEST_RELATIVE_BAND = 0.6
GAP_TIMES_LIMIT = 15.0
LARGEST_GAP_M = 5e-3
LARGEST_HEIGHT_M = 20e-3
SMALLEST_JUDGED_GAP_M = 0.05e-3
WIDTHS_M = (0.1e-3, 20e-3)
DEVIATION_SHARE = 0.1  # a signed value under a tenth of the nominal is a deviation from it


@dataclass(frozen=True, kw_only=True, slots=True)
class Band:
    """Where a value of a feature can lie; ``words`` say why, ``centre_m`` where it should."""

    low_m: float
    high_m: float
    centre_m: float | None
    words: str

    def holds(self, value_m: float) -> bool:
        """Whether a value lies in the band."""
        return self.low_m <= value_m <= self.high_m


def is_zeroed_gauge(*, engine: Engine, feature: Feature) -> bool:
    """Whether the feature is read with a gauge that was zeroed at the shaft (either sign)."""
    return any(
        way.kind is WayKind.ZEROED_GAUGE and any(term.feature == feature.key for term in way.terms)
        for fit in engine.fits.values()
        for way in fit.ways
    )


def form_of(typed: TypedValue, *, feature: Feature) -> ReadingForm:
    """What sort of reading the value is; raises nothing: :func:`doubt` tells what cannot be."""
    if typed.width:
        return ReadingForm.WIDTH
    nominal_m = feature.reference_m
    if typed.signed and feature.positive:
        limit_m = DEVIATION_SHARE * nominal_m if nominal_m is not None else ABSOLUTE_BAND_M
        if abs(typed.quantity.value_si) < limit_m:
            return ReadingForm.DEVIATION
    return ReadingForm.ABSOLUTE


def band_of(*, engine: Engine, feature: Feature, form: ReadingForm, strip: Strip | None) -> Band:
    """Where values of this feature can lie."""
    if form is ReadingForm.WIDTH:
        low, high = WIDTHS_M
        words = "the width of a flattened strip is 0.1 to 20 mm"
        return Band(low_m=low, high_m=high, centre_m=None, words=words)
    nominal_m = feature.reference_m
    if nominal_m is not None and feature.positive:
        return _size_band(nominal_m, feature=feature, form=form)
    counterpart = _counterpart(engine, feature) if feature.positive else None
    if counterpart is not None:
        return _counterpart_band(counterpart, form=form)
    if feature.positive:
        words = f"a {feature.title} is more than 0 and less than 1 m"
        return Band(low_m=1e-6, high_m=1.0, centre_m=None, words=words)
    if feature.shape is Shape.HEIGHT:
        words = f"a {feature.title} is within ±20 mm"
        return Band(low_m=-LARGEST_HEIGHT_M, high_m=LARGEST_HEIGHT_M, centre_m=None, words=words)
    if strip is not None:
        span = f"{shown_length(strip.low_m, 'mm')} to {shown_length(strip.high_m, 'mm')}"
        words = f"{strip.title} shows {span}"
        low, high = strip.low_m, strip.high_m
        return Band(low_m=0.3 * low, high_m=3.0 * high, centre_m=(low * high) ** 0.5, words=words)
    return _gap_band(engine=engine, feature=feature)


def _size_band(nominal_m: float, *, feature: Feature, form: ReadingForm) -> Band:
    half = max(ABSOLUTE_BAND_M, RELATIVE_BAND * nominal_m)
    half = min(half, LARGEST_RELATIVE_BAND * nominal_m)
    low_m, high_m = feature.low_m, feature.high_m
    words = f"its nominal is {shown_length(nominal_m, feature.unit, decimals=4)}"
    if low_m is not None and high_m is not None and abs(low_m + high_m - 2 * nominal_m) < 1e-9:
        low = shown_length(low_m, feature.unit, decimals=4)
        words = f"its size is {low} to {shown_length(high_m, feature.unit, decimals=4)}"
    centre = 0.0 if form is ReadingForm.DEVIATION else nominal_m
    return Band(low_m=centre - half, high_m=centre + half, centre_m=nominal_m, words=words)


def _counterpart(engine: Engine, feature: Feature) -> Feature | None:
    """What runs in a bore, or the bore that a shaft runs in, if the file gives that one's size."""
    for fit in engine.fits.values():
        for way in fit.ways:
            if way.kind is not WayKind.GAUGED or len(way.terms) != 2:
                continue
            keys = [term.feature for term in way.terms]
            if feature.key not in keys:
                continue
            other = engine.features[keys[1 - keys.index(feature.key)]]
            if other.reference_m is not None:
                return other
    return None


def _counterpart_band(counterpart: Feature, *, form: ReadingForm) -> Band:
    nominal_m = counterpart.reference_m or 0.0
    half = min(max(ABSOLUTE_BAND_M, RELATIVE_BAND * nominal_m), LARGEST_RELATIVE_BAND * nominal_m)
    words = f"its {counterpart.title} has {shown_length(nominal_m, counterpart.unit, decimals=4)}"
    centre = 0.0 if form is ReadingForm.DEVIATION else nominal_m
    return Band(low_m=centre - half, high_m=centre + half, centre_m=nominal_m, words=words)


def _gap_band(*, engine: Engine, feature: Feature) -> Band:
    lows, highs = _gap_limits(engine, feature)
    high = GAP_TIMES_LIMIT * max(highs) if highs else LARGEST_GAP_M
    lowest = min(lows) if lows else 0.0
    low = lowest / GAP_TIMES_LIMIT if lowest >= SMALLEST_JUDGED_GAP_M else 0.0
    if is_zeroed_gauge(engine=engine, feature=feature):
        low = -high
    centre = max(highs) if highs else None
    if centre is not None:
        words = f"its largest limit is {shown_length(centre, feature.unit)}"
    else:
        words = "a gap is 0 to 5 mm"
    return Band(low_m=low, high_m=high, centre_m=centre, words=words)


def _gap_limits(engine: Engine, feature: Feature) -> tuple[list[float], list[float]]:
    lows: list[float] = []
    highs: list[float] = []
    for fit in engine.fits.values():
        for way in fit.ways:
            if [term.feature for term in way.terms] != [feature.key]:
                continue
            factor = abs(way.terms[0].coefficient) or 1.0
            tops = [side for side in (fit.high_m, fit.service_high_m) if side]
            highs += [side / factor for side in tops]
            lows += [fit.low_m / factor] if fit.low_m else []
    return lows, highs


def doubt(
    typed: TypedValue, *, band: Band, form: ReadingForm, label: str, feature: Feature
) -> Fault | None:
    """None for a value that can be; else what cannot be and which slip would explain it."""
    quantity = typed.quantity
    if feature.positive and form is ReadingForm.DEVIATION and feature.nominal_m is None:
        return Fault(
            given=quantity.text,
            allowed=f"{label}: the engine file gives no nominal size that this could count from",
            action="write the size itself, or add the nominal size to the engine file",
        )
    if band.holds(quantity.value_si) or (typed.bound is not Bound.NONE and quantity.value_si >= 0):
        return None
    if quantity.value_si < 0 <= band.low_m and not feature.positive:
        words, action = "less than nothing cannot be here", "write it without the sign"
        return Fault(given=quantity.text, allowed=f"{label}: {words}", action=action)
    value = f"{quantity.decimal:f} {quantity.unit}"
    return Fault(
        given=quantity.text,
        allowed=f"{label}: {value} cannot be; {band.words}",
        action=slip(quantity, band=band, form=form, unit=feature.unit)
        or "measure it again; if it stands, confirm it",
    )


def slip(quantity: Parsed, *, band: Band, form: ReadingForm, unit: str) -> str:
    """The likely slip as a question, or nothing: wrong unit, decimal point, digits left out."""
    swapped, *rare = _unit_slips(quantity)
    candidates = [swapped, *_point_slips(quantity), *rare]
    if form is ReadingForm.ABSOLUTE:
        candidates += _whole_slips(quantity, band=band)
    tight = band
    if band.centre_m is not None and form is ReadingForm.DEVIATION:
        tight = Band(low_m=band.low_m / 4, high_m=band.high_m / 4, centre_m=None, words="")
    for words, value_m in candidates:
        if tight.holds(value_m):
            value = shown_length(value_m, unit)
            return (
                f"did you mean {words}?" if value in words else f"did you mean {words} ({value})?"
            )
    return ""


_WORDS = {"mm": "millimetres", "in": "inches", "µm": "micrometres", "thou": "thousandths"}


def _unit_slips(quantity: Parsed) -> list[tuple[str, float]]:
    order = {"in": ("mm", "thou", "µm"), "mm": ("in", "µm", "thou")}
    units = order.get(quantity.unit, ("mm", "in", "µm", "thou"))
    return [
        (_WORDS[unit], float(Fraction(quantity.decimal) * UNITS[unit].factor))
        for unit in units
        if unit != quantity.unit
    ]


def _point_slips(quantity: Parsed) -> list[tuple[str, float]]:
    has_point = "." in quantity.text or "," in quantity.text
    slips: list[tuple[str, float]] = []
    for power in (3, 2, 1, -1, -2, -3):
        moved = quantity.decimal.scaleb(-power)
        if power > 0 and not has_point:
            words = "a decimal point that is missing"
        else:
            words = f"{moved:f} {quantity.unit}, the decimal point slipped"
        slips.append((words, quantity.value_si * 10.0**-power))
    return slips


def _whole_slips(quantity: Parsed, *, band: Band) -> list[tuple[str, float]]:
    """Only the decimals were typed: 0.972 for 47.972."""
    if band.centre_m is None or not 0 < quantity.decimal < 1:
        return []
    factor = UNITS[quantity.unit].factor
    whole = int(Fraction(band.centre_m) / factor)
    if whole == 0:
        return []
    value = Decimal(whole) + quantity.decimal
    words = f"{value:f} {quantity.unit}, or a deviation, which needs its sign"
    return [(words, float(Fraction(value) * factor))]


def shown_length(value_m: float, unit: str, *, decimals: int = 2) -> str:
    """A length as a person would say it, without zeros at its end."""
    if unit in {"in", "ft"}:
        unit, decimals = "in", 4
    elif abs(value_m) < 5e-3:
        unit, decimals = "mm", 4
    else:
        unit = "mm"
    text = format_length(value_m=value_m, unit=unit, decimals=decimals)
    number, _, rest = text.partition(" ")
    return f"{number.rstrip('0').rstrip('.')} {rest}" if "." in number else text
