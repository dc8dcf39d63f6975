"""A job as one zip file and back; docs/formats/job-archive.md describes the file.

The same archive gives the same bytes: files in order of their names, times fixed, nothing
compressed (pictures are already, and compressors differ from version to version). Reading takes
all of it or nothing: what is not listed, not named by an entry or not as its digest says, is
refused.
"""

from __future__ import annotations

import hashlib
import io
import json
import zipfile
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, TypeAlias

from oilwedge.errors import JobFileError
from oilwedge.job.archive import ArchiveLimits, JobArchive, PersonalText, PhotoFormat
from oilwedge.job.archive_parts import (
    engine_texts_in,
    entries_in,
    header_in,
    personal_in,
    photos_in,
    sheet_in,
    text_in,
)
from oilwedge.job.archive_reading import refusal, unpack
from oilwedge.job.record import canonical_text, digest_text

__all__ = ["FORMAT", "UPGRADES", "Unpacked", "read_archive", "write_archive"]

Document: TypeAlias = dict[str, Any]

FORMAT = 1
KEY = "oilwedge_archive"
MANIFEST = "manifest.json"
ENTRIES = "entries.jsonl"
PERSONAL = "personal.json"
SHEET = "build-sheet.pdf"
_FIRST_TIME_OF_ZIP = (1980, 1, 1, 0, 0, 0)
_READABLE_FILE = 0o100644 << 16


@dataclass(frozen=True, kw_only=True, slots=True)
class Unpacked:
    """An archive as it lies in the zip: the manifest as JSON, every other file as bytes."""

    manifest: Document
    files: Mapping[str, bytes]


Upgrade: TypeAlias = Callable[[Unpacked], Unpacked]

# From a format to the next one. A change of what the files mean adds a line here.
UPGRADES: Mapping[int, Upgrade] = {}


def write_archive(archive: JobArchive) -> bytes:
    """The zip of a job.

    Raises :class:`JobFileError` when something that the record names is not there, so that no
    archive leaves that could not be read again; pictures that are lost may be missing.
    """
    missing = archive.named_engines - {digest_text(text) for text in archive.engine_texts}
    if missing:
        raise refusal("the record names an engine file that is not there", given=min(missing))
    files = _files(archive)
    manifest = _manifest(archive, files)
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", zipfile.ZIP_STORED) as target:
        for name in (MANIFEST, *sorted(files)):
            info = zipfile.ZipInfo(name, date_time=_FIRST_TIME_OF_ZIP)
            info.create_system = 3  # on every system alike
            info.external_attr = _READABLE_FILE
            target.writestr(info, _json(manifest) if name == MANIFEST else files[name])
    return buffer.getvalue()


def _files(archive: JobArchive) -> dict[str, bytes]:
    lines = "".join(f"{canonical_text(entry)}\n" for entry in archive.entries)
    files = {ENTRIES: lines.encode()}
    for text in archive.engine_texts:
        files[f"engines/{digest_text(text)}.toml"] = text.encode()
    for photo in archive.photos:
        files[f"photos/{photo.sha256}.{photo.format.value}"] = photo.data
    if archive.personal:
        files[PERSONAL] = _json([_personal(one) for one in archive.personal])
    if archive.sheet_pdf is not None:
        files[SHEET] = archive.sheet_pdf
    return files


def _personal(one: PersonalText) -> Document:
    return {
        "commitment": one.commitment,
        "salt": one.salt,
        "text": one.text,
        "kind": one.kind.value,
    }


def _manifest(archive: JobArchive, files: Mapping[str, bytes]) -> Document:
    header = archive.header
    return {
        KEY: FORMAT,
        "oilwedge": archive.oilwedge_version,
        "number": header.number,
        "title": archive.title,
        "engine": header.engine_name,
        "engine_digest": header.engine_digest,
        "created": header.created.isoformat() if header.created is not None else "",
        "count": archive.count,
        "head": archive.head,
        "files": {
            name: {"size": len(files[name]), "sha256": _sha256(files[name])}
            for name in sorted(files)
        },
    }


def _json(document: object) -> bytes:
    return (json.dumps(document, ensure_ascii=False, indent=1) + "\n").encode()


