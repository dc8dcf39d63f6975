"""The size of one feature from its readings: mean, form, extremes, and what bounds say.

Sizes are in metres at 20 °C, places z from −1 to +1, directions in degrees.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from enum import Enum

from oilwedge.metrology.bounds import bounds_of
from oilwedge.metrology.form import (
    Extremes,
    FormFit,
    combined_extremes,
    fit_form,
    form_design,
    out_of_round,
    taper,
    with_sections,
)
from oilwedge.metrology.instrument import Instrument
from oilwedge.metrology.reading import Bound, Reading
from oilwedge.metrology.reading_error import (
    Corrected,
    Measurand,
    correct_reading,
    distinct_instruments,
    instrument_of,
    with_errors,
)
from oilwedge.metrology.repeatability import Pooled, Repeatability, choose_repeatability
from oilwedge.metrology.scatter import scatter_of_repeats, scatter_within
from oilwedge.metrology.thermal import ORDINARY_WORKSHOP, Coefficient, Workshop
from oilwedge.uncertainty.quantity import ErrorSource, Quantity, SourceKind

# What a part's form may hide where nobody looked: ± this, rectangular, for each of taper and
# out-of-round that the plan would show and the readings do not. Common practice, no source.
UNSEEN_FORM_M = 2.0e-6


class FormModel(Enum):
    """Whether one oval serves for the whole length, or each place has its own."""

    ONE_OVAL = "one oval"
    EACH_PLACE = "each place by itself"


@dataclass(frozen=True, kw_only=True, slots=True)
class PlaceSize:
    """Mean of the repeats at one place in one direction, at 20 °C."""

    place: str
    direction: str
    mean_m: float
    count: int


@dataclass(frozen=True, kw_only=True, slots=True)
class SizeEstimate:
    """What the readings say of one feature of one part.

    ``form`` is None where there are only bounds. Out-of-round is two-point. ``raw_range_m`` is
    largest minus smallest reading: for the record, never judged, because noise widens it.
    ``notes`` are sentences for a person.
    """

    label: str
    form: FormFit | None = None
    places: tuple[PlaceSize, ...] = ()
    taper: Quantity | None = None
    barrel: Quantity | None = None
    out_of_round: Quantity | None = None
    repeatability: Repeatability | None = None
    raw_range_m: float | None = None
    at_least_m: float | None = None
    at_most_m: float | None = None
    everywhere_at_least_m: float | None = None
    everywhere_at_most_m: float | None = None
    instruments: tuple[str, ...] = ()
    readings: tuple[str, ...] = ()
    length_m: float | None = None
    notes: tuple[str, ...] = ()

    @property
    def mean(self) -> Quantity | None:
        """The average size, or None where only bounds are known."""
        return None if self.form is None else self.form.mean

    @property
    def extremes(self) -> Extremes | None:
        """Smallest and largest over place and direction, from the fitted form."""
        if self.form is None:
            return None
        return combined_extremes(terms=[(1.0, self.form)], key=self.label)


def estimate_size(
    *,
    label: str,
    readings: Sequence[Reading],
    instruments: Mapping[str, Instrument],
    places: Mapping[str, float],
    directions: Mapping[str, float],
    material_expansion: Coefficient,
    pooled: Pooled | None = None,
    workshop: Workshop = ORDINARY_WORKSHOP,
    form_judged: bool = False,
    measurand: Measurand = Measurand.SIZE,
    usual_instrument: str = "micrometer",
    length_m: float | None = None,
    form_model: FormModel = FormModel.ONE_OVAL,
) -> SizeEstimate:
    """Size, form and bounds of one feature from readings that are resolved to absolute values.

    ``places`` gives each planned place its z in [−1, 1] (front to rear), ``directions`` each
    planned direction its angle in degrees; a place or direction that is not among them counts
    towards the mean only. Taper and out-of-round are given only for a feature whose form is
    judged. Sources as in reading_error.py; temperature as in thermal.py. ``form_model`` is for
    readings that do not follow one oval over the length (usecases find out): then what is left
    over is form and no scatter.
    """
    measured = [
        correct_reading(
            label=label,
            reading=reading,
            instrument=instrument_of(
                reading=reading, instruments=instruments, usual=usual_instrument
            ),
            expansion=material_expansion,
            workshop=workshop,
        )
        for reading in readings
    ]
    values = [c for c in measured if c.reading.bound is Bound.NONE]
    bounds = bounds_of(
        ((c.reading.place, c.reading.direction), c.reading.bound, c.value_m) for c in measured
    )
    empty = SizeEstimate(
        label=label,
        at_least_m=bounds.at_least_m,
        at_most_m=bounds.at_most_m,
        everywhere_at_least_m=bounds.everywhere_at_least_m,
        everywhere_at_most_m=bounds.everywhere_at_most_m,
        instruments=tuple(i.key for i in distinct_instruments(measured)),
        readings=tuple(reading.id for reading in readings),
        length_m=length_m,
    )
    if not values:
        return replace(empty, notes=_bound_notes(empty))
    positions = [places.get(c.reading.place) for c in values]
    angles = [directions.get(c.reading.direction) for c in values]
    repeatabilities = _repeatabilities(values, positions, angles, pooled, form_model)
    quantities = [
        with_errors(
            label=label,
            corrected=c,
            repeatability=repeatabilities[c.instrument.key],
            instruments=instruments,
            measurand=measurand,
        )
        for c in values
    ]
    form = fit_form(positions=positions, angles_deg=angles, values=quantities)
    if form_model is FormModel.EACH_PLACE:
        form = with_sections(fit=form, positions=positions, angles_deg=angles, values=quantities)
    return finish_estimate(
        empty=empty,
        form=form,
        values=[(c.reading, c.value_m) for c in values],
        places=places,
        directions=directions,
        form_judged=form_judged,
        repeatability=repeatabilities[values[0].instrument.key],
        counterpart=_counterpart(values, measurand),
    )


def finish_estimate(
    *,
    empty: SizeEstimate,
    form: FormFit,
    values: Sequence[tuple[Reading, float]],
    places: Mapping[str, float],
    directions: Mapping[str, float],
    form_judged: bool,
    repeatability: Repeatability | None,
    counterpart: Sequence[str] = (),
) -> SizeEstimate:
    """Put a fitted form together with what is said about it.

    ``counterpart`` names what stays unseen of the part that a gauge was zeroed at.
    """
    unseen = [*_unseen(form, places, directions), *counterpart]
    if unseen:
        source = ErrorSource(
            key=f"form:{empty.label}:unseen",
            kind=SourceKind.FORM,
            words=f"{' and '.join(unseen)} of {empty.label}, which was not looked for",
        )
        floor = UNSEEN_FORM_M * math.sqrt(len(unseen) / 3.0)
        form = replace(form, mean=form.mean + Quantity(0.0, {source: floor}))
    plain = [value for _, value in values]
    estimate = replace(
        empty,
        form=form,
        places=_place_sizes(values),
        barrel=form.barrel if form_judged else None,
        taper=taper(fit=form, key=empty.label) if form_judged else None,
        out_of_round=_out_of_round(form, empty.label) if form_judged else None,
        repeatability=repeatability,
        raw_range_m=max(plain) - min(plain),
    )
    notes = _form_notes(form, unseen, form_judged=form_judged) + _bound_notes(estimate)
    return replace(estimate, notes=notes)


def _repeatabilities(
    values: Sequence[Corrected],
    positions: Sequence[float | None],
    angles: Sequence[float | None],
    pooled: Pooled | None,
    form_model: FormModel,
) -> dict[str, Repeatability]:
    plain = [c.value_m for c in values]
    groups = [(c.reading.fitting, c.reading.setting) for c in values]
    if form_model is FormModel.EACH_PLACE:
        spots = [
            (z, angle, *group) for z, angle, group in zip(positions, angles, groups, strict=True)
        ]
        scatter, freedom = scatter_of_repeats(values=plain, spots=spots)
    else:
        design = form_design(positions=tuple(positions), angles_deg=tuple(angles))
        scatter, freedom = scatter_within(design=design, values=plain, groups=groups)
    used = distinct_instruments(values)
    found = {}
    for instrument in used:
        own = None
        if scatter is not None and len(used) == 1:  # mixed readings tell no one's scatter
            own = Pooled(
                instrument=instrument.key,
                standard_deviation_m=scatter,
                degrees_of_freedom=freedom,
            )
        found[instrument.key] = choose_repeatability(instrument=instrument, own=own, pooled=pooled)
    return found


def _unseen(
    form: FormFit, places: Mapping[str, float], directions: Mapping[str, float]
) -> list[str]:
    """Parts of the form that the plan would show and the readings do not."""
    unseen = []
    if form.slope is None and len(set(places.values())) > 1:
        unseen.append("taper")
    turned = {angle % 180.0 for angle in directions.values()}
    if form.lobes == 0 and len(turned) > 1:
        unseen.append("out-of-round")
    return unseen


def _counterpart(values: Sequence[Corrected], measurand: Measurand) -> tuple[str, ...]:
    """A gauge that was zeroed at one spot of a part says nothing of that part's form."""
    zeroed = measurand is Measurand.DIFFERENCE and any(c.instrument.set_in for c in values)
    return ("form of the part that the gauge was zeroed at",) if zeroed else ()


