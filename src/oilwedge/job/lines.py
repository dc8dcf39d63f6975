"""The bytes of a job file as header and entries; what a power cut left of a line is told apart."""

from __future__ import annotations

import json
from dataclasses import dataclass

from oilwedge.errors import Fault, JobFileError, Where
from oilwedge.job.codec import entry_from_document, entry_to_document
from oilwedge.job.entry import Entry
from oilwedge.job.header import JobHeader, header_from_line
from oilwedge.job.record import clash, same_content

TORN_KEY = "torn_lines"


@dataclass(frozen=True, kw_only=True, slots=True)
class TornLine:
    """A line that was cut off while it was written; it never was an entry."""

    line: int
    text: str


@dataclass(frozen=True, kw_only=True, slots=True)
class JobContents:
    """What a job file holds. ``torn``: lines cut off, new ones and those marked earlier."""

    header: JobHeader
    entries: tuple[Entry, ...]
    torn: tuple[TornLine, ...] = ()
    unmarked_torn: tuple[TornLine, ...] = ()  # the next append marks these
    ends_with_newline: bool = True


def entry_to_line(entry: Entry) -> str:
    """The entry as one line of JSON, with the line end."""
    text = json.dumps(entry_to_document(entry), ensure_ascii=False, separators=(",", ":"))
    return text + "\n"


def torn_mark(torn: tuple[TornLine, ...]) -> str:
    """The line that says which lines before it were cut off."""
    return json.dumps({TORN_KEY: [line.line for line in torn]}) + "\n"


def contents_from_bytes(data: bytes, *, file: str) -> JobContents:
    """Header and entries of a job file.

    Lines at the end that are no JSON were cut off by a power cut or a full disk: they are given
    back as torn and all others are kept. Such a line further up must be named by a later mark.
    Anything else that cannot be read raises :class:`JobFileError` with all of it.
    """
    if not data.strip():
        raise JobFileError(
            Fault(
                where=Where(file=file),
                given="",
                allowed="the job file is empty",
                action="delete it and start the job again",
            )
        )
    lines = data.split(b"\n")
    ends_with_newline = lines[-1] == b""
    if ends_with_newline:
        lines.pop()
    try:
        header = header_from_line(lines[0])
    except JobFileError as error:
        raise error.at(Where(file=file, line=1)) from None
    reader = _Lines(file)
    for number, line in enumerate(lines[1:], start=2):
        reader.read(number, line)
    unmarked = reader.finish()
    return JobContents(
        header=header,
        entries=tuple(reader.entries.values()),
        torn=tuple(sorted(reader.marked + unmarked, key=lambda torn: torn.line)),
        unmarked_torn=tuple(unmarked),
        ends_with_newline=ends_with_newline,
    )


class _Lines:
    """Reads line after line, keeping what could not be read until it is known why."""

    def __init__(self, file: str) -> None:
        self.file = file
        self.entries: dict[str, Entry] = {}
        self.marked: list[TornLine] = []
        self._pending: list[TornLine] = []  # no JSON, and nothing readable after it yet
        self._broken: dict[int, TornLine] = {}  # no JSON, with entries after it
        self._faults: list[Fault] = []

    def read(self, number: int, line: bytes) -> None:
        if not line.strip():
            return
        try:
            document = json.loads(line.decode("utf-8"))
        except (UnicodeDecodeError, ValueError, RecursionError):
            text = line.decode("utf-8", "replace")
            self._pending.append(TornLine(line=number, text=text))
            return
        self._broken |= {torn.line: torn for torn in self._pending}
        self._pending = []
        if isinstance(document, dict) and TORN_KEY in document:
            named = document[TORN_KEY] if isinstance(document[TORN_KEY], list) else []
            self.marked += [
                self._broken.pop(n) for n in named if isinstance(n, int) and n in self._broken
            ]
            return
        where = Where(file=self.file, line=number)
        try:
            entry = entry_from_document(document)
        except JobFileError as error:
            self._faults += error.at(where).faults
            return
        self._keep(entry, where)

    def _keep(self, entry: Entry, where: Where) -> None:
        old = self.entries.setdefault(entry.id, entry)
        if old is not entry and not same_content(old, entry):
            self._faults.append(clash(old=old, new=entry).at(where))

    def finish(self) -> list[TornLine]:
        faults = self._faults + [
            Fault(
                where=Where(file=self.file, line=torn.line),
                given=torn.text[:40].strip(),
                allowed="this line was damaged after it was written",
                action="take the file from a copy, or mend the line",
            )
            for torn in self._broken.values()
        ]
        if faults:
            raise JobFileError(*faults)
        return self._pending
