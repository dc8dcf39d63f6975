"""A whole shop as one file, made while people write; docs/formats/shop-backup.md describes it.

All tables are read at one moment, so the backup is of that moment. It is written beside its place
and put there once it is whole, then read again: every file must give its digest, and every job's
chain its head.
"""

from __future__ import annotations

import hashlib
import json
import os
import zipfile
from collections.abc import Callable, Generator, Iterator, Sequence
from contextlib import closing
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from django.db import connection
from django.db.migrations.recorder import MigrationRecorder
from django.utils import timezone

from oilwedge import __version__
from oilwedge.errors import Fault, InputError, Where
from oilwedge.job.record import EMPTY_HEAD, digest_text, head_after
from oilwedge.web.record.backup_tables import APPS, LEFT_OUT, columns_of, kept_models, rows_of
from oilwedge.web.record.models import Job, JobEntry, Photo
from oilwedge.web.record.photo_files import photo_path
from oilwedge.web.record.snapshot import snapshot
from oilwedge.web.record.store import RecordError, says_faults

FORMAT = 1
KEY = "oilwedge_backup"
MANIFEST = "manifest.json"
_CHUNK = 1 << 20
_PROGRESS_ROWS = 20_000

Progress = Callable[[str, int], None]  # what is being done, and how much of it is
Document = dict[str, Any]


@dataclass(frozen=True, kw_only=True, slots=True)
class BackedUp:
    """What a backup holds; ``findings`` are sentences on what it could not take or verify."""

    jobs: int
    entries: int
    photos: int
    size_bytes: int
    findings: tuple[str, ...]


@dataclass(kw_only=True, slots=True)
class _Taken:
    """What was written so far."""

    tables: Document = field(default_factory=dict)
    photos: Document = field(default_factory=dict)
    findings: list[str] = field(default_factory=list)


@says_faults
def back_up(path: Path, *, progress: Progress = lambda what, done: None) -> BackedUp:
    """Write a backup to a new file and read it again.

    Raises :class:`InputError` when the file is there already, :class:`RecordError` when it cannot
    be written; then there is no file.
    """
    if path.exists():
        raise InputError(
            Fault(
                where=Where(file=str(path)),
                given="",
                allowed="this file is there already",
                action="name a new file, for example with the date in it",
            )
        )
    half = path.with_name(f"{path.name}.part")
    try:
        # Names and hashes of passwords are in it: it is for its owner from the first byte on.
        half.unlink(missing_ok=True)
        with open(half, "xb", opener=lambda name, flags: os.open(name, flags, 0o600)) as file:
            with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED, compresslevel=1) as target:
                findings = _write(target, progress=progress)
            file.flush()
            os.fsync(file.fileno())
        findings += check_backup(half, progress=progress)
        half.replace(path)
    except OSError as error:
        raise RecordError(
            f"{path}: the backup cannot be written ({error.strerror or error}); there is none."
        ) from error
    finally:
        half.unlink(missing_ok=True)
    with zipfile.ZipFile(path) as archive:
        manifest = manifest_in(archive)
    return BackedUp(
        jobs=manifest["tables"][Job._meta.db_table]["rows"],
        entries=manifest["tables"][JobEntry._meta.db_table]["rows"],
        photos=len(manifest["photos"]),
        size_bytes=path.stat().st_size,
        findings=tuple(findings),
    )


def _write(target: zipfile.ZipFile, *, progress: Progress) -> list[str]:
    taken = _Taken()
    with snapshot():
        for model in kept_models():
            table = model._meta.db_table
            name = f"tables/{table}.jsonl"
            described = _write_lines(target, name, rows_of(model), what=table, progress=progress)
            columns = [column.attname for column in columns_of(model)]
            taken.tables[table] = {**described, "columns": columns}
        heads = Job.objects.order_by("serial").values_list("number", "count", "head")
        taken.tables["heads"] = _write_lines(
            target, "heads.jsonl", (_json(row) for row in heads.iterator()), what="heads",
            progress=progress,
        )  # fmt: skip
        photos = list(Photo.objects.order_by("sha256").values_list("sha256", flat=True).distinct())
        done = sorted(f"{app}.{name}" for app, name in _migrations())
    for number, sha256 in enumerate(photos, start=1):
        _write_photo(target, sha256, taken=taken)
        progress("photos", number)
    manifest = {
        KEY: FORMAT,
        "oilwedge": __version__,
        "made_at": timezone.now().isoformat(),
        "migrations": done,
        "left_out": [*LEFT_OUT, "sessions", "login attempts", "secret", "authority"],
        "tables": taken.tables,
        "photos": taken.photos,
    }
    target.writestr(MANIFEST, json.dumps(manifest, ensure_ascii=False, indent=1))
    return taken.findings


def _json(row: Sequence[object]) -> str:
    return json.dumps(row, ensure_ascii=False, separators=(",", ":"))


def _migrations() -> Iterator[tuple[str, str]]:
    applied = MigrationRecorder(connection).applied_migrations()
    return (key for key in applied if key[0] in APPS)


