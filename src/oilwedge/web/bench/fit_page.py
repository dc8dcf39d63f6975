"""One fit: its number, the ways compared, the verdict in a sentence, the readings behind it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from django.http import Http404

from oilwedge.report.state_sign import StateSign
from oilwedge.report.window_sign import WindowSign
from oilwedge.usecases.judgement import FitResult, Judgement
from oilwedge.usecases.learning import Lesson, fit_lesson
from oilwedge.usecases.length_face import LengthFace
from oilwedge.usecases.reading_text import reading_text
from oilwedge.usecases.remarks import Remark, remark
from oilwedge.usecases.signs import line_text, shown_lines, shown_value, state_sign, window_sign
from oilwedge.usecases.verdict_document import limits_text
from oilwedge.usecases.wording import condition_words, missing_words, verdict_words
from oilwedge.web.bench.addresses import fit_address, set_address
from oilwedge.web.bench.job_page import document_in, results_hidden, shows_line
from oilwedge.web.bench.moments import moment
from oilwedge.web.people.models import Account
from oilwedge.web.record.judged import engine_of, judged
from oilwedge.web.record.models import Job
from oilwedge.web.record.store import entries_of, people_of


@dataclass(frozen=True, kw_only=True, slots=True)
class Behind:
    """A reading that the result rests on."""

    where: str
    typed: str
    who: str
    when: str
    sequence: int


@dataclass(frozen=True, kw_only=True, slots=True)
class SetLink:
    """A set that belongs to the fit."""

    title: str
    count: int
    address: str


@dataclass(frozen=True, kw_only=True, slots=True)
class Neighbour:
    """Another fit of the same kind."""

    label: str
    value: str
    state: StateSign
    words: str
    address: str


@dataclass(frozen=True, kw_only=True, slots=True)
class FitPage:
    """What the page of a fit shows; without ``state`` its result is hidden."""

    key: str
    number: int
    label: str
    sets: tuple[SetLink, ...]
    lesson: Lesson
    state: StateSign | None = None
    words: str = ""
    number_text: str = ""
    off_text: str = ""
    limits: str = ""
    limits_from: str = ""
    conditions: str = ""
    window: WindowSign | None = None
    remark: Remark | None = None
    missing: str = ""
    readings: tuple[Behind, ...] = ()
    neighbours: tuple[Neighbour, ...] = ()


def found_fit(job: Job, *, fit: str, number: int) -> FitResult:
    """The judged fit; 404 for one that the engine has not."""
    found = engine_of(job).fits.get(fit)
    if found is None or number not in found.numbers:
        raise Http404("The engine has no such fit.")
    return next(one for one in judged(job).fits if (one.key, one.number) == (fit, number))


def fit_hidden(job: Job, *, account: Account, fit: str, number: int, unit: str) -> bool:
    """Whether somebody may not see this result yet."""
    if results_hidden(job, account):
        return True
    return any(
        not shows_line(job, one, account=account)
        for one in document_in(job, unit=unit)["fits"]
        if (one["fit"], one["number"]) == (fit, number)
    )


def fit_page(job: Job, *, account: Account, fit: str, number: int, unit: str) -> FitPage:
    """The fit as this account sees it."""
    result = found_fit(job, fit=fit, number=number)
    judgement = judged(job)
    sets = _sets(job, result, judgement)
    lesson = fit_lesson(judgement.engine, fit)
    if fit_hidden(job, account=account, fit=fit, number=number, unit=unit):
        return FitPage(key=fit, number=number, label=result.label, sets=sets, lesson=lesson)
    face = LengthFace(unit=unit)
    number_text, off_text = _number(result, face=face)
    return FitPage(
        key=fit,
        number=number,
        label=result.label,
        sets=sets,
        lesson=lesson,
        state=state_sign(result),
        words=verdict_words(fit=result.fit, verdict=result.verdict),
        number_text=number_text,
        off_text=off_text,
        limits=limits_text(result, face=face),
        limits_from=result.fit.limits_from,
        conditions=condition_words(result),
        window=_window(result, face=face),
        remark=remark(result=result, face=face),
        missing=missing_words(result),
        readings=_behind(job, result, judgement),
        neighbours=_neighbours(job, result, judgement, account=account, face=face),
    )


def _number(result: FitResult, *, face: LengthFace) -> tuple[str, str]:
    """The number and what it could be off by; ("", words) where there is no one number."""
    lines = shown_lines(result, every_way=False)
    if not lines or lines[0].name:
        return "", ""
    number, _, off = line_text(lines[0], face=face).partition(" ± ")
    return (number, f"± {off}") if off else ("", number.replace("\n", ", "))


def _window(result: FitResult, *, face: LengthFace) -> WindowSign:
    """The window with every way in it; each mark has its way and value written over it."""
    sign = window_sign(result, unit=face.unit, every_way=True)
    lines = shown_lines(result, every_way=True)
    labels = [
        f"{line.name or 'result'}: {text}"
        for line in lines
        for text in line_text(line, face=face).split("\n")
    ]
    if len(lines) < 2 or len(labels) != len(sign.marks):
        return sign
    marks = (replace(mark, label=label) for mark, label in zip(sign.marks, labels, strict=True))
    return replace(sign, marks=tuple(marks))


def _sets(job: Job, result: FitResult, judgement: Judgement) -> tuple[SetLink, ...]:
    counts: dict[str, int] = {}
    for reading in judgement.standing.readings:
        if reading.number == result.number:
            counts[reading.feature] = counts.get(reading.feature, 0) + 1
    return tuple(
        SetLink(
            title=judgement.engine.features[key].label(result.number),
            count=counts.get(key, 0),
            address=set_address(job, feature=key, number=result.number),
        )
        for key in result.fit.features
    )


def _behind(job: Job, result: FitResult, judgement: Judgement) -> tuple[Behind, ...]:
    names = people_of(job)
    sequences = {entry.id: n for n, entry in enumerate(entries_of(job), start=1)}
    found = []
    for reading in judgement.standing.readings:
        if reading.feature in result.fit.features and reading.number == result.number:
            label = judgement.engine.features[reading.feature].label(reading.number)
            parts = (label, reading.place, reading.direction)
            found.append(
                Behind(
                    where=", ".join(part for part in parts if part),
                    typed=reading_text(reading),
                    who=names.get(reading.person, reading.person),
                    when=moment(reading.time),
                    sequence=sequences[reading.id],
                )
            )
    return tuple(found)


def _neighbours(
    job: Job, result: FitResult, judgement: Judgement, *, account: Account, face: LengthFace
) -> tuple[Neighbour, ...]:
    lines = document_in(job, unit=face.unit)["fits"]
    seen = {(x["fit"], x["number"]) for x in lines if shows_line(job, x, account=account)}
    others: Sequence[FitResult] = [
        one
        for one in judgement.fits
        if one.key == result.key and one.number != result.number and (one.key, one.number) in seen
    ]
    return tuple(
        Neighbour(
            label=one.label,
            value=shown_value(one, face=face).split("\n")[0],
            state=state_sign(one),
            words=verdict_words(fit=one.fit, verdict=one.verdict),
            address=fit_address(job, fit=one.key, number=one.number),
        )
        for one in others
    )
