"""Judge every fit of an engine: readings in, verdicts out."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace

from oilwedge.engine.model import Engine, Feature, Fit, Judged, Place, Shape, Term
from oilwedge.fits.advice import Advice, what_would_decide
from oilwedge.fits.limits import limits_in_force
from oilwedge.fits.methods import FitMeasurement, measure_fit
from oilwedge.fits.neighbours import Apart, standing_apart
from oilwedge.fits.verdict import Doubt, State, Verdict, judge_fit
from oilwedge.fits.way import WayResult
from oilwedge.job.entry import Entry
from oilwedge.job.questions import Question, QuestionKind, questions
from oilwedge.job.standing import Doubted, Standing, standing
from oilwedge.metrology.size import SizeEstimate
from oilwedge.shop.model import Shop
from oilwedge.uncertainty.conformity import DecisionRule
from oilwedge.uncertainty.quantity import Quantity
from oilwedge.usecases.flags import Flag, flags_of
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
        notes=(*notes, *_out_of_place(now)),
    )


def _out_of_place(now: Standing) -> tuple[str, ...]:
    """Say what readings judge nothing because the engine file has no place for them."""
    count = len(now.out_of_place)
    if not count:
        return ()
    names = dict.fromkeys(
        f"{one.feature.replace('_', ' ')} {one.number}" for one in now.out_of_place
    )
    reading, judges = ("reading", "judges") if count == 1 else ("readings", "judge")
    return (
        f"{count} {reading} {judges} nothing, for this engine file has no such place:"
        f" {', '.join(names)}.",
    )


def _judge_kind(*, bench: _Bench, key: str, fit: Fit) -> list[FitResult]:
    """Judge all the fits of one kind, then hold them against each other."""
    results = [
        _judge_one(bench=bench, key=key, fit=fit.at(number), number=number)
        for number in fit.numbers
    ]
    if fit.judged is not Judged.SIZE or _judges_a_size(fit, bench.engine):
        return results
    apart: dict[int, Apart] = {
        one.number: one
        for one in standing_apart(clearances=_comparable(fit, results), window_m=_window_m(fit))
    }
    return [replace(result, apart=apart.get(result.number)) for result in results]


def _window_m(fit: Fit) -> float | None:
    return None if fit.low_m is None or fit.high_m is None else fit.high_m - fit.low_m


def _comparable(fit: Fit, results: Sequence[FitResult]) -> dict[int, Quantity]:
    """The means of one kind of fit that can be held against each other.

    What is in question or contradicts itself is no neighbour; one whose own window lies elsewhere
    is moved by as much.
    """
    means: dict[int, Quantity] = {}
    for result in results:
        mean = result.measurement.evidence.mean
        if mean is None or result.questions or result.measurement.disagree:
            continue
        own = result.fit
        if None in (fit.low_m, fit.high_m, own.low_m, own.high_m):
            shift_m = 0.0
        else:
            shift_m = _middle_m(fit) - _middle_m(own)
        means[result.number] = mean + shift_m
    return means


def _middle_m(fit: Fit) -> float:
    return ((fit.low_m or 0.0) + (fit.high_m or 0.0)) / 2.0


def _judge_one(*, bench: _Bench, key: str, fit: Fit, number: int) -> FitResult:
    used = [term.feature for way in fit.ways for term in way.terms]
    sizes = {
        feature: bench.sizes[feature, number]
        for feature in dict.fromkeys(used)
        if (feature, number) in bench.sizes
    }
    measurement = measure_fit(fit=fit, label=fit.label(number), sizes=sizes, shapes=bench.shapes)
    titles = bench.engine.part_titles
    conditions = {
        titles.get(part, part): bench.standing.condition(part=part, number=number)
        for part in fit.parts
    }
    limits = limits_in_force(
        fit=fit,
        conditions=conditions.values(),
        size_shift_m=_size_shift_m(bench=bench, fit=fit, number=number),
    )
    asked = _questions_of(bench=bench, fit=fit, number=number, measurement=measurement)
    doubted = _doubted_of(bench=bench, fit=fit, measurement=measurement, sizes=sizes)
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
        advice=_advice(bench=bench, fit=fit, measurement=measurement, verdict=verdict, sizes=sizes),
        places=_places(bench=bench, measurement=measurement),
        instrument_titles={one.instrument: _title(bench.shop, one.instrument) for one in doubted},
        feature_titles={name: bench.engine.features[name].title for name in used},
        conditions=conditions,
        flags=_flags(bench=bench, measurement=measurement, sizes=sizes, doubted=doubted),
    )


def _size_shift_m(*, bench: _Bench, fit: Fit, number: int) -> float:
    """Move the limits of a size to the undersize that was stated for it.

    A manual gives the limits of a journal or bore at standard size, whether the engine file
    repeats them at the fit or not.
    """
    if not _judges_a_size(fit, bench.engine):
        return 0.0
    (key,) = fit.features
    step_m = bench.standing.steps_m.get((key, number), 0.0)
    return bench.engine.features[key].undersize_factor * step_m


def _judges_a_size(fit: Fit, engine: Engine) -> bool:
    """Whether the fit is one size by itself: a diameter or a wall, no clearance and no form."""
    if fit.judged is not Judged.SIZE or len(fit.features) != 1:
        return False
    return all(term.coefficient == 1.0 for way in fit.ways for term in way.terms) and (
        engine.features[fit.features[0]].positive
    )


def _waits_for(question: Question, fit: Fit, engine: Engine) -> bool:
    """Say whether a fit cannot be judged before the question is answered.

    The clearance between a ground journal and its undersize shells is judged whatever the
    undersize is; the size itself is not, for its limits are those of the undersize. Taper and
    out-of-round are differences within the feature: what is off in all its readings cancels.
    """
    if question.kind is QuestionKind.SIZE_A_TURN_OFF and fit.judged is not Judged.SIZE:
        return False
    return question.holds_up or (
        question.kind in (QuestionKind.SIZE_NOT_STATED, QuestionKind.FAR_FROM_NOMINAL)
        and _judges_a_size(fit, engine)
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
        and _waits_for(question, fit, bench.engine)
    )


def _has_readings(bench: _Bench, terms: Sequence[Term], number: int) -> bool:
    keys = [term.feature for term in terms]
    return any((key, number) in bench.sizes for key in keys) or any(
        question.number == number and question.feature.key in keys for question in bench.questions
    )


def _doubted_of(
    *,
    bench: _Bench,
    fit: Fit,
    measurement: FitMeasurement,
    sizes: Mapping[str, SizeEstimate],
) -> tuple[Doubted, ...]:
    """The readings behind the result whose instrument failed a zero check.

    A zero that is off in all readings of a feature cancels in its form.
    """
    features = _features_behind(measurement, sizes)
    found: list[Doubted] = []
    for feature in features:
        ids = set(sizes[feature].readings)
        doubted = [one for one in bench.standing.doubted if one.reading.id in ids]
        if fit.judged is Judged.SIZE or not _off_alike(doubted, ids):
            found += doubted
    return tuple(found)


def _features_behind(
    measurement: FitMeasurement, sizes: Mapping[str, SizeEstimate]
) -> tuple[str, ...]:
    """The measured features that have a part in the result, each once."""
    used = (
        term.feature
        for way in measurement.ways
        if _counts(way, measurement)
        for term in way.way.terms
        if term.feature in sizes
    )
    return tuple(dict.fromkeys(used))


def _flags(
    *,
    bench: _Bench,
    measurement: FitMeasurement,
    sizes: Mapping[str, SizeEstimate],
    doubted: Sequence[Doubted],
) -> tuple[Flag, ...]:
    """What stands beside the verdict of a result, by the readings that it rests on."""
    behind = _features_behind(measurement, sizes)
    ids = {id for feature in behind for id in sizes[feature].readings}
    return flags_of(
        readings=[reading for reading in bench.standing.readings if reading.id in ids],
        doubted=doubted,
        features=bench.engine.features,
        instruments=bench.shop.instruments,
    )


def _off_alike(doubted: Sequence[Doubted], ids: Collection[str]) -> bool:
    """Whether all these readings are in doubt, taken by one instrument as it was set once."""
    taken = {(one.reading.instrument, one.reading.setting) for one in doubted}
    return {one.reading.id for one in doubted} == set(ids) and len(taken) == 1


def _counts(way: WayResult, measurement: FitMeasurement) -> bool:
    """Whether a way has a part in the result: it decides, or it is all there is."""
    comparison = measurement.comparison
    if comparison is not None and comparison.agree:
        return comparison.weights.get(way.way.key, 0.0) > 0.0
    return not way.evidence.empty


def _doubt(*, asked: Sequence[Question], doubted: Sequence[Doubted]) -> Doubt | None:
    if asked:
        return Doubt.QUESTION
    return Doubt.ZERO_CHECK if doubted else None


def _advice(
    *,
    bench: _Bench,
    fit: Fit,
    measurement: FitMeasurement,
    verdict: Verdict,
    sizes: Mapping[str, SizeEstimate],
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
        scatters=_scatters(sizes),
    )


def _scatters(sizes: Mapping[str, SizeEstimate]) -> dict[tuple[str, str], float]:
    """The scatter of a reading as it was seen, where one instrument took them all."""
    return {
        (feature, size.instruments[0]): size.repeatability.standard_deviation_m
        for feature, size in sizes.items()
        if size.repeatability is not None and len(size.instruments) == 1
    }


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
