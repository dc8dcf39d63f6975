"""A job in short: counts, a line for each fit, the crank, what it waits for and what comes next.

A page shows it, and the record stores it beside what it was made from.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from oilwedge import __version__
from oilwedge.engine.model import Engine, WayKind
from oilwedge.fits.verdict import State
from oilwedge.job.standing import Standing
from oilwedge.report.crank_parts import CrankDrawing, MainMark, elements_in_order
from oilwedge.report.crank_svg import bearing_key
from oilwedge.report.state_sign import StateSign
from oilwedge.report.window_sign import Bound, WindowMark, WindowSign
from oilwedge.usecases.judgement import WORST_FIRST, FitResult, Judgement
from oilwedge.usecases.length_face import LengthFace
from oilwedge.usecases.measuring.sets import SetProgress
from oilwedge.usecases.signs import crank_drawing, shown_value, state_sign, window_sign
from oilwedge.usecases.wording import verdict_words

SCHEMA = 1
MAIN_FIT, ROD_FIT = "main_bearing", "rod_bearing"
Json = dict[str, Any]  # what json.dumps takes; docs and tests say its shape

_OUTSIDE = (State.PAST_SERVICE, State.TOO_TIGHT, State.TOO_LOOSE)
_UNDECIDED = (State.READINGS_DISAGREE, State.CANNOT_TELL)


@dataclass(frozen=True, kw_only=True, slots=True)
class NextStep:
    """What comes next: ``kind`` is measure, answer, check zero, decide, sign, close or none.

    ``feature`` and ``number`` name a set to measure or ask about, ``fit`` a verdict to decide.
    """

    kind: str
    words: str
    feature: str = ""
    number: int | None = None
    fit: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class BearingLink:
    """Where touching a bearing of the crank leads: its fit, and the set to measure."""

    key: str  # as links of the drawing are keyed: "main 2", "rod 1"
    fit: str
    feature: str
    number: int


def next_step(judgement: Judgement, *, planned: Sequence[SetProgress] = ()) -> NextStep:
    """What the job waits for first.

    Order: parts to be measured again, questions, failed zero checks, readings of the plan, what is
    outside its limits or undecided and nobody decided on, the signature, closing.
    """
    now = judgement.standing
    if now.closed is not None:
        return NextStep(kind="none", words="nothing: it is closed")
    for step in (
        _again(now),
        _question(judgement),
        _zero(judgement),
        _plan(planned),
        _decision(judgement),
    ):
        if step is not None:
            return step
    if not _signed(now):
        return NextStep(kind="sign", words="the signature")
    return NextStep(kind="close", words="nothing: ready to close")


def _again(now: Standing) -> NextStep | None:
    if not now.measure_again:
        return None
    feature, number, _ = now.measure_again[0]
    words = f"{feature.label(number)} to be measured again"
    more = len(now.measure_again) - 1
    if more:
        words += f", and {more} more"
    return NextStep(kind="measure", words=words, feature=feature.key, number=number)


def _question(judgement: Judgement) -> NextStep | None:
    if not judgement.questions:
        return None
    first = judgement.questions[0]
    words = f"a question about {first.feature.label(first.number)}"
    more = len(judgement.questions) - 1
    if more:
        words += f", and {more} more"
    return NextStep(kind="answer", words=words, feature=first.feature.key, number=first.number)


def _zero(judgement: Judgement) -> NextStep | None:
    if not judgement.standing.doubted:
        return None
    one = judgement.standing.doubted[0]
    instrument = judgement.shop.instruments.get(one.instrument)
    title = instrument.title if instrument is not None else one.instrument
    return NextStep(
        kind="check zero",
        words=f"the {title} to be set, checked and measured with again",
        feature=one.reading.feature,
        number=one.reading.number,
    )


def _plan(planned: Sequence[SetProgress]) -> NextStep | None:
    left = sum(one.open for one in planned)
    if not left:
        return None
    begun = next((one for one in planned if one.open and one.taken), None)
    first = begun or next(one for one in planned if one.open)
    words = "1 reading of the plan" if left == 1 else f"{left} readings of the plan"
    return NextStep(kind="measure", words=words, feature=first.feature, number=first.number)


def _decision(judgement: Judgement) -> NextStep | None:
    """The worst fit that is not right and that no decision names."""
    for result in judgement.worst_first():
        if wants_decision(result, judgement=judgement):
            said = verdict_words(fit=result.fit, verdict=result.verdict)
            words = f"a decision on {result.label}: {said}"
            return NextStep(kind="decide", words=words, fit=result.key, number=result.number)
    return None


def wants_decision(result: FitResult, *, judgement: Judgement) -> bool:
    """Whether a fit is outside its limits or undecided, and nobody has decided on it."""
    if result.verdict.state not in (*_OUTSIDE, *_UNDECIDED):
        return False
    decided = {(one.subject, one.number) for one in judgement.standing.decisions}
    return not {(result.key, result.number), (result.key, None)} & decided


def _signed(now: Standing) -> bool:
    """Whether somebody signed after the last reading that judges."""
    if not now.signatures:
        return False
    signed = [one.time for one in now.signatures if one.time is not None]
    read = [one.time for one in now.readings if one.time is not None]
    zones = {time.tzinfo is None for time in (*signed, *read)}
    if not signed or not read or len(zones) > 1:
        return True
    return max(signed) >= max(read)


def bearing_links(engine: Engine) -> tuple[BearingLink, ...]:
    """Each bearing of the crank drawing with its fit and the set to measure first."""
    links = []
    for element in elements_in_order(crank_drawing(engine=engine)):
        marks = (element,) if isinstance(element, MainMark) else element.rods
        for mark in marks:
            fit = MAIN_FIT if isinstance(mark, MainMark) else ROD_FIT
            links.append(
                BearingLink(
                    key=bearing_key(mark),
                    fit=fit if fit in engine.fits else "",
                    feature=_feature_to_measure(engine, fit),
                    number=int(mark.label),
                )
            )
    return tuple(links)


def _feature_to_measure(engine: Engine, fit: str) -> str:
    """The shaft of the bearing; any feature of the fit where no way has one."""
    found = engine.fits.get(fit)
    if found is None:
        usual = "main_journal" if fit == MAIN_FIT else "rod_journal"
        return usual if usual in engine.features else ""
    for way in found.ways:
        if way.kind is WayKind.GAUGED:
            return next((t.feature for t in way.terms if t.coefficient < 0), "")
    return next(iter(found.features), "")


def job_crank(judgement: Judgement) -> CrankDrawing:
    """The crank of the job; a bearing that was not measured says so."""
    return crank_drawing(engine=judgement.engine, results=judgement.fits)


def crank_from(document: Json, *, engine: Engine) -> CrankDrawing:
    """The crank of a stored summary, drawn without judging again."""
    bare = crank_drawing(engine=engine)
    signs = {one["key"]: StateSign(one["sign"]) for one in document["crank"]}
    mains = tuple(replace(one, state=signs.get(bearing_key(one), one.state)) for one in bare.mains)
    throws = tuple(
        replace(
            throw,
            rods=tuple(
                replace(one, state=signs.get(bearing_key(one), one.state)) for one in throw.rods
            ),
        )
        for throw in bare.throws
    )
    return replace(bare, mains=mains, throws=throws)


def window_from(line: Json) -> WindowSign:
    """The window of one line of a stored summary."""
    window = line["window"]
    return WindowSign(
        low=window["low"],
        high=window["high"],
        service_low=window["service_low"],
        service_high=window["service_high"],
        marks=tuple(
            WindowMark(
                value=one["value"],
                half_width=one["half_width"],
                bound=Bound[one["bound"].upper()],
            )
            for one in window["marks"]
        ),
    )


def summary(
    judgement: Judgement,
    face: LengthFace,
    *,
    planned: Sequence[SetProgress] = (),
) -> Json:
    """The job in short, as JSON values; ``planned`` are the sets of its plan."""
    step = next_step(judgement, planned=planned)
    return {
        "oilwedge_summary": SCHEMA,
        "oilwedge_version": __version__,
        "engine": {"name": judgement.engine.name, "digest": judgement.engine.digest},
        "job": {"number": judgement.job_number, "head": judgement.head},
        "rule": judgement.rule.value,
        "unit": face.unit,
        "all_right": judgement.all_right(),
        "counts": counts(judgement),
        "fits": [
            {**_line(result, face=face), "undecided": wants_decision(result, judgement=judgement)}
            for result in judgement.worst_first()
        ],
        "crank": _crank_json(judgement),
        "readings": {
            "judging": len(judgement.standing.readings),
            "planned": sum(one.planned for one in planned),
            "open": sum(one.open for one in planned),
            "skipped": sum(one.skipped for one in planned),
        },
        "questions": len(judgement.questions),
        "waits_for": step.words,
        "next_step": {
            "kind": step.kind,
            "words": step.words,
            "feature": step.feature,
            "number": step.number,
            "fit": step.fit,
        },
    }


def counts(judgement: Judgement) -> dict[str, int]:
    """How many fits are in each state, worst first; states that none is in are left out."""
    found = {state.name.lower(): 0 for state in WORST_FIRST}
    for result in judgement.fits:
        found[result.verdict.state.name.lower()] += 1
    return {name: count for name, count in found.items() if count}


def _line(result: FitResult, *, face: LengthFace) -> Json:
    sign = window_sign(result, unit=face.unit, every_way=False)
    return {
        "fit": result.key,
        "number": result.number,
        "label": result.label,
        "state": result.verdict.state.name.lower(),
        "sign": state_sign(result).value,
        "words": verdict_words(fit=result.fit, verdict=result.verdict),
        "value": shown_value(result, face=face),
        "flags": [one.text for one in result.flags],
        "window": {
            "low": sign.low,
            "high": sign.high,
            "service_low": sign.service_low,
            "service_high": sign.service_high,
            "marks": [
                {"value": one.value, "half_width": one.half_width, "bound": one.bound.name.lower()}
                for one in sign.marks
            ],
        },
    }


def _crank_json(judgement: Judgement) -> list[Json]:
    links = {one.key: one for one in bearing_links(judgement.engine)}
    found = []
    for element in elements_in_order(job_crank(judgement)):
        marks = (element,) if isinstance(element, MainMark) else element.rods
        for mark in marks:
            link = links[bearing_key(mark)]
            found.append(
                {
                    "key": link.key,
                    "sign": mark.state.value,
                    "words": mark.state.words,
                    "fit": link.fit,
                    "feature": link.feature,
                    "number": link.number,
                }
            )
    return found
