"""The files of a job archive, each to what it stands for; what cannot be meant is refused."""

from __future__ import annotations

import datetime
import json
from collections.abc import Mapping
from typing import Any

from oilwedge.errors import JobFileError, Where
from oilwedge.job.archive import (
    ArchivedPhoto,
    ArchiveLimits,
    PersonalText,
    PhotoFormat,
    WhoseName,
)
from oilwedge.job.archive_reading import refusal
from oilwedge.job.codec import entry_from_document
from oilwedge.job.entry import Entry
from oilwedge.job.header import JobHeader
from oilwedge.job.personal import is_commitment, matches
from oilwedge.job.record import (
    EMPTY_HEAD,
    append,
    canonical_text,
    digest_text,
    head_after,
)

Manifest = Mapping[str, Any]
FilesByDigest = Mapping[tuple[str, str], bytes]

_ENTRIES = "entries.jsonl"
_AGAIN = "export the job again and send the file as it is"


def text_in(document: Manifest, name: str, *, longest: int) -> str:
    """One line of text of the manifest; empty when it is left out."""
    value = document.get(name, "")
    if not isinstance(value, str) or len(value) > longest or not _is_plain(value):
        raise refusal(
            f"'{name}' in the archive is one line of text of at most {longest} characters",
            given=value if isinstance(value, str) else "",
        )
    return value


def _is_plain(text: str) -> bool:
    return all(sign.isprintable() for sign in text)


def header_in(manifest: Manifest, *, limits: ArchiveLimits) -> JobHeader:
    """Number, engine and beginning of the job, out of the manifest."""
    number = text_in(manifest, "number", longest=limits.number_length)
    if not number.strip():
        raise refusal("the archive does not say the number of its job")
    created = text_in(manifest, "created", longest=40)
    try:
        time = datetime.datetime.fromisoformat(created) if created else None
    except ValueError:
        raise refusal(
            "'created' is written like 2026-03-01T14:05:00+01:00", given=created
        ) from None
    return JobHeader(
        number=number,
        engine_name=text_in(manifest, "engine", longest=200),
        engine_digest=text_in(manifest, "engine_digest", longest=64),
        created=time,
    )


def entries_in(
    data: bytes | None, *, manifest: Manifest, limits: ArchiveLimits
) -> tuple[Entry, ...]:
    """The record: each line canonical, each id once, count and head as the manifest says."""
    if data is None:
        raise refusal(f"the archive has no {_ENTRIES}")
    lines = data.split(b"\n")
    if lines.pop() != b"":
        raise refusal(f"the last line of {_ENTRIES} is cut off", action=_AGAIN)
    if len(lines) > limits.entries:
        raise refusal(f"a record of more than {limits.entries:,} entries is not taken")
    entries: list[Entry] = []
    head = EMPTY_HEAD
    for number, line in enumerate(lines, start=1):
        try:
            entry, text = _entry(line, limits=limits)
        except JobFileError as error:
            raise JobFileError(error.at(Where(file=_ENTRIES, line=number)).faults[0]) from None
        entries.append(entry)
        head = head_after(head, digest_text(text))
    if manifest.get("count") != len(entries) or manifest.get("head") != head:
        raise refusal(
            "the head of the record does not follow from its entries: one was changed, removed or"
            " added",
            action=_AGAIN,
        )
    _check_record(entries)
    return tuple(entries)


def _entry(line: bytes, *, limits: ArchiveLimits) -> tuple[Entry, str]:
    try:
        text = line.decode()
        document = json.loads(text)
    except (ValueError, RecursionError):
        raise refusal("this line is no JSON", action=_AGAIN) from None
    entry = entry_from_document(document)
    if not entry.id or len(entry.id) > limits.id_length or not _is_plain(entry.id):
        raise refusal(
            f"an id has 1 to {limits.id_length} characters that can be seen", given=entry.id
        )
    if canonical_text(entry) != text:
        raise refusal(
            "this entry is not written as oilwedge writes it, keys in order and without blanks",
            given=entry.id,
            action=_AGAIN,
        )
    return entry, text


def _check_record(entries: list[Entry]) -> None:
    try:
        once = append((), entries)
    except JobFileError as error:
        raise JobFileError(error.faults[0]) from None
    if once.already_there:
        raise refusal("an entry stands in the record twice", given=once.already_there[0].id)


def engine_texts_in(files: FilesByDigest) -> tuple[str, ...]:
    """The engine files as text, in order of their digests."""
    texts = []
    for (digest, _), data in sorted(files.items()):
        try:
            text = data.decode()
        except UnicodeDecodeError:
            text = "\0"
        if "\0" in text:
            raise refusal("this engine file is no text in UTF-8", given=f"engines/{digest}.toml")
        texts.append(text)
    return tuple(texts)


def photos_in(files: FilesByDigest) -> tuple[ArchivedPhoto, ...]:
    """The pictures, each in the format that its name says; what is in them is not looked at."""
    photos = []
    for (digest, end), data in sorted(files.items()):
        if PhotoFormat.of(data) is not PhotoFormat(end):
            raise refusal(f"this is no picture of the kind {end}", given=f"photos/{digest}.{end}")
        photos.append(ArchivedPhoto(sha256=digest, format=PhotoFormat(end), data=data))
    return tuple(photos)


def sheet_in(data: bytes | None) -> bytes | None:
    """The build sheet as PDF, if there is one."""
    if data is not None and not data.startswith(b"%PDF-"):
        raise refusal("the file build-sheet.pdf is no PDF")
    return data


def personal_in(data: bytes | None, *, limits: ArchiveLimits) -> tuple[PersonalText, ...]:
    """What the commitments of the record stand for; erased ones come without salt and text."""
    if data is None:
        return ()
    try:
        documents = json.loads(data.decode())
    except (ValueError, RecursionError):
        documents = None
    if not isinstance(documents, list):
        raise refusal("the file personal.json is a list in JSON")
    found = [_personal(document, limits=limits) for document in documents]
    if len({one.commitment for one in found}) < len(found):
        raise refusal("the file personal.json names a commitment twice")
    return tuple(found)


def _personal(document: object, *, limits: ArchiveLimits) -> PersonalText:
    if not isinstance(document, dict) or set(document) != {"commitment", "salt", "text", "kind"}:
        raise refusal("each name in personal.json has commitment, salt, text and kind")
    kinds = {one.value: one for one in WhoseName}
    one = PersonalText(
        commitment=text_in(document, "commitment", longest=64),
        salt=text_in(document, "salt", longest=64),
        text=text_in(document, "text", longest=limits.name_length),
        kind=kinds.get(text_in(document, "kind", longest=20), WhoseName.PERSON),
    )
    if document["kind"] not in kinds:
        raise refusal("the kind of a name is person or owner", given=document["kind"])
    erased = not one.salt and not one.text
    fits = erased or matches(commitment=one.commitment, text=one.text, salt=one.salt)
    if not is_commitment(one.commitment) or not fits:
        raise refusal("the name does not fit this commitment", given=one.commitment)
    return one
