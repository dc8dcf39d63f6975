"""The words of a verdict: the same on every face, in the order of the work.

What is wrong, where, what to do. Lengths are shown in the unit that the person asked for, digits
cut by the uncertainty; an inch to four decimals, a millimetre to three, unless U asks for less.
"""

from __future__ import annotations

from collections.abc import Sequence

from oilwedge.engine.model import Fit, JudgedAt, Place, WayKind
from oilwedge.fits.advice import Advice, Remedy
from oilwedge.fits.evidence import Evidence
from oilwedge.fits.limits import Condition, LimitName
from oilwedge.fits.verdict import Doubt, LimitFinding, Proof, State, Verdict
from oilwedge.fits.way import WayResult
from oilwedge.job.questions import Question, QuestionKind
from oilwedge.metrology.instrument import InstrumentKind
from oilwedge.uncertainty.conformity import DecisionRule
from oilwedge.uncertainty.quantity import Quantity
from oilwedge.usecases.importing.part_words import step_side
from oilwedge.usecases.judgement import FitResult
from oilwedge.usecases.length_face import LengthFace, face_uncertainty, percent
from oilwedge.usecases.reading_text import reading_text


def verdict_words(*, fit: Fit, verdict: Verdict) -> str:
    """Say the state in the words of this kind of fit, and which limit is within reach of U."""
    words = {
        State.LOOSE: fit.words_loose,
        State.TOO_LOOSE: fit.words_large,
        State.TOO_TIGHT: fit.words_small,
        State.PAST_SERVICE: fit.words_past,
    }.get(verdict.state, verdict.state.value)
    if verdict.close_to is None:
        return words
    limit = verdict.close_to.value
    if limit in words:
        return f"{words}, close to it"
    return f"{words}, close to the {'limit' if verdict.state is State.RIGHT else limit}"


def place_words(*, position: float | None, places: Sequence[Place]) -> str:
    """Name the place nearest to a position along the axis."""
    if position is None or not places or position == 0.0:
        return ""
    return min(places, key=lambda place: abs(place.position - position)).name


def finding_sentence(*, finding: LimitFinding, value: Quantity | None, face: LengthFace) -> str:
    """Say how the fit stands to one limit, and what is proved."""
    limit = f"{finding.limit.value} {face.length(finding.limit_m)}"
    if finding.margin_m is None:
        side = {Proof.INSIDE: "kept", Proof.OUTSIDE: "broken", Proof.OPEN: "cannot tell"}
        return f"{limit}: {side[finding.proof]}"
    words = {
        Proof.INSIDE: "kept, proved",
        Proof.OUTSIDE: "broken, proved",
        Proof.OPEN: "kept, not proved" if finding.inside else "broken, not proved",
    }[finding.proof]
    chance = finding.chance_inside or 0.0
    shown = f" by {face.value(value)}" if value is not None else ""
    return f"{limit}: {words}{shown} (chance inside {percent(chance)})"


def proved_phrase(*, fit: Fit, verdict: Verdict) -> str:
    """Put what is proved, and what is not, into one line: "not past the service limit; …"."""
    proofs = {one.limit: one.proof for one in verdict.findings}
    parts = []
    for service in (LimitName.SERVICE_HIGH, LimitName.SERVICE_LOW):
        if proofs.get(service) is Proof.INSIDE:
            parts.append("not past the service limit")
    low, high = proofs.get(LimitName.LOW), proofs.get(LimitName.HIGH)
    if low is Proof.OUTSIDE:
        parts.append("under the low limit")
    if high is Proof.OUTSIDE:
        parts.append("over the high limit")
    if low is Proof.INSIDE:
        parts.append(f"not {fit.words_small}")
    if high is Proof.INSIDE:
        parts.append(f"not {fit.words_large}")
    if low is Proof.OPEN:
        parts.append(f"right or {fit.words_small}: cannot tell")
    if high is Proof.OPEN:
        reused = verdict.limits.service_holds and verdict.limits.service_high_m is not None
        parts.append(f"right or {fit.words_loose if reused else fit.words_large}: cannot tell")
    if proofs.get(LimitName.SERVICE_HIGH) is Proof.OPEN:
        parts.append("inside or past the service limit: cannot tell")
    return "; ".join(parts)


_DOUBTS = {
    Doubt.UNCERTAINTY: "the value could be off by more than it is away from the limit",
    Doubt.HIDDEN_FORM: (
        "the value clears the limit by its uncertainty, but form that the readings do not show may"
        " reach over it"
    ),
    Doubt.WIDER_THAN_WINDOW: (
        "the value could be off by as much as the whole build window is wide, so this measurement"
        " cannot show that it is right"
    ),
    Doubt.ONE_SIDED: "a reading that says no more than that cannot decide it",
    Doubt.QUESTION: "a question about a reading is open",
    Doubt.ZERO_CHECK: "the instrument failed its zero check, so its readings are in doubt",
}