def _out_of_round(form: FormFit, label: str) -> Quantity | None:
    """Out-of-round with a floor for the part of an oval that two directions do not show.

    With h the root mean square of what hides of an oval of ± UNSEEN_FORM_M at any angle (half
    its square on average), the true one is √(seen² + h²), not seen.
    """
    found = out_of_round(fit=form, key=label)
    if found is None or form.lobes != 1:
        return found
    hidden = math.hypot(found.value, UNSEEN_FORM_M / math.sqrt(6.0)) - found.value
    source = ErrorSource(
        key=f"form:{label}:oval between the directions",
        kind=SourceKind.FORM,
        words=f"oval of {label} between its two directions",
    )
    return found + Quantity(0.0, {source: hidden})


def _place_sizes(values: Sequence[tuple[Reading, float]]) -> tuple[PlaceSize, ...]:
    found: dict[tuple[str, str], list[float]] = {}
    for reading, value in values:
        found.setdefault((reading.place, reading.direction), []).append(value)
    return tuple(
        PlaceSize(place=place, direction=direction, mean_m=sum(v) / len(v), count=len(v))
        for (place, direction), v in found.items()
    )


def _form_notes(form: FormFit, unseen: Sequence[str], *, form_judged: bool) -> tuple[str, ...]:
    notes = []
    if unseen:
        notes.append(
            f"The readings do not show {' or '.join(unseen)}; ± {UNSEEN_FORM_M * 1e6:g} µm each "
            "is allowed for it in the size."
        )
    if form.confounded:
        notes.append(
            "Place and direction changed together, so taper and out-of-round cannot be told "
            "apart; read each place in each direction."
        )
    if form.sections:
        notes.append(
            "The readings do not follow one oval over the length: each place is judged by itself, "
            "and the worst one counts. Repeat them once to tell form from misreading."
        )
    if form_judged and form.lobes == 1:
        notes.append(
            "Two directions only: an oval that lies between them would not show; out-of-round is "
            "at least what is given."
        )
    return tuple(notes)


def _bound_notes(estimate: SizeEstimate) -> tuple[str, ...]:
    """Bounds that contradict each other, or the measured size."""
    least, most = estimate.everywhere_at_least_m, estimate.everywhere_at_most_m
    if least is not None and most is not None and least > most:
        return ("One reading says at least, another at most, and the two exclude each other.",)
    low, high = estimate.at_least_m, estimate.at_most_m
    if estimate.mean is None or (low is None and high is None):
        return ()
    half = estimate.mean.expanded().half_width
    beyond = (low is not None and estimate.mean.value + half < low) or (
        high is not None and estimate.mean.value - half > high
    )
    if beyond:
        return ("A reading that gives only a bound contradicts the measured size.",)
    return ()
