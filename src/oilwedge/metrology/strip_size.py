"""Strips flattened in one bearing: their readings put together like those of any feature.

Clearances are diametral, in metres; places z from −1 to +1.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from types import MappingProxyType

from oilwedge.errors import Fault, UnknownNameError, did_you_mean
from oilwedge.metrology.bounds import bounds_of
from oilwedge.metrology.form import fit_form
from oilwedge.metrology.instrument import GENERIC_INSTRUMENTS, Instrument, Strip, StripBar
from oilwedge.metrology.reading import Bound, Reading, ReadingForm
from oilwedge.metrology.repeatability import choose_repeatability
from oilwedge.metrology.size import SizeEstimate, finish_estimate
from oilwedge.metrology.strip import StripClearance, clearance_from_mark, clearance_from_width
from oilwedge.uncertainty.quantity import ErrorSource, Quantity, SourceKind

# Where a reading names no strip: marks 0.025 mm apart. Common practice, no source.
GENERIC_STRIP = Strip(
    key="strip",
    title="a strip, none named",
    low_m=0.025e-3,
    high_m=0.25e-3,
    bars=tuple(StripBar(clearance_m=0.025e-3 * step) for step in range(1, 11)),
)
_NO_STRIPS: Mapping[str, Strip] = MappingProxyType({})


def estimate_strip(
    *,
    label: str,
    readings: Sequence[Reading],
    strips: Mapping[str, Strip] = _NO_STRIPS,
    places: Mapping[str, float],
    instrument: Instrument = GENERIC_INSTRUMENTS["strip"],
    length_m: float | None = None,
) -> SizeEstimate:
    """The diametral clearance that flattened strips show, with its slope along the journal.

    A reading of the form WIDTH goes through the bars, another one is the clearance of a mark; its
    ``instrument`` names the strip. ``instrument`` here gives the scatter and the set-up of a trial
    assembly. Not corrected to 20 °C: :func:`oilwedge.metrology.thermal.clearance_to_reference`.
    """
    found = [
        (reading, _clearance(label, reading, _strip_of(reading, strips))) for reading in readings
    ]
    bounds = bounds_of(
        (reading.place, c.bound, c.limit_m) for reading, c in found if c.limit_m is not None
    )
    used = dict.fromkeys(_strip_of(reading, strips).key for reading in readings)
    sentences = tuple(dict.fromkeys(c.sentence for _, c in found if c.sentence))
    empty = SizeEstimate(
        label=label,
        at_least_m=bounds.at_least_m,
        at_most_m=bounds.at_most_m,
        everywhere_at_least_m=bounds.everywhere_at_least_m,
        everywhere_at_most_m=bounds.everywhere_at_most_m,
        instruments=tuple(used),
        readings=tuple(reading.id for reading in readings),
        length_m=length_m,
        notes=sentences,
    )
    values = [(reading, c.value) for reading, c in found if c.value is not None]
    if not values:
        return empty
    repeatability = choose_repeatability(instrument=instrument, own=None, pooled=None)
    form = fit_form(
        positions=[places.get(reading.place) for reading, _ in values],
        angles_deg=[None] * len(values),
        values=[
            _with_assembly(label, reading, value, instrument, repeatability.standard_deviation_m)
            for reading, value in values
        ],
    )
    estimate = finish_estimate(
        empty=empty,
        form=form,
        values=[(reading, value.value) for reading, value in values],
        places={},  # one strip is the usual plan: no floor for a taper that was not looked for
        directions={},
        form_judged=False,
        repeatability=repeatability,
    )
    return replace(estimate, notes=sentences + estimate.notes)


def _strip_of(reading: Reading, strips: Mapping[str, Strip]) -> Strip:
    key = reading.instrument
    if key in strips:
        return strips[key]
    if key in ("", GENERIC_STRIP.key):
        return GENERIC_STRIP
    raise UnknownNameError(
        Fault(
            given=key,
            allowed="a strip reading names a strip of the shop",
            action=did_you_mean(given=key, allowed=strips) or "add the strip to the shop's list",
        )
    )


def _clearance(label: str, reading: Reading, strip: Strip) -> StripClearance:
    if reading.form is ReadingForm.WIDTH:
        found = clearance_from_width(strip=strip, width_m=reading.value_m, reading=reading.id)
    elif reading.bound is not Bound.NONE:
        return StripClearance(value=None, bound=reading.bound, limit_m=reading.value_m)
    else:
        # Strips of one bearing that were held to one mark lie on the same side of it, most
        # likely: what the mark leaves open does not average out along the journal.
        at_mark = f"{label} at {reading.value_m * 1e6:.1f} µm"
        found = clearance_from_mark(strip=strip, mark_m=reading.value_m, reading=at_mark)
    if reading.bound is not Bound.NONE and found.value is not None:
        return StripClearance(value=None, bound=reading.bound, limit_m=found.value.value)
    return found


def _with_assembly(
    label: str, reading: Reading, value: Quantity, instrument: Instrument, scatter_m: float
) -> Quantity:
    parts = dict(value.contributions)
    for key, kind, u in (
        (f"repeat:{reading.id}", SourceKind.REPEATABILITY, scatter_m),
        (f"setup:{label}:{reading.fitting}", SourceKind.SETUP, instrument.setup_m),
    ):
        if u:
            parts[ErrorSource(key=key, kind=kind, words=kind.words)] = u
    return Quantity(value.value, parts)