def one_sided_words(evidence: Evidence, *, face: LengthFace) -> str:
    """Say between what the readings hold the fit: "at least 0.025 mm, at most 0.076 mm".

    Where a value stands beside them, or the one excludes the other, they speak of single places.
    """
    least_m, most_m = evidence.at_least_m, evidence.at_most_m
    places = evidence.mean is not None or (
        least_m is not None and most_m is not None and least_m > most_m
    )
    loosest, tightest = ("at the loosest place ", "at the tightest place ") if places else ("", "")
    parts = []
    if least_m is not None:
        parts.append(f"{loosest}at least {face.length(least_m)}")
    if most_m is not None:
        parts.append(f"{tightest}at most {face.length(most_m)}")
    return ", ".join(parts)


def _outside_sentence(*, result: FitResult, finding: LimitFinding, face: LengthFace) -> str:
    evidence, leading = result.measurement.evidence, result.measurement.leading
    lower = finding.limit.is_lower
    value = evidence.smallest if lower else evidence.largest
    if value is None:
        bound_m = evidence.at_most_m if lower else evidence.at_least_m
        shown = face.length(bound_m) if bound_m is not None else "one-sided"
        side = "at most" if lower else "at least"
        return f"{side} {shown}, and its {finding.limit.value} is {face.length(finding.limit_m)}"
    position = None
    judged_at = result.fit.low_judged_at if lower else result.fit.high_judged_at
    if leading is not None and judged_at is JudgedAt.EXTREME:
        position = leading.smallest_at if lower else leading.largest_at
    where = place_words(position=position, places=result.places)
    at = f" at the {where}" if where else ""
    sentence = (
        f"{face.value(value)}{at}; its {finding.limit.value} is {face.length(finding.limit_m)}"
    )
    mean = evidence.mean
    if mean is not None and where and abs(mean.value - value.value) > 0.5e-6:
        sentence += f" (the mean is {face.value(mean)})"
    return sentence


def why(*, result: FitResult, face: LengthFace) -> str:
    """Say in one or two sentences why the verdict is what it is; empty for a plain right."""
    verdict, fit = result.verdict, result.fit
    state = verdict.state
    if state is State.READINGS_DISAGREE:
        return disagreement_sentence(result=result, face=face)
    if state is State.CANNOT_TELL:
        doubt = verdict.doubt or Doubt.UNCERTAINTY
        proved = proved_phrase(fit=fit, verdict=verdict)
        if doubt is Doubt.ONE_SIDED:
            read = one_sided_words(result.measurement.evidence, face=face)
            return f"{read}: {proved or _DOUBTS[doubt]}"
        if doubt in (Doubt.UNCERTAINTY, Doubt.HIDDEN_FORM) and proved:
            return f"{_DOUBTS[doubt]}; {proved}"
        return _DOUBTS[doubt]
    if state is State.NOT_MEASURED:
        missing = missing_words(result)
        return f"still to be measured: {missing}" if missing else ""
    if state is State.NO_LIMITS:
        if fit.practice_text:
            return f"no limits in the engine file; for orientation only: {fit.practice_text}"
        return "no limits in the engine file that hold for these parts"
    broken = [one for one in verdict.findings if one.inside is False]
    if state is State.PAST_SERVICE:
        broken = [one for one in broken if one.limit.is_service]
    if broken:
        return "; ".join(_outside_sentence(result=result, finding=f, face=face) for f in broken)
    if verdict.close_to is not None:
        finding = verdict.finding(verdict.close_to)
        if finding is not None and finding.chance_inside is not None:
            return (
                f"the {finding.limit.value} {face.length(finding.limit_m)} lies within what the"
                f" value could be off; chance it is inside {percent(finding.chance_inside)}"
            )
    return ""


def what_to_do(*, fit: Fit, verdict: Verdict) -> str:
    """Say what to do first about a broken limit; empty where none is broken for sure."""
    if verdict.state not in (State.TOO_TIGHT, State.TOO_LOOSE, State.PAST_SERVICE):
        return ""
    broken = [one for one in verdict.findings if one.inside is False]
    small = any(one.limit.is_lower for one in broken)
    large = any(not one.limit.is_lower for one in broken)
    advice = [fit.if_small if small else "", fit.if_large if large else ""]
    return " ".join(text for text in advice if text)


def missing_words(result: FitResult) -> str:
    """Name what the nearest way of measuring still lacks."""
    return _nearest_missing(result, [way for way in result.measurement.ways if way.missing])


def still_to_be_read(result: FitResult) -> str:
    """Name what lacks of the way that was begun; empty where none was."""
    begun = [
        way
        for way in result.measurement.ways
        if 0 < len(way.missing) < len({term.feature for term in way.way.terms})
    ]
    return _nearest_missing(result, begun)


def _nearest_missing(result: FitResult, ways: Sequence[WayResult]) -> str:
    if not ways:
        return ""
    nearest = min(ways, key=lambda way: len(way.missing))
    return ", ".join(result.feature_titles.get(key, key) for key in nearest.missing)


