"""From the readings that judge now to the sizes of all features, in one pass."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from oilwedge.engine.model import Engine, Feature, Shape, WayKind
from oilwedge.errors import Fault, ReadingsError, UnknownNameError, Where
from oilwedge.job.questions import Question, QuestionKind
from oilwedge.job.standing import Standing
from oilwedge.metrology.form import form_design
from oilwedge.metrology.instrument import Instrument
from oilwedge.metrology.reading import Bound, Reading, ReadingForm
from oilwedge.metrology.reading_error import Measurand
from oilwedge.metrology.repeatability import Pooled, pool
from oilwedge.metrology.scatter import scatter_of_repeats, scatter_within
from oilwedge.metrology.size import FormModel, SizeEstimate, estimate_size
from oilwedge.metrology.strip_size import estimate_strip
from oilwedge.metrology.thermal import Coefficient, clearance_to_reference
from oilwedge.shop.model import Shop
from oilwedge.tables.expansion import expansion_coefficient

FeatureNumber = tuple[str, int]

# Readings of an honest plan leave over less than this many times their scatter in all but one
# of 10,000 cases (normal, known scatter).
FAR_FROM_SCATTER = 4.0


@dataclass(frozen=True, kw_only=True, slots=True)
class Bearing:
    """The bore and the journal that a directly read clearance lies between."""

    diameter_m: float
    housing: Feature
    journal: Feature


@lru_cache(maxsize=64)
def material_coefficient(material: str) -> Coefficient:
    """The expansion of a material of the engine file, for the science floor."""
    known = expansion_coefficient(material)
    return Coefficient(
        key=known.material, per_k=known.value_per_k, limit_per_k=known.half_width_per_k
    )


def absolute_values_m(*, engine: Engine, standing: Standing) -> dict[str, float]:
    """The absolute value of each reading that has one, by id.

    A deviation counts from the nominal size in the undersize that was stated for the feature.
    """
    values = {}
    for reading in standing.readings:
        if reading.form is ReadingForm.WIDTH:
            continue
        value_m = reading.value_m
        if reading.form is ReadingForm.DEVIATION:
            value_m += _counted_from_m(engine=engine, standing=standing, reading=reading)
        values[reading.id] = value_m
    return values


def _counted_from_m(*, engine: Engine, standing: Standing, reading: Reading) -> float:
    """The nominal size, in its undersize, that a deviation counts from."""
    feature = engine.features[reading.feature].at(reading.number)
    # The middle of two limits would be a guess: nobody sets a gauge to it unasked.
    if feature.nominal_m is None:
        raise ReadingsError(
            Fault(
                given=f"{reading.text} {reading.unit}".strip(),
                allowed=f"{feature.label(reading.number)}: a deviation counts from a nominal size,"
                " and the engine file gives none",
                action="write the size itself, or add the nominal size to the engine file",
            )
        )
    step_m = standing.steps_m.get((reading.feature, reading.number), 0.0)
    return feature.nominal_m + feature.undersize_factor * step_m


def set_aside_ids(questions: Iterable[Question]) -> frozenset[str]:
    """Readings that are left out of the sizes until the question about them is answered."""
    return frozenset(
        reading.id
        for question in questions
        if question.kind is QuestionKind.ONE_READING_A_TURN_OFF
        for reading in question.readings
    )


def bearings_by_gap(engine: Engine) -> dict[str, Bearing]:
    """For each gap or strip feature, the bearing whose clearance it reads, where there is one."""
    found = {}
    for fit in engine.fits.values():
        gauged = next((way for way in fit.ways if way.kind is WayKind.GAUGED), None)
        if gauged is None or len(gauged.terms) != 2:
            continue
        bore, shaft = sorted(gauged.terms, key=lambda term: -term.coefficient)
        housing, journal = engine.features[bore.feature], engine.features[shaft.feature]
        if journal.reference_m is None:
            continue
        for way in fit.ways:
            for term in way.terms:
                shape = engine.features[term.feature].shape
                if shape in (Shape.GAP, Shape.STRIP):
                    found[term.feature] = Bearing(
                        diameter_m=journal.reference_m, housing=housing, journal=journal
                    )
    return found


def _positions(feature: Feature, reading: Reading) -> float | None:
    places = {place.name: place.position for place in (*feature.quick_places, *feature.places)}
    return places.get(reading.place)


def _angles(feature: Feature) -> dict[str, float]:
    every = (*feature.quick_directions, *feature.directions)
    return {direction.name: direction.angle_deg for direction in every}


def _scatter_of(feature: Feature, readings: Sequence[Reading]) -> tuple[float | None, float]:
    angles = _angles(feature)
    design = form_design(
        positions=tuple(_positions(feature, reading) for reading in readings),
        angles_deg=tuple(angles.get(reading.direction) for reading in readings),
    )
    return scatter_within(
        design=design,
        values=[reading.value_m for reading in readings],
        groups=[(reading.fitting, reading.setting) for reading in readings],
    )


def form_models(
    *,
    engine: Engine,
    groups: Mapping[FeatureNumber, Sequence[Reading]],
    instruments: Mapping[str, Instrument],
) -> dict[FeatureNumber, FormModel]:
    """Name the features whose readings do not follow one oval over the length.

    What is left over then is far more (:data:`FAR_FROM_SCATTER` times) than repeats of the same
    spot scatter, or, where nothing was repeated, than the instrument is known to.
    """
    found = {}
    for (key, number), readings in groups.items():
        feature = engine.features[key]
        plain = [reading for reading in readings if reading.bound is Bound.NONE]
        if not feature.form_judged or len(plain) < 4:
            continue
        left_m, _ = _scatter_of(feature, plain)
        spots = [(r.place, r.direction, r.fitting, r.setting) for r in plain]
        repeats_m, _ = scatter_of_repeats(values=[r.value_m for r in plain], spots=spots)
        used = {reading.instrument or feature.instrument for reading in plain}
        known_m = max(_known_scatter_m(instruments.get(one)) for one in used)
        if left_m is not None and left_m > FAR_FROM_SCATTER * max(known_m, repeats_m or 0.0):
            found[key, number] = FormModel.EACH_PLACE
    return found


def _known_scatter_m(instrument: Instrument | None) -> float:
    if instrument is None:
        return 0.0
    if instrument.repeatability_m is not None:
        return max(instrument.repeatability_m, 0.5 * instrument.resolution_m)
    return max(0.5 * instrument.permissible_error_m, instrument.resolution_m)


def pooled_scatter(
    *,
    engine: Engine,
    groups: Mapping[FeatureNumber, Sequence[Reading]],
    models: Mapping[FeatureNumber, FormModel],
) -> dict[tuple[str, str], Pooled]:
    """Pool the scatter of like features measured with one instrument: by (feature, instrument).

    Only features read with one instrument throughout take part, for mixed readings tell no one's
    scatter; and only those that follow the form, for what the others leave over is form.
    """
    parts: dict[tuple[str, str], list[tuple[float | None, float]]] = {}
    for (key, number), readings in groups.items():
        if (key, number) in models:
            continue
        feature = engine.features[key]
        used = {reading.instrument or feature.instrument for reading in readings}
        plain = [reading for reading in readings if reading.bound is Bound.NONE]
        if len(used) == 1 and len(plain) > 1 and feature.shape is not Shape.STRIP:
            parts.setdefault((key, used.pop()), []).append(_scatter_of(feature, plain))
    pooled = {}
    for (key, instrument), residuals in parts.items():
        found = pool(instrument=instrument, residuals=residuals)
        if found is not None:
            pooled[key, instrument] = found
    return pooled


def _measurand(feature: Feature) -> Measurand:
    """A gap is read as a difference: the scale of what the gauge was zeroed in has no part."""
    return Measurand.DIFFERENCE if feature.shape is Shape.GAP else Measurand.SIZE


def _temperature_c(readings: Sequence[Reading]) -> float | None:
    given = [r.part_temperature_c for r in readings if r.part_temperature_c is not None]
    return sum(given) / len(given) if given else None


def _at_reference(
    estimate: SizeEstimate, *, bearing: Bearing, readings: Sequence[Reading]
) -> SizeEstimate:
    """Correct a clearance that was read directly for the temperature of housing and journal."""
    if estimate.form is None:
        return estimate
    temperature_c = _temperature_c(readings)
    mean = clearance_to_reference(
        clearance=estimate.form.mean,
        diameter_m=bearing.diameter_m,
        housing_expansion=material_coefficient(bearing.housing.material),
        journal_expansion=material_coefficient(bearing.journal.material),
        housing_temperature_c=temperature_c,
        journal_temperature_c=None,  # not written down: as warm as the housing, within a little
        label=estimate.label,
    )
    return replace(estimate, form=replace(estimate.form, mean=mean))


def estimate_sizes(
    *,
    engine: Engine,
    shop: Shop,
    readings: Iterable[Reading],
    values_m: Mapping[str, float],
) -> dict[FeatureNumber, SizeEstimate]:
    """Estimate every feature that has readings."""
    groups: dict[FeatureNumber, list[Reading]] = {}
    for reading in readings:
        if reading.form is ReadingForm.DEVIATION:
            value_m = values_m[reading.id]
            reading = replace(reading, value_m=value_m, form=ReadingForm.ABSOLUTE)
        groups.setdefault((reading.feature, reading.number), []).append(reading)
    models = form_models(engine=engine, groups=groups, instruments=shop.instruments)
    pooled = pooled_scatter(engine=engine, groups=groups, models=models)
    bearings = bearings_by_gap(engine)
    instruments: Mapping[str, Instrument] = shop.instruments
    sizes = {}
    for (key, number), group in groups.items():
        feature = engine.features[key].at(number)
        try:
            sizes[key, number] = _estimate(
                feature=feature,
                number=number,
                readings=group,
                shop=shop,
                instruments=instruments,
                pooled=pooled.get((key, group[0].instrument or feature.instrument)),
                bearing=bearings.get(key),
                form_model=models.get((key, number), FormModel.ONE_OVAL),
            )
        except UnknownNameError as error:
            where = Where(file=f"reading of {feature.label(number)}")
            raise UnknownNameError(
                *(replace(fault, where=where) for fault in error.faults)
            ) from None
    return sizes


def _estimate(
    *,
    feature: Feature,
    number: int,
    readings: Sequence[Reading],
    shop: Shop,
    instruments: Mapping[str, Instrument],
    pooled: Pooled | None,
    bearing: Bearing | None,
    form_model: FormModel,
) -> SizeEstimate:
    label = feature.label(number)
    planned = (*feature.quick_places, *feature.places)
    places = {place.name: place.position for place in planned}
    if feature.shape is Shape.STRIP:
        estimate = estimate_strip(label=label, readings=readings, strips=shop.strips, places=places)
    else:
        estimate = estimate_size(
            label=label,
            readings=readings,
            instruments=instruments,
            places=places,
            directions=_angles(feature),
            material_expansion=material_coefficient(feature.material),
            pooled=pooled,
            form_judged=feature.form_judged,
            measurand=_measurand(feature),
            usual_instrument=feature.instrument,
            length_m=feature.length_m,
            form_model=form_model,
        )
    if bearing is None:
        return estimate
    return _at_reference(estimate, bearing=bearing, readings=readings)
