"""What is wrong with the rows of one job, each thing in one sentence that names the job."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass, field

from oilwedge.job.chain import KnownHead, Link, check_chain
from oilwedge.job.personal import matches
from oilwedge.job.record import EMPTY_HEAD, digest_text, head_after
from oilwedge.web.record.models import Job, PersonalDatum

_PERSON = re.compile(r'"person":"(who-[0-9a-f]{32})"')
_MADE_BY_THE_RECORD = re.compile(r'"kind":"(engine|photo|closed|reopened|erased)"')


@dataclass(frozen=True, kw_only=True, slots=True)
class JobRows:
    """All that the database has of one job. ``asked``: a head to look for, or its beginning."""

    job: Job
    links: Sequence[Link]
    known: Sequence[KnownHead]
    personal: Sequence[PersonalDatum]
    photos: AbstractSet[str]
    asked: str = ""
    came_in: bool = False  # from an archive: names may have been left out of it


@dataclass(kw_only=True, slots=True)
class _Named:
    """What the entries of a job name, with the entry that does first or last."""

    people: dict[str, int] = field(default_factory=dict)
    engines: dict[str, int] = field(default_factory=dict)
    photos: dict[str, int] = field(default_factory=dict)
    erased: set[str] = field(default_factory=set)
    engine: str = ""
    closed: bool = False


def job_findings(
    rows: JobRows, *, engines: AbstractSet[str], lost_photos: AbstractSet[str]
) -> Iterator[str]:
    """Everything that is wrong with a job; nothing for one that is as it was written.

    ``engines`` are the digests of all engine files that are kept, ``lost_photos`` those of the
    pictures whose bytes are gone or other ones.
    """
    named = _Named()
    who = f"Job {rows.job.number}"
    if not _is_whole(rows):
        faults = check_chain(
            links=rows.links, count=rows.job.count, head=rows.job.head, known_heads=rows.known
        )
        for fault in faults:
            yield f"{who}: {fault.sentence[:1].lower()}{fault.sentence[1:]}"
    if not rows.known:
        yield (
            f"{who}: the head of its opening is no longer kept: it was taken away, and heads that"
            " left the shop may have been too. Compare a printed sheet with --job and --head."
        )
    if rows.asked and not any(link.head.startswith(rows.asked) for link in rows.links):
        yield (
            f"{who}: the head {rows.asked[:12]}… stands after no entry of its record: it is of"
            " another job, or an entry before it was changed since, with every head after it."
        )
    for link in rows.links:
        _note(link, named)
    yield from _files(rows, named, engines=engines, lost_photos=lost_photos, who=who)
    yield from _names(rows, named, who=who)


def _is_whole(rows: JobRows) -> bool:
    """The quick way: whether all that :func:`check_chain` looks at is in order."""
    head = EMPTY_HEAD
    heads = [head]
    for sequence, link in enumerate(rows.links, start=1):
        head = head_after(head, digest_text(link.text))
        # Documents are flat and their texts escaped, so this stands there only as the key itself.
        written = f'"id":{json.dumps(link.entry_id, ensure_ascii=False)}' in link.text
        if link.sequence != sequence or link.head != head or not written:
            return False
        heads.append(head)
    if rows.job.count != len(rows.links) or rows.job.head != head:
        return False
    return all(one.count < len(heads) and heads[one.count] == one.head for one in rows.known)


def _note(link: Link, named: _Named) -> None:
    for person in _PERSON.findall(link.text):
        named.people.setdefault(person, link.sequence)
    made = _MADE_BY_THE_RECORD.search(link.text)
    if made is None:
        return
    kind = made[1]
    if kind in ("closed", "reopened"):
        named.closed = kind == "closed"
        return
    try:
        value = str(json.loads(link.text).get("value", ""))
    except ValueError:  # changed, and named above
        return
    if kind == "erased":
        named.erased.add(value)
    elif kind == "engine":
        named.engines.setdefault(value, link.sequence)
        named.engine = value
    else:
        named.photos.setdefault(value, link.sequence)


def _files(
    rows: JobRows,
    named: _Named,
    *,
    engines: AbstractSet[str],
    lost_photos: AbstractSet[str],
    who: str,
) -> Iterator[str]:
    for digest, sequence in named.engines.items():
        if digest not in engines:
            yield (
                f"{who}: entry {sequence} says that the engine file {digest[:12]}… holds, and no"
                " such file is kept."
            )
    if named.engine and rows.job.engine_id != named.engine:
        yield (
            f"{who}: its record says that the engine file {named.engine[:12]}… holds, the job's"
            f" own row says {rows.job.engine_id[:12]}… instead."
        )
    if named.closed != rows.job.closed:
        said = {True: "closed", False: "open"}
        yield (
            f"{who}: its record says that it is {said[named.closed]}, the job's own row says"
            f" {said[rows.job.closed]}."
        )
    for digest, sequence in named.photos.items():
        if digest not in rows.photos:
            yield f"{who}: the photo {digest[:12]}… of entry {sequence} is no longer listed."
        elif digest in lost_photos:
            yield (
                f"{who}: the photo {digest[:12]}… of entry {sequence} is gone from the folder"
                " photos, or is another picture now."
            )


def _names(rows: JobRows, named: _Named, *, who: str) -> Iterator[str]:
    kept = {datum.commitment: datum for datum in rows.personal}
    for commitment, sequence in named.people.items():
        if commitment not in kept:
            yield (
                f"{who}: entry {sequence} names {commitment[:12]}…, and what that stands for was"
                " taken away."
            )
    for datum in rows.personal:
        if not datum.text and not datum.salt:
            known = datum.commitment in named.erased or rows.came_in
            if datum.erased_at is None or not known:
                yield (
                    f"{who}: the name behind {datum.commitment[:12]}… is blank, and it was not"
                    " oilwedge that erased it."
                )
        elif not matches(commitment=datum.commitment, text=datum.text, salt=datum.salt):
            yield (
                f"{who}: the name behind {datum.commitment[:12]}… was changed: it no longer fits"
                " what the record holds."
            )