def disagreement_sentence(*, result: FitResult, face: LengthFace) -> str:
    """Show the ways that contradict each other, and by how much."""
    parts = []
    for way in result.measurement.ways:
        evidence = way.evidence
        if evidence.mean is not None:
            parts.append(f"{way.way.title} {face.value(evidence.mean)}")
            continue
        if evidence.at_most_m is not None:
            parts.append(f"{way.way.title} at most {face.length(evidence.at_most_m)}")
        if evidence.at_least_m is not None:
            parts.append(f"{way.way.title} at least {face.length(evidence.at_least_m)}")
    comparison = result.measurement.comparison
    if comparison is not None and not comparison.agree:
        worst = max(abs(pair.normalised_error) for pair in comparison.pairs)
        parts.append(f"they differ {worst:.1f} times as far as their uncertainty allows")
    return "; ".join(parts) + "; no average is taken"


def question_sentence(*, question: Question, face: LengthFace) -> str:
    """Ask back: what was read, what it looks like, what to do."""
    label = question.feature.label(question.number)
    difference = face.length(abs(question.difference_m))
    side = "under" if question.difference_m < 0 else "over"
    match question.kind:
        case QuestionKind.ONE_READING_A_TURN_OFF:
            (reading,) = question.readings
            where = " ".join(part for part in (reading.place, reading.direction) if part)
            return (
                f"{label}, {where or 'one reading'}: {reading_text(reading)} is {difference}"
                f" {side} its other readings, which looks like"
                f" {question.step_text} on the thimble. Read it again; it is set aside until then."
            )
        case QuestionKind.SIZE_A_TURN_OFF:
            return (
                f"{label}: all readings are {difference} {side} the nominal size. That is"
                f" {question.step_text} on the thimble and looks exactly like an undersize. Look"
                " for the undersize mark on crank and old shells, then state the size."
            )
        case QuestionKind.SIZE_NOT_STATED:
            factor = question.feature.undersize_factor
            over_or_under = step_side(
                step_m=question.difference_m / factor, undersize_factor=factor
            )
            return (
                f"{label}: the readings are {difference} {side} the nominal size, which looks like"
                f" {question.step_text} {over_or_under}. Nobody stated it; state what size"
                " it is at now."
            )
        case _:
            return (
                f"{label}: the readings are {difference} {side} the nominal size and fit no"
                " standard undersize. Read it again, or state what size it is at now."
            )


def _instrument_words(remedy: Remedy) -> str:
    titles = list(dict.fromkeys(instrument.title for instrument in remedy.instruments))
    return " and ".join(titles)


def advice_sentence(*, advice: Advice, face: LengthFace) -> str:
    """Say what would decide; the number is fixed before anything more is measured."""
    needed = face_uncertainty(advice.needed_m, face=face)
    if advice.remedies:
        remedy = advice.remedies[0]
        times, end = "once", ""
        if remedy.fittings > 1:
            count = "twice" if remedy.fittings == 2 else f"{remedy.fittings} times"
            times = f"{count}, taken off, cleaned and refitted each time"
            end = " Fix the number before you start; do not stop early."
        chance = ""
        if remedy.chance is not None:
            chance = f", with a chance of {percent(remedy.chance)}"
        if remedy.way.kind is WayKind.ZEROED_GAUGE:
            end = f" Read the journal's own form too, if that is not done yet.{end}"
        reset = any(one.kind is InstrumentKind.BORE_GAUGE for one in remedy.instruments)
        anew = ", gauge set anew each time" if reset and remedy.fittings > 1 else ""
        return (
            f"What would decide{chance}: {remedy.way.title} with {_instrument_words(remedy)},"
            f" {times}{anew}; that brings it to ± {face_uncertainty(remedy.expanded_m, face=face)}"
            f" (needed: ± {needed}).{end}"
        )
    if advice.best is not None:
        best = face_uncertainty(advice.best.expanded_m, face=face)
        return (
            f"Nothing on the shop's list can decide it: needed is ± {needed}, the best on the"
            f" list ({_instrument_words(advice.best)}) reaches ± {best}. Have it measured"
            " elsewhere, or choose parts that move it away from the limit."
        )
    return f"Nothing on the shop's list measures this to ± {needed}."


def condition_words(result: FitResult) -> str:
    """Say which limits held and why: which parts are new or machined, where some are."""
    limits = result.verdict.limits
    if limits.condition is Condition.UNSTATED:
        return "nobody said whether the parts are new, machined or re-used; taken as re-used"
    if limits.service_holds:
        return "re-used parts: build limits and service limit"
    fresh = " and ".join(
        f"{part} {be(part)} {condition.value}"
        for part, condition in result.conditions.items()
        if condition in (Condition.NEW, Condition.MACHINED)
    )
    return f"{fresh or limits.condition.value + ' parts'}: build limits only"


def be(title: str) -> str:
    """ "rod shells are", "the crankshaft is"."""
    return "are" if title.endswith("s") else "is"


def rule_words(rule: DecisionRule) -> str:
    """The rule in words that a customer can read."""
    if rule is DecisionRule.SIMPLE:
        return "simple acceptance: the value decides; close to a limit is said"
    return (
        "with safety margin: right or wrong only where it is at least 95 % sure"
        " (ISO 14253-1, JCGM 106)"
    )
