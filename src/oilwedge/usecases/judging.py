"""Judge every fit of an engine: readings in, verdicts out."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from oilwedge.engine.model import Engine, Feature, Fit, Judged, LimitsSource, Place, Shape, Term
from oilwedge.fits.advice import Advice, what_would_decide
from oilwedge.fits.limits import limits_in_force
from oilwedge.fits.methods import FitMeasurement, measure_fit
from oilwedge.fits.neighbours import Apart, standing_apart
from oilwedge.fits.verdict import Doubt, State, Verdict, judge_fit
from oilwedge.job.entry import Entry
from oilwedge.job.questions import Question, QuestionKind, questions
from oilwedge.job.standing import Doubted, Standing, standing
from oilwedge.metrology.size import SizeEstimate
from oilwedge.shop.model import Shop
from oilwedge.uncertainty.conformity import DecisionRule
from oilwedge.uncertainty.quantity import Quantity
from oilwedge.usecases.judgement import FitResult, Judgement
from oilwedge.usecases.sizing import absolute_values_m, estimate_sizes, set_aside_ids


@dataclass(frozen=True, kw_only=True, slots=True)
class _Bench:
    """What all fits of one judgement share."""

    engine: Engine
    shop: Shop
    rule: DecisionRule
    standing: Standing
    sizes: Mapping[tuple[str, int], SizeEstimate]
    questions: tuple[Question, ...]
    shapes: Mapping[str, Shape]


def judge(
    *,
    engine: Engine,
    shop: Shop,
    entries: Sequence[Entry],
    rule: DecisionRule | None = None,
    job_number: str = "",
    head: str = "",
    notes: tuple[str, ...] = (),
) -> Judgement:
    """Judge every fit of the engine by what the record says now.

    ``rule`` overrides the engine file's. Readings that a new part state ended do not judge; one
    that looks like a turn of the thimble is set aside and asked about.
    """
    now = standing(engine=engine, entries=entries, instruments=shop.instruments)
    values_m = absolute_values_m(engine=engine, standing=now)
    asked = questions(engine=engine, standing=now, values_m=values_m)
    aside = set_aside_ids(asked)
    sizes = estimate_sizes(
        engine=engine,
        shop=shop,
        readings=[reading for reading in now.readings if reading.id not in aside],
        values_m=values_m,
    )
    bench = _Bench(
        engine=engine,
        shop=shop,
        rule=rule or engine.rule,
        standing=now,
        sizes=sizes,
        questions=asked,
        shapes={key: feature.shape for key, feature in engine.features.items()},
    )
    results = [
        result
        for key, fit in engine.fits.items()
        for result in _judge_kind(bench=bench, key=key, fit=fit)
    ]
    return Judgement(
        engine=engine,
        shop=shop,
        rule=bench.rule,
        standing=now,
        fits=tuple(results),
        sizes=sizes,
        questions=asked,
        job_number=job_number,
        head=head,
        notes=notes,
    )


def _judge_kind(*, bench: _Bench, key: str, fit: Fit) -> list[FitResult]:
    """Judge all the fits of one kind, then hold them against each other."""
    results = [
        _judge_one(bench=bench, key=key, fit=fit.at(number), number=number)
        for number in fit.numbers
    ]
    if fit.judged is not Judged.SIZE or fit.limits_source is LimitsSource.SIZE:
        return results
    means: dict[int, Quantity] = {
        result.number: result.measurement.evidence.mean
        for result in results
        if result.measurement.evidence.mean is not None
    }
    window_m = None
    if fit.low_m is not None and fit.high_m is not None:
        window_m = fit.high_m - fit.low_m
    apart: dict[int, Apart] = {
        one.number: one for one in standing_apart(clearances=means, window_m=window_m)
    }
    return [replace(result, apart=apart.get(result.number)) for result in results]


def _judge_one(*, bench: _Bench, key: str, fit: Fit, number: int) -> FitResult:
    used = [term.feature for way in fit.ways for term in way.terms]
    sizes = {
        feature: bench.sizes[feature, number]
        for feature in dict.fromkeys(used)
        if (feature, number) in bench.sizes
    }
    measurement = measure_fit(fit=fit, label=fit.label(number), sizes=sizes, shapes=bench.shapes)
    limits = limits_in_force(
        fit=fit,
        conditions=[bench.standing.condition(part=part, number=number) for part in fit.parts],
        size_shift_m=_size_shift_m(bench=bench, fit=fit, number=number),
    )
    asked = _questions_of(bench=bench, fit=fit, number=number, measurement=measurement)
    doubted = _doubted_of(bench=bench, measurement=measurement, sizes=sizes)
    verdict = judge_fit(
        evidence=measurement.evidence,
        limits=limits,
        rule=bench.rule,
        doubt=_doubt(asked=asked, doubted=doubted),
        readings_disagree=measurement.disagree,
    )
    return FitResult(
        key=key,
        number=number,
        fit=fit,
        measurement=measurement,
        verdict=verdict,
        questions=asked,
        doubted=doubted,
        advice=_advice(bench=bench, fit=fit, measurement=measurement, verdict=verdict),
        places=_places(bench=bench, measurement=measurement),
        instrument_titles={one.instrument: _title(bench.shop, one.instrument) for one in doubted},
        feature_titles={name: bench.engine.features[name].title for name in used},
    )


def _size_shift_m(*, bench: _Bench, fit: Fit, number: int) -> float:
    """Move the limits of a size to the undersize that was stated for it."""
    if fit.limits_source is not LimitsSource.SIZE:
        return 0.0
    (key,) = fit.features
    step_m = bench.standing.steps_m.get((key, number), 0.0)
    return bench.engine.features[key].undersize_factor * step_m


def _is_about_form_or_clearance(question: Question, fit: Fit) -> bool:
    """Say whether a size that nobody stated keeps this fit from being judged.

    The clearance between a ground journal and its undersize shells is judged whatever the
    undersize is; the size itself is not.
    """
    return not (
        question.kind in (QuestionKind.SIZE_NOT_STATED, QuestionKind.FAR_FROM_NOMINAL)
        and fit.limits_source is LimitsSource.SIZE
    )


def _questions_of(
    *, bench: _Bench, fit: Fit, number: int, measurement: FitMeasurement
) -> tuple[Question, ...]:
    """The open questions that this fit waits for."""
    used = {
        term.feature
        for way in measurement.ways
        if _has_readings(bench, way.way.terms, number)
        for term in way.way.terms
    }
    return tuple(
        question
        for question in bench.questions
        if question.number == number
        and question.feature.key in used
        and (question.holds_up or not _is_about_form_or_clearance(question, fit))
    )


def _has_readings(bench: _Bench, terms: Sequence[Term], number: int) -> bool:
    keys = [term.feature for term in terms]
    return any((key, number) in bench.sizes for key in keys) or any(
        question.number == number and question.feature.key in keys for question in bench.questions
    )


def _doubted_of(
    *, bench: _Bench, measurement: FitMeasurement, sizes: Mapping[str, SizeEstimate]
) -> tuple[Doubted, ...]:
    """The readings behind the leading way whose instrument failed a zero check."""
    if measurement.leading is None:
        return ()
    ids = {
        reading
        for term in measurement.leading.way.terms
        for reading in sizes[term.feature].readings
    }
    return tuple(one for one in bench.standing.doubted if one.reading.id in ids)


def _doubt(*, asked: Sequence[Question], doubted: Sequence[Doubted]) -> Doubt | None:
    if asked:
        return Doubt.QUESTION
    return Doubt.ZERO_CHECK if doubted else None


def _advice(
    *, bench: _Bench, fit: Fit, measurement: FitMeasurement, verdict: Verdict
) -> Advice | None:
    if verdict.state is not State.CANNOT_TELL:
        return None
    if verdict.doubt in (Doubt.QUESTION, Doubt.ZERO_CHECK):
        return None
    return what_would_decide(
        fit=fit,
        verdict=verdict,
        evidence=measurement.evidence,
        features=bench.engine.features,
        instruments=bench.shop.instruments.values(),
    )


def _places(*, bench: _Bench, measurement: FitMeasurement) -> tuple[Place, ...]:
    """The places along the fit, for naming the tightest and the loosest one."""
    way = measurement.leading.way if measurement.leading is not None else None
    for term in way.terms if way is not None else ():
        feature: Feature = bench.engine.features[term.feature]
        if feature.places:
            return feature.places
    return ()


def _title(shop: Shop, key: str) -> str:
    instrument = shop.instruments.get(key)
    return instrument.title if instrument is not None else key
