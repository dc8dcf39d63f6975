"""The verdict on one fit: right, wrong, or cannot tell; and what is proved on each side.

The rule is the engine file's (JCGM 106:2012, clause 8; ISO 14253-1:2017): with simple acceptance
the value decides; with the safety margin it has to clear the limit by a guard band that keeps the
chance of a wrong "right" at 5 % at the most, shared between the two sides where there are two.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import Enum

from oilwedge.fits.evidence import Evidence
from oilwedge.fits.limits import LimitName, LimitsInForce
from oilwedge.uncertainty.conformity import (
    DecisionRule,
    JointChance,
    chance_above,
    chance_below,
    chance_inside,
    guard_band,
)
from oilwedge.uncertainty.quantity import ErrorSource, Quantity, SourceKind

RISK = 0.05  # ISO 14253-1:2017 default: 95 % (RECALLED)


class State(Enum):
    """What can be said of a fit."""

    RIGHT = "right"
    LOOSE = "loose"
    TOO_LOOSE = "too loose"
    PAST_SERVICE = "past service limit"
    TOO_TIGHT = "too tight"
    CANNOT_TELL = "cannot tell"
    READINGS_DISAGREE = "readings disagree"
    NOT_MEASURED = "not measured"
    NO_LIMITS = "no limits given"


class Proof(Enum):
    """What the measurement proves about one limit."""

    INSIDE = "inside"
    OUTSIDE = "outside"
    OPEN = "open"


class Doubt(Enum):
    """Why it cannot be told."""

    UNCERTAINTY = "the uncertainty reaches over the limit"
    HIDDEN_FORM = "form that the plan does not show may reach over the limit"
    WIDER_THAN_WINDOW = "the uncertainty is as wide as the whole build window"
    ONE_SIDED = "the reading only says at most or at least"
    QUESTION = "a question about a reading is open"
    ZERO_CHECK = "the instrument failed its zero check"


@dataclass(frozen=True, kw_only=True, slots=True)
class LimitFinding:
    """How the fit stands to one of its limits. ``margin_m`` is positive on the allowed side."""

    limit: LimitName
    limit_m: float
    margin_m: float | None
    expanded_m: float | None
    guard_m: float | None
    chance_inside: float | None
    inside: bool | None
    proof: Proof

    @property
    def close(self) -> bool:
        """Whether the limit lies within U of the value."""
        if self.margin_m is None or self.expanded_m is None:
            return False
        return abs(self.margin_m) <= self.expanded_m


@dataclass(frozen=True, kw_only=True, slots=True)
class Verdict:
    """One fit's verdict, with everything that it rests on."""

    state: State
    rule: DecisionRule
    limits: LimitsInForce
    findings: tuple[LimitFinding, ...] = ()
    close_to: LimitName | None = None
    doubt: Doubt | None = None
    chance: JointChance | None = None

    def finding(self, name: LimitName) -> LimitFinding | None:
        """Give the finding on one limit, if that limit is in force."""
        return next((one for one in self.findings if one.limit is name), None)


def _chance(*, value: Quantity, limit: LimitName, limit_m: float) -> float:
    if limit.is_lower:
        return chance_above(value=value, limit=limit_m)
    return chance_below(value=value, limit=limit_m)


def _in_short(value: Quantity) -> Quantity:
    """The same value, u and degrees of freedom on one source: quick to ask limit after limit."""
    u = value.standard_uncertainty
    if u == 0.0:
        return value
    source = ErrorSource(
        key="in short",
        kind=SourceKind.OTHER,
        words="all of it",
        degrees_of_freedom=value.degrees_of_freedom,
    )
    return Quantity(value.value, {source: u})


def _finding_from_value(
    *, limit: LimitName, limit_m: float, value: Quantity, risk: float, hidden_m: float
) -> LimitFinding:
    margin = value.value - limit_m if limit.is_lower else limit_m - value.value
    guard = guard_band(
        standard_uncertainty=value.standard_uncertainty,
        degrees_of_freedom=value.degrees_of_freedom,
        risk=risk,
    )
    # To prove "outside" there is one side to err on, so the whole risk belongs to it.
    guard_outside = guard_band(
        standard_uncertainty=value.standard_uncertainty,
        degrees_of_freedom=value.degrees_of_freedom,
        risk=RISK,
    )
    if margin >= guard + hidden_m:
        proof = Proof.INSIDE
    elif margin < 0 and -margin >= guard_outside:
        proof = Proof.OUTSIDE
    else:
        proof = Proof.OPEN
    return LimitFinding(
        limit=limit,
        limit_m=limit_m,
        margin_m=margin,
        expanded_m=value.expanded().half_width,
        guard_m=guard,
        chance_inside=_chance(value=value, limit=limit, limit_m=limit_m),
        inside=margin >= 0,
        proof=proof,
    )


