"""The page of a class: every bench with how far it is, who is stuck, whose readings differ."""

from __future__ import annotations

import datetime
import functools
import hashlib
from collections.abc import Sequence
from dataclasses import dataclass, replace

from django.utils.safestring import SafeString, mark_safe

from oilwedge import __version__
from oilwedge.report.crank_drawing import crank_svg
from oilwedge.report.crank_parts import describe_crank
from oilwedge.report.svg_text import svg_escape
from oilwedge.usecases.class_board import AGREEMENT_WORDS, is_stuck
from oilwedge.usecases.class_words import (
    bench_sentence,
    difference_text,
    mark_text,
)
from oilwedge.usecases.job_summary import crank_from
from oilwedge.web.bench.moments import moment
from oilwedge.web.classroom.benches import Bench
from oilwedge.web.classroom.compared import ClassState, Compared, class_state
from oilwedge.web.classroom.strips import SetStrip, set_strips
from oilwedge.web.record.judged import current_shop, engine_of_digest
from oilwedge.web.record.models import ClassTask

_DAY = len("2031-03-01 ")  # what a date takes before the time of day


@dataclass(frozen=True, kw_only=True, slots=True)
class BoardLine:
    """One bench on the page. ``stuck`` says since when nothing came; empty where it goes on."""

    bench: Bench
    progress: Compared
    crank: SafeString
    stuck: str
    last: str
    sentence: str
    differs: int
    mark: str
    average: str
    largest: str

    @property
    def stage(self) -> str:
        """Where it stands in a word or two."""
        if self.progress.done:
            return "done"
        return "measuring" if self.progress.begun else "not begun"


@dataclass(frozen=True, kw_only=True, slots=True)
class Board:
    """All that changes on the page of a class."""

    lines: tuple[BoardLine, ...]
    reference: BoardLine | None
    strips: tuple[SetStrip, ...]
    state: ClassState

    @property
    def stuck(self) -> tuple[BoardLine, ...]:
        """The benches that are stuck."""
        return tuple(one for one in self.lines if one.stuck)

    @property
    def done(self) -> int:
        """Benches that are done."""
        return sum(one.progress.done for one in self.lines)

    @property
    def not_begun(self) -> int:
        """Benches without a reading."""
        return sum(not one.progress.begun for one in self.lines)

    @property
    def measuring(self) -> int:
        """Benches at work."""
        return len(self.lines) - self.done - self.not_begun

    @property
    def differing(self) -> tuple[BoardLine, ...]:
        """Benches with a place that differs, the most places first."""
        found = [one for one in self.lines if one.differs]
        return tuple(sorted(found, key=lambda one: -one.differs))


def board(task: ClassTask, *, benches: Sequence[Bench], now: datetime.datetime, unit: str) -> Board:
    """The class as it stands now."""
    state = class_state(task, benches=benches)
    lines = [_line(one, state, task=task, now=now, unit=unit) for one in benches]
    names = {one.job.pk: f"{one.short} {one.name}" for one in benches}
    return Board(
        lines=tuple(one for one in lines if not one.bench.job.is_reference),
        reference=next((one for one in lines if one.bench.job.is_reference), None),
        strips=set_strips(state, names=names, unit=unit),
        state=state,
    )


def board_tag(
    task: ClassTask, *, benches: Sequence[Bench], now: datetime.datetime, unit: str
) -> str:
    """The name of the page's state for a browser: it changes whenever the page does."""
    state = class_state(task, benches=benches)
    parts: Sequence[object] = (
        [(one.job.head, one.name, one.job.closed, one.repeat_of) for one in benches],
        [bool(_stuck(one, state.compared[one.job.pk], now=now)) for one in benches],
        task.pk,
        task.shows_results,
        task.closed_at,
        current_shop().digest,
        unit,
        __version__,
    )
    return hashlib.sha256(repr(parts).encode()).hexdigest()[:32]


def _stuck(bench: Bench, progress: Compared, *, now: datetime.datetime) -> str:
    if bench.job.closed or not is_stuck(planned=progress.sets, last=progress.last, now=now):
        return ""
    return _clock(progress.last, now=now)


def _clock(time: datetime.datetime | None, *, now: datetime.datetime) -> str:
    """The time of day for today, the date as well for another day."""
    return moment(time).removeprefix(moment(now)[:_DAY])


def _line(
    bench: Bench, state: ClassState, *, task: ClassTask, now: datetime.datetime, unit: str
) -> BoardLine:
    progress = state.compared[bench.job.pk]
    signs = tuple((key, sign.value) for key, sign in progress.signs.items())
    line = BoardLine(
        bench=bench,
        progress=progress,
        crank=_crank(task.engine_id, signs),
        stuck=_stuck(bench, progress, now=now),
        last=_clock(progress.last, now=now) if progress.begun else "",
        sentence="",
        differs=0,
        mark="",
        average="",
        largest="",
    )
    at = state.column(bench.job.pk)
    if at is None:
        return line
    row = state.comparison.benches[at]
    mean, largest = row.mean_difference_m, row.largest_en
    return replace(
        line,
        sentence=bench_sentence(
            row, slots=state.comparison.slots, bench=at, unit=unit, against=state.against
        ),
        differs=len(row.beyond),
        mark=mark_text(row, places=state.places),
        average=difference_text(mean, unit=unit) if mean is not None else "",
        largest=f"{abs(largest):.1f}" if largest is not None else "",
    )


@functools.lru_cache(maxsize=512)
def _crank(engine_digest: str, signs: tuple[tuple[str, str], ...]) -> SafeString:
    """The small crank; its signs say agreement, and so do the words for a screen reader."""
    marks = [{"key": key, "sign": sign} for key, sign in signs]
    drawing = crank_from({"crank": marks}, engine=engine_of_digest(engine_digest))
    words = describe_crank(drawing)
    said = words
    for sign, own in AGREEMENT_WORDS.items():
        said = said.replace(f": {sign.words}", f": {own}")
    svg = crank_svg(drawing).replace(svg_escape(words), svg_escape(said))
    return mark_safe(svg)
