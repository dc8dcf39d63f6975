"""Whether a stored record is still the one that was written: what was changed, what is gone.

Each entry is stored with the head of the chain after it. Entry n is as it was written if its text
gives its head from the head stored before it, h(n) = SHA-256(h(n-1) + SHA-256(text of n)). One
changed text so breaks the chain in one place only, and that place can be named. Whoever rewrites
an entry and every head after it is found out by the heads that left the shop: on a printed sheet,
in an exported file.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import Enum
from typing import TypeAlias

from oilwedge.errors import JobFileError
from oilwedge.job.codec import entry_from_document
from oilwedge.job.record import EMPTY_HEAD, describe, digest_text, head_after

__all__ = ["ChainFault", "ChainFaultKind", "KnownHead", "Link", "check_chain"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Link:
    """One stored entry: its place from 1, its id, its canonical text and the head after it."""

    sequence: int
    entry_id: str
    text: str
    head: str


@dataclass(frozen=True, kw_only=True, slots=True)
class KnownHead:
    """A head that is known from elsewhere: after how many entries, and where it is written.

    ``reason`` completes "the head ... ": "printed on a sheet on 1 March 2026".
    """

    count: int
    head: str
    reason: str


class ChainFaultKind(Enum):
    """What is wrong with a stored record."""

    CHANGED = "changed"
    HEAD_CHANGED = "head changed"
    OTHER_ID = "other id"
    MISSING = "missing"
    DOUBLED = "doubled"
    OUT_OF_PLACE = "out of place"
    CUT_OFF = "cut off"
    BEYOND_THE_END = "beyond the end"
    WRONG_END = "wrong end"
    NOT_AS_KNOWN = "not as known"


@dataclass(frozen=True, kw_only=True, slots=True)
class ChainFault:
    """One thing that is wrong: with the entries from ``first`` to ``last``, said in a sentence."""

    kind: ChainFaultKind
    first: int
    last: int
    sentence: str


_Rows: TypeAlias = Mapping[int, Sequence[Link]]


def check_chain(
    *, links: Iterable[Link], count: int, head: str, known_heads: Iterable[KnownHead] = ()
) -> tuple[ChainFault, ...]:
    """Everything that is wrong with a stored record; empty for one that is as it was written.

    ``count`` and ``head`` are what the job itself says of its record; ``known_heads`` are those
    that were printed or exported. An entry behind a gap cannot be checked, and the sentence on
    the gap says so.
    """
    rows: dict[int, list[Link]] = {}
    for link in sorted(links, key=lambda link: link.sequence):
        rows.setdefault(link.sequence, []).append(link)
    last = max(rows, default=0)
    heads = _Heads(rows=rows, count=count, head=head)
    faults = [
        *_places(rows, count=count),
        *heads.faults,
        *_ids(rows, broken=frozenset(fault.first for fault in heads.faults)),
        *_end(rows, heads=heads, count=count, head=head, last=last),
        *_known(known_heads, heads=heads, last=last),
    ]
    return tuple(sorted(faults, key=lambda fault: (fault.first, fault.last)))


class _Heads:
    """Goes along the chain once: which heads hold after each entry, and where it breaks."""

    def __init__(self, *, rows: _Rows, count: int, head: str) -> None:
        self.after: dict[int, set[str]] = {0: {EMPTY_HEAD}}
        self.faults: list[ChainFault] = []
        self._rows = rows
        self._count = count
        self._head = head
        for sequence in rows:
            self.after.setdefault(sequence, set()).update(one.head for one in rows[sequence])
            before = self.after.get(sequence - 1)
            if sequence >= 1 and before is not None:
                for link in rows[sequence]:
                    self._check(link, before)

    def _check(self, link: Link, before: set[str]) -> None:
        digest = digest_text(link.text)
        due = {head_after(one, digest) for one in before}
        if link.head in due:
            return
        confirmed = self._confirmed(due, sequence=link.sequence)
        if confirmed:  # what follows is built on the head that the text gives
            self.after[link.sequence] |= confirmed
            kind, words = (
                ChainFaultKind.HEAD_CHANGED,
                "has another head stored with it than its text gives; the text fits what follows",
            )
        else:
            kind, words = ChainFaultKind.CHANGED, "no longer gives the head stored with it: "
            words += _who_broke(link.sequence)
        self.faults.append(_fault(kind, link.sequence, f"{_named(link)} {words}"))

    def _confirmed(self, due: set[str], *, sequence: int) -> set[str]:
        following = {
            (digest_text(link.text), link.head) for link in self._rows.get(sequence + 1, ())
        }
        found = {
            one for one in due if any(head_after(one, digest) == head for digest, head in following)
        }
        return found | ({self._head} & due if sequence == self._count else set())


def _who_broke(sequence: int) -> str:
    if sequence == 1:
        return "it was changed"
    return f"it was changed, or entry {sequence - 1} was rewritten together with its head"


def _places(rows: _Rows, *, count: int) -> Iterator[ChainFault]:
    """Gaps, entries at one place, and places that there are not."""
    end = 0
    for sequence, links in rows.items():
        if sequence < 1:
            text = f"{_named(links[0])} stands before the first place"
            yield _fault(ChainFaultKind.OUT_OF_PLACE, sequence, text)
            continue
        gap_end = min(sequence - 1, count)
        if gap_end > end:
            text = f"{_span(end + 1, gap_end)} missing"
            if gap_end == sequence - 1:
                text += f", so that entry {sequence} behind cannot be checked"
            yield _fault(ChainFaultKind.MISSING, end + 1, text, last=gap_end)
        end = sequence
        if len(links) > 1:
            ids = " and ".join(link.entry_id for link in links)
            text = f"place {sequence} is taken by {len(links)} entries: {ids}"
            yield _fault(ChainFaultKind.DOUBLED, sequence, text)


def _ids(rows: _Rows, *, broken: frozenset[int]) -> Iterator[ChainFault]:
    """Entries stored under an id that their text does not have, and ids that come twice."""
    seen: dict[str, int] = {}
    for sequence, links in rows.items():
        for link in links:
            written = _written_id(link.text)
            if written == link.entry_id:
                first = seen.setdefault(written, sequence)
                if first != sequence:
                    text = f"entry {sequence} has the id {written} of entry {first}"
                    yield _fault(ChainFaultKind.DOUBLED, sequence, text)
            elif sequence not in broken:
                said = "has none" if written is None else f"says {written}"
                text = f"entry {sequence} is stored under the id {link.entry_id}; its text {said}"
                yield _fault(ChainFaultKind.OTHER_ID, sequence, text)


def _end(rows: _Rows, *, heads: _Heads, count: int, head: str, last: int) -> Iterator[ChainFault]:
    """Whether the record ends where, and as, the job says."""
    fits_here = head in heads.after.get(last, set())
    told = f"the job counts {count} and its head is that after entry {last}, the last one here"
    if last < count:
        text = f"{_span(last + 1, count)} missing at the end"
        if fits_here:
            text = f"{told}: its count was changed, or the end was cut off and its head rewritten"
        yield _fault(ChainFaultKind.CUT_OFF, last + 1, text, last=count)
    elif last > count:
        text = f"{_span(count + 1, last)} beyond the {count} that the job counts"
        if fits_here:
            text = f"{told}: its count was changed, or {_span(count + 1, last)} added from outside"
        yield _fault(ChainFaultKind.BEYOND_THE_END, count + 1, text, last=last)
    if last >= count and not fits_here:
        after = heads.after.get(count)
        if after is not None and head not in after:
            text = (
                f"the head that the job keeps is not the one after entry {count}, its last: the"
                " job's own row was changed, or the end of the record was rewritten"
            )
            yield _fault(ChainFaultKind.WRONG_END, count, text)


def _known(known_heads: Iterable[KnownHead], *, heads: _Heads, last: int) -> Iterator[ChainFault]:
    for known in known_heads:
        told = f"the head {known.head[:12]}… ({known.reason})"
        if known.count > last:
            text = f"{told} stood after entry {known.count}: {_span(last + 1, known.count)} missing"
            yield _fault(ChainFaultKind.NOT_AS_KNOWN, last + 1, text, last=known.count)
            continue
        after = heads.after.get(known.count)
        if after is not None and known.head not in after:
            text = (
                f"{told} stood after entry {known.count} and does no longer: entry {known.count}"
                " or one before it was rewritten since, with every head after it"
            )
            yield _fault(ChainFaultKind.NOT_AS_KNOWN, known.count, text)


def _fault(kind: ChainFaultKind, first: int, text: str, *, last: int | None = None) -> ChainFault:
    sentence = f"{text[:1].upper()}{text[1:]}."
    return ChainFault(
        kind=kind, first=first, last=first if last is None else last, sentence=sentence
    )


def _span(first: int, last: int) -> str:
    return f"entry {first} is" if first == last else f"entries {first} to {last} are"


def _named(link: Link) -> str:
    """The entry in words, as far as its text can still be read."""
    try:
        words = f": {describe(entry_from_document(json.loads(link.text)))}"
    except (JobFileError, ValueError, RecursionError):
        words = ""
    return f"entry {link.sequence} ({link.entry_id}{words})"


def _written_id(text: str) -> str | None:
    try:
        document = json.loads(text)
    except (ValueError, RecursionError):
        return None
    written = document.get("id") if isinstance(document, dict) else None
    return written if isinstance(written, str) else None
