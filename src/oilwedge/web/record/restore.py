"""A backup back into a shop that is empty: all of it, or nothing."""

from __future__ import annotations

import contextlib
import hashlib
import itertools
import zipfile
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

from django.core.exceptions import ValidationError
from django.core.management.color import no_style
from django.db import DataError, IntegrityError, connection
from django.db.migrations.loader import MigrationLoader

from oilwedge.errors import Fault, InputError, Where
from oilwedge.web.record.backup import (
    Document,
    Progress,
    check_backup,
    lines_in,
    manifest_in,
    not_a_backup,
)
from oilwedge.web.record.backup_tables import (
    APPS,
    AnyField,
    ModelType,
    columns_of,
    kept_models,
    values_in,
)
from oilwedge.web.record.photo_files import keep_photo, photo_path
from oilwedge.web.record.store import says_faults, writing
from oilwedge.web.record.verify import Verified, verify_shop

_ROWS_AT_ONCE = 2000


@says_faults
def restore_backup(path: Path, *, progress: Progress = lambda what, done: None) -> Verified:
    """Put all that a backup holds into this empty shop, then verify the shop.

    Raises :class:`InputError` when the shop is not empty or the file is no whole backup; then
    nothing was put in.
    """
    refuse_full()
    try:
        with zipfile.ZipFile(path) as archive:
            manifest = manifest_in(archive)
            _refuse_newer(manifest)
            check_backup(path, progress=progress)
            _put_in(archive, manifest, progress=progress)
    except FileNotFoundError:
        raise _at(path, "there is no such file") from None
    except InputError as error:
        raise error.at(Where(file=str(path))) from None
    except (OSError, zipfile.BadZipFile, zipfile.LargeZipFile) as error:
        raise _at(path, f"this backup cannot be read ({error})") from error
    except (IntegrityError, DataError, ValueError, KeyError, TypeError, ValidationError) as error:
        raise _at(path, "the tables in this backup contradict each other") from error
    return verify_shop(progress=lambda done, of: progress("jobs verified", done))


def refuse_full() -> None:
    """Raise :class:`InputError` unless the shop holds nothing yet."""
    for model in kept_models():
        if model._base_manager.exists():
            raise InputError(
                Fault(
                    given="",
                    allowed="a backup goes into an empty shop only, and this one is in use"
                    f" ({model._meta.verbose_name_plural} are there)",
                    action="name a new folder, or an empty database",
                )
            )


def _at(path: Path, allowed: str) -> InputError:
    action = "nothing was restored"
    return InputError(Fault(where=Where(file=str(path)), given="", allowed=allowed, action=action))


def _refuse_newer(manifest: Document) -> None:
    known = {f"{app}.{name}" for app, name in MigrationLoader(connection).disk_migrations or {}}
    unknown = [one for one in manifest["migrations"] if one not in known]
    if any(one.split(".")[0] in APPS for one in unknown):
        raise not_a_backup(
            "this backup was made by a newer oilwedge", action="install that version first"
        )


def _put_in(archive: zipfile.ZipFile, manifest: Document, *, progress: Progress) -> None:
    written: list[str] = []
    try:
        with writing():
            refuse_full()  # again, where nobody else can write any more
            for model in kept_models():
                described = manifest["tables"].get(model._meta.db_table)
                if described is not None:  # a table that is newer than the backup stays empty
                    _put_table(archive, model, described, progress=progress)
            _reset_sequences()
            for number, sha256 in enumerate(manifest["photos"], start=1):
                data = archive.read(f"photos/{sha256}")
                if hashlib.sha256(data).hexdigest() != sha256:
                    raise not_a_backup(f"the photo {sha256[:12]}… in the backup is damaged")
                if not photo_path(sha256).exists():
                    written.append(sha256)
                keep_photo(data)
                progress("photos", number)
    except BaseException:
        for sha256 in written:
            photo_path(sha256).unlink(missing_ok=True)
        raise


def _put_table(
    archive: zipfile.ZipFile, model: ModelType, described: Document, *, progress: Progress
) -> None:
    by_name = {field.attname: field for field in columns_of(model)}
    fields = [by_name.get(name) for name in described["columns"]]
    kept = [field for field in fields if field is not None]
    added = [field for field in columns_of(model) if field not in kept]
    defaults = [field.get_default() for field in added]
    table = model._meta.db_table
    lines = lines_in(archive, name=f"tables/{table}.jsonl", described=described)
    done = 0
    with contextlib.closing(lines):
        rows = ([*values_in(line, fields=fields), *defaults] for line in lines)
        for batch in _batches(_prepared(rows, fields=[*kept, *added])):
            _insert(table, fields=[*kept, *added], rows=batch)
            done += len(batch)
            progress(table, done)


def _prepared(rows: Iterator[list[Any]], *, fields: Sequence[AnyField]) -> Iterator[list[Any]]:
    for row in rows:
        yield [
            field.get_db_prep_save(value, connection=connection)
            for field, value in zip(fields, row, strict=True)
        ]


def _batches(rows: Iterator[list[Any]]) -> Iterator[list[list[Any]]]:
    while batch := list(itertools.islice(rows, _ROWS_AT_ONCE)):
        yield batch


def _insert(table: str, *, fields: Sequence[AnyField], rows: list[list[Any]]) -> None:
    quote = connection.ops.quote_name
    columns = ", ".join(quote(str(field.column)) for field in fields)
    places = ", ".join(["%s"] * len(fields))
    with connection.cursor() as cursor:
        cursor.executemany(f"INSERT INTO {quote(table)} ({columns}) VALUES ({places})", rows)


def _reset_sequences() -> None:
    """Let PostgreSQL count on behind the rows that came with their keys."""
    statements = connection.ops.sequence_reset_sql(no_style(), list(kept_models()))
    with connection.cursor() as cursor:
        for statement in statements:
            cursor.execute(statement)