def _finding_from_bounds(*, limit: LimitName, limit_m: float, evidence: Evidence) -> LimitFinding:
    """One place beyond the limit breaks it; to keep it every place must be known to."""
    inside: bool | None = None
    least_m, most_m = evidence.everywhere_at_least_m, evidence.everywhere_at_most_m
    measured = evidence.mean is not None  # then the bounds do not speak of every place
    if limit.is_lower:
        if evidence.at_most_m is not None and evidence.at_most_m < limit_m:
            inside = False
        elif least_m is not None and least_m >= limit_m and not measured:
            inside = True
    elif evidence.at_least_m is not None and evidence.at_least_m > limit_m:
        inside = False
    elif most_m is not None and most_m <= limit_m and not measured:
        inside = True
    proof = {True: Proof.INSIDE, False: Proof.OUTSIDE, None: Proof.OPEN}[inside]
    return LimitFinding(
        limit=limit,
        limit_m=limit_m,
        margin_m=None,
        expanded_m=None,
        guard_m=None,
        chance_inside=None,
        inside=inside,
        proof=proof,
    )


def _place_that_judges(evidence: Evidence, name: LimitName) -> Quantity | None:
    """The tightest place for a lower limit, the loosest for an upper one.

    None where a one-sided reading tells of a place that is tighter (or looser) still: then that
    bound judges, for the value does not speak of that place.
    """
    if name.is_lower:
        value, bound_m = evidence.smallest, evidence.at_most_m
        hidden = value is not None and bound_m is not None and bound_m < value.value
    else:
        value, bound_m = evidence.largest, evidence.at_least_m
        hidden = value is not None and bound_m is not None and bound_m > value.value
    return None if hidden else value


def limit_findings(*, evidence: Evidence, limits: LimitsInForce) -> tuple[LimitFinding, ...]:
    """Hold the tightest place against the lower limits and the loosest against the upper ones.

    Two limits of one kind share the risk, half on each side; one alone has it all.
    """
    findings = []
    smallest = None if evidence.smallest is None else _in_short(evidence.smallest)
    largest = evidence.largest
    if largest is not None:
        largest = smallest if largest is evidence.smallest else _in_short(largest)
    places = replace(evidence, smallest=smallest, largest=largest)
    for name, partner in (
        (LimitName.LOW, LimitName.HIGH),
        (LimitName.HIGH, LimitName.LOW),
        (LimitName.SERVICE_LOW, LimitName.SERVICE_HIGH),
        (LimitName.SERVICE_HIGH, LimitName.SERVICE_LOW),
    ):
        limit_m = limits.value_of(name)
        if limit_m is None:
            continue
        value = _place_that_judges(places, name)
        if value is None:
            finding = _finding_from_bounds(limit=name, limit_m=limit_m, evidence=evidence)
        else:
            risk = RISK / 2 if limits.value_of(partner) is not None else RISK
            finding = _finding_from_value(
                limit=name,
                limit_m=limit_m,
                value=value,
                risk=risk,
                hidden_m=evidence.hidden_form_m,
            )
        findings.append(finding)
    return tuple(findings)


def _sides(findings: Sequence[LimitFinding], *, needs_proof: bool) -> dict[LimitName, bool | None]:
    """Say for each limit in force: inside, outside, or None for undecided."""
    if not needs_proof:
        return {one.limit: one.inside for one in findings}
    decided = {Proof.INSIDE: True, Proof.OUTSIDE: False, Proof.OPEN: None}
    return {one.limit: decided[one.proof] for one in findings}


class _Side(Enum):
    """How a fit stands on its small or its large side."""

    KEPT = "inside its build limit"
    WORN = "beyond its build limit, inside the wear limit"
    BROKEN = "beyond its build limit, and no wear limit allows it"
    OPEN = "cannot tell"


def _one_side(
    sides: dict[LimitName, bool | None], *, build: LimitName, service: LimitName
) -> _Side:
    """Put the two limits of one side together; past the wear limit was looked at before.

    Where there is no build limit the wear limit alone decides, and where there is neither
    nothing is broken.
    """
    kept = sides.get(build, sides.get(service, True))
    if kept is True:
        return _Side.KEPT
    if kept is None:
        return _Side.OPEN
    if service not in sides:
        return _Side.BROKEN
    return _Side.WORN if sides[service] else _Side.OPEN


