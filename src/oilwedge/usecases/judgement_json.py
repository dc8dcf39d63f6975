"""A judgement as JSON, everything in it, in SI units; schema 1 (docs/formats/judgement.md)."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from oilwedge import __version__
from oilwedge.fits.advice import Advice, Remedy
from oilwedge.fits.limits import LimitName
from oilwedge.fits.verdict import LimitFinding
from oilwedge.fits.way import WayResult
from oilwedge.job.questions import Question
from oilwedge.metrology.comparison import Comparison
from oilwedge.metrology.size import SizeEstimate
from oilwedge.uncertainty.budget import budget
from oilwedge.uncertainty.quantity import Quantity
from oilwedge.usecases.joint_chance import JointChance
from oilwedge.usecases.judgement import FitResult, Judgement
from oilwedge.usecases.length_face import LengthFace
from oilwedge.usecases.remarks import remark
from oilwedge.usecases.wording import place_words, question_sentence, verdict_words

SCHEMA = 1
Json = dict[str, Any]  # what json.dumps takes; the shape is documented and tested


def _number(value: float) -> float | None:
    """JSON knows no infinity; None stands for it."""
    return value if math.isfinite(value) else None


def quantity_json(quantity: Quantity | None) -> Json | None:
    """A value with its uncertainty at 95 %."""
    if quantity is None:
        return None
    expanded = quantity.expanded()
    return {
        "value_m": quantity.value,
        "standard_uncertainty_m": quantity.standard_uncertainty,
        "expanded_uncertainty_m": expanded.half_width,
        "coverage_factor": expanded.k,
        "coverage_probability": 0.95,
        "degrees_of_freedom": _number(quantity.degrees_of_freedom),
    }


def budget_json(quantity: Quantity) -> list[Json]:
    """The uncertainty budget, largest first."""
    return [
        {
            "source": line.source.key,
            "kind": line.kind.name.lower(),
            "words": line.words,
            "contribution_m": line.contribution,
            "share_of_variance": line.share_of_variance,
            "degrees_of_freedom": _number(line.degrees_of_freedom),
        }
        for line in budget(quantity).lines
    ]


def _finding_json(finding: LimitFinding) -> Json:
    return {
        "limit": finding.limit.name.lower(),
        "limit_m": finding.limit_m,
        "margin_m": finding.margin_m,
        "expanded_uncertainty_m": finding.expanded_m,
        "guard_band_m": finding.guard_m,
        "chance_inside": finding.chance_inside,
        "inside": finding.inside,
        "proof": finding.proof.value,
    }


def _way_json(way: WayResult, weights: Mapping[str, float]) -> Json:
    return {
        "way": way.way.key,
        "title": way.way.title,
        "kind": way.way.kind.value,
        "value": quantity_json(way.evidence.mean),
        "at_least_m": way.evidence.at_least_m,
        "at_most_m": way.evidence.at_most_m,
        "taper": quantity_json(way.taper),
        "weight": weights.get(way.way.key),
        "missing": list(way.missing),
    }


def _comparison_json(comparison: Comparison | None) -> Json | None:
    if comparison is None:
        return None
    return {
        "agree": comparison.agree,
        "pairs": [
            {
                "first": pair.first,
                "second": pair.second,
                "difference_m": pair.difference.value,
                "expanded_uncertainty_m": pair.half_width,
                "normalised_error": _number(pair.normalised_error),
                "agree": pair.agree,
                "proves_little": pair.proves_little,
            }
            for pair in comparison.pairs
        ],
        "left_out": [{"way": one.name, "why": one.why} for one in comparison.left_out],
        "notes": list(comparison.notes),
    }


def _remedy_json(remedy: Remedy | None) -> Json | None:
    if remedy is None:
        return None
    return {
        "way": remedy.way.key,
        "instruments": [instrument.key for instrument in remedy.instruments],
        "fittings": remedy.fittings,
        "expanded_uncertainty_m": remedy.expanded_m,
        "chance_to_decide": remedy.chance,
    }


def _advice_json(advice: Advice | None) -> Json | None:
    if advice is None:
        return None
    return {
        "needed_expanded_uncertainty_m": advice.needed_m,
        "remedies": [_remedy_json(one) for one in advice.remedies],
        "best_on_the_list": _remedy_json(advice.best),
    }


def _question_json(question: Question, *, face: LengthFace) -> Json:
    return {
        "kind": question.kind.name.lower(),
        "feature": question.feature.key,
        "number": question.number,
        "difference_m": question.difference_m,
        "looks_like_m": question.step_m,
        "readings": [reading.id for reading in question.readings],
        "holds_up": question.holds_up,
        "sentence": question_sentence(question=question, face=face),
    }


def _fit_json(result: FitResult, *, face: LengthFace) -> Json:
    verdict, measurement = result.verdict, result.measurement
    evidence, leading = measurement.evidence, measurement.leading
    said = remark(result=result, face=face)
    weights = measurement.comparison.weights if measurement.comparison is not None else {}
    chance = verdict.chance

    def place(position: float | None) -> str:
        return place_words(position=position, places=result.places)

    return {
        "fit": result.key,
        "number": result.number,
        "label": result.label,
        "state": verdict.state.name.lower(),
        "words": verdict_words(fit=result.fit, verdict=verdict),
        "close_to": verdict.close_to.name.lower() if verdict.close_to is not None else None,
        "doubt": verdict.doubt.name.lower() if verdict.doubt is not None else None,
        "sentences": list(said.sentences) if said is not None else [],
        "mean": quantity_json(evidence.mean),
        "tightest": quantity_json(evidence.smallest),
        "tightest_at": place(leading.smallest_at) if leading is not None else "",
        "loosest": quantity_json(evidence.largest),
        "loosest_at": place(leading.largest_at) if leading is not None else "",
        "at_least_m": evidence.at_least_m,
        "at_most_m": evidence.at_most_m,
        "limits": {name.name.lower(): verdict.limits.value_of(name) for name in LimitName},
        "limits_from": result.fit.limits_from,
        "condition": verdict.limits.condition.value,
        "conditions": [
            {"part": part, "condition": condition.value}
            for part, condition in result.conditions.items()
        ],
        "service_limit_holds": verdict.limits.service_holds,
        "findings": [_finding_json(one) for one in verdict.findings],
        "chance_inside": None
        if chance is None
        else {
            "not_under_low": chance.above_low,
            "not_over_high": chance.below_high,
            "both": chance.both,
        },
        "decided_by": leading.way.key if leading is not None else None,
        "ways": [_way_json(way, weights) for way in measurement.ways],
        "comparison": _comparison_json(measurement.comparison),
        "likely_causes": [{"cause": one.cause, "check": one.check} for one in measurement.causes],
        "what_would_decide": _advice_json(result.advice),
        "questions": [_question_json(one, face=face) for one in result.questions],
        "readings_in_doubt": list(dict.fromkeys(one.reading.id for one in result.doubted)),
        "flags": [one.text for one in result.flags],
        "stands_apart_by": quantity_json(result.apart.difference) if result.apart else None,
        "budget": budget_json(evidence.mean) if evidence.mean is not None else [],
    }


def _size_json(key: str, number: int, size: SizeEstimate) -> Json:
    found = size.extremes
    return {
        "feature": key,
        "number": number,
        "label": size.label,
        "mean": quantity_json(size.mean),
        "smallest": quantity_json(found.smallest) if found is not None else None,
        "largest": quantity_json(found.largest) if found is not None else None,
        "taper": quantity_json(size.taper),
        "barrel": quantity_json(size.barrel),
        "out_of_round": quantity_json(size.out_of_round),
        "raw_range_m": size.raw_range_m,
        "at_least_m": size.at_least_m,
        "at_most_m": size.at_most_m,
        "places": [
            {
                "place": one.place,
                "direction": one.direction,
                "mean_m": one.mean_m,
                "readings": one.count,
            }
            for one in size.places
        ],
        "instruments": list(size.instruments),
        "readings": list(size.readings),
        "notes": list(size.notes),
    }


def _joint_chance_json(chance: JointChance | None) -> Json | None:
    if chance is None:
        return None
    return {
        "draws": chance.every_fit.draws,
        "every_fit": chance.every_fit.chance,
        "standard_uncertainty": chance.every_fit.standard_uncertainty,
        "by_kind": {kind: share.chance for kind, share in chance.by_kind.items()},
        "by_fit": [
            {"fit": key, "number": number, "chance": share.chance}
            for (key, number), share in chance.by_fit.items()
        ],
    }


def judgement_json(
    *,
    judgement: Judgement,
    face: LengthFace,
    complete: bool = False,
    chance: JointChance | None = None,
) -> Json:
    """Give the whole judgement; what is None in a place was not known there."""
    now = judgement.standing
    return {
        "oilwedge_judgement": SCHEMA,
        "oilwedge_version": __version__,
        "engine": {"name": judgement.engine.name, "digest": judgement.engine.digest},
        "job": {"number": judgement.job_number, "head": judgement.head},
        "rule": judgement.rule.value,
        "all_right": judgement.all_right(complete=complete),
        "joint_chance": _joint_chance_json(chance),
        "fits": [_fit_json(result, face=face) for result in judgement.fits],
        "sizes": [_size_json(key, number, size) for (key, number), size in judgement.sizes.items()],
        "questions": [_question_json(one, face=face) for one in judgement.questions],
        "not_judging": [{"reading": one.reading.id, "ended_by": one.event.id} for one in now.ended]
        + [{"reading": one.id, "replaced": True} for one in now.replaced],
        "measure_again": [
            {"feature": feature.key, "number": number, "because_of": event.id}
            for feature, number, event in now.measure_again
        ],
        "notes": list(judgement.notes),
    }