def _write_lines(
    target: zipfile.ZipFile, name: str, lines: Iterator[str], *, what: str, progress: Progress
) -> Document:
    digest = hashlib.sha256()
    count = 0
    with target.open(name, "w", force_zip64=True) as file:
        for line in lines:
            data = f"{line}\n".encode()
            digest.update(data)
            file.write(data)
            count += 1
            if count % _PROGRESS_ROWS == 0:
                progress(what, count)
    progress(what, count)
    return {"rows": count, "sha256": digest.hexdigest()}


def _write_photo(target: zipfile.ZipFile, sha256: str, *, taken: _Taken) -> None:
    try:
        data = photo_path(sha256).read_bytes()
    except (OSError, ValueError):
        data = b""
    if hashlib.sha256(data).hexdigest() != sha256:
        taken.findings.append(
            f"The photo {sha256[:12]}… is gone from the folder photos, or is another picture now;"
            " it is not in the backup."
        )
        return
    info = zipfile.ZipInfo(f"photos/{sha256}")  # stored: pictures are small already
    target.writestr(info, data)
    taken.photos[sha256] = len(data)


def manifest_in(archive: zipfile.ZipFile) -> Document:
    """The manifest of a backup; raises :class:`InputError` for a zip that is none of ours."""
    try:
        manifest = json.loads(archive.read(MANIFEST).decode())
    except (KeyError, ValueError, RecursionError, zipfile.BadZipFile):
        manifest = None
    version = manifest.get(KEY) if isinstance(manifest, dict) else None
    if not isinstance(manifest, dict) or not isinstance(version, int):
        raise not_a_backup("this is no backup of a shop", action="choose another file")
    if version != FORMAT:
        raise not_a_backup(
            f"this is a backup of format {version}, and this oilwedge reads format {FORMAT}",
            action="take the oilwedge that made it, or a newer one",
        )
    return manifest


def not_a_backup(allowed: str, *, action: str = "") -> InputError:
    """The error of a file that cannot be restored."""
    return InputError(Fault(given="", allowed=allowed, action=action))


def lines_in(
    archive: zipfile.ZipFile, *, name: str, described: Document
) -> Generator[str, None, None]:
    """The lines of one file of a backup; InputError at its end if it is not as it was written."""
    digest = hashlib.sha256()
    count = 0
    try:
        with archive.open(name) as file:
            for data in file:
                digest.update(data)
                count += 1
                yield data.decode().rstrip("\n")
    except (KeyError, OSError, EOFError, ValueError, zipfile.BadZipFile) as error:
        raise not_a_backup(f"{name} in the backup is damaged ({error})") from error
    if count != described["rows"] or digest.hexdigest() != described["sha256"]:
        raise not_a_backup(f"{name} in the backup is not as it was written: it was changed")


def check_backup(path: Path, *, progress: Progress = lambda what, done: None) -> tuple[str, ...]:
    """Read a backup and see that it is whole; a sentence for each thing that is not."""
    findings: list[str] = []
    with zipfile.ZipFile(path) as archive:
        manifest = manifest_in(archive)
        tables = manifest["tables"]
        heads = {
            number: (count, head)
            for number, count, head in map(
                json.loads, lines_in(archive, name="heads.jsonl", described=tables["heads"])
            )
        }
        numbers: dict[int, str] = {}
        for table, described in tables.items():
            if table == "heads":
                continue
            name, columns = f"tables/{table}.jsonl", described["columns"]
            with closing(lines_in(archive, name=name, described=described)) as lines:
                if table == Job._meta.db_table:
                    numbers = _numbers(lines, columns=columns)
                elif table == JobEntry._meta.db_table:
                    findings += _chains(
                        lines, columns=columns, numbers=numbers, heads=heads, progress=progress
                    )
                else:
                    for _ in lines:
                        pass
        for sha256 in manifest["photos"]:
            if hashlib.sha256(archive.read(f"photos/{sha256}")).hexdigest() != sha256:
                findings.append(f"The photo {sha256[:12]}… in the backup is damaged.")
    return tuple(findings)


def _numbers(lines: Iterator[str], *, columns: Sequence[str]) -> dict[int, str]:
    pk, number = columns.index("id"), columns.index("number")
    return {row[pk]: row[number] for row in map(json.loads, lines)}


def _chains(
    lines: Iterator[str],
    *,
    columns: Sequence[str],
    numbers: dict[int, str],
    heads: dict[str, tuple[int, str]],
    progress: Progress,
) -> Iterator[str]:
    """Every job's chain, computed from the entries in the backup, against the job's head."""
    job, text = columns.index("job_id"), columns.index("document")
    found: dict[int, tuple[int, str]] = {}
    for done, row in enumerate(map(json.loads, lines), start=1):
        count, head = found.get(row[job], (0, EMPTY_HEAD))
        found[row[job]] = (count + 1, head_after(head, digest_text(row[text])))
        if done % _PROGRESS_ROWS == 0:
            progress("chains", done)
    for pk, number in numbers.items():
        if found.get(pk, (0, EMPTY_HEAD)) != heads.get(number):
            yield (
                f"Job {number}: its entries in the backup do not give the head that the job keeps;"
                " oilwedge shop verify says what is wrong with it."
            )