def _state(sides: dict[LimitName, bool | None]) -> State:
    """Turn the sides into a state. A limit that is missing is never broken."""
    if False in (sides.get(LimitName.SERVICE_LOW), sides.get(LimitName.SERVICE_HIGH)):
        return State.PAST_SERVICE
    low = _one_side(sides, build=LimitName.LOW, service=LimitName.SERVICE_LOW)
    high = _one_side(sides, build=LimitName.HIGH, service=LimitName.SERVICE_HIGH)
    if low is _Side.BROKEN:
        return State.TOO_TIGHT
    if high is _Side.BROKEN:
        return State.TOO_LOOSE
    if _Side.OPEN in (low, high):
        return State.CANNOT_TELL
    return State.LOOSE if _Side.WORN in (low, high) else State.RIGHT


def _why_open(findings: Sequence[LimitFinding]) -> Doubt:
    """Hidden form where every open limit is cleared by the guard band; else the uncertainty."""
    cleared = [
        one.margin_m is not None and one.guard_m is not None and one.margin_m >= one.guard_m
        for one in findings
        if one.proof is Proof.OPEN
    ]
    return Doubt.HIDDEN_FORM if cleared and all(cleared) else Doubt.UNCERTAINTY


def _wider_than_window(*, evidence: Evidence, limits: LimitsInForce) -> bool:
    """Say whether U is as large as the whole window: even in its middle the value tells nothing."""
    if limits.low_m is None or limits.high_m is None or evidence.mean is None:
        return False
    return evidence.mean.expanded().half_width >= limits.high_m - limits.low_m


def _closest(findings: Sequence[LimitFinding], state: State) -> LimitName | None:
    """Name the limit that lies within U of the value, the nearest one first."""
    if state in (State.CANNOT_TELL, State.NO_LIMITS, State.READINGS_DISAGREE):
        return None
    close = [one for one in findings if one.close and one.margin_m is not None]
    if state is State.RIGHT:
        # A wear limit says something of a right fit only where no build limit stands before it.
        given = {one.limit for one in findings}
        before = {LimitName.SERVICE_LOW: LimitName.LOW, LimitName.SERVICE_HIGH: LimitName.HIGH}
        close = [one for one in close if before.get(one.limit) not in given]
    else:
        # Only a limit that makes the verdict: the one that is broken, or the next one out.
        worn = state is State.LOOSE
        close = [one for one in close if not one.inside or (worn and one.limit.is_service)]
    if not close:
        return None
    return min(close, key=lambda one: abs(one.margin_m or 0.0)).limit


def _joint_chance(*, evidence: Evidence, limits: LimitsInForce) -> JointChance | None:
    if evidence.smallest is None or evidence.largest is None:
        return None
    if limits.low_m is None and limits.high_m is None:
        return None
    if any(_place_that_judges(evidence, name) is None for name in (LimitName.LOW, LimitName.HIGH)):
        return None
    return chance_inside(
        low=evidence.smallest,
        high=evidence.largest,
        low_limit=limits.low_m,
        high_limit=limits.high_m,
    )


def judge_fit(
    *,
    evidence: Evidence,
    limits: LimitsInForce,
    rule: DecisionRule,
    doubt: Doubt | None = None,
    readings_disagree: bool = False,
) -> Verdict:
    """Judge one fit.

    ``doubt`` is a reason from outside the numbers (an open question, a failed zero check) that
    keeps the numbers from deciding; ``readings_disagree`` says that two ways of measuring do not
    fit together, so that no average of them may judge.
    """
    if evidence.empty and doubt is None:
        state = State.NOT_MEASURED if limits.any_given else State.NO_LIMITS
        return Verdict(state=state, rule=rule, limits=limits)
    if not limits.any_given:
        return Verdict(state=State.NO_LIMITS, rule=rule, limits=limits)
    findings = limit_findings(evidence=evidence, limits=limits)
    needs_proof = rule is DecisionRule.SAFETY_MARGIN
    sides = _sides(findings, needs_proof=needs_proof)
    state = _state(sides)
    one_sided = any(one.margin_m is None and one.proof is Proof.OPEN for one in findings)
    if state is State.CANNOT_TELL:
        doubt = doubt or (Doubt.ONE_SIDED if one_sided else _why_open(findings))
    if doubt is None and _wider_than_window(evidence=evidence, limits=limits):
        wholly_outside = any(one.proof is Proof.OUTSIDE for one in findings)
        doubt = None if wholly_outside else Doubt.WIDER_THAN_WINDOW
    if readings_disagree:
        state = State.READINGS_DISAGREE
    elif doubt is not None:
        state = State.CANNOT_TELL
    return Verdict(
        state=state,
        rule=rule,
        limits=limits,
        findings=findings,
        close_to=_closest(findings, state),
        doubt=None if readings_disagree else doubt,
        chance=_joint_chance(evidence=evidence, limits=limits),
    )