def _sha256(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()


def read_archive(
    data: bytes,
    *,
    limits: ArchiveLimits,
    upgrades: Mapping[int, Upgrade] = UPGRADES,
    version: int = FORMAT,
) -> JobArchive:
    """The job in a zip; raises :class:`JobFileError` with one sentence if it cannot be taken.

    What is checked: the zip itself (:mod:`oilwedge.job.archive_reading`), that exactly the files
    of the manifest are there with their sizes and digests, that each entry is written canonically
    and the head follows from them, that engine files and pictures are those that entries name,
    and that each name fits its commitment. The texts of engine files are not read here.
    """
    files = unpack(data, limits=limits)
    unpacked = _upgraded(_manifest_of(files), upgrades=upgrades, version=version)
    manifest, files = unpacked.manifest, dict(unpacked.files)
    _check_listed(manifest, files)
    archive = JobArchive(
        header=header_in(manifest, limits=limits),
        title=text_in(manifest, "title", longest=limits.title_length),
        oilwedge_version=text_in(manifest, "oilwedge", longest=limits.title_length),
        entries=entries_in(files.pop(ENTRIES, None), manifest=manifest, limits=limits),
        personal=personal_in(files.pop(PERSONAL, None), limits=limits),
        sheet_pdf=sheet_in(files.pop(SHEET, None)),
        engine_texts=engine_texts_in(_taken(files, folder="engines/", ends=("toml",))),
        photos=photos_in(
            _taken(files, folder="photos/", ends=tuple(one.value for one in PhotoFormat))
        ),
    )
    if files:
        raise refusal("a job archive has no such file", given=min(files))
    _check_named(archive)
    return archive


def _manifest_of(files: Mapping[str, bytes]) -> Unpacked:
    if MANIFEST not in files:
        raise refusal(f"the zip has no {MANIFEST}, so it is no job archive")
    try:
        document = json.loads(files[MANIFEST].decode())
    except (ValueError, RecursionError):
        document = None
    version = document.get(KEY) if isinstance(document, dict) else None
    if not isinstance(version, int) or isinstance(version, bool):
        raise refusal(f'the file {MANIFEST} is no JSON with "{KEY}": {FORMAT} in it')
    rest = {name: data for name, data in files.items() if name != MANIFEST}
    return Unpacked(manifest=document, files=rest)


def _upgraded(unpacked: Unpacked, *, upgrades: Mapping[int, Upgrade], version: int) -> Unpacked:
    given = unpacked.manifest[KEY]
    if given > version:
        raise refusal(
            f"this oilwedge reads job archives up to format {version}",
            given=f"format {given}",
            action="take a newer oilwedge",
        )
    while given < version:
        if given not in upgrades:
            raise refusal(f"job archives have format {version}", given=f"format {given}")
        unpacked = _upgraded_once(unpacked, upgrades[given], given=given)
        given += 1
    return unpacked


def _upgraded_once(unpacked: Unpacked, upgrade: Upgrade, *, given: int) -> Unpacked:
    try:
        return upgrade(unpacked)
    except JobFileError:
        raise
    except (KeyError, TypeError, ValueError, AttributeError):
        raise refusal(
            f"an archive of format {given} is not written like this",
            action="export the job again",
        ) from None


def _check_listed(manifest: Document, files: Mapping[str, bytes]) -> None:
    """Exactly the files that the manifest lists, each with its size and digest."""
    listed = manifest.get("files")
    if not isinstance(listed, dict):
        raise refusal(f"the file {MANIFEST} has no list of files")
    for name in sorted(listed.keys() - files.keys()):
        raise refusal(f"the archive lacks this file, which its {MANIFEST} lists", given=name)
    for name in sorted(files.keys() - listed.keys()):
        raise refusal(f"the {MANIFEST} does not list this file", given=name)
    for name, data in files.items():
        if listed[name] != {"size": len(data), "sha256": _sha256(data)}:
            raise refusal(
                "this file is not the one that was exported: its size or SHA-256 is another",
                given=name,
                action="export the job again and send the file as it is",
            )


def _taken(
    files: dict[str, bytes], *, folder: str, ends: tuple[str, ...]
) -> dict[tuple[str, str], bytes]:
    """Takes the files of one folder out; by digest and ending of their names."""
    found: dict[tuple[str, str], bytes] = {}
    for name in [name for name in files if name.startswith(folder)]:
        digest, _, end = name.removeprefix(folder).partition(".")
        if end in ends:
            found[digest, end] = files.pop(name)
            if digest != _sha256(found[digest, end]):
                raise refusal("this file is not named after its SHA-256", given=name)
    return found


def _check_named(archive: JobArchive) -> None:
    """The engine files are those that the record names, and so are the pictures."""
    engines = {digest_text(text) for text in archive.engine_texts}
    if missing := archive.named_engines - engines:
        raise refusal("the record names an engine file that is not there", given=min(missing))
    if strange := engines - archive.named_engines:
        raise refusal("no entry names this engine file", given=min(strange))
    if not engines:
        raise refusal("the archive holds no engine file")
    if strange := {photo.sha256 for photo in archive.photos} - archive.named_photos:
        raise refusal("no entry names this picture", given=min(strange))
