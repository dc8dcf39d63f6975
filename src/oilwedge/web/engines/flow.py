"""From what was sent to an engine file that is kept, and from there to a job's."""

from __future__ import annotations

import difflib
from dataclasses import dataclass

from django.core.files.uploadedfile import UploadedFile
from django.db.models import Count

from oilwedge.errors import Fault
from oilwedge.job.entry import Event, EventKind
from oilwedge.usecases.engine_files import check_engine_text, engine_text_of
from oilwedge.web.record.models import EngineText, Job
from oilwedge.web.record.store import entries_of, keep_engine

LIST_LENGTH = 100
CONTEXT_LINES = 2


@dataclass(frozen=True, kw_only=True, slots=True)
class FaultyLine:
    """A fault with the lines of the file around it; ``here`` marks the line itself."""

    sentence: str
    line: int | None
    around: tuple[tuple[int, str, bool], ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class CheckedText:
    """A text with its faults and warnings; ``name`` is the engine's when there is no fault."""

    text: str
    faults: tuple[FaultyLine, ...] = ()
    warnings: tuple[FaultyLine, ...] = ()
    name: str = ""
    digest: str = ""

    @property
    def fine(self) -> bool:
        """Whether it can be kept."""
        return not self.faults


def check_text(text: str) -> CheckedText:
    """Check an engine file as it was typed or sent."""
    checked = check_engine_text(text, file="engine file")
    lines = text.splitlines()
    engine = checked.engine
    return CheckedText(
        text=text,
        faults=tuple(_at_line(fault, lines) for fault in checked.faults),
        warnings=tuple(_at_line(fault, lines) for fault in checked.warnings),
        name=engine.name if engine is not None else "",
        digest=engine.digest if engine is not None else "",
    )


def _at_line(fault: Fault, lines: list[str]) -> FaultyLine:
    line = fault.where.line
    around: tuple[tuple[int, str, bool], ...] = ()
    if line is not None:
        first, last = max(1, line - CONTEXT_LINES), min(len(lines), line + CONTEXT_LINES)
        around = tuple((n, lines[n - 1], n == line) for n in range(first, last + 1))
    return FaultyLine(sentence=fault.sentence(), line=line, around=around)


def keep_text(checked: CheckedText) -> EngineText:
    """Keep an engine file that has no fault; the same text is kept once."""
    return keep_engine(name=checked.name, digest=checked.digest, text=checked.text)


def sent_text(typed: str, sent: UploadedFile[bytes] | None) -> str:
    """The text from the field, or from the file that was chosen; line ends as TOML has them."""
    if sent is not None:
        return engine_text_of(sent.read(), file=sent.name or "file")
    return typed.replace("\r\n", "\n")


def kept_files(*, words: str) -> list[EngineText]:
    """Kept engine files with ``jobs``, the number of jobs that go by them; newest first."""
    files = EngineText.objects.annotate(jobs=Count("job")).order_by("-first_seen")
    if words:
        files = files.filter(name__icontains=words)
    return list(files[:LIST_LENGTH])


@dataclass(frozen=True, kw_only=True, slots=True)
class DiffLine:
    """One line of a comparison: ``kind`` is same, old or new."""

    kind: str
    text: str


def differing_lines(old: str, new: str) -> tuple[DiffLine, ...]:
    """The lines that two files do not share, with three lines around them."""
    found = []
    kinds = {"-": "old", "+": "new", " ": "same", "@": "gap"}
    for line in difflib.unified_diff(old.splitlines(), new.splitlines(), lineterm="", n=3):
        if line.startswith(("---", "+++")):
            continue
        kind = kinds.get(line[:1], "same")
        found.append(DiffLine(kind=kind, text="⋯" if kind == "gap" else line[1:]))
    return tuple(found)


@dataclass(frozen=True, kw_only=True, slots=True)
class JobRevision:
    """One of the engine files that held for a job, from when on and why."""

    engine: EngineText
    event: Event


def revisions_of(job: Job) -> tuple[JobRevision, ...]:
    """The engine files that held for a job, the one in force first."""
    events = [
        entry
        for entry in entries_of(job)
        if isinstance(entry, Event) and entry.kind is EventKind.ENGINE
    ]
    kept = EngineText.objects.in_bulk([event.value for event in events])
    found = [
        JobRevision(engine=kept[event.value], event=event)
        for event in events
        if event.value in kept
    ]
    return tuple(reversed(found))
